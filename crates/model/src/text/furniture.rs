//! `furniture.toml`: shelves, posts and supports.

use super::materials::new_name;
use super::plan;
use super::row::{Row, each};
use super::spot::{Page, Seen};
use super::units::{Units, solid, weighty};
use super::words;
use crate::furniture::{Furniture, PostStock, ShelfStock, SupportStock};

/// Most of one kind that a studio may list.
const MOST: u16 = 10_000;

/// Reads the furniture. Supports may be left out; shelves and posts may not.
pub(super) fn read(page: &Page<'_>, units: Units) -> Option<Furniture> {
    let table = page.table()?;
    let file = Row::whole(page, &table);
    file.only(&["post_section", "shelf", "post", "support"]);
    let section = file.length("post_section", units, solid(0.3));
    let mut seen = Seen::default();
    let shelves = each(file.records("shelf"), |row| {
        let name = new_name(row, &mut seen);
        shelf(row, units, name)
    });
    let mut seen = Seen::default();
    let posts = each(file.records("post"), |row| post(row, units, &mut seen));
    let mut seen = Seen::default();
    let supports = if file.find("support").is_none() {
        Some(Vec::new())
    } else {
        each(file.records("support"), |row| {
            let name = new_name(row, &mut seen);
            support(row, units, name)
        })
    };
    Some(Furniture {
        shelves: shelves?,
        posts: posts?,
        post_section: section?,
        supports: supports?,
    })
}

pub(super) fn shelf(row: &Row<'_, '_>, units: Units, name: Option<String>) -> Option<ShelfStock> {
    let others = ["name", "span", "thickness", "count", "mass", "load_limit"];
    let shape = plan::read(row, units, &others);
    let span = row.word("span", words::SPAN);
    let thickness = row.length("thickness", units, solid(0.2));
    let count = row.count("count", 0, MOST);
    let mass = row.mass("mass", units, weighty(200.0));
    let load_limit = row.mass("load_limit", units, weighty(1000.0));
    Some(ShelfStock {
        name: name?,
        shape: shape?.shelf(),
        span: span?,
        thickness: thickness?,
        count: count?,
        mass: mass?,
        load_limit: load_limit?,
    })
}

pub(super) fn post(row: &Row<'_, '_>, units: Units, seen: &mut Seen) -> Option<PostStock> {
    row.only(&["length", "count"]);
    let length = row.length("length", units, solid(3.0));
    let count = row.count("count", 0, MOST);
    // The same length, even when it is written in another way.
    if let Some(l) = length {
        seen.note(
            row.page(),
            row.line("length"),
            "length",
            &units.say_length(l),
        );
    }
    Some(PostStock {
        length: length?,
        count: count?,
    })
}

pub(super) fn support(
    row: &Row<'_, '_>,
    units: Units,
    name: Option<String>,
) -> Option<SupportStock> {
    row.only(&[
        "name",
        "kind",
        "diameter",
        "height",
        "load_limit",
        "max_cone",
        "count",
    ]);
    let kind = row.word("kind", words::SUPPORT);
    let diameter = row.length("diameter", units, solid(3.0));
    let height = row.length("height", units, solid(0.5));
    let load_limit = row.mass("load_limit", units, weighty(1000.0));
    let max_cone = row.cone("max_cone");
    let count = row.count("count", 0, MOST);
    Some(SupportStock {
        name: name?,
        kind: kind?,
        diameter: diameter?,
        height: height?,
        load_limit: load_limit?,
        max_cone: max_cone?,
        count: count?,
    })
}
