//! `clays.toml` and `glazes.toml`.

use super::row::{Row, each};
use super::spot::{Page, Seen};
use crate::clay::{Clay, Glaze};

const CLAY: &[&str] = &[
    "name",
    "cone_from",
    "cone_to",
    "slumps_on_points",
    "plucks",
    "slow_burn_out",
    "needs_leave",
];

const GLAZE: &[&str] = &[
    "name",
    "cone_from",
    "cone_to",
    "lead",
    "runny",
    "chrome",
    "tin_white",
    "volatile_colour",
    "light",
    "slow_cool",
    "own_firing",
];

/// Reads the clays.
pub(super) fn clays(page: &Page<'_>) -> Option<Vec<Clay>> {
    rows(page, "clay", clay)
}

/// Reads the glazes.
pub(super) fn glazes(page: &Page<'_>) -> Option<Vec<Glaze>> {
    rows(page, "glaze", glaze)
}

fn rows<T>(
    page: &Page<'_>,
    key: &str,
    make: impl Fn(&Row<'_, '_>, Option<String>) -> Option<T>,
) -> Option<Vec<T>> {
    let table = page.table()?;
    let file = Row::whole(page, &table);
    file.only(&[key]);
    let mut seen = Seen::default();
    each(file.records(key), |row| make(row, new_name(row, &mut seen)))
}

/// The row's name, with its fault when another row has it.
pub(super) fn new_name(row: &Row<'_, '_>, seen: &mut Seen) -> Option<String> {
    let name = row.text("name")?;
    seen.note(row.page(), row.line("name"), "name", &name);
    Some(name)
}

/// One clay.
pub(super) fn clay(row: &Row<'_, '_>, name: Option<String>) -> Option<Clay> {
    row.only(CLAY);
    let range = row.cone_range();
    let slumps_on_points = row.sure_flag("slumps_on_points");
    let plucks = row.flag("plucks");
    let slow_burn_out = row.flag("slow_burn_out");
    let needs_leave = row.flag("needs_leave");
    let (cone_from, cone_to) = range?;
    Some(Clay {
        name: name?,
        cone_from,
        cone_to,
        slumps_on_points: slumps_on_points?,
        plucks: plucks?,
        slow_burn_out: slow_burn_out?,
        needs_leave: needs_leave?,
    })
}

/// One glaze.
pub(super) fn glaze(row: &Row<'_, '_>, name: Option<String>) -> Option<Glaze> {
    row.only(GLAZE);
    let range = row.cone_range();
    let lead = row.sure_flag("lead");
    let flags = [
        "runny",
        "chrome",
        "tin_white",
        "volatile_colour",
        "light",
        "slow_cool",
        "own_firing",
    ]
    .map(|key| row.flag(key));
    let [
        runny,
        chrome,
        tin_white,
        volatile_colour,
        light,
        slow_cool,
        own_firing,
    ] = flags;
    let (cone_from, cone_to) = range?;
    Some(Glaze {
        name: name?,
        cone_from,
        cone_to,
        lead: lead?,
        runny: runny?,
        chrome: chrome?,
        tin_white: tin_white?,
        volatile_colour: volatile_colour?,
        light: light?,
        slow_cool: slow_cool?,
        own_firing: own_firing?,
    })
}
