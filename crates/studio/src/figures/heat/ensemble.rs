//! How sure forecasts are for the kilns of the demo studio, and how long it takes to find out.

use std::time::Instant;

use glost_heat::doubt::{Draws, Ensemble, ensemble};
use glost_heat::firing::plan;
use glost_heat::kiln::{KilnInput, from_plan};
use glost_model::Span;
use glost_model::cone::Cone;
use glost_model::doubt::{Band, TimeBand};
use glost_model::firing::FiringPlan;
use glost_model::load::FiringKind;
use glost_model::studio::Studio;
use glost_placing::{PlanAsk, plan_unproved};
use jiff::civil::date;

use crate::figures::{Ask, Row};
use crate::{demo_texts, open_texts};

/// Cone and kind of the loads.
const LOADS: [(&str, FiringKind); 2] = [("6", FiringKind::Glaze), ("04", FiringKind::Bisque)];
/// Improvements to each load: how full it is does not matter here.
const ROUNDS: u32 = 40;
/// Two threads on two cores are worth so much at least.
const GAIN: f64 = 1.6;

/// A load of the demo studio with its firing.
struct Fired {
    name: String,
    input: KilnInput,
    plan: FiringPlan,
    reference: usize,
}

/// Loads of all kilns; of the first alone when it is to be quick.
fn loads(studio: &Studio, ask: &Ask) -> Vec<Fired> {
    let Ok((_, book)) = open_texts(&demo_texts()) else {
        return Vec::new();
    };
    let pairs = studio
        .kilns
        .iter()
        .flat_map(|k| LOADS.iter().map(move |l| (k, l)));
    let loads = pairs.filter_map(|(kiln, (cone, kind))| {
        let load = plan_unproved(
            &PlanAsk {
                studio,
                book: &book,
                kiln: &kiln.name,
                cone: Cone::parse(cone).ok()?,
                kind: *kind,
                today: date(2026, 11, 2),
                seed: ask.seed,
                rounds: ROUNDS,
                worth: None,
            },
            &mut |_, _| true,
        )
        .ok()?;
        let planned = plan(studio, kiln, &load).ok()?;
        let input = from_plan(studio, kiln, &load);
        let model = glost_heat::kiln::KilnModel::new(input.clone()).ok()?;
        Some(Fired {
            name: format!("{} to {cone}", kiln.name),
            input,
            plan: planned.plan,
            reference: model.reference_zone(),
        })
    });
    loads.take(if ask.quick { 1 } else { 4 }).collect()
}

fn drawn(studio: &Studio, fired: &Fired, number: usize, threads: usize) -> Option<(Ensemble, f64)> {
    let draws = Draws {
        number,
        threads,
        ..Draws::default()
    };
    // The shorter of two: what else the machine does is not ours.
    let run = || {
        let start = Instant::now();
        let all = ensemble(&fired.input, &fired.plan, &studio.tariff, &draws).ok()?;
        Some((all, start.elapsed().as_secs_f64()))
    };
    let (first, second) = (run()?, run()?);
    Some(if first.1 < second.1 { first } else { second })
}

fn hours(band: TimeBand) -> String {
    let at = |s: Option<Span>| s.map_or_else(|| "never".into(), |s| format!("{:.1}", s.to_h()));
    format!("{} {} {}", at(band.low), at(band.middle), at(band.high))
}

fn figures(band: Band<f64>, places: usize) -> String {
    let Band { low, middle, high } = band;
    format!("{low:.places$} {middle:.places$} {high:.places$}")
}

pub(super) fn ensembles(ask: &Ask) -> Row {
    let number = if ask.quick { 6 } else { 96 };
    let (mut one_s, mut two_s, mut done) = (0.0, 0.0, 0usize);
    let mut lines = Vec::new();
    let mut same = true;
    if let Ok((studio, _)) = open_texts(&demo_texts()) {
        for fired in loads(&studio, ask) {
            // The first run fits the laws of the cones, once for the program.
            let warm = drawn(&studio, &fired, 2, 2);
            let (Some(_), Some((one, a_s)), Some((two, b_s))) = (
                warm,
                drawn(&studio, &fired, number, 1),
                drawn(&studio, &fired, number, 2),
            ) else {
                continue;
            };
            same &= one == two;
            one_s += a_s;
            two_s += b_s;
            done += number;
            let middle = |d: &glost_heat::doubt::Draw| {
                let zone = d.forecast.zones.get(fired.reference);
                zone.map_or(f64::NAN, |z| z.cone_position)
            };
            lines.push(vec![
                fired.name,
                format!("{:.0}", number as f64 / a_s),
                format!("{:.0}", number as f64 / b_s),
                hours(one.times(|d| d.peak_over)),
                hours(one.times(|d| d.open)),
                figures(one.band(|d| d.forecast.energy_j.to_kwh()), 0),
                figures(one.band(middle), 2),
                format!("{} of {number}", one.missed()),
            ]);
        }
    }
    let (one, two) = (done as f64 / one_s, done as f64 / two_s);
    let gain = two / one;
    Row {
        name: "ensemble",
        what: format!(
            "{number} kilns drawn around each demo kiln, each built anew and simulated to where it is unloaded; \
             bands of 10, 50 and 90 %"
        ),
        wanted: format!("two threads {GAIN} times as fast as one, the same bits"),
        found: format!(
            "{one:.0} draws a second on one thread, {two:.0} on two, {gain:.2} times; {} bits",
            if same { "the same" } else { "OTHER" }
        ),
        reached: (!ask.quick).then_some(same && gain >= GAIN),
        values: vec![
            ("draws_per_s_one_thread".into(), one),
            ("draws_per_s_two_threads".into(), two),
            ("ratio".into(), gain),
            ("same_bits".into(), f64::from(u8::from(same))),
        ],
        head: vec![
            "load",
            "draws/s, 1 thread",
            "draws/s, 2",
            "peak over, h",
            "open, h",
            "kWh",
            "cone in the middle",
            "missed",
        ],
        lines,
    }
}
