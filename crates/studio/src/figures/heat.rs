//! Measure the heat model: against known answers, against itself with short steps, and how long a firing takes to
//! work out, beside what a general-purpose solver took for the same equations.

mod ensemble;
mod speed;

use glost_heat::kiln::{Accuracy, Extent, KilnInput, KilnModel, simulate_as};
use glost_heat::network::integrate::Work;
use glost_heat::validation::kilns::{kiln, long_firing, tariff, tiers};
use glost_heat::validation::{facts, published, whole_kiln};
use glost_model::forecast::Forecast;

use super::{Ask, Row, kept_peers};

/// Tiers of the kiln that is timed.
const TIERS: usize = 5;
/// Instance of the peers' figures.
pub const FIRING: &str = "firing-60h";

type Measure = fn(&Ask) -> Row;

const ROWS: [(&str, Measure); 6] = [
    ("validation", validation),
    ("accuracy", accuracy),
    ("speed", speed::speed),
    ("growth", speed::growth),
    ("ensemble", ensemble::ensembles),
    ("tables", super::firings::beside_tables),
];

/// Names of all rows, in order.
pub fn heat_row_names() -> impl Iterator<Item = &'static str> {
    ROWS.iter().map(|r| r.0)
}

/// Measures one row; nothing for an unknown name.
pub fn measure_heat(ask: &Ask, name: &str) -> Option<Row> {
    ROWS.iter().find(|r| r.0 == name).map(|r| r.1(ask))
}

/// The equations of the kiln that is timed, for other programs.
pub fn timed_equations() -> Option<String> {
    Some(
        KilnModel::new(kiln(&tiers(TIERS)))
            .ok()?
            .equations(&long_firing()?),
    )
}

fn fired(input: KilnInput, accuracy: Accuracy) -> Option<(Forecast, Work)> {
    let model = KilnModel::new(input).ok()?;
    simulate_as(
        &model,
        &long_firing()?,
        &tariff(),
        Extent::Cooling,
        accuracy,
    )
    .ok()
}

fn validation(_: &Ask) -> Row {
    let groups: Vec<_> = published().into_iter().chain(whole_kiln()).collect();
    let mut lines: Vec<Vec<String>> = Vec::new();
    let (mut cases, mut held, mut worst) = (0, 0, 0.0f64);
    for g in &groups {
        let here = g.cases.iter().filter(|c| c.holds()).count();
        let (name, share) = g
            .worst()
            .map_or((String::new(), f64::NAN), |c| (c.name.clone(), c.share()));
        worst = worst.max(share);
        cases += g.cases.len();
        held += here;
        lines.push(vec![
            g.name.into(),
            g.cases.len().to_string(),
            here.to_string(),
            format!("{:.0} %", share * 100.0),
            name,
        ]);
    }
    let facts = facts();
    let inside = facts.iter().filter(|f| f.holds()).count();
    lines.push(vec![
        "Studio kilns".into(),
        facts.len().to_string(),
        inside.to_string(),
        "-".into(),
        "bands".into(),
    ]);
    Row {
        name: "validation",
        what: "cases of known answer".into(),
        wanted: "every case within its tolerance".into(),
        found: format!(
            "{held} of {cases} cases and {inside} of {} bands",
            facts.len()
        ),
        reached: Some(held == cases && inside == facts.len()),
        values: vec![
            ("cases".into(), cases as f64),
            ("held".into(), held as f64),
            ("worst_share".into(), worst),
            ("facts".into(), facts.len() as f64),
            ("facts_held".into(), inside as f64),
        ],
        head: vec![
            "cases",
            "number",
            "held",
            "worst, of its tolerance",
            "which",
        ],
        lines,
    }
}

/// Greatest difference of any tier at any instant that both have, K, and of the energy, as a share.
fn apart(a: &Forecast, b: &Forecast) -> (f64, f64) {
    let mut worst = 0.0f64;
    for s in &a.samples {
        let same = b
            .samples
            .iter()
            .find(|o| (o.time_s - s.time_s).to_s().abs() < 1e-3);
        for (x, y) in same.iter().flat_map(|o| s.ware_c.iter().zip(&o.ware_c)) {
            worst = worst.max((*x - *y).to_k().abs());
        }
    }
    (worst, (a.energy_j / b.energy_j - 1.0).abs())
}

fn accuracy(_: &Ask) -> Row {
    let exact = fired(kiln(&tiers(TIERS)), Accuracy::FINE);
    let mut lines = Vec::new();
    let mut usual_off = (f64::NAN, f64::NAN);
    for (what, accuracy) in [
        ("usual", Accuracy::USUAL),
        (
            "ten times stricter",
            Accuracy {
                relative: 1e-5,
                absolute: 0.1,
                ..Accuracy::USUAL
            },
        ),
    ] {
        let run = fired(kiln(&tiers(TIERS)), accuracy);
        let (Some((a, work)), Some((b, _))) = (&run, &exact) else {
            continue;
        };
        let off = apart(a, b);
        if what == "usual" {
            usual_off = off;
        }
        lines.push(vec![
            what.into(),
            work.steps.to_string(),
            work.rates.to_string(),
            format!("{:.2} K", off.0),
            format!("{:.3} %", off.1 * 100.0),
        ]);
    }
    if let Some((_, work)) = &exact {
        let steps = work.steps.to_string();
        lines.push(vec![
            "steps of 60 s at most".into(),
            steps,
            work.rates.to_string(),
            "0".into(),
            "0".into(),
        ]);
    }
    for p in kept_peers(FIRING) {
        lines.push(vec![
            format!("{} (kept)", p.peer),
            "-".into(),
            "-".into(),
            format!("{:.2} K", p.figure),
            "-".into(),
        ]);
    }
    Row {
        name: "accuracy",
        what: "a 60 h firing of five tiers against the same with short steps".into(),
        wanted: "every tier within 1 K at every instant, energy within 0.1 %".into(),
        found: format!("{:.2} K, {:.3} %", usual_off.0, usual_off.1 * 100.0),
        reached: Some(usual_off.0 <= 1.0 && usual_off.1 <= 1e-3),
        values: vec![
            ("worst_k".into(), usual_off.0),
            ("energy_share".into(), usual_off.1),
        ],
        head: vec![
            "accuracy",
            "steps",
            "rates",
            "worst tier and instant",
            "energy",
        ],
        lines,
    }
}
