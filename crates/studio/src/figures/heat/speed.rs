//! How long firings take to work out.

use std::time::{Duration, Instant};

use glost_heat::kiln::{Accuracy, Extent, KilnModel, simulate_as};
use glost_heat::validation::kilns::{kiln, long_firing, tariff, tiers};

use super::{FIRING, TIERS};
use crate::figures::{Ask, Row, kept_peers};

/// Shortest and median time of a firing of a kiln that is built already, in about this many seconds.
fn timed(levels: usize, seconds: f64) -> Option<(Duration, Duration, f64)> {
    let model = KilnModel::new(kiln(&tiers(levels))).ok()?;
    let plan = long_firing()?;
    let one = || simulate_as(&model, &plan, &tariff(), Extent::Cooling, Accuracy::USUAL).ok();
    // The laws of the cones are fitted once for the program.
    let hours = one()?.0.samples.last()?.time_s.to_h();
    let began = Instant::now();
    let mut all = Vec::new();
    while all.len() < 3 || began.elapsed().as_secs_f64() < seconds {
        let start = Instant::now();
        std::hint::black_box(one()?);
        all.push(start.elapsed());
    }
    all.sort_unstable();
    Some((*all.first()?, *all.get(all.len() / 2)?, hours))
}

fn ms(d: Duration) -> f64 {
    d.as_secs_f64() * 1e3
}

pub(super) fn speed(ask: &Ask) -> Row {
    let (best, median, hours) =
        timed(TIERS, ask.seconds / 3.0).unwrap_or((Duration::MAX, Duration::MAX, f64::NAN));
    let mut lines = vec![vec![
        "glost".into(),
        format!("{:.2} ms", ms(best)),
        format!("{:.2} ms", ms(median)),
        "1".into(),
    ]];
    for p in kept_peers(FIRING) {
        lines.push(vec![
            format!("{} (kept; {})", p.peer, p.machine),
            format!("{:.0} ms", p.seconds * 1e3),
            "-".into(),
            format!("{:.0}", p.seconds / best.as_secs_f64()),
        ]);
    }
    Row {
        name: "speed",
        what: format!(
            "{hours:.0} h of five tiers, firing and cooling with cones and energy, on one core"
        ),
        wanted: "under 10 ms".into(),
        found: format!(
            "{:.2} ms at best, {:.2} ms in the middle",
            ms(best),
            ms(median)
        ),
        reached: Some(ms(best) < 10.0),
        values: vec![
            ("best_ms".into(), ms(best)),
            ("median_ms".into(), ms(median)),
            ("hours".into(), hours),
        ],
        head: vec!["program", "best", "median", "times ours"],
        lines,
    }
}

pub(super) fn growth(ask: &Ask) -> Row {
    let sizes: &[usize] = if ask.quick { &[2, 4] } else { &[2, 5, 10, 20] };
    let times: Vec<(usize, f64)> = sizes
        .iter()
        .filter_map(|n| Some((*n, ms(timed(*n, ask.seconds / 10.0)?.0))))
        .collect();
    let each = |(n, t): &(usize, f64)| t / *n as f64;
    let least = times.iter().map(each).fold(f64::INFINITY, f64::min);
    let last = times.last().map_or(f64::NAN, each);
    let line = |t: &(usize, f64)| {
        vec![
            t.0.to_string(),
            format!("{:.2} ms", t.1),
            format!("{:.2} ms", each(t)),
        ]
    };
    Row {
        name: "growth",
        what: "cost against the number of tiers".into(),
        wanted: "in proportion: at most a half more for each tier of the highest kiln".into(),
        found: format!("{last:.2} ms a tier at most tiers, {least:.2} ms at least"),
        reached: Some(last <= 1.5 * least),
        values: times.iter().map(|(n, t)| (format!("ms_{n}"), *t)).collect(),
        head: vec!["tiers", "best", "each tier"],
        lines: times.iter().map(line).collect(),
    }
}
