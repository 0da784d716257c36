//! Curves over one another: of two firings, or planned and measured.

use glost_model::forecast::Forecast;
use glost_model::shown::{Shown, trimmed};
use glost_model::{Span, Temperature};

use super::{ROOM, THIN, degree_step};
use crate::paper::Paper;
use crate::svg::{Anchor, SMALL, Spot, Svg, wrapped};

/// A curve by the name that it has in the drawing.
#[derive(Debug, Clone)]
pub struct Line<'a> {
    /// Its name.
    pub name: &'a str,
    /// Since the start, in the order of time.
    pub points: Vec<(Span, Temperature)>,
    /// It was read: where nothing came for long, it breaks.
    pub read: bool,
}

/// A line that was read breaks where nothing came for this long.
const GAP: Span = Span::minutes(15.0);
/// A log that is read seldom breaks only where so many of its usual pauses are one.
const PAUSES: f64 = 4.0;

impl<'a> Line<'a> {
    /// What the sensor is expected to read.
    pub fn expected(name: &'a str, forecast: &Forecast) -> Self {
        let points = forecast.samples.iter().map(|s| (s.time_s, s.sensor_c));
        Self {
            name,
            points: points.collect(),
            read: false,
        }
    }

    /// Its parts between gaps.
    fn parts(&self) -> Vec<&[(Span, Temperature)]> {
        if !self.read {
            return vec![&self.points];
        }
        let pause = |w: &[(Span, Temperature)]| w[1].0 - w[0].0;
        let mut pauses: Vec<Span> = self.points.windows(2).map(pause).collect();
        pauses.sort_by(Span::total_cmp);
        let usual = pauses.get(pauses.len() / 2).copied().unwrap_or(Span::ZERO);
        let gap = GAP.max(usual * PAUSES);
        self.points.chunk_by(|a, b| b.0 - a.0 <= gap).collect()
    }
}

/// How lines are drawn: they differ by width, dashes and the letter that stands on them.
const LOOKS: [&str; 3] = [
    r#"fill="none" stroke="black" stroke-width="0.7""#,
    r#"fill="none" stroke="rgb(70,70,70)" stroke-width="1.1" stroke-dasharray="3 1.6""#,
    r#"fill="none" stroke="black" stroke-width="0.5" stroke-dasharray="0.8 1.2""#,
];
const LETTERS: [&str; 3] = ["A", "B", "C"];
/// Where along a line its letter stands: each on a part of its own, on the way up and on the way down.
const SPOTS: [usize; 3] = [2, 5, 3];

