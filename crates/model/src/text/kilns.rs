//! `kilns.toml`: chambers and what is in their walls.

use super::materials::new_name;
use super::plan;
use super::row::{Row, each};
use super::spot::{Page, Seen};
use super::units::{Units, from_zero, solid};
use super::words;
use crate::kiln::{Band, Controller, Kiln, Layer, Peephole, Sensor};
use crate::{Length, Power, Span};

const OTHERS: &[&str] = &[
    "name",
    "height",
    "opening",
    "bands",
    "sensor",
    "peepholes",
    "wall",
    "floor",
    "lid",
    "max_cone",
    "max_temperature",
    "element_ageing",
    "vent_fan",
    "controller",
];

/// Reads the kilns.
pub(super) fn read(page: &Page<'_>, units: Units) -> Option<Vec<Kiln>> {
    let table = page.table()?;
    let file = Row::whole(page, &table);
    file.only(&["kiln"]);
    let mut seen = Seen::default();
    each(file.records("kiln"), |row| {
        let name = new_name(row, &mut seen);
        kiln(row, units, name)
    })
}

/// One kiln.
pub(super) fn kiln(row: &Row<'_, '_>, units: Units, name: Option<String>) -> Option<Kiln> {
    let plan = plan::read(row, units, OTHERS);
    let height = row.length("height", units, solid(3.0));
    let opening = row.word("opening", words::OPENING);
    let bands = bands(row, units, height);
    let sensor = sensor(row, units, height, plan.map(plan::Plan::narrowest));
    let peepholes = peepholes(row, units, height);
    let [wall, floor, lid] = ["wall", "floor", "lid"].map(|key| layers(row, units, key));
    let max_cone = row.cone("max_cone");
    let max_temperature = row.temperature("max_temperature", units);
    let element_ageing = if row.find("element_ageing").is_some() {
        row.number_in("element_ageing", 0.8, 2.0)
    } else {
        Some(1.0)
    };
    let vent_fan = row.flag("vent_fan");
    let controller = controller(row);
    Some(Kiln {
        name: name?,
        chamber: plan?.chamber(),
        height: height?,
        opening: opening?,
        bands: bands?,
        sensor: sensor?,
        peepholes: peepholes?,
        wall: wall?,
        floor: floor?,
        lid: lid?,
        max_cone: max_cone?,
        max_temperature: max_temperature?,
        element_ageing: element_ageing?,
        taught: None,
        vent_fan: vent_fan?,
        controller: controller?,
    })
}

fn bands(kiln: &Row<'_, '_>, units: Units, height: Option<Length>) -> Option<Vec<Band>> {
    let remedy = kiln.page().says(
        "List the bands from the floor up, as [{ from = 0, to = 230, power_kw = 2.8 }]",
        "Fill in the lowest ring: where it begins and ends above the floor, and its power",
    );
    let rows = kiln.inners("bands", remedy);
    if rows.as_ref().is_some_and(Vec::is_empty) {
        kiln.fault(
            "bands",
            kiln.page()
                .says("no band is listed", "no ring is filled in")
                .to_owned(),
            remedy,
        );
        return None;
    }
    let mut below = Length::ZERO;
    each(rows, |row| {
        row.only(&["from", "to", "power_kw"]);
        let from = row.length("from", units, from_zero(3.0));
        let to = inside(row, "to", units, height);
        let power = row.number_in("power_kw", 0.01, 200.0);
        let (from, to) = (from?, to?);
        if from >= to {
            row.fault(
                "from",
                format!(
                    "{} is not below its upper edge, {}",
                    units.say_length(from),
                    units.say_length(to)
                ),
                row.page().says(
                    "Write the lower edge in from and the upper in to",
                    "Write where the ring begins first, then where it ends",
                ),
            );
        } else if from < below - Length::mm(0.01) {
            row.fault(
                "from",
                format!(
                    "{} lies within the {} before it, which ends at {}",
                    units.say_length(from),
                    row.page().says("band", "ring"),
                    units.say_length(below)
                ),
                row.page().says(
                    "List the bands from the floor up, none over another",
                    "Write the rings from the floor up, none over another",
                ),
            );
        }
        below = to;
        Some(Band {
            from,
            to,
            power: Power::kw(power?),
        })
    })
}

