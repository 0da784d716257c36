//! The kiln cut open, from the side.

use glost_model::kiln::{Layer, Opening};
use glost_model::shown::trimmed;
use glost_model::{Angle, Length};

use super::{Sheet, ground, mark};
use crate::outline;
use crate::paper::Paper;
use crate::svg::{Anchor, SMALL, Spot, Svg};

/// Least room between the lines of two rings' names, mm.
const APART: f64 = 4.6;

pub(super) fn draw(svg: &mut Svg, sheet: &Sheet<'_>) {
    let spans: Vec<(f64, f64)> = sheet.faces.iter().map(|f| span(sheet, f)).collect();
    let (Some(&inner), Some(&outer)) = (spans.first(), spans.last()) else {
        return;
    };
    let kiln = sheet.kiln;
    let top = z(sheet, kiln.height);
    let floor = sheet.side.1;
    for (i, pair) in spans.windows(2).enumerate() {
        let fill = kiln.wall.get(i).map_or("white", |l| ground(l.lining));
        let look = format!(r#"fill="{fill}" stroke="black" stroke-width="0.5""#);
        let thick = pair[0].0 - pair[1].0;
        svg.rect((pair[1].0, top), (thick, floor - top), &look);
        svg.rect((pair[0].1, top), (thick, floor - top), &look);
    }
    let wide = outer.1 - outer.0;
    let slabs = [
        (&kiln.floor, sheet.known.lining[1], floor, 1.0),
        (&kiln.lid, sheet.known.lining[2], top, -1.0),
    ];
    for (layers, _, from, way) in slabs.into_iter().filter(|s| s.1) {
        slab(svg, sheet, layers, (outer.0, wide), from, way);
    }
    let line = r#"stroke="black" stroke-width="1.2" stroke-linecap="square""#;
    svg.line((inner.0, top), (inner.0, floor), line);
    svg.line((inner.1, top), (inner.1, floor), line);
    svg.line((inner.0, floor), (inner.1, floor), line);
    svg.line((inner.0, top), (inner.1, top), line);
    if sheet.known.bands {
        bands(svg, sheet, inner, outer.1);
    }
    for hole in &kiln.peepholes {
        mark(
            svg,
            (side_of(sheet, hole.angle).0, z(sheet, hole.height)),
            "P",
        );
    }
    if sheet.known.sensor {
        let (foot, tip) = side_of(sheet, kiln.sensor.angle);
        let y = z(sheet, kiln.sensor.height);
        svg.line(
            (foot, y),
            (tip, y),
            r#"stroke="black" stroke-width="1.2" stroke-linecap="round""#,
        );
        mark(svg, (foot, y), "S");
    }
    words(svg, sheet, &inner);
}

fn words(svg: &mut Svg, sheet: &Sheet<'_>, inner: &(f64, f64)) {
    let seen = match sheet.kiln.opening {
        Opening::Lid => "from 6 o'clock",
        Opening::Door => "from the door",
    };
    let middle = (inner.0 + inner.1) / 2.0;
    let high = format!("{} high", sheet.shown.length(sheet.kiln.height));
    for (down, text) in [(5.5, seen), (11.5, high.as_str())] {
        svg.text((middle, sheet.foot + down), SMALL, Anchor::Middle, text);
    }
}

/// Hand of the viewer: −1 at the door, who sees 3 o'clock on the left.
fn hand(sheet: &Sheet<'_>) -> f64 {
    match sheet.kiln.opening {
        Opening::Lid => 1.0,
        Opening::Door => -1.0,
    }
}

fn z(sheet: &Sheet<'_>, height: Length) -> f64 {
    sheet.side.1 - height.to_m() * sheet.scale
}

/// A face's ends from left to right.
fn span(sheet: &Sheet<'_>, face: &[Spot]) -> (f64, f64) {
    let (a, b) = outline::range(face, |p| p.0);
    let x = |m: f64| sheet.side.0 + hand(sheet) * m * sheet.scale;
    (x(a).min(x(b)), x(a).max(x(b)))
}

/// Where something on the wall shows, and the tip of what sticks in as far as the sensor.
fn side_of(sheet: &Sheet<'_>, bearing: Angle) -> (f64, f64) {
    let face = sheet.faces.first().map_or(&[][..], Vec::as_slice);
    let on = outline::on_wall(face, bearing);
    let far = on.0.hypot(on.1).max(1e-6);
    let share = ((far - sheet.kiln.sensor.reach.to_m()) / far).max(0.0);
    let x = |m: f64| sheet.side.0 + hand(sheet) * m * sheet.scale;
    (x(on.0), x(on.0 * share))
}

/// Floor or lid, its hot face first.
fn slab(
    svg: &mut Svg,
    sheet: &Sheet<'_>,
    layers: &[Layer],
    (left, wide): (f64, f64),
    from: f64,
    way: f64,
) {
    let mut y = from;
    for layer in layers {
        let thick = layer.thickness.to_m() * sheet.scale;
        let look = format!(
            r#"fill="{}" stroke="black" stroke-width="0.5""#,
            ground(layer.lining)
        );
        let corner = if way > 0.0 { y } else { y - thick };
        svg.rect((left, corner), (wide, thick), &look);
        y += way * thick;
    }
}

/// Rings of elements as strips at both walls, numbered from the floor up.
fn bands(svg: &mut Svg, sheet: &Sheet<'_>, inner: (f64, f64), right: f64) {
    let strip = ((inner.1 - inner.0) * 0.06).clamp(1.8, 3.2);
    let mut last = f64::INFINITY;
    for (i, band) in sheet.kiln.bands.iter().enumerate() {
        let (low, high) = (z(sheet, band.from), z(sheet, band.to));
        // A hair of room tells two rings apart that touch.
        let tall = (low - high - 0.6).max(0.3);
        let look = r#"fill="rgb(90,90,90)" stroke="black" stroke-width="0.3""#;
        svg.rect((inner.0, high + 0.3), (strip, tall), look);
        svg.rect((inner.1 - strip, high + 0.3), (strip, tall), look);
        let y = (low + high) / 2.0 + SMALL * 0.36;
        if last - y < APART {
            continue;
        }
        last = y;
        let name = match sheet.paper {
            Paper::Sheet => format!("{} · {} kW", i + 1, trimmed(band.power.to_kw(), 2)),
            Paper::Phone => (i + 1).to_string(),
        };
        svg.text((right + 4.5, y), SMALL, Anchor::Start, &name);
    }
}
