//! `pieces.csv`: the ware that waits.

use super::cells::{cone, dates, length, number, out_of_bounds, priority, word};
use super::row::each;
use super::sheet::{Slip, slips};
use super::size::{self, foot_within};
use super::spot::{Page, Seen, short};
use super::units::{Units, from_zero, solid, weighty};
use super::words;
use crate::Length;
use crate::piece::{Delicacy, Foot, Piece};
use crate::shape::Outline;

/// Reads the ware. A sheet with a header alone is a studio where nothing waits.
pub(super) fn read(page: &Page<'_>, units: Units) -> Option<Vec<Piece>> {
    let mut seen = Seen::default();
    each(slips(page), |slip| piece(slip, units, &mut seen))
}

/// One piece. A fault may have been noted although it could be read, as for a name that is there twice.
pub(super) fn piece(slip: &Slip<'_, '_>, units: Units, seen: &mut Seen) -> Option<Piece> {
    let id = slip.need("id", "Write a name that no other piece has, as on its slip");
    if let Some(id) = id {
        seen.note(slip.page(), slip.line(), "id", id);
    }
    let what = slip.need("what", "Write what it is, as mug or plate");
    let maker = slip.need("maker", "Write who made it");
    let outlines = outlines(slip, units);
    let height = length(slip, "height", units, solid(3.0));
    let mass = mass(slip, units);
    let wall = wall(slip, units, outlines.as_ref().map(|o| &o.1), height);
    let clay = slip.need(
        "clay",
        "Write the clay's name, or 'unknown' until its maker was asked",
    );
    let glazes = glazes(slip);
    let foot = word(slip, "foot", words::FOOT, None);
    let glaze_margin = margin(slip, units, foot, height);
    let dryness = word(slip, "dryness", words::DRYNESS, None);
    let delicacy = word(slip, "delicacy", words::DELICACY, Some(Delicacy::Usual));
    let stage = word(slip, "stage", words::STAGE, None);
    let asked_cone = cone(slip);
    let (due, came_in) = dates(slip);
    let priority = priority(slip);
    let held = word(slip, "held", words::HELD, Some(None));
    let inside = word(slip, "inside", words::INSIDE, Some(None));
    let (foot_outline, widest) = outlines?;
    Some(Piece {
        id: id?.to_owned(),
        what: what?.to_owned(),
        maker: maker?.to_owned(),
        foot_outline,
        widest,
        height: height?,
        mass: mass?,
        wall: wall?,
        clay: clay?.to_owned(),
        glazes: glazes?,
        foot: foot?,
        glaze_margin: glaze_margin?,
        dryness: dryness?,
        delicacy: delicacy?,
        stage: stage?,
        asked_cone: asked_cone?,
        due: due?,
        came_in: came_in?,
        priority: priority?,
        held: held?,
        inside: inside?,
        group: slip.find("group").map(str::to_owned),
    })
}

/// Foot and widest part.
fn outlines(slip: &Slip<'_, '_>, units: Units) -> Option<(Outline, Outline)> {
    let form = word(slip, "shape", words::FORM, None);
    let [one, two, corners] = units.shown().example_sizes();
    let size = slip.need(
        "size",
        &format!("Write {one} for a circle, {two}, or corners as {corners}"),
    );
    let form = form?;
    let read = |column: &str, text: &str| {
        size::read(form, text, units)
            .map_err(|(what, remedy)| slip.fault(column, what, &remedy))
            .ok()
    };
    let widest = size.and_then(|text| read("size", text));
    let Some(text) = slip.find("foot_size") else {
        return widest.map(|w| (w.clone(), w));
    };
    let (foot, widest) = (read("foot_size", text), widest?);
    let foot = foot?;
    if !foot_within(&foot, &widest) {
        slip.fault(
            "foot_size",
            format!(
                "{} does not lie within the size, {}",
                short(text),
                short(size.unwrap_or(""))
            ),
            "Write the widest part in size and what stands on the shelf in foot_size",
        );
        return None;
    }
    Some((foot, widest))
}

fn mass(slip: &Slip<'_, '_>, units: Units) -> Option<crate::Mass> {
    let found = number(slip, "mass")?;
    units
        .mass(found, weighty(200.0))
        .map_err(|remedy| out_of_bounds(slip, "mass", &remedy))
        .ok()
}

/// Thickest section: no thicker than the piece is high or wide.
fn wall(
    slip: &Slip<'_, '_>,
    units: Units,
    widest: Option<&Outline>,
    height: Option<Length>,
) -> Option<Length> {
    let wall = length(slip, "wall", units, solid(3.0))?;
    if let (Some(widest), Some(height)) = (widest, height) {
        let (x, y) = widest.extent();
        let most = x.max(y).max(height);
        if wall > most + Length::mm(0.01) {
            let found = units.say_length(wall);
            out_of_bounds(
                slip,
                "wall",
                &format!("Measure the thickest section; {found} is more than the whole piece"),
            );
            return None;
        }
    }
    Some(wall)
}

/// Names with semicolons between; none for bare ware.
fn glazes(slip: &Slip<'_, '_>) -> Option<Vec<String>> {
    let Some(text) = slip.find("glazes") else {
        return Some(Vec::new());
    };
    let names: Vec<String> = text.split(';').map(|g| g.trim().to_owned()).collect();
    if names.iter().any(String::is_empty) {
        slip.fault(
            "glazes",
            format!("'{}' has a glaze without a name", short(text)),
            "Write the names with one ; between two, or leave the cell empty for bare ware",
        );
        return None;
    }
    Some(names)
}

/// Bare margin; empty is nothing for bare ware and under a glazed foot, and a fault otherwise.
fn margin(
    slip: &Slip<'_, '_>,
    units: Units,
    foot: Option<Foot>,
    height: Option<Length>,
) -> Option<Length> {
    let needless = slip.find("glazes").is_none() || foot == Some(Foot::Glazed);
    if slip.find("glaze_margin").is_none() && needless {
        return Some(Length::ZERO);
    }
    let margin = length(slip, "glaze_margin", units, from_zero(3.0))?;
    if height.is_some_and(|h| margin > h + Length::mm(0.01)) {
        out_of_bounds(
            slip,
            "glaze_margin",
            "Write how far above the foot the glaze ends, at most the height of the piece",
        );
        return None;
    }
    Some(margin)
}
