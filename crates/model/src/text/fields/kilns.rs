//! Kilns as they are written.

use super::stock::plan;
use super::{Fields, Record, Value};
use crate::kiln::{Controller, Kiln, Layer};
use crate::shape::Chamber;
use crate::shown::Shown;
use crate::text::pen::{self, Pen};
use crate::text::plan::Plan;
use crate::text::words::{self, say};

/// A kiln as `kilns.toml` has it, in the studio's units.
pub fn kiln_fields(kiln: &Kiln, shown: Shown) -> Fields {
    self::kiln(kiln, Pen(shown)).fields()
}

pub(in crate::text) fn kiln(kiln: &Kiln, pen: Pen) -> Record {
    let mut r = Record::default();
    r.text("name", &kiln.name);
    let chamber = match kiln.chamber {
        Chamber::Circle { diameter } => Plan::Circle(diameter),
        Chamber::RegularPolygon {
            sides,
            across_flats,
        } => Plan::RegularPolygon(sides, across_flats),
        Chamber::Oval { length, width } => Plan::Oval(length, width),
        Chamber::Rectangle { width, depth } => Plan::Rectangle(width, depth),
    };
    plan(&mut r, pen, chamber);
    r.number("height", pen.length(kiln.height));
    r.text("opening", say(words::OPENING, &kiln.opening));
    r.text("max_cone", &pen::cone(kiln.max_cone));
    r.number("max_temperature", pen.temperature(kiln.max_temperature));
    r.number("element_ageing", pen::plain(kiln.element_ageing));
    r.spare("vent_fan", kiln.vent_fan);
    let bands = kiln.bands.iter().map(|band| {
        let mut r = Record::default();
        r.number("from", pen.length(band.from));
        r.number("to", pen.length(band.to));
        r.number("power_kw", pen::kilowatts(band.power));
        r
    });
    r.put("bands", Value::List(bands.collect()));
    let mut sensor = Record::default();
    sensor.number("clock", pen::clock(kiln.sensor.angle));
    sensor.number("height", pen.length(kiln.sensor.height));
    sensor.number("reach", pen.length(kiln.sensor.reach));
    r.put("sensor", Value::Table(sensor));
    let peepholes = kiln.peepholes.iter().map(|hole| {
        let mut r = Record::default();
        r.number("clock", pen::clock(hole.angle));
        r.number("height", pen.length(hole.height));
        r
    });
    r.put("peepholes", Value::List(peepholes.collect()));
    r.put("wall", layers(&kiln.wall, pen));
    r.put("floor", layers(&kiln.floor, pen));
    r.put("lid", layers(&kiln.lid, pen));
    r.put("controller", controller(kiln.controller));
    r
}

fn layers(layers: &[Layer], pen: Pen) -> Value {
    let rows = layers.iter().map(|layer| {
        let mut r = Record::default();
        r.text("lining", say(words::LINING, &layer.lining));
        r.number("thickness", pen.length(layer.thickness));
        r
    });
    Value::List(rows.collect())
}

fn controller(controller: Controller) -> Value {
    let mut r = Record::default();
    r.number("max_segments", controller.max_segments.to_string());
    r.flag("zoned", controller.zoned);
    r.number("hold_step_minutes", pen::minutes(controller.hold_step));
    Value::Table(r)
}
