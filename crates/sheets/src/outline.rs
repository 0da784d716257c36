//! Outlines as corners in plan, in metres. For the eye only: planner and judge have their own.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use glost_model::furniture::{HALF_CUT, ShelfShape, ShelfSpan, ShelfStock};
use glost_model::load::Side;
use glost_model::shape::{Chamber, Outline};
use glost_model::{Angle, Length};

use crate::svg::Spot;

/// Corners that stand for a round; at print scale the flats cannot be seen.
const ROUND: usize = 96;

fn ellipse(length: f64, width: f64) -> Vec<Spot> {
    (0..ROUND)
        .map(|i| {
            let (sin, cos) = (TAU * i as f64 / ROUND as f64).sin_cos();
            (length / 2.0 * cos, width / 2.0 * sin)
        })
        .collect()
}

/// A regular polygon with its first flat across +y.
fn flats(sides: u8, across: f64) -> Vec<Spot> {
    let half_step = PI / f64::from(sides.max(3));
    let corner = across / 2.0 / half_step.cos();
    (0..sides.max(3))
        .map(|i| FRAC_PI_2 + half_step * f64::from(2 * u16::from(i) + 1))
        .map(|a| (corner * a.cos(), corner * a.sin()))
        .collect()
}

fn oval(length: f64, width: f64) -> Vec<Spot> {
    let straight = (length - width).max(0.0) / 2.0;
    ellipse(width, width)
        .into_iter()
        .map(|(x, y)| (x + if x >= 0.0 { straight } else { -straight }, y))
        .collect()
}

fn rectangle(length: f64, width: f64) -> Vec<Spot> {
    let (x, y) = (length / 2.0, width / 2.0);
    vec![(-x, -y), (x, -y), (x, y), (-x, y)]
}

/// The inner face of the chamber's wall.
pub(crate) fn chamber(chamber: &Chamber) -> Vec<Spot> {
    match chamber {
        Chamber::Circle { diameter } => ellipse(diameter.to_m(), diameter.to_m()),
        Chamber::RegularPolygon {
            sides,
            across_flats,
        } => flats(*sides, across_flats.to_m()),
        Chamber::Oval { length, width } => oval(length.to_m(), width.to_m()),
        Chamber::Rectangle { width, depth } => rectangle(width.to_m(), depth.to_m()),
    }
}

/// A shelf in its place; a half shelf on its side of the cut.
pub(crate) fn shelf(stock: &ShelfStock, side: Side) -> Vec<Spot> {
    let whole = match &stock.shape {
        ShelfShape::Circle { diameter } => ellipse(diameter.to_m(), diameter.to_m()),
        ShelfShape::RegularPolygon {
            sides,
            across_flats,
        } => flats(*sides, across_flats.to_m()),
        ShelfShape::Oval { length, width } => oval(length.to_m(), width.to_m()),
        ShelfShape::Rectangle { width, depth } => rectangle(width.to_m(), depth.to_m()),
    };
    match (stock.span, side) {
        (ShelfSpan::Full, _) | (_, Side::Full) => whole,
        (ShelfSpan::Half, Side::Right) => beyond_cut(&whole, 1.0),
        (ShelfSpan::Half, Side::Left) => beyond_cut(&whole, -1.0),
    }
}

/// What of a convex outline lies beyond the saw cut on the side of `sign`.
fn beyond_cut(whole: &[Spot], sign: f64) -> Vec<Spot> {
    let depth = |p: Spot| sign * p.0 - HALF_CUT.to_m();
    let next = whole.iter().cycle().skip(1);
    let mut kept = Vec::with_capacity(whole.len());
    for (&a, &b) in whole.iter().zip(next) {
        if depth(a) >= 0.0 {
            kept.push(a);
        }
        if (depth(a) >= 0.0) != (depth(b) >= 0.0) {
            let t = depth(a) / (depth(a) - depth(b));
            kept.push((sign * HALF_CUT.to_m(), a.1 + t * (b.1 - a.1)));
        }
    }
    kept
}

/// An outline turned and moved to its place.
pub(crate) fn placed(outline: &Outline, x: Length, y: Length, turn: Angle) -> Vec<Spot> {
    let own = match outline {
        Outline::Circle { diameter } => ellipse(diameter.to_m(), diameter.to_m()),
        Outline::Ellipse { length, width } => ellipse(length.to_m(), width.to_m()),
        Outline::Rectangle { length, width } => rectangle(length.to_m(), width.to_m()),
        Outline::Polygon { points } => points.iter().map(|p| (p.x.to_m(), p.y.to_m())).collect(),
    };
    let (sin, cos) = turn.to_rad().sin_cos();
    own.into_iter()
        .map(|(u, v)| (x.to_m() + u * cos - v * sin, y.to_m() + u * sin + v * cos))
        .collect()
}

