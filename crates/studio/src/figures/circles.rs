//! Circles in circles, against published records.

use glost_check::worst_overlap;
use glost_placing::bare::{BareError, Effort, Packed, bins, least_circle, records};

use super::{Ask, Row};

/// Overlap that is rounding, over the container's radius.
const ROUNDING: f64 = 1e-9;
/// Overlap that a bin of given size may have: 0.01 % of its radius, the tolerance of the shelf engine.
const BIN_TOLERANCE: f64 = 1e-4;

fn effort(seconds: f64, seed: u64) -> Effort {
    Effort {
        seconds,
        seed,
        rounds: u32::MAX,
    }
}

/// The least circle found around circles of these radii in so many seconds, judged.
///
/// # Errors
/// As [`least_circle`], and when the packing found does not hold.
pub fn least(radii: &[f64], seconds: f64, seed: u64) -> Result<Packed, String> {
    let packed =
        least_circle(radii, effort(seconds, seed)).map_err(|e: BareError| e.to_string())?;
    let unit = radii.iter().copied().fold(f64::INFINITY, f64::min);
    let worst = worst_overlap(packed.ratio * unit, radii, &packed.places);
    if radii.is_empty() || worst <= ROUNDING {
        Ok(packed)
    } else {
        Err(format!(
            "the packing of {} circles overlaps by {worst:e} of the container and does not count",
            radii.len()
        ))
    }
}

fn equal_radii(n: usize) -> Vec<f64> {
    vec![1.0; n]
}

fn rising_radii(n: usize) -> Vec<f64> {
    (1..=n).map(|i| i as f64).collect()
}

struct Against {
    lines: Vec<Vec<String>>,
    values: Vec<(String, f64)>,
    worst_percent: f64,
    all_reached: bool,
}

/// Holds each (n, radii, record, percent allowed) against its record.
fn against(
    list: impl Iterator<Item = (usize, Vec<f64>, f64, f64)>,
    seconds: f64,
    seed: u64,
) -> Against {
    let mut out = Against {
        lines: Vec::new(),
        values: Vec::new(),
        worst_percent: f64::NEG_INFINITY,
        all_reached: true,
    };
    for (n, radii, record, allowed) in list {
        let (found, over) = match least(&radii, seconds, seed) {
            Ok(p) => (format!("{:.6}", p.ratio), (p.ratio / record - 1.0) * 100.0),
            Err(e) => (e, f64::INFINITY),
        };
        out.values.push((n.to_string(), over));
        out.worst_percent = out.worst_percent.max(over);
        out.all_reached &= over <= allowed;
        out.lines.push(vec![
            n.to_string(),
            found,
            format!("{record:.6}"),
            format!("{over:.3}"),
            if over <= allowed { "yes" } else { "no" }.to_owned(),
        ]);
    }
    out
}

const HEAD: [&str; 5] = ["n", "found", "best known", "% over", "reached"];

/// Equal circles.
pub fn equal(ask: &Ask) -> Row {
    let seconds = ask.seconds / 5.0;
    let wanted_n = |n: &usize| !ask.quick || [7, 19, 30].contains(n);
    let list = (1..=61).filter(wanted_n).filter_map(|n| {
        let record = records::equal_circles(n)?;
        Some((n, equal_radii(n), record, 0.05))
    });
    let a = against(list, seconds, ask.seed);
    Row {
        name: "equal-circles",
        what: "equal circles in a circle, every n to 61 that the table of records has".to_owned(),
        wanted: format!("within 0.05 % of the best known in {seconds} s each"),
        found: format!(
            "{} packings, the worst {:.3} % over",
            a.lines.len(),
            a.worst_percent
        ),
        reached: Some(a.all_reached),
        values: a.values,
        head: HEAD.to_vec(),
        lines: a.lines,
    }
}

/// Circles of radii 1 to N.
pub fn rising(ask: &Ask) -> Row {
    let sizes: &[(usize, f64)] = if ask.quick {
        &[(20, 0.3)]
    } else {
        &[(20, 0.3), (30, 1.0)]
    };
    let list = sizes.iter().filter_map(|&(n, allowed)| {
        let record = records::rising_circles(n)?;
        Some((n, rising_radii(n), record, allowed))
    });
    let a = against(list, ask.seconds, ask.seed);
    Row {
        name: "rising-circles",
        what: "circles of radii 1 to N in a circle, N = 20 and 30".to_owned(),
        wanted: format!(
            "within 0.3 % and 1.0 % of the best known in {} s each",
            ask.seconds
        ),
        found: format!("the worst {:.3} % over", a.worst_percent),
        reached: Some(a.all_reached),
        values: a.values,
        head: HEAD.to_vec(),
        lines: a.lines,
    }
}

/// Five copies of circles 1 to n in as few bins as can be found.
pub fn five_copies(ask: &Ask) -> Row {
    let sizes: &[usize] = if ask.quick { &[8] } else { &[8, 9, 10, 11, 12] };
    let mut lines = Vec::new();
    let mut values = Vec::new();
    let mut all_reached = true;
    for &n in sizes {
        // One row is missing from the table: the least circle that can be found stands in.
        let (record, source) = match records::rising_circles(n) {
            Some(r) => (Some(r), "best known"),
            None => {
                let own = least(&rising_radii(n), ask.seconds / 5.0, ask.seed);
                (own.ok().map(|p| p.ratio), "found here")
            }
        };
        let Some(record) = record else {
            all_reached = false;
            continue;
        };
        let bin = record * 1.01;
        let radii: Vec<f64> = (0..5).flat_map(|_| rising_radii(n)).collect();
        let found = bins(bin, &radii, effort(ask.seconds * 0.8, ask.seed))
            .map_err(|e| e.to_string())
            .and_then(|b| sound_bins(bin, &radii, &b.bins));
        let reached = found.as_ref().is_ok_and(|count| *count <= 6);
        all_reached &= reached;
        if let Ok(count) = &found {
            values.push((n.to_string(), *count as f64));
        }
        lines.push(vec![
            n.to_string(),
            format!("{bin:.4} ({source})"),
            found.map_or_else(|e| e, |count| count.to_string()),
            if reached { "yes" } else { "no" }.to_owned(),
        ]);
    }
    Row {
        name: "bins",
        what: "five copies of circles 1 to n, n = 8 to 12, in round bins of the best-known radius for 1 to n, times 1.01"
            .to_owned(),
        wanted: "5 or 6 bins".to_owned(),
        found: lines
            .iter()
            .map(|l| format!("n = {}: {}", l[0], l[2]))
            .collect::<Vec<_>>()
            .join(", "),
        reached: Some(all_reached),
        values,
        head: vec!["n", "bin radius", "bins", "reached"],
        lines,
    }
}

/// How many bins there are, if each circle is in one and none overlap.
fn sound_bins(bin: f64, radii: &[f64], found: &[Vec<(usize, [f64; 2])>]) -> Result<usize, String> {
    let mut seen: Vec<usize> = found.iter().flatten().map(|(i, _)| *i).collect();
    seen.sort_unstable();
    if !seen.into_iter().eq(0..radii.len()) {
        return Err("a circle is missing".to_owned());
    }
    for b in found {
        let own: Vec<f64> = b.iter().map(|(i, _)| radii[*i]).collect();
        let at: Vec<[f64; 2]> = b.iter().map(|(_, p)| *p).collect();
        let worst = worst_overlap(bin, &own, &at);
        if worst > BIN_TOLERANCE {
            return Err(format!("circles overlap by {worst:e} of the bin"));
        }
    }
    Ok(found.len())
}
