//! Planned firings beside those that studios write down, for loads of the demo studio, all at the same cone in the
//! middle of the kiln.

use glost_heat::firing::{Planned, Wishes, broken_limits, by_hand, mend, plan_for, with_peak};
use glost_model::cone::Cone;
use glost_model::firing::Aim;
use glost_model::kiln::Kiln;
use glost_model::load::{FiringKind, LoadPlan};
use glost_model::studio::Studio;
use glost_placing::{PlanAsk, plan_unproved};
use jiff::civil::date;

use super::{Ask, Row};
use crate::{demo_texts, open_texts};

/// Kiln, cone and kind of the loads.
const LOADS: [(&str, &str, FiringKind); 4] = [
    ("Heron", "6", FiringKind::Glaze),
    ("Badger", "6", FiringKind::Glaze),
    ("Heron", "04", FiringKind::Bisque),
    ("Badger", "04", FiringKind::Bisque),
];
/// Improvements to each load: how full it is does not matter here.
const ROUNDS: u32 = 40;
/// Rate that cone charts are read at, °C/h.
const CHART_C_PER_H: f64 = 60.0;

/// What is compared of a firing.
#[derive(Clone, Copy)]
struct Told {
    hours: f64,
    kwh: f64,
    cost: f64,
    spread: f64,
    broken: usize,
}

impl Told {
    fn of(studio: &Studio, load: &LoadPlan, p: &Planned) -> Self {
        let f = &p.forecast;
        let at = || f.zones.iter().map(|z| z.cone_position);
        let spread = at().fold(f64::NEG_INFINITY, f64::max) - at().fold(f64::INFINITY, f64::min);
        Self {
            hours: f.peak_over(&p.plan).unwrap_or(f.firing_s).to_h(),
            kwh: f.energy_j.to_kwh(),
            cost: f.cost_cents.to_units(),
            spread,
            broken: broken_limits(studio, load, p).len(),
        }
    }

    fn line(&self, load: &str, what: String) -> Vec<String> {
        vec![
            load.to_owned(),
            what,
            format!("{:.1} h", self.hours),
            format!("{:.1}", self.kwh),
            format!("{:.2}", self.cost),
            format!("{:.2}", self.spread),
            self.broken.to_string(),
        ]
    }
}

/// The lines of one load, and what planned firings win over the tables for such walls at the same limits, as written
/// or mended: hours of the soonest, kWh of the cheapest, cones of spread of the most even.
fn one(
    studio: &Studio,
    kiln: &Kiln,
    load: &LoadPlan,
    name: &str,
) -> Option<(Vec<Vec<String>>, [f64; 3])> {
    let last = glost_model::Rate::c_per_h(CHART_C_PER_H);
    let end = glost_heat::end_point(load.cone, last)?;
    let wall_mm = load
        .placed()
        .filter_map(|(_, p)| studio.piece(&p.piece))
        .map(|p| p.wall.to_mm())
        .fold(0.0, f64::max);
    let planned = |aim| {
        let wishes = Wishes {
            aim,
            ..Wishes::default()
        };
        plan_for(studio, kiln, load, &wishes).ok()
    };
    let soonest = planned(Aim::Soonest)?;
    let cooling = soonest.plan.segments.get(soonest.plan.peak()? + 1..)?;
    let mut lines = Vec::new();
    let mut kept: Vec<Told> = Vec::new();
    for table in by_hand(load.kind, end) {
        let what = format!("{}, walls to {} mm", table.name, table.for_mm);
        let fits = table.for_mm >= wall_mm;
        let what = if fits { what } else { format!("({what})") };
        // A glaze that wants a slow cooling wants it after any climb.
        let segments: Vec<_> = table.segments.iter().chain(cooling).cloned().collect();
        let written = with_peak(studio, kiln, load, segments.clone()).ok()?;
        let told = Told::of(studio, load, &written);
        lines.push(told.line(name, what));
        if told.broken == 0 {
            kept.extend(fits.then_some(told));
            continue;
        }
        let mended = mend(studio, kiln, load, segments).ok()?;
        let again = with_peak(studio, kiln, load, mended.firing.plan.segments).ok()?;
        let told = Told::of(studio, load, &again);
        // A table for thinner walls is not what a person would take.
        kept.extend((fits && told.broken == 0).then_some(told));
        lines.push(told.line(
            name,
            format!(
                "{}, {} mended{}",
                table.name,
                mended.changes.len(),
                if fits { "" } else { " (for thinner walls)" }
            ),
        ));
    }
    let least = |of: fn(&Told) -> f64| kept.iter().map(of).fold(f64::INFINITY, f64::min);
    let mut wins = [f64::NAN; 3];
    for (aim, what) in [
        (Aim::Soonest, "planned, soonest"),
        (Aim::Cheapest, "planned, cheapest"),
        (Aim::Evenest, "planned, most even"),
    ] {
        let told = Told::of(studio, load, &planned(aim)?);
        lines.push(told.line(name, what.into()));
        if told.broken > 0 {
            continue;
        }
        match aim {
            Aim::Soonest => wins[0] = least(|t| t.hours) - told.hours,
            Aim::Cheapest => wins[1] = least(|t| t.kwh) - told.kwh,
            Aim::Evenest => wins[2] = least(|t| t.spread) - told.spread,
        }
    }
    Some((lines, wins))
}

/// All loads.
pub fn beside_tables(_: &Ask) -> Row {
    let mut lines = Vec::new();
    let mut values = Vec::new();
    let (mut sooner, mut cheaper, mut evener, mut loads) = (0, 0, 0, 0);
    let mut least_h = f64::INFINITY;
    if let Ok((studio, book)) = open_texts(&demo_texts()) {
        for (kiln, cone, kind) in LOADS {
            let (Some(kiln), Ok(cone)) = (studio.kiln(kiln), Cone::parse(cone)) else {
                continue;
            };
            let ask = PlanAsk {
                studio: &studio,
                book: &book,
                kiln: &kiln.name,
                cone,
                kind,
                today: date(2026, 11, 2),
                seed: 1,
                rounds: ROUNDS,
                worth: None,
            };
            let Ok(load) = plan_unproved(&ask, &mut |_, _| true) else {
                continue;
            };
            let name = format!("{} to {cone}, {} pieces", kiln.name, load.placed().count());
            let Some((more, wins)) = one(&studio, kiln, &load, &name) else {
                continue;
            };
            lines.extend(more);
            loads += 1;
            sooner += usize::from(wins[0] > 0.0);
            cheaper += usize::from(wins[1] > 0.0);
            evener += usize::from(wins[2] > 0.0);
            least_h = least_h.min(wins[0]);
            values.push((format!("{} {cone} hours won", kiln.name), wins[0]));
            values.push((format!("{} {cone} kwh won", kiln.name), wins[1]));
            values.push((format!("{} {cone} cones won", kiln.name), wins[2]));
        }
    }
    Row {
        name: "tables",
        what: "planned firings beside tables written by hand, the middle at its cone".into(),
        wanted: "sooner, cheaper or more even for every load, no limit broken".into(),
        found: format!(
            "of {loads} loads {sooner} sooner (by {least_h:.1} h at least), {cheaper} cheaper, {evener} more even"
        ),
        reached: Some(loads == LOADS.len() && [sooner, cheaper, evener].contains(&loads)),
        values,
        head: vec![
            "load",
            "firing",
            "end of peak",
            "kWh",
            "cost",
            "spread, cones",
            "limits broken",
        ],
        lines,
    }
}
