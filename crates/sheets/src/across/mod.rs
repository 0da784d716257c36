//! The cross-section of a kiln at one moment: how hot lid, walls, ware, shelves, elements and floor are.

mod colour;

pub use colour::{STEP_C, Tone, palette};

use glost_model::Temperature;
use glost_model::across::{Across, Moment};
use glost_model::shown::{Shown, hours};

use crate::svg::{Anchor, SMALL, Spot, Svg};
use colour::tone;

/// Width of the drawing, mm: its type is large enough on a phone.
const WIDTH: f64 = 110.0;
/// Edges of the columns, mm.
const NAMES: f64 = 24.0;
const WALL: (f64, f64) = (26.0, 16.0);
const WARE: (f64, f64) = (43.0, 44.0);
const ELEMENT: (f64, f64) = (88.0, 20.0);
/// The chamber on paper, mm, and the least for ware of one zone.
const CHAMBER: f64 = 96.0;
const LEAST: f64 = 8.0;
/// Height of a shelf, of lid and floor, mm: room for a number.
const SHELF: f64 = 6.0;
const SLAB: f64 = 7.0;
const TOP: f64 = 16.0;
/// The scale below.
const SCALE_C: [f64; 6] = [100.0, 300.0, 500.0, 800.0, 1000.0, 1200.0];

/// One part of the kiln in the drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// The same in every moment: `ware-2` is the ware of the third zone from the floor.
    pub id: String,
    /// How hot.
    pub heat: Temperature,
}

/// All parts at a moment.
pub fn parts(moment: &Moment) -> Vec<Part> {
    let part = |id: String, heat: Temperature| Part { id, heat };
    let mut all = vec![
        part("lid".into(), moment.lid_c),
        part("floor".into(), moment.floor_c),
    ];
    for (i, z) in moment.zones.iter().enumerate() {
        all.push(part(format!("ware-{i}"), z.ware_c));
        all.push(part(format!("wall-{i}"), z.wall_c));
        all.extend(z.shelf_c.map(|t| part(format!("shelf-{i}"), t)));
        all.extend(z.element_c.map(|t| part(format!("element-{i}"), t)));
    }
    all
}

/// When a moment is.
pub fn when(moment: &Moment) -> String {
    format!("{} after the start", hours(moment.time_s))
}

/// The coolest and the hottest ware then; nothing in a kiln without zones.
fn ware(moment: &Moment, shown: Shown) -> Option<String> {
    let heats = || moment.zones.iter().map(|z| z.ware_c);
    let (low, high) = (
        heats().reduce(Temperature::min)?,
        heats().reduce(Temperature::max)?,
    );
    Some(format!(
        "ware {} to {}",
        number(low, shown),
        shown.temperature(high)
    ))
}

/// What the sensor reads then.
pub fn sensor(moment: &Moment, shown: Shown) -> String {
    format!("sensor {}", shown.temperature(moment.sensor_c))
}

/// A moment in words.
pub fn moment_words(moment: &Moment, shown: Shown) -> String {
    let doing = if moment.firing { "firing" } else { "cooling" };
    let told = format!("{}, {doing}, {}", when(moment), sensor(moment, shown));
    match ware(moment, shown) {
        Some(ware) => format!("{told}, {ware}"),
        None => told,
    }
}

/// A number without its unit, which stands above.
pub fn number(t: Temperature, shown: Shown) -> String {
    format!("{:.0}", shown.degrees(t))
}

