//! The room of a tier: wall, clock, shelf, rings of distance, sensor, peepholes.

use glost_model::Length;
use glost_model::kiln::Opening;

use super::Scene;
use crate::outline;
use crate::svg::{Anchor, SMALL, Spot, Svg};

/// Type of clock marks, mm.
const CLOCK: f64 = 6.0;

pub(super) fn draw(svg: &mut Svg, scene: &Scene<'_>) {
    wall(svg, scene);
    clock(svg, scene);
    shelf(svg, scene);
    rings(svg, scene);
    sensor(svg, scene);
    peepholes(svg, scene);
}

fn wall(svg: &mut Svg, scene: &Scene<'_>) {
    let inner = scene.frame.all(&scene.wall);
    svg.polygon(
        &inner,
        r#"fill="white" stroke="black" stroke-width="1.4" stroke-linejoin="round""#,
    );
}

/// A spot on the wall at an hour, moved outward by `out` mm of paper.
fn at_hour(scene: &Scene<'_>, hour: f64, out: f64) -> Spot {
    let bearing = glost_model::Angle::deg(90.0 - 30.0 * hour);
    let on = scene.frame.at(outline::on_wall(&scene.wall, bearing));
    let (sin, cos) = bearing.to_rad().sin_cos();
    (on.0 + out * cos, on.1 - out * sin)
}

/// True when sensor or peephole has its mark where the name of the hour would stand.
fn taken(scene: &Scene<'_>, hour: f64) -> bool {
    let holes = scene.kiln.peepholes.iter().map(|p| p.angle);
    holes.chain([scene.kiln.sensor.angle]).any(|a| {
        let off = (a.to_deg() - 90.0 + 30.0 * hour).rem_euclid(360.0);
        off.min(360.0 - off) < 14.0
    })
}

fn clock(svg: &mut Svg, scene: &Scene<'_>) {
    for hour in 1..=12 {
        let hour = f64::from(hour);
        svg.line(
            at_hour(scene, hour, 0.7),
            at_hour(scene, hour, 3.0),
            r#"stroke="black" stroke-width="0.7""#,
        );
    }
    let side = match scene.kiln.opening {
        Opening::Lid => "12 · hinge",
        Opening::Door => "12 · door",
    };
    let down = CLOCK * 0.36;
    for (hour, near, anchor, text) in [
        (12.0, 7.0, Anchor::Middle, side),
        (3.0, 5.0, Anchor::Start, "3"),
        (6.0, 7.5, Anchor::Middle, "6"),
        (9.0, 5.0, Anchor::End, "9"),
    ] {
        let out = if taken(scene, hour) { near + 7.0 } else { near };
        let at = at_hour(scene, hour, out);
        svg.bold((at.0, at.1 + down), CLOCK, anchor, text);
    }
}

fn shelf(svg: &mut Svg, scene: &Scene<'_>) {
    let shelves = &scene.studio.furniture.shelves;
    if let Some(stock) = shelves.iter().find(|s| s.name == scene.tier.shelf) {
        let corners = scene.frame.all(&outline::shelf(stock, scene.tier.side));
        svg.polygon(
            &corners,
            r#"fill="rgb(238,238,238)" stroke="black" stroke-width="0.6""#,
        );
    }
}

/// Rings at each 10 cm or 4 in, so that an eye can judge a distance from the middle.
fn rings(svg: &mut Svg, scene: &Scene<'_>) {
    let step = if scene.studio.shown.inches {
        Length::inches(4.0)
    } else {
        Length::mm(100.0)
    };
    let middle = scene.frame.spot(Length::ZERO, Length::ZERO);
    let nearest = (1..=12)
        .map(|h| {
            let p = outline::on_wall(&scene.wall, glost_model::Angle::deg(30.0 * f64::from(h)));
            p.0.hypot(p.1)
        })
        .fold(f64::INFINITY, f64::min);
    let look = r#"fill="none" stroke="black" stroke-width="0.25" stroke-dasharray="0.5 1.5""#;
    for ring in 1..20 {
        let r = step * f64::from(ring);
        if r.to_m() >= nearest {
            break;
        }
        svg.circle(middle, scene.frame.size(r), look);
    }
    svg.line((middle.0 - 2.0, middle.1), (middle.0 + 2.0, middle.1), look);
    svg.line((middle.0, middle.1 - 2.0), (middle.0, middle.1 + 2.0), look);
}

/// True when something at this height shows in this tier.
pub(super) fn in_reach(scene: &Scene<'_>, height: Length) -> bool {
    height >= scene.tier.top_m && height <= scene.tier.top_m + scene.tier.clear_m
}

fn sensor(svg: &mut Svg, scene: &Scene<'_>) {
    let sensor = scene.kiln.sensor;
    let foot = outline::on_wall(&scene.wall, sensor.angle);
    let far = foot.0.hypot(foot.1).max(1e-6);
    let share = ((far - sensor.reach.to_m()) / far).max(0.0);
    let tip = scene.frame.at((foot.0 * share, foot.1 * share));
    let (sin, cos) = sensor.angle.to_rad().sin_cos();
    let foot = scene.frame.at(foot);
    let here = in_reach(scene, sensor.height);
    let look = if here {
        r#"stroke="black" stroke-width="2" stroke-linecap="round""#
    } else {
        r#"stroke="black" stroke-width="0.8" stroke-dasharray="1.6 1.2""#
    };
    svg.line((foot.0 + 3.0 * cos, foot.1 - 3.0 * sin), tip, look);
    let mark = (foot.0 + 7.5 * cos, foot.1 - 7.5 * sin);
    let rim = if here { 0.9 } else { 0.4 };
    svg.circle(
        mark,
        3.4,
        &format!(r#"fill="white" stroke="black" stroke-width="{rim}""#),
    );
    svg.bold((mark.0, mark.1 + SMALL * 0.36), SMALL, Anchor::Middle, "S");
}

fn peepholes(svg: &mut Svg, scene: &Scene<'_>) {
    // Holes above one another share their mark; the one that looks into this tier counts.
    let mut marked: Vec<(f64, bool)> = Vec::new();
    for hole in &scene.kiln.peepholes {
        let (angle, here) = (hole.angle.to_rad(), in_reach(scene, hole.height));
        match marked.iter_mut().find(|m| (m.0 - angle).abs() < 1e-3) {
            Some(m) => m.1 |= here,
            None => marked.push((angle, here)),
        }
    }
    for (angle, here) in marked {
        let on = scene.frame.at(outline::on_wall(
            &scene.wall,
            glost_model::Angle::rad(angle),
        ));
        let (sin, cos) = angle.sin_cos();
        let out = |d: f64, side: f64| (on.0 + d * cos - side * sin, on.1 - d * sin - side * cos);
        let look = if here {
            r#"fill="black" stroke="black" stroke-width="0.4""#
        } else {
            r#"fill="white" stroke="black" stroke-width="0.4""#
        };
        svg.polygon(&[out(-0.7, 0.0), out(4.5, 2.2), out(4.5, -2.2)], look);
        let mark = out(8.0, 0.0);
        svg.bold((mark.0, mark.1 + SMALL * 0.36), SMALL, Anchor::Middle, "P");
    }
}
