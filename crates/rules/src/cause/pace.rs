//! How fast a curve passes the stretches in which ware comes to harm.

use glost_model::{Rate, Span, Temperature};

/// Paces of a curve; of limits, the fastest that is borne. Falling ones are told as how fast, without a sign.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Paces {
    /// Up to 120 °C.
    pub damp: Option<Rate>,
    /// From 88 to 220 °C, while steam leaves.
    pub steam: Option<Rate>,
    /// Up from 500 to 600 °C.
    pub quartz_up: Option<Rate>,
    /// From 650 to 950 °C, while carbon burns out.
    pub burn_out: Option<Rate>,
    /// Over the last 100 °C to the peak.
    pub last: Option<Rate>,
    /// Hottest.
    pub peak: Option<Temperature>,
    /// Time within 10 °C of it.
    pub hold: Option<Span>,
    /// Longest stay between 25 and 110 °C below the peak after it.
    pub soak: Option<Span>,
    /// Down from 600 to 500 °C.
    pub quartz_down: Option<Rate>,
    /// Down from 260 to 180 °C.
    pub cristobalite_down: Option<Rate>,
}

/// A pace is the fastest over so much: less is noise of readings, more hides a fast part behind a hold.
const STEP_K: f64 = 25.0;

impl Paces {
    /// Of a curve in order of time. Readings that cannot be, and single ones far from both neighbours, do not count.
    pub fn of(points: &[(Span, Temperature)]) -> Self {
        let points = clean(points);
        let hotter = |a: &(usize, &(f64, f64)), b: &(usize, &(f64, f64))| a.1.1.total_cmp(&b.1.1);
        // The first of several that are equally hot.
        let Some((at, top)) = points.iter().enumerate().rev().max_by(hotter) else {
            return Self::default();
        };
        let peak = top.1;
        let (up, down) = points.split_at(at + 1);
        let mut down: Vec<_> = down.iter().map(|p| (p.0, -p.1)).collect();
        down.insert(0, (top.0, -peak));
        let rises = |from: f64, to: f64| fastest(up, from, to);
        let falls = |from: f64, to: f64| fastest(&down, -from, -to);
        let last = (peak > 700.0)
            .then(|| rises(peak - 100.0, peak - 1.0))
            .flatten();
        Self {
            damp: rises(40.0, 120.0),
            steam: rises(88.0, 220.0),
            quartz_up: rises(500.0, 600.0),
            burn_out: rises(650.0, 950.0),
            last,
            peak: Some(Temperature::c(peak)),
            hold: Some(stay(&points, peak - 10.0, f64::INFINITY)),
            soak: Some(stay(
                points.get(at..).unwrap_or_default(),
                peak - 110.0,
                peak - 25.0,
            )),
            quartz_down: falls(600.0, 500.0),
            cristobalite_down: falls(260.0, 180.0),
        }
    }
}

/// Seconds and °C: finite, in order, each the middle one of itself and its neighbours.
fn clean(points: &[(Span, Temperature)]) -> Vec<(f64, f64)> {
    let mut all: Vec<(f64, f64)> = points
        .iter()
        .map(|p| (p.0.to_s(), p.1.to_c()))
        .filter(|p| p.0.is_finite() && (-50.0..=2000.0).contains(&p.1))
        .collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    all.dedup_by(|b, a| b.0 <= a.0);
    if all.len() < 5 {
        return all;
    }
    let middle = |i: usize| {
        let at = |k: usize| all.get(k).map_or(0.0, |p| p.1);
        let here = at(i);
        if i == 0 || i + 1 == all.len() {
            return here;
        }
        let mut three = [at(i - 1), here, at(i + 1)];
        three.sort_by(f64::total_cmp);
        // A tip of a peak between two readings on its flanks is no spike.
        if (here - three[1]).abs() > 15.0 {
            three[1]
        } else {
            here
        }
    };
    (0..all.len())
        .filter_map(|i| Some((all.get(i)?.0, middle(i))))
        .collect()
}

/// When a rising curve first reaches a temperature; nothing when it begins above it or never does.
fn reaches(points: &[(f64, f64)], c: f64) -> Option<f64> {
    let at = points.iter().position(|p| p.1 >= c)?;
    let here = points.get(at)?;
    let before = points.get(at.checked_sub(1)?)?;
    let rise = here.1 - before.1;
    if rise <= 0.0 {
        return Some(here.0);
    }
    Some(before.0 + (here.0 - before.0) * (c - before.1) / rise)
}

