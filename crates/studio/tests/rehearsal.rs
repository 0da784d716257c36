//! The rehearsed firing of the invented studio, watched as a log.
#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use glost_heat::kiln::from_plan;
use glost_heat::strange::Planted;
use glost_heat::watch::{Event, Watch, WatchAsk};
use glost_model::Span;
use glost_model::plan_file::PlanFile;
use glost_studio::rehearse::{Rehearsal, fault, usual};
use jiff::Timestamp;

/// What rang and when, in hours; and what became of it.
fn watched(plan: &PlanFile, seed: u64, planted: Vec<Planted>) -> (Vec<String>, String) {
    let start = Timestamp::from_second(1_795_000_000).unwrap();
    let rehearsal = Rehearsal {
        seed,
        planted,
        start,
        every: Span::s(60.0),
    };
    let mut burn = rehearsal.light(plan).unwrap();
    let kiln = plan.studio.kiln(&plan.load.kiln).unwrap();
    let input = from_plan(&plan.studio, kiln, &plan.load);
    let mut watch = Watch::new(&WatchAsk::new(input, plan.firing.clone().unwrap(), start)).unwrap();
    let mut rang = Vec::new();
    for sample in burn.by_ref() {
        let h = sample.at.duration_since(start).as_secs_f64() / 3600.0;
        for event in watch.take(&sample) {
            match event {
                Event::Began(a) => rang.push(format!("{h:.1} {}", a.kind.rule().id)),
                Event::Ended(k) => rang.push(format!("{h:.1} -{}", k.rule().id)),
                Event::Reached { segment, .. } => rang.push(format!("{h:.1} #{segment}")),
            }
        }
    }
    let truth = burn.truth();
    let now = watch.now();
    let cones: Vec<String> = truth
        .tiers
        .iter()
        .zip(&now.tiers)
        .map(|(t, n)| format!("{:.1}/{:.1}", t.cone.unwrap_or(-22.0), n.cone.middle))
        .collect();
    let over = truth.over.map(Span::to_h);
    (
        rang,
        format!("{cones:?} over {over:?} gave up {}", truth.gave_up),
    )
}

#[test]
#[ignore = "to be looked at"]
fn seeds() {
    let text = std::fs::read_to_string("/tmp/src/plan.json").unwrap();
    let plan = PlanFile::read(&text, "plan.json").unwrap();
    let out = fault("element-out", 1).unwrap();
    for seed in 1..14 {
        println!("{seed} clean {:?}", watched(&plan, seed, Vec::new()));
        for ring in 1..=3 {
            let fault = fault("element-out", ring).unwrap();
            let planted = Planted {
                fault,
                at: Span::h(4.0),
                how_much: usual(out),
            };
            println!(
                "{seed} ring {ring} {:?}",
                watched(&plan, seed, vec![planted])
            );
        }
    }
}
