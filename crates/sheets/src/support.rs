//! Stilts, pins and slabs: a letter for each kind of each size, and a mark that needs no colour.

use glost_model::furniture::{SupportKind, SupportStock};
use glost_model::studio::Studio;

use crate::svg::{Spot, Svg};

/// The stock of that name.
pub(crate) fn stock<'a>(studio: &'a Studio, name: &str) -> Option<&'a SupportStock> {
    studio.furniture.supports.iter().find(|s| s.name == name)
}

fn letter(kind: SupportKind) -> char {
    match kind {
        SupportKind::Stilt => 'T',
        SupportKind::PinSupport => 'N',
        SupportKind::WasterSlab => 'W',
    }
}

/// What it is, in a word.
pub(crate) fn kind_name(kind: SupportKind) -> &'static str {
    match kind {
        SupportKind::Stilt => "stilt",
        SupportKind::PinSupport => "pins",
        SupportKind::WasterSlab => "waster slab",
    }
}

/// Code of a support on every drawing and table of the studio: letter of its kind and its place
/// among that kind in stock, as `W2`. `?` when it is not in stock.
pub(crate) fn code(studio: &Studio, name: &str) -> String {
    let Some(wanted) = stock(studio, name) else {
        return "?".to_owned();
    };
    let nth = studio
        .furniture
        .supports
        .iter()
        .filter(|s| s.kind == wanted.kind)
        .take_while(|s| s.name != name)
        .count();
    format!("{}{}", letter(wanted.kind), nth + 1)
}

/// Draws the pattern of a support: arms of a stilt, points of pins, hatching of a slab.
pub(crate) fn draw(svg: &mut Svg, kind: SupportKind, at: Spot, r: f64) {
    match kind {
        SupportKind::Stilt => {
            for arm in 0..3 {
                let (sin, cos) = (std::f64::consts::TAU * f64::from(arm) / 3.0).sin_cos();
                let end = (at.0 + r * sin, at.1 - r * cos);
                svg.line(
                    at,
                    end,
                    r#"stroke="black" stroke-width="0.8" stroke-linecap="round""#,
                );
            }
        }
        SupportKind::PinSupport => {
            for pin in 0..3 {
                let (sin, cos) = (std::f64::consts::TAU * (f64::from(pin) + 0.5) / 3.0).sin_cos();
                let end = (at.0 + 0.8 * r * sin, at.1 - 0.8 * r * cos);
                svg.circle(end, 0.9, r#"fill="black""#);
            }
            svg.circle(at, r, r#"fill="none" stroke="black" stroke-width="0.25""#);
        }
        SupportKind::WasterSlab => {
            svg.circle(at, r, r#"fill="white" stroke="black" stroke-width="0.5""#);
            svg.path(
                &hatching(at, r, 2.5),
                r#"fill="none" stroke="black" stroke-width="0.2""#,
            );
        }
    }
}

/// Slanting chords of a circle.
fn hatching(at: Spot, r: f64, step: f64) -> String {
    let half = std::f64::consts::FRAC_1_SQRT_2;
    let count = (r / step).floor() as i32;
    (-count..=count)
        .map(|i| {
            let off = f64::from(i) * step;
            let chord = (r * r - off * off).max(0.0).sqrt();
            let foot = (at.0 + off * half, at.1 + off * half);
            format!(
                "M{:.2} {:.2}L{:.2} {:.2}",
                foot.0 - chord * half,
                foot.1 + chord * half,
                foot.0 + chord * half,
                foot.1 - chord * half
            )
        })
        .collect()
}
