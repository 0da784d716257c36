//! Two shapes over one another. Plans are held to one another as drawn outlines; nested walls as
//! drawn from the side.

use geo::{Coord, Distance as _, Euclidean, Line, LineString, Polygon};
use glost_model::load::How;
use glost_model::piece::{Inside, Piece};
use glost_model::shape::Outline;
use glost_rules::RuleBook;
use glost_rules::value::{nest_clear, nest_floor, pile_flat, rim_match};

use crate::TOLERANCE_M;
use crate::geometry::{Body, Place};

/// What is wrong between two pieces: rule and words.
pub fn faults(
    book: &RuleBook,
    guest: &Piece,
    host: &Piece,
    how: How,
) -> Vec<(&'static str, String)> {
    let mut out = Vec::new();
    let mut say = |rule, what: &str| out.push((rule, what.to_owned()));
    if !(within(&guest.widest, &host.widest, 0.0)) {
        say("pile-within", "reaches out over what it stands on");
    }
    let hollow = |p: &Piece| matches!(p.inside, Some(Inside::Open | Inside::Straight));
    let alike = |a: &Outline, b: &Outline| {
        let by = book.length(&rim_match::RULE).to_m() + TOLERANCE_M;
        let ((ax, ay), (bx, by_y)) = (a.extent(), b.extent());
        same_form(a, b) && (ax - bx).to_m().abs() <= by && (ay - by_y).to_m().abs() <= by
    };
    match how {
        How::Piled => {
            if !(flat(book, guest) && flat(book, host)) {
                say("pile-flat", "only flat ware lies on flat ware");
            }
            if host.inside == Some(Inside::Closed) {
                say("pile-closed", "lies on closed ware");
            }
        }
        How::Nested => {
            if !hollow(host) {
                say("nest-open", "stands in what is not known to be open");
            }
            if host.wall + book.length(&nest_floor::RULE) >= host.height {
                say("nest-open", "stands in what is too shallow to be hollow");
            }
            let clear = (host.wall + book.length(&nest_clear::RULE)).to_m();
            if !within(&guest.widest, &host.foot_outline, clear) && !walls_clear(guest, host, clear)
            {
                say("nest-clear", "is too near the wall around it");
            }
        }
        How::RimToRim => {
            if !hollow(host) || !hollow(guest) {
                say("rim-open", "only what has an open rim stands rim to rim");
            }
            if !alike(&guest.widest, &host.widest) {
                say("rim-match", "their rims do not match");
            }
        }
        How::FootToFoot => {
            if !alike(&guest.foot_outline, &host.foot_outline) {
                say("rim-match", "their feet do not match");
            }
        }
    }
    out
}

fn flat(book: &RuleBook, p: &Piece) -> bool {
    let (x, y) = p.widest.extent();
    p.height.to_m() <= book.times(&pile_flat::RULE) * x.min(y).to_m() + TOLERANCE_M
}

fn same_form(a: &Outline, b: &Outline) -> bool {
    matches!(
        (a, b),
        (Outline::Circle { .. }, Outline::Circle { .. })
            | (Outline::Ellipse { .. }, Outline::Ellipse { .. })
            | (Outline::Rectangle { .. }, Outline::Rectangle { .. })
    )
}

/// Whether an outline lies within another with the same middle and turn, and keeps `by` metres off
/// its edge. Free outlines hold nothing.
fn within(inner: &Outline, outer: &Outline, by: f64) -> bool {
    let Some(place) = Place::outline(outer) else {
        return false;
    };
    place.margin(&Body::outline(inner, 0.0, 0.0, 0.0)) >= by - TOLERANCE_M
}

/// Whether two straight round walls keep `by` metres apart, seen from the side: the inner piece is
/// drawn whole, as low as it can stand, and the outer one's wall as a line.
fn walls_clear(guest: &Piece, host: &Piece, by: f64) -> bool {
    let radii = |p: &Piece| match (p.inside, &p.foot_outline, &p.widest) {
        (
            Some(Inside::Straight),
            Outline::Circle { diameter: foot },
            Outline::Circle { diameter: rim },
        ) => Some((foot.to_m() / 2.0, rim.to_m() / 2.0)),
        _ => None,
    };
    let (Some((foot, rim)), Some((host_foot, host_rim))) = (radii(guest), radii(host)) else {
        return false;
    };
    let at = |x: f64, y: f64| Coord { x, y };
    let high = guest.height.to_m();
    let inner = Polygon::new(
        LineString::from(vec![
            at(0.0, 0.0),
            at(foot, 0.0),
            at(rim, high),
            at(0.0, high),
        ]),
        Vec::new(),
    );
    let wall = Line::new(at(host_foot, 0.0), at(host_rim, host.height.to_m()));
    Euclidean.distance(&wall, &inner) >= by - TOLERANCE_M
}
