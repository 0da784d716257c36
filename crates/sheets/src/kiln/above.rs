//! The kiln from above, with the side of its hinge or door at the top.

use glost_model::Angle;
use glost_model::kiln::Opening;
use glost_model::shape::Chamber;

use super::{Sheet, ground, mark};
use crate::outline;
use crate::svg::{Anchor, SMALL, Spot, Svg};

pub(super) fn draw(svg: &mut Svg, sheet: &Sheet<'_>) {
    let at = |p: &Spot| {
        (
            sheet.plan.0 + p.0 * sheet.scale,
            sheet.plan.1 - p.1 * sheet.scale,
        )
    };
    // From the outside in: each layer covers what lies within it.
    for (i, face) in sheet.faces.iter().enumerate().rev() {
        let fill = match i.checked_sub(1).and_then(|i| sheet.kiln.wall.get(i)) {
            Some(layer) => ground(layer.lining),
            None => "white",
        };
        let corners: Vec<Spot> = face.iter().map(at).collect();
        let line = if i == 0 { 1.2 } else { 0.6 };
        svg.polygon(
            &corners,
            &format!(
                r#"fill="{fill}" stroke="black" stroke-width="{line}" stroke-linejoin="round""#
            ),
        );
    }
    let name = match sheet.kiln.opening {
        Opening::Lid => "12 · hinge",
        Opening::Door => "12 · door",
    };
    let taken = turned_up(sheet);
    let top = sheet
        .faces
        .last()
        .map_or(0.0, |f| outline::range(f, |p| p.1).1);
    let y = sheet.plan.1 - top * sheet.scale - if taken { 8.5 } else { 2.0 };
    svg.bold((sheet.plan.0, y.max(SMALL)), SMALL, Anchor::Middle, name);
    if sheet.known.sensor {
        sensor(svg, sheet, &at);
    }
    let mut seen: Vec<f64> = Vec::new();
    for hole in &sheet.kiln.peepholes {
        // Holes above one another share their mark.
        let deg = hole.angle.to_deg();
        if !seen.iter().any(|d| (d - deg).abs() < 0.1) {
            seen.push(deg);
            mark(svg, outside(sheet, hole.angle), "P");
        }
    }
    let size = match sheet.kiln.chamber {
        Chamber::Circle { diameter } => sheet.shown.length(diameter),
        Chamber::RegularPolygon { across_flats, .. } => sheet.shown.length(across_flats),
        Chamber::Oval { length, width } => both(sheet, length, width),
        Chamber::Rectangle { width, depth } => both(sheet, width, depth),
    };
    svg.text(
        (sheet.plan.0, sheet.foot + 11.5),
        SMALL,
        Anchor::Middle,
        &size,
    );
}

fn both(sheet: &Sheet<'_>, a: glost_model::Length, b: glost_model::Length) -> String {
    format!("{} × {}", sheet.shown.bare_length(a), sheet.shown.length(b))
}

/// True when a mark stands where the name of hinge or door would.
fn turned_up(sheet: &Sheet<'_>) -> bool {
    let holes = sheet.kiln.peepholes.iter().map(|p| p.angle);
    let sensor = sheet.known.sensor.then_some(sheet.kiln.sensor.angle);
    holes.chain(sensor).any(|a| {
        let off = (a.to_deg() - 90.0).rem_euclid(360.0);
        off.min(360.0 - off) < 40.0
    })
}

/// A spot outside the case.
fn outside(sheet: &Sheet<'_>, bearing: Angle) -> Spot {
    let face = sheet.faces.last().map_or(&[][..], Vec::as_slice);
    let on = outline::on_wall(face, bearing);
    let (sin, cos) = bearing.to_rad().sin_cos();
    (
        sheet.plan.0 + on.0 * sheet.scale + 4.4 * cos,
        sheet.plan.1 - on.1 * sheet.scale - 4.4 * sin,
    )
}

fn sensor(svg: &mut Svg, sheet: &Sheet<'_>, at: &impl Fn(&Spot) -> Spot) {
    let sensor = sheet.kiln.sensor;
    let inner = sheet.faces.first().map_or(&[][..], Vec::as_slice);
    let foot = outline::on_wall(inner, sensor.angle);
    let far = foot.0.hypot(foot.1).max(1e-6);
    let share = ((far - sensor.reach.to_m()) / far).max(0.0);
    let from = outside(sheet, sensor.angle);
    svg.line(
        from,
        at(&(foot.0 * share, foot.1 * share)),
        r#"stroke="black" stroke-width="1.2" stroke-linecap="round""#,
    );
    mark(svg, from, "S");
}