/// Draws up to three temperatures over hours from the start; further lines are left out. One unit is 1 mm of paper.
pub fn over_svg(lines: &[Line<'_>], title: &str, shown: Shown, paper: Paper) -> String {
    over_marked_svg(lines, &[], title, shown, paper)
}

/// The same with stretches that are not to be believed: hatched, and numbered from 1 on.
pub fn over_marked_svg(
    lines: &[Line<'_>],
    marked: &[(Span, Span)],
    title: &str,
    shown: Shown,
    paper: Paper,
) -> String {
    let mut svg = Svg::new();
    let (left, right) = paper.pick((20.0, 174.0), (13.5, 107.0));
    let (top, bottom) = (12.0, 12.0 + paper.pick(96.0, 88.0));
    let points = || lines.iter().flat_map(|l| &l.points);
    let finite = |v: f64| v.is_finite().then_some(v);
    let hours = points()
        .filter_map(|p| finite(p.0.to_h()))
        .fold(1.0, f64::max);
    let step = degree_step(shown);
    let hottest = points()
        .filter_map(|p| finite(shown.degrees(p.1)))
        .fold(100.0, f64::max);
    let most = ((hottest + step * 0.1) / step).ceil() * step;
    let x = |h: f64| left + (h / hours).clamp(0.0, 1.0) * (right - left);
    let y = |d: f64| bottom - (d / most).clamp(0.0, 1.0) * (bottom - top);

    let bands: Vec<(f64, f64)> = marked
        .iter()
        .map(|(from, to)| {
            let from = x(from.to_h()).min(right - NARROW);
            (from, x(to.to_h()).max(from + NARROW))
        })
        .collect();
    for band in &bands {
        hatch(&mut svg, *band, (top, bottom));
    }
    let mut degrees = 0.0;
    while degrees <= most + 1.0 {
        svg.line((left, y(degrees)), (right, y(degrees)), THIN);
        let at = (left - 1.5, y(degrees) + SMALL * 0.36);
        svg.text(at, SMALL, Anchor::End, &format!("{degrees:.0}"));
        degrees += step;
    }
    svg.bold(
        (left - 1.5, top - 4.0),
        SMALL,
        Anchor::End,
        shown.degree_sign(),
    );
    let steps = [1.0, 2.0, 4.0, 6.0, 12.0, 24.0, 48.0, 96.0];
    let scale = (right - left) / hours;
    let every = steps
        .into_iter()
        .find(|s| s * scale >= ROOM)
        .unwrap_or(ROOM / scale);
    for i in 0..=(hours / every + 1e-9).floor() as usize {
        let h = i as f64 * every;
        svg.line((x(h), top), (x(h), bottom + 1.5), THIN);
        svg.text((x(h), bottom + 6.0), SMALL, Anchor::Middle, &trimmed(h, 1));
    }
    svg.bold(
        (right, bottom + 11.5),
        SMALL,
        Anchor::End,
        "hours from the start",
    );

    for (i, (line, look)) in lines.iter().zip(LOOKS).enumerate() {
        let mut spots: Vec<Spot> = Vec::new();
        for part in line.parts() {
            let at = |p: &(Span, Temperature)| {
                Some((x(finite(p.0.to_h())?), y(finite(shown.degrees(p.1))?)))
            };
            let drawn: Vec<Spot> = part.iter().filter_map(at).collect();
            match drawn.as_slice() {
                // A reading by itself would not be seen as a line.
                [alone] => svg.circle(*alone, 0.6, r#"fill="black""#),
                more => svg.polyline(more, look),
            }
            spots.extend(drawn);
        }
        if let Some(spot) = spots.get(spots.len() * SPOTS[i] / 8) {
            mark(&mut svg, *spot, LETTERS[i]);
        }
    }
    for (i, (from, to)) in bands.iter().enumerate() {
        // Beside one another they stand on steps.
        let down = 4.0 + 6.4 * (i % 3) as f64;
        let at = f64::midpoint(*from, *to).clamp(left + 3.2, right - 3.2);
        square(&mut svg, (at, top + down), i + 1);
    }
    svg.rect(
        (left, top),
        (right - left, bottom - top),
        r#"fill="none" stroke="black" stroke-width="0.6""#,
    );

    let mut below = bottom + 19.0;
    for ((line, look), letter) in lines.iter().zip(LOOKS).zip(LETTERS) {
        svg.polyline(&[(left, below - 1.4), (left + 14.0, below - 1.4)], look);
        mark(&mut svg, (left + 7.0, below - 1.4), letter);
        for words in wrapped(line.name, SMALL, right - left - 18.0) {
            svg.text((left + 17.0, below), SMALL, Anchor::Start, &words);
            below += 6.0;
        }
    }
    if !bands.is_empty() {
        hatch(&mut svg, (left, left + 14.0), (below - 4.0, below + 1.2));
        square(&mut svg, (left + 7.0, below - 1.4), 1);
        let words = "not to be believed, left out; numbered as in the list";
        for words in wrapped(words, SMALL, right - left - 18.0) {
            svg.text((left + 17.0, below), SMALL, Anchor::Start, &words);
            below += 6.0;
        }
    }
    svg.finish(paper.width(), below, title)
}

/// Least width of a stretch, so that it is seen, and from one line of its hatching to the next, mm.
const NARROW: f64 = 1.4;
const APART: f64 = 3.0;

/// Slanting lines between two edges: a stretch is told by them also where no colours are.
fn hatch(svg: &mut Svg, (from, to): (f64, f64), (top, bottom): (f64, f64)) {
    let look = r#"stroke="rgb(90,90,90)" stroke-width="0.35""#;
    let mut c = top - to + APART / 2.0;
    while c < bottom - from {
        let (a, b) = (from.max(top - c), to.min(bottom - c));
        if a < b {
            svg.line((a, a + c), (b, b + c), look);
        }
        c += APART;
    }
    let edge = r#"stroke="black" stroke-width="0.5" stroke-dasharray="1.6 1""#;
    for x in [from, to] {
        svg.line((x, top), (x, bottom), edge);
    }
}

/// The number of a stretch.
fn square(svg: &mut Svg, at: Spot, number: usize) {
    let look = r#"fill="white" stroke="black" stroke-width="0.4""#;
    svg.rect((at.0 - 2.8, at.1 - 2.8), (5.6, 5.6), look);
    let name = number.to_string();
    svg.bold((at.0, at.1 + SMALL * 0.36), SMALL, Anchor::Middle, &name);
}

fn mark(svg: &mut Svg, at: Spot, letter: &str) {
    svg.circle(at, 2.6, r#"fill="white" stroke="black" stroke-width="0.4""#);
    svg.bold((at.0, at.1 + SMALL * 0.36), SMALL, Anchor::Middle, letter);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(hours: &[f64], read: bool) -> Line<'static> {
        let point = |h: &f64| (Span::h(*h), Temperature::c(100.0 + h * 50.0));
        Line {
            name: "Read",
            points: hours.iter().map(point).collect(),
            read,
        }
    }

    #[test]
    fn a_line_that_was_read_breaks_where_nothing_came() {
        let close: Vec<f64> = (0..20).map(|i| f64::from(i) / 12.0).collect();
        let mut gap = close.clone();
        gap.extend([4.0, 9.0, 9.1, 9.2]);
        let parts = |l: &Line<'_>| l.parts().iter().map(|p| p.len()).collect::<Vec<_>>();
        assert_eq!(parts(&line(&close, true)), [20]);
        assert_eq!(parts(&line(&gap, true)), [20, 1, 3]);
        assert_eq!(parts(&line(&gap, false)), [24], "a forecast has none");
        // One reading an hour is a line all the same.
        let seldom = [0.0, 1.0, 2.0, 3.1, 4.0, 12.0, 13.0];
        assert_eq!(parts(&line(&seldom, true)), [5, 2]);
        let drawn = |l: Line<'_>| {
            let svg = over_svg(&[l], "T", Shown::default(), Paper::Phone);
            svg.matches("<polyline").count()
        };
        // The line in the legend is one more.
        assert_eq!(drawn(line(&gap, false)), 2);
        assert_eq!(drawn(line(&gap, true)), 3);
        assert_eq!(drawn(line(&[], true)), drawn(line(&[], false)) - 1);
    }
}