/// Draws one moment; `None` when there is no such moment. One unit is 1 mm.
pub fn across_svg(across: &Across, at: usize, shown: Shown) -> Option<String> {
    let moment = across.moments.get(at)?;
    let heats = parts(moment);
    let mut svg = Svg::new();
    let told = [
        ("when", 2.0, Anchor::Start, when(moment)),
        ("sensor", WIDTH - 2.0, Anchor::End, sensor(moment, shown)),
    ];
    for (id, x, anchor, words) in told {
        let look = format!(r#"data-told="{id}" font-weight="bold""#);
        svg.letters((x, 6.0), SMALL, anchor, &look, &words);
    }
    let unit = shown.degree_sign();
    for (x, name) in [
        (WALL.0 + WALL.1 / 2.0, "wall".to_owned()),
        (WARE.0 + WARE.1 / 2.0, format!("ware on its shelf, {unit}")),
        (ELEMENT.0 + ELEMENT.1 / 2.0, "elements".to_owned()),
    ] {
        svg.text((x, TOP - 2.5), SMALL, Anchor::Middle, &name);
    }
    let mut cell = |id: &str, corner: Spot, size: Spot, told: bool| {
        let heat = heats.iter().find(|p| p.id == id);
        let Some(heat) = heat.map(|p| p.heat) else {
            return;
        };
        let tone = tone(heat);
        let look = format!(
            r#"data-part="{id}" fill="{}" stroke="black" stroke-width="0.4""#,
            tone.fill
        );
        svg.rect(corner, size, &look);
        if !told {
            return;
        }
        let middle = (
            corner.0 + size.0 / 2.0,
            corner.1 + size.1 / 2.0 + SMALL * 0.36,
        );
        let look = format!(r#"data-heat="{id}" fill="{}""#, tone.ink);
        svg.letters(middle, SMALL, Anchor::Middle, &look, &number(heat, shown));
    };
    let inside = ELEMENT.0 + ELEMENT.1 - WALL.0;
    cell("lid", (WALL.0, TOP), (inside, SLAB), true);
    let rows = rows(across);
    let mut y = TOP + SLAB + 1.0;
    let mut names = vec![(TOP + SLAB / 2.0, "lid".to_owned())];
    for (i, ware) in rows.iter().enumerate().rev() {
        let whole = ware + SHELF;
        cell(&format!("ware-{i}"), (WARE.0, y), (WARE.1, *ware), true);
        cell(
            &format!("shelf-{i}"),
            (WARE.0 - 1.0, y + ware),
            (WARE.1 + 2.0, SHELF),
            true,
        );
        // The wall stands on both sides; its number on the left, its elements on the right.
        let wall = format!("wall-{i}");
        cell(&wall, (WALL.0, y), (WALL.1 - 0.5, whole), true);
        cell(&wall, (ELEMENT.0 + 0.5, y), (ELEMENT.1 - 0.5, whole), false);
        let high = SHELF.min(whole);
        cell(
            &format!("element-{i}"),
            (ELEMENT.0 + 2.5, y + (whole - high) / 2.0),
            (ELEMENT.1 - 4.5, high),
            true,
        );
        let tiers = across.zones.get(i).map_or("", |z| z.tiers.as_str());
        names.push((y + ware / 2.0, tier_name(tiers)));
        y += whole + 1.0;
    }
    cell("floor", (WALL.0, y), (inside, SLAB), true);
    names.push((y + SLAB / 2.0, "floor".to_owned()));
    for (at, name) in names {
        svg.text((NAMES, at + SMALL * 0.36), SMALL, Anchor::End, &name);
    }
    if across.zones.iter().any(|z| !z.tiers.is_empty()) {
        svg.text((NAMES, TOP - 2.5), SMALL, Anchor::End, "tier");
    }
    let bottom = scale(&mut svg, y + SLAB + 4.0, shown);
    Some(svg.finish(
        WIDTH,
        bottom,
        &format!("The kiln across, {}", moment_words(moment, shown)),
    ))
}

fn tier_name(tiers: &str) -> String {
    if tiers.is_empty() {
        "ware".to_owned()
    } else {
        tiers.to_owned()
    }
}

/// Height of the ware of each zone on paper: to scale, but with room for a number.
fn rows(across: &Across) -> Vec<f64> {
    let high = |z: &glost_model::across::AcrossZone| (z.to_m - z.from_m).to_m().max(0.0);
    let sum: f64 = across.zones.iter().map(high).sum();
    let scale = CHAMBER / sum.max(1e-3);
    let rows = across.zones.iter().map(|z| (high(z) * scale).max(LEAST));
    rows.collect()
}

/// What the tones mean.
fn scale(svg: &mut Svg, top: f64, shown: Shown) -> f64 {
    let wide = (WIDTH - 4.0) / SCALE_C.len() as f64;
    for (i, c) in SCALE_C.iter().enumerate() {
        let t = Temperature::c(*c);
        let tone = tone(t);
        let x = 2.0 + i as f64 * wide;
        let look = format!(r#"fill="{}" stroke="black" stroke-width="0.3""#, tone.fill);
        svg.rect((x, top), (wide, SHELF), &look);
        let look = format!(r#"fill="{}""#, tone.ink);
        let spot = (x + wide / 2.0, top + SHELF / 2.0 + SMALL * 0.36);
        svg.letters(spot, SMALL, Anchor::Middle, &look, &number(t, shown));
    }
    top + SHELF + 2.0
}