/// A height within the chamber; the chamber's own fault is told once, at the chamber.
fn inside(row: &Row<'_, '_>, key: &str, units: Units, height: Option<Length>) -> Option<Length> {
    let found = row.length(key, units, solid(3.0))?;
    // Inches make 0.1 mm of rounding; a real mistake is larger.
    if height.is_some_and(|h| found > h + Length::mm(0.01)) {
        row.fault(
            key,
            format!("{} is above the chamber", units.say_length(found)),
            &format!(
                "Write a height above the floor, at most {} here",
                height.map_or_else(String::new, |h| units.say_length(h))
            ),
        );
        return None;
    }
    Some(found)
}

/// Highest for a hole in the wall.
fn below_roof(height: Length) -> Length {
    height - Length::mm(1.0)
}

fn sensor(
    kiln: &Row<'_, '_>,
    units: Units,
    height: Option<Length>,
    narrowest: Option<Length>,
) -> Option<Sensor> {
    let remedy = "Write sensor = { clock = 7.5, height = 345, reach = 35 }, in your units";
    let row = kiln.inner("sensor", remedy)?;
    row.only(&["clock", "height", "reach"]);
    let angle = row.clock("clock");
    let at = inside(&row, "height", units, height.map(below_roof));
    let reach = row.length("reach", units, from_zero(3.0));
    if let (Some(reach), Some(across)) = (reach, narrowest)
        && reach > across * 0.5
    {
        row.fault(
            "reach",
            format!(
                "{} is past the middle of the chamber",
                units.say_length(reach)
            ),
            "Measure from the wall to the tip of the sheath",
        );
    }
    Some(Sensor {
        angle: angle?,
        height: at?,
        reach: reach?,
    })
}

fn peepholes(kiln: &Row<'_, '_>, units: Units, height: Option<Length>) -> Option<Vec<Peephole>> {
    let remedy = "Write peepholes = [{ clock = 1.5, height = 170 }], or [] when there is none";
    each(kiln.inners("peepholes", remedy), |row| {
        row.only(&["clock", "height"]);
        let angle = row.clock("clock");
        let at = inside(row, "height", units, height.map(below_roof));
        Some(Peephole {
            angle: angle?,
            height: at?,
        })
    })
}

fn layers(kiln: &Row<'_, '_>, units: Units, key: &str) -> Option<Vec<Layer>> {
    let remedy = kiln.page().says(
        "List its layers, hot face first, as [{ lining = \"brick-23\", thickness = 76 }]",
        "Fill in the layer at the hot face: its lining and its thickness",
    );
    let rows = kiln.inners(key, remedy);
    if rows.as_ref().is_some_and(Vec::is_empty) {
        kiln.fault(key, "no layer is listed".to_owned(), remedy);
        return None;
    }
    each(rows, |row| {
        row.only(&["lining", "thickness"]);
        let lining = row.word("lining", words::LINING);
        let thickness = row.length("thickness", units, solid(1.0));
        Some(Layer {
            lining: lining?,
            thickness: thickness?,
        })
    })
}

fn controller(kiln: &Row<'_, '_>) -> Option<Controller> {
    let remedy = "Write controller = { max_segments = 8, zoned = false, hold_step_minutes = 1 }";
    let row = kiln.inner("controller", remedy)?;
    row.only(&["max_segments", "zoned", "hold_step_minutes"]);
    let segments = row.count("max_segments", 1, 255);
    let zoned = row.sure_flag("zoned");
    let step = row.number_in("hold_step_minutes", 0.01, 120.0);
    Some(Controller {
        max_segments: u8::try_from(segments?).ok()?,
        zoned: zoned?,
        hold_step: Span::minutes(step?),
    })
}
