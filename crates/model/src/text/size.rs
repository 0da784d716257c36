//! Sizes of ware as they are written: `90`, `200x120`, or corners `x y; x y; x y`.

use super::spot::short;
use super::units::{Units, solid};
use crate::Length;
use crate::shape::{Outline, Point, signed_area_m2};

/// The shapes a piece can have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Form {
    Circle,
    Ellipse,
    Rectangle,
    Outline,
}

/// What is wrong, and what to do.
pub(super) type Wrong = (String, String);

/// Largest size of ware, m.
const MOST_M: f64 = 3.0;
/// Most corners of an outline.
const CORNERS: usize = 200;
/// Corners nearer than this are one, m.
const NEAR_M: f64 = 1e-6;

/// Reads a number with a point for decimals, or with a fraction as rulers have it: `34 1/2`, `4¾`.
pub(super) fn number(text: &str) -> Result<f64, Wrong> {
    let text = text.trim();
    let decimal = text.parse::<f64>().ok().filter(|n| n.is_finite());
    decimal.or_else(|| with_fraction(text)).ok_or_else(|| {
        (
            format!("'{}' is not a number", short(text)),
            "Write a number without a unit, with a point for decimals".to_owned(),
        )
    })
}

/// Fractions that have a letter of their own.
const LETTERS: [(char, f64); 7] = [
    ('⅛', 0.125),
    ('¼', 0.25),
    ('⅜', 0.375),
    ('½', 0.5),
    ('⅝', 0.625),
    ('¾', 0.75),
    ('⅞', 0.875),
];
/// What rulers divide an inch by.
const PARTS: [u32; 6] = [2, 4, 8, 16, 32, 64];

fn with_fraction(text: &str) -> Option<f64> {
    let whole = |t: &str| match t.trim() {
        "" => Some(0.0),
        t if t.bytes().all(|b| b.is_ascii_digit()) => t.parse::<f64>().ok(),
        _ => None,
    };
    let letter = |(c, part): &(char, f64)| Some(whole(text.strip_suffix(*c)?)? + part);
    if let Some(found) = LETTERS.iter().find_map(letter) {
        return Some(found);
    }
    let (before, parts) = text.split_once('/')?;
    let (head, over) = before.rsplit_once(' ').unwrap_or(("", before));
    let (over, parts): (u32, u32) = (over.parse().ok()?, parts.parse().ok()?);
    let proper = PARTS.contains(&parts) && (1..parts).contains(&over);
    proper.then_some(whole(head)? + f64::from(over) / f64::from(parts))
}

/// Reads a size.
pub(super) fn read(form: Form, text: &str, units: Units) -> Result<Outline, Wrong> {
    match form {
        Form::Circle => Ok(Outline::Circle {
            diameter: side(text, units, &one(units))?,
        }),
        Form::Ellipse => {
            let (length, width) = pair(text, units)?;
            Ok(Outline::Ellipse { length, width })
        }
        Form::Rectangle => {
            let (length, width) = pair(text, units)?;
            Ok(Outline::Rectangle { length, width })
        }
        Form::Outline => polygon(text, units),
    }
}

fn one(units: Units) -> String {
    let [one, ..] = units.shown().example_sizes();
    format!("Write the diameter alone, as {one}")
}

fn side(text: &str, units: Units, hint: &str) -> Result<Length, Wrong> {
    let n = number(text).map_err(|(what, _)| (what, hint.to_owned()))?;
    units
        .length(n, solid(MOST_M))
        .map_err(|remedy| (format!("{} is out of bounds", short(text.trim())), remedy))
}

fn pair(text: &str, units: Units) -> Result<(Length, Length), Wrong> {
    let [_, two, _] = units.shown().example_sizes();
    let hint = format!("Write length and width with an x between, as {two}");
    let (a, b) = text.split_once(['x', 'X', '×']).ok_or_else(|| {
        let what = format!("'{}' is not two sizes", short(text));
        (what, format!("{hint}; or say that it is round"))
    })?;
    Ok((side(a, units, &hint)?, side(b, units, &hint)?))
}

fn polygon(text: &str, units: Units) -> Result<Outline, Wrong> {
    let [.., corners] = units.shown().example_sizes();
    let hint = &format!("Write at least three corners, as {corners}");
    let mut points = Vec::new();
    for corner in text.trim().trim_end_matches(';').split(';') {
        let mut parts = corner.split_whitespace();
        let (Some(x), Some(y), None) = (parts.next(), parts.next(), parts.next()) else {
            return Err((
                format!("'{}' is not a corner", short(corner.trim())),
                hint.to_owned(),
            ));
        };
        let at = |t: &str| {
            units
                .coordinate(number(t)?)
                .map_err(|remedy| (format!("{} is out of bounds", short(t)), remedy))
        };
        points.push(Point {
            x: at(x)?,
            y: at(y)?,
        });
    }
    simple(&points, hint)?;
    let outline = Outline::Polygon { points };
    let (length, width) = outline.extent();
    if let Err(remedy) = units.fits(length.max(width), solid(MOST_M)) {
        let across = units.say_length(length.max(width));
        return Err((format!("the outline is {across} across"), remedy));
    }
    Ok(outline)
}

