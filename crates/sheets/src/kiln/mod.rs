//! A kiln from its numbers: from above and cut open from the side, to one scale.

mod above;
mod side;

use glost_model::Length;
use glost_model::kiln::{Kiln, Layer, Lining};
use glost_model::shape::Chamber;
use glost_model::shown::Shown;

use crate::outline;
use crate::paper::Paper;
use crate::svg::{Anchor, SMALL, Spot, Svg};

/// Which parts of a kiln are known yet; the others are left out of its drawing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Known {
    /// Rings of elements.
    pub bands: bool,
    /// Sensor.
    pub sensor: bool,
    /// Side wall, floor and lid, each.
    pub lining: [bool; 3],
}

impl Known {
    /// All of it.
    pub const ALL: Self = Self {
        bands: true,
        sensor: true,
        lining: [true; 3],
    };
}

/// Room at the left edge, between the two drawings and at the right edge, mm of paper.
const ROOM: (f64, f64, f64) = (11.0, 15.0, 36.0);
const PHONE_ROOM: (f64, f64, f64) = (11.0, 13.0, 9.0);
/// Room above, for the name of hinge or door, and below, for the sizes, mm of paper.
const ABOVE: f64 = 12.0;
const BELOW: f64 = 22.0;
/// Tallest drawing, mm of paper; on a phone it stays in sight above the form.
const TALLEST: (f64, f64) = (110.0, 62.0);

/// Both drawings on the paper.
struct Sheet<'a> {
    kiln: &'a Kiln,
    known: Known,
    shown: Shown,
    paper: Paper,
    /// Millimetres of paper to the metre.
    scale: f64,
    /// Middle of the plan.
    plan: Spot,
    /// Middle of the section, and its floor.
    side: Spot,
    /// Outer faces from the hot face outward, in plan, metres.
    faces: Vec<Vec<Spot>>,
    /// Lower edge of both drawings.
    foot: f64,
}

/// Draws a kiln from above and cut open from the side: chamber, layers of the walls, rings of elements, sensor,
/// peepholes, and a bar for its size. One with a lid is seen from 6 o'clock, one with a door from its door. One unit is
/// 1 mm of paper.
pub fn kiln_svg(kiln: &Kiln, known: Known, shown: Shown, paper: Paper) -> String {
    let thick = |layers: &[Layer], known: bool| {
        let all = if known { layers } else { &[] };
        all.iter().map(|l| l.thickness.to_m()).sum::<f64>()
    };
    let mut faces = vec![outline::chamber(&kiln.chamber)];
    let mut out = Length::ZERO;
    for layer in kiln.wall.iter().filter(|_| known.lining[0]) {
        out += layer.thickness;
        faces.push(outline::chamber(&grown(kiln.chamber, out)));
    }
    let last = faces.last().map_or(&[][..], Vec::as_slice);
    let (left, right) = outline::range(last, |p| p.0);
    let (low, high) = outline::range(last, |p| p.1);
    let (across, deep) = ((right - left).max(1e-3), (high - low).max(1e-3));
    let floor = thick(&kiln.floor, known.lining[1]);
    let tall = (kiln.height.to_m() + floor + thick(&kiln.lid, known.lining[2])).max(1e-3);
    let room = paper.pick(ROOM, PHONE_ROOM);
    let width = paper.width();
    let scale = ((width - room.0 - room.1 - room.2) / (2.0 * across))
        .min(paper.pick(TALLEST.0, TALLEST.1) / deep.max(tall));
    // What the paper has left over goes to both sides alike.
    let spare = (width - room.0 - room.1 - room.2 - 2.0 * across * scale).max(0.0) / 3.0;
    let foot = ABOVE + deep.max(tall) * scale;
    let half = across * scale / 2.0;
    let sheet = Sheet {
        kiln,
        known,
        shown,
        paper,
        scale,
        plan: (room.0 + spare + half, foot - deep * scale / 2.0),
        side: (
            room.0 + 2.0 * spare + room.1 + 3.0 * half,
            foot - floor * scale,
        ),
        faces,
        foot,
    };
    let mut svg = Svg::new();
    above::draw(&mut svg, &sheet);
    side::draw(&mut svg, &sheet);
    bar(&mut svg, &sheet);
    svg.finish(
        width,
        foot + BELOW,
        &format!("Kiln {} from above and cut open", kiln.name),
    )
}

/// A chamber that is larger by so much on every side.
fn grown(chamber: Chamber, by: Length) -> Chamber {
    let more = by * 2.0;
    match chamber {
        Chamber::Circle { diameter } => Chamber::Circle {
            diameter: diameter + more,
        },
        Chamber::RegularPolygon {
            sides,
            across_flats,
        } => Chamber::RegularPolygon {
            sides,
            across_flats: across_flats + more,
        },
        Chamber::Oval { length, width } => Chamber::Oval {
            length: length + more,
            width: width + more,
        },
        Chamber::Rectangle { width, depth } => Chamber::Rectangle {
            width: width + more,
            depth: depth + more,
        },
    }
}

/// Ground of a layer; what each is made of is told in words beside the drawing.
fn ground(lining: Lining) -> &'static str {
    match lining {
        Lining::Brick23 => "rgb(226,226,226)",
        Lining::Brick26 => "rgb(200,200,200)",
        Lining::Fibre => "rgb(245,245,245)",
        Lining::Castable => "rgb(175,175,175)",
    }
}

/// A bar of a round length, so that sizes can be judged.
fn bar(svg: &mut Svg, sheet: &Sheet<'_>) {
    let (unit, name) = if sheet.shown.inches {
        (Length::inches(4.0), "4 in")
    } else {
        (Length::mm(100.0), "100 mm")
    };
    let long = unit.to_m() * sheet.scale;
    let y = sheet.foot + BELOW - 4.0;
    // A bar too short or too long for its name says nothing.
    if !(2.0..=sheet.paper.width() - 40.0).contains(&long) {
        return;
    }
    let look = r#"stroke="black" stroke-width="0.8""#;
    svg.line((4.0, y), (4.0 + long, y), look);
    for x in [4.0, 4.0 + long] {
        svg.line((x, y - 1.5), (x, y + 1.5), look);
    }
    svg.text((4.0 + long + 2.0, y + 1.4), SMALL, Anchor::Start, name);
}

/// Sensor or peephole: a ring with its letter.
fn mark(svg: &mut Svg, at: Spot, name: &str) {
    svg.circle(at, 3.0, r#"fill="white" stroke="black" stroke-width="0.6""#);
    svg.bold((at.0, at.1 + SMALL * 0.36), SMALL, Anchor::Middle, name);
}
