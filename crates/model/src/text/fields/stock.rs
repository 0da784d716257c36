//! Clays, glazes and furniture as they are written.

use super::{Fields, Record};
use crate::clay::{Clay, Glaze};
use crate::cone::Cone;
use crate::furniture::{PostStock, ShelfShape, ShelfStock, SupportStock};
use crate::shown::Shown;
use crate::text::pen::{self, Pen};
use crate::text::plan::Plan;
use crate::text::words::{self, say};

/// A clay as `clays.toml` has it.
pub fn clay_fields(clay: &Clay) -> Fields {
    self::clay(clay).fields()
}

/// A glaze as `glazes.toml` has it.
pub fn glaze_fields(glaze: &Glaze) -> Fields {
    self::glaze(glaze).fields()
}

/// Shelves of one kind as `furniture.toml` has them, in the studio's units.
pub fn shelf_fields(shelf: &ShelfStock, shown: Shown) -> Fields {
    self::shelf(shelf, Pen(shown)).fields()
}

/// Posts of one length as `furniture.toml` has them, in the studio's units.
pub fn post_fields(post: &PostStock, shown: Shown) -> Fields {
    self::post(post, Pen(shown)).fields()
}

/// Supports of one kind as `furniture.toml` has them, in the studio's units.
pub fn support_fields(support: &SupportStock, shown: Shown) -> Fields {
    self::support(support, Pen(shown)).fields()
}

fn cones(record: &mut Record, from: Cone, to: Cone) {
    record.text("cone_from", &pen::cone(from));
    record.text("cone_to", &pen::cone(to));
}

pub(in crate::text) fn clay(clay: &Clay) -> Record {
    let mut r = Record::default();
    r.text("name", &clay.name);
    cones(&mut r, clay.cone_from, clay.cone_to);
    r.flag("slumps_on_points", clay.slumps_on_points);
    r.spare("plucks", clay.plucks);
    r.spare("slow_burn_out", clay.slow_burn_out);
    r.spare("needs_leave", clay.needs_leave);
    r
}

pub(in crate::text) fn glaze(glaze: &Glaze) -> Record {
    let mut r = Record::default();
    r.text("name", &glaze.name);
    cones(&mut r, glaze.cone_from, glaze.cone_to);
    r.flag("lead", glaze.lead);
    r.spare("runny", glaze.runny);
    r.spare("chrome", glaze.chrome);
    r.spare("tin_white", glaze.tin_white);
    r.spare("volatile_colour", glaze.volatile_colour);
    r.spare("light", glaze.light);
    r.spare("slow_cool", glaze.slow_cool);
    r.spare("own_firing", glaze.own_firing);
    r
}

/// The fields of a plan, of chambers and shelves alike.
pub(super) fn plan(record: &mut Record, pen: Pen, plan: Plan) {
    record.text("shape", say(words::PLAN, &plan.form()));
    match plan {
        Plan::Circle(diameter) => record.number("diameter", pen.length(diameter)),
        Plan::RegularPolygon(sides, across_flats) => {
            record.number("sides", sides.to_string());
            record.number("across_flats", pen.length(across_flats));
        }
        Plan::Oval(length, width) => {
            record.number("length", pen.length(length));
            record.number("width", pen.length(width));
        }
        Plan::Rectangle(width, depth) => {
            record.number("width", pen.length(width));
            record.number("depth", pen.length(depth));
        }
    }
}

pub(in crate::text) fn shelf(shelf: &ShelfStock, pen: Pen) -> Record {
    let mut r = Record::default();
    r.text("name", &shelf.name);
    let shape = match shelf.shape {
        ShelfShape::Circle { diameter } => Plan::Circle(diameter),
        ShelfShape::RegularPolygon {
            sides,
            across_flats,
        } => Plan::RegularPolygon(sides, across_flats),
        ShelfShape::Oval { length, width } => Plan::Oval(length, width),
        ShelfShape::Rectangle { width, depth } => Plan::Rectangle(width, depth),
    };
    plan(&mut r, pen, shape);
    r.text("span", say(words::SPAN, &shelf.span));
    r.number("thickness", pen.length(shelf.thickness));
    r.number("count", shelf.count.to_string());
    r.number("mass", pen.mass(shelf.mass));
    r.number("load_limit", pen.mass(shelf.load_limit));
    r
}

pub(in crate::text) fn post(post: &PostStock, pen: Pen) -> Record {
    let mut r = Record::default();
    r.number("length", pen.length(post.length));
    r.number("count", post.count.to_string());
    r
}

pub(in crate::text) fn support(support: &SupportStock, pen: Pen) -> Record {
    let mut r = Record::default();
    r.text("name", &support.name);
    r.text("kind", say(words::SUPPORT, &support.kind));
    r.number("diameter", pen.length(support.diameter));
    r.number("height", pen.length(support.height));
    r.number("load_limit", pen.mass(support.load_limit));
    r.text("max_cone", &pen::cone(support.max_cone));
    r.number("count", support.count.to_string());
    r
}