/// Least and greatest of one coordinate; both 0 when there are no corners.
pub(crate) fn range(corners: &[Spot], of: fn(&Spot) -> f64) -> (f64, f64) {
    let mut values = corners.iter().map(of);
    let Some(first) = values.next() else {
        return (0.0, 0.0);
    };
    values.fold((first, first), |(lo, hi), v| (lo.min(v), hi.max(v)))
}

/// Where a ray from the middle meets a convex outline around it.
pub(crate) fn on_wall(corners: &[Spot], bearing: Angle) -> Spot {
    let (sin, cos) = bearing.to_rad().sin_cos();
    let next = corners.iter().cycle().skip(1);
    let reach = corners
        .iter()
        .zip(next)
        .filter_map(|(a, b)| {
            let (ex, ey) = (b.0 - a.0, b.1 - a.1);
            let det = cos * ey - sin * ex;
            let along = (a.0 * sin - a.1 * cos) / det;
            let out = (a.0 * ey - a.1 * ex) / det;
            (det.abs() > 1e-12 && (-1e-9..=1.0 + 1e-9).contains(&along) && out > 0.0).then_some(out)
        })
        .fold(0.0, f64::max);
    (reach * cos, reach * sin)
}

/// Where a label has most room: the place of a coarse grid that lies farthest inside.
pub(crate) fn roomiest(corners: &[Spot]) -> Spot {
    let (left, right) = range(corners, |p| p.0);
    let (low, high) = range(corners, |p| p.1);
    let middle = ((left + right) / 2.0, (low + high) / 2.0);
    let mut best = (depth(corners, middle) * 1.1, middle);
    for i in 1..GRID {
        for j in 1..GRID {
            let share = |k: u16| f64::from(k) / f64::from(GRID);
            let at = (
                left + (right - left) * share(i),
                low + (high - low) * share(j),
            );
            let deep = depth(corners, at);
            if deep > best.0 {
                best = (deep, at);
            }
        }
    }
    best.1
}

const GRID: u16 = 24;

/// Distance to the nearest edge from inside; below 0 outside.
fn depth(corners: &[Spot], at: Spot) -> f64 {
    let next = corners.iter().cycle().skip(1);
    let (mut nearest, mut inside) = (f64::INFINITY, false);
    for (a, b) in corners.iter().zip(next) {
        let (ex, ey) = (b.0 - a.0, b.1 - a.1);
        let along = ((at.0 - a.0) * ex + (at.1 - a.1) * ey) / (ex * ex + ey * ey).max(1e-18);
        let t = along.clamp(0.0, 1.0);
        nearest = nearest.min((a.0 + t * ex - at.0).hypot(a.1 + t * ey - at.1));
        if (a.1 > at.1) != (b.1 > at.1) && at.0 < a.0 + (at.1 - a.1) / ey * ex {
            inside = !inside;
        }
    }
    if inside { nearest } else { -nearest }
}

/// Width of an outline along x through a spot, on both sides as far as the nearer edge.
pub(crate) fn width_at(corners: &[Spot], at: Spot) -> f64 {
    let next = corners.iter().cycle().skip(1);
    let nearest = corners
        .iter()
        .zip(next)
        .filter(|(a, b)| (a.1 > at.1) != (b.1 > at.1))
        .map(|(a, b)| a.0 + (at.1 - a.1) / (b.1 - a.1) * (b.0 - a.0))
        .map(|x| (x - at.0).abs())
        .fold(f64::INFINITY, f64::min);
    if nearest.is_finite() {
        2.0 * nearest
    } else {
        0.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ray_meets_each_kind_of_wall() {
        let mm = Length::mm;
        let square = chamber(&Chamber::Rectangle {
            width: mm(500.0),
            depth: mm(400.0),
        });
        let (x, y) = on_wall(&square, Angle::deg(-90.0));
        assert!(x.abs() < 1e-9 && (y + 0.2).abs() < 1e-9, "{x} {y}");
        let (x, y) = on_wall(&square, Angle::deg(45.0));
        assert!((x - 0.2).abs() < 1e-9 && (y - 0.2).abs() < 1e-9, "{x} {y}");
        let eight = chamber(&Chamber::RegularPolygon {
            sides: 8,
            across_flats: mm(600.0),
        });
        let (_, y) = on_wall(&eight, Angle::deg(90.0));
        assert!((y - 0.3).abs() < 1e-9, "a flat faces the hinge: {y}");
    }

    #[test]
    fn a_half_shelf_keeps_to_its_side() {
        let whole = ellipse(0.5, 0.5);
        for (sign, corners) in [
            (1.0, beyond_cut(&whole, 1.0)),
            (-1.0, beyond_cut(&whole, -1.0)),
        ] {
            assert!(corners.len() > ROUND / 2);
            assert!(corners.iter().all(|p| sign * p.0 >= 0.002 - 1e-12));
        }
    }
}