/// Checks that corners run once round, counter-clockwise, about the origin.
fn simple(points: &[Point], hint: &str) -> Result<(), Wrong> {
    let count = points.len();
    if !(3..=CORNERS).contains(&count) {
        let remedy = if count < 3 {
            hint
        } else {
            "Leave out corners that change little: 200 are the most"
        };
        return Err((
            format!("the outline has {count} corners"),
            remedy.to_owned(),
        ));
    }
    for (i, (a, b)) in edges(points).enumerate() {
        if (a.x - b.x).to_m().hypot((a.y - b.y).to_m()) < NEAR_M {
            return Err((
                format!("corners {} and {} are the same", i + 1, (i + 1) % count + 1),
                "Write each corner once; the last is joined to the first".to_owned(),
            ));
        }
    }
    for (i, first) in edges(points).enumerate() {
        for (j, second) in edges(points).enumerate().skip(i + 1) {
            let beside = j == i + 1 || (i == 0 && j == count - 1);
            if if beside {
                folds(i, j, count, points)
            } else {
                meet(first, second)
            } {
                return Err((
                    format!(
                        "the outline crosses itself at its sides {} and {}",
                        i + 1,
                        j + 1
                    ),
                    "List the corners in order round the piece, without crossing or touching"
                        .to_owned(),
                ));
            }
        }
    }
    if signed_area_m2(points) <= 0.0 {
        return Err((
            "the corners run clockwise".to_owned(),
            "List the same corners in the opposite order, so that they run counter-clockwise"
                .to_owned(),
        ));
    }
    let around = |get: fn(&Point) -> f64| {
        points.iter().any(|p| get(p) < 0.0) && points.iter().any(|p| get(p) > 0.0)
    };
    if around(|p| p.x.to_m()) && around(|p| p.y.to_m()) {
        return Ok(());
    }
    Err((
        "the point 0 0 is not within the outline".to_owned(),
        "Measure every corner from the middle of the piece".to_owned(),
    ))
}

fn edges(points: &[Point]) -> impl Iterator<Item = (Point, Point)> + '_ {
    points
        .iter()
        .copied()
        .zip(points.iter().copied().cycle().skip(1))
}

/// Twice the area of a, b, c; positive when they turn left.
fn turn(a: Point, b: Point, c: Point) -> f64 {
    (b.x - a.x).to_m() * (c.y - a.y).to_m() - (b.y - a.y).to_m() * (c.x - a.x).to_m()
}

/// Two sides in a row run back over each other.
fn folds(i: usize, j: usize, count: usize, points: &[Point]) -> bool {
    let (first, second) = if j == i + 1 { (i, j) } else { (j, i) };
    let corner = |n: usize| points.get(n % count).copied();
    let (Some(a), Some(b), Some(c)) = (corner(first), corner(second), corner(second + 1)) else {
        return false;
    };
    let along = (b.x - a.x).to_m() * (c.x - b.x).to_m() + (b.y - a.y).to_m() * (c.y - b.y).to_m();
    turn(a, b, c).abs() < NEAR_M * NEAR_M && along < 0.0
}

/// Two sides cross or touch.
fn meet(first: (Point, Point), second: (Point, Point)) -> bool {
    let ((a, b), (c, d)) = (first, second);
    let (c_side, d_side) = (turn(a, b, c), turn(a, b, d));
    let (a_side, b_side) = (turn(c, d, a), turn(c, d, b));
    let within = |p: Point, q: Point, r: Point, side: f64| {
        side.abs() < 1e-15
            && (p.x.min(q.x)..=p.x.max(q.x)).contains(&r.x)
            && (p.y.min(q.y)..=p.y.max(q.y)).contains(&r.y)
    };
    (c_side * d_side < 0.0 && a_side * b_side < 0.0)
        || within(a, b, c, c_side)
        || within(a, b, d, d_side)
        || within(c, d, a, a_side)
        || within(c, d, b, b_side)
}

/// True when the foot lies within the widest part, both centred alike.
pub(super) fn foot_within(foot: &Outline, widest: &Outline) -> bool {
    // A hundredth of a millimetre covers the rounding of inches.
    let slack = Length::mm(0.01);
    let ((foot_x, foot_y), (wide_x, wide_y)) = (foot.extent(), widest.extent());
    let fits = foot_x <= wide_x + slack && foot_y <= wide_y + slack;
    match (foot, widest) {
        (Outline::Polygon { points: foot }, Outline::Polygon { points: wide }) => {
            fits && edges(foot).all(|(a, b)| {
                (0..16).all(|step| {
                    let k = f64::from(step) / 16.0;
                    let p = Point {
                        x: a.x + (b.x - a.x) * k,
                        y: a.y + (b.y - a.y) * k,
                    };
                    holds(wide, p, slack)
                })
            })
        }
        _ => fits,
    }
}

fn holds(outline: &[Point], p: Point, slack: Length) -> bool {
    let mut inside = false;
    for (a, b) in edges(outline) {
        let (ex, ey) = ((b.x - a.x).to_m(), (b.y - a.y).to_m());
        let (px, py) = ((p.x - a.x).to_m(), (p.y - a.y).to_m());
        let along = ((px * ex + py * ey) / (ex * ex + ey * ey)).clamp(0.0, 1.0);
        if (px - along * ex).hypot(py - along * ey) <= slack.to_m() {
            return true;
        }
        if (a.y > p.y) != (b.y > p.y) && px < py / ey * ex {
            inside = !inside;
        }
    }
    inside
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fractions_are_read_as_rulers_have_them() {
        for (text, found) in [
            ("34 1/2", 34.5),
            ("4¾", 4.75),
            ("4 ¾", 4.75),
            ("1/16", 0.0625),
            (" 7 ", 7.0),
            ("2.5", 2.5),
        ] {
            assert!(
                number(text).is_ok_and(|n| (n - found).abs() < 1e-12),
                "{text}"
            );
        }
        for bad in [
            "1/3", "3/2", "0/4", "4-1/2", "1.5 1/2", "-1 1/2", "1/", "/2", "½½", "inf", "",
        ] {
            assert!(number(bad).is_err(), "{bad}");
        }
    }
}