/// Fastest rise between two temperatures, over [`STEP_K`] or all of it when that is less. A curve that does not cover
/// all of it tells nothing.
fn fastest(points: &[(f64, f64)], from: f64, to: f64) -> Option<Rate> {
    let steps = ((to - from) / STEP_K).floor().max(1.0) as usize;
    let each = (to - from) / steps as f64;
    let crossed: Vec<f64> = (0..=steps)
        .map(|i| reaches(points, from + each * i as f64))
        .collect::<Option<_>>()?;
    let rates = crossed.windows(2).filter_map(|w| match w {
        [a, b] if b > a => Some(each / (b - a)),
        _ => None,
    });
    let most = rates.fold(0.0, f64::max);
    (most > 0.0).then(|| Rate::k_per_s(most))
}

/// Time between two temperatures.
fn stay(points: &[(f64, f64)], low: f64, high: f64) -> Span {
    let inside = |c: f64| (low..=high).contains(&c);
    let pairs = points.windows(2).filter_map(|w| match w {
        [a, b] if inside(a.1) && inside(b.1) => Some(b.0 - a.0),
        _ => None,
    });
    Span::s(pairs.sum())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn curve(points: &[(f64, f64)]) -> Vec<(Span, Temperature)> {
        points
            .iter()
            .map(|p| (Span::h(p.0), Temperature::c(p.1)))
            .collect()
    }

    /// Straight between these points, a reading each 6 minutes.
    fn filled(points: &[(f64, f64)]) -> Vec<(Span, Temperature)> {
        let mut all = Vec::new();
        for w in points.windows(2) {
            let n = ((w[1].0 - w[0].0) * 10.0).round() as usize;
            for i in 0..n {
                let s = i as f64 / n as f64;
                all.push((
                    w[0].0 + (w[1].0 - w[0].0) * s,
                    w[0].1 + (w[1].1 - w[0].1) * s,
                ));
            }
        }
        all.push(points[points.len() - 1]);
        curve(&all)
    }

    fn c_per_h(r: Option<Rate>) -> f64 {
        r.unwrap().to_c_per_h()
    }

    #[test]
    fn paces_are_read_off_a_curve() {
        // 100 °C/h to 600, 150 to 1200, half an hour there, 240 °C/h down to 600, 120 to 480, 60 to 60.
        let all = filled(&[
            (0.0, 20.0),
            (5.8, 600.0),
            (9.8, 1200.0),
            (10.3, 1200.0),
            (12.8, 600.0),
            (13.8, 480.0),
            (20.8, 60.0),
        ]);
        let p = Paces::of(&all);
        for (is, wanted) in [
            (p.damp, 100.0),
            (p.steam, 100.0),
            (p.quartz_up, 100.0),
            (p.burn_out, 150.0),
            (p.last, 150.0),
            (p.quartz_down, 120.0),
            (p.cristobalite_down, 60.0),
        ] {
            assert!((c_per_h(is) / wanted - 1.0).abs() < 0.02, "{is:?} {wanted}");
        }
        assert!((p.peak.unwrap().to_c() - 1200.0).abs() < 1e-6);
        assert!((p.hold.unwrap().to_minutes() - 30.0).abs() < 10.0);
    }

    #[test]
    fn a_hold_does_not_hide_a_fast_part_and_a_spike_is_none() {
        let mut all = filled(&[
            (0.0, 20.0),
            (5.0, 520.0),
            (7.0, 530.0),
            (7.25, 600.0),
            (9.0, 900.0),
            (15.0, 20.0),
        ]);
        let rate = c_per_h(Paces::of(&all).quartz_up);
        assert!(rate > 200.0, "{rate}");
        // The wire came loose for one reading.
        let cooling = c_per_h(Paces::of(&all).quartz_down);
        let at = all.iter().position(|p| p.0 > Span::h(10.0)).unwrap();
        all[at].1 = Temperature::c(30.0);
        let with = c_per_h(Paces::of(&all).quartz_down);
        assert!((cooling / with - 1.0).abs() < 0.01, "{cooling} {with}");
    }

    #[test]
    fn what_a_curve_does_not_cover_is_not_told() {
        let p = Paces::of(&curve(&[(0.0, 20.0), (2.0, 300.0), (6.0, 900.0)]));
        assert!(p.quartz_up.is_some() && p.quartz_down.is_none() && p.burn_out.is_none());
        assert_eq!(Paces::of(&[]), Paces::default());
        let nothing = Paces::of(&curve(&[(f64::NAN, 20.0), (1.0, f64::INFINITY)]));
        assert_eq!(nothing, Paces::default());
    }
}
