//! How long firings take to work out.

use std::time::{Duration, Instant};

use glost_heat::kiln::{Accuracy, Extent, KilnModel, Tuning, simulate_as};
use glost_heat::validation::kilns::{kiln, long_firing, tariff, tiers};

use super::{FIRING, TIERS, fired};
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

/// Factors spread evenly over ±10 % in four directions: multiples of square roots, without chance.
fn member(number: usize) -> Tuning {
    let spread = |root: f64| 0.9 + 0.2 * (number as f64 * root).fract();
    Tuning {
        conductivity: spread(std::f64::consts::SQRT_2),
        power: spread(3f64.sqrt()),
        draught: spread(5f64.sqrt()),
        load: spread(7f64.sqrt()),
        ..Tuning::default()
    }
}

/// Energy of all members, kWh; each thread takes every so many.
fn energies(members: usize, threads: usize) -> Vec<f64> {
    let share = move |first: usize| {
        let numbers = (first..members).step_by(threads);
        numbers
            .filter_map(|n| {
                let mut input = kiln(&tiers(TIERS));
                input.tuning = member(n);
                Some(fired(input, Accuracy::USUAL)?.0.energy_j.to_kwh())
            })
            .collect::<Vec<f64>>()
    };
    std::thread::scope(|scope| {
        let work: Vec<_> = (0..threads)
            .map(|t| scope.spawn(move || share(t)))
            .collect();
        work.into_iter()
            .flat_map(|w| w.join().unwrap_or_default())
            .collect()
    })
}

pub(super) fn ensemble(ask: &Ask) -> Row {
    let members = if ask.quick { 8 } else { 128 };
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let mut lines = Vec::new();
    let mut each = Vec::new();
    let mut found = String::new();
    for threads in [1, cores] {
        let start = Instant::now();
        let mut all = energies(members, threads);
        let took = ms(start.elapsed());
        all.sort_by(f64::total_cmp);
        each.push(took / members as f64);
        if let (Some(low), Some(high)) = (all.first(), all.last()) {
            found = format!(
                "{} firings draw between {low:.0} and {high:.0} kWh",
                all.len()
            );
        }
        lines.push(vec![
            threads.to_string(),
            members.to_string(),
            format!("{took:.0} ms"),
            format!("{:.2} ms", took / members as f64),
        ]);
    }
    let gain = each
        .first()
        .zip(each.last())
        .map_or(f64::NAN, |(one, all)| one / all);
    Row {
        name: "ensemble",
        what: "60 h firings with conductivity, power, draught and load spread by ±10 %, each kiln built anew".into(),
        wanted: "all cores at work".into(),
        found: format!("{found}; {cores} threads are {gain:.2} times as fast as one"),
        reached: None,
        values: vec![
            ("members".into(), members as f64),
            ("ms_each_one_thread".into(), each.first().copied().unwrap_or(f64::NAN)),
            ("ms_each_all_threads".into(), each.last().copied().unwrap_or(f64::NAN)),
        ],
        head: vec!["threads", "firings", "time", "each"],
        lines,
    }
}
