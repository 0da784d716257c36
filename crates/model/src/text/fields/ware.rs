//! Ware as it is written.

use jiff::civil::Date;

use super::Fields;
use crate::Length;
use crate::piece::{Foot, Piece};
use crate::shape::{Outline, Point};
use crate::shown::Shown;
use crate::text::pen::{self, Pen};
use crate::text::sheet::COLUMNS;
use crate::text::size::Form;
use crate::text::words::{self, say};

/// A piece as `pieces.csv` has it, in the studio's units, in the order of its columns.
///
/// The sheet has one shape for foot and widest part. A piece from elsewhere whose foot has another
/// shape gets a foot of its widest part's shape, as long and as wide as its own.
pub fn piece_fields(piece: &Piece, shown: Shown) -> Fields {
    let cells = self::piece(piece, Pen(shown));
    COLUMNS.iter().map(|c| (*c).to_owned()).zip(cells).collect()
}

/// The cells of a piece, in the order of [`COLUMNS`].
pub(in crate::text) fn piece(piece: &Piece, pen: Pen) -> [String; COLUMNS.len()] {
    let foot = if piece.foot_outline == piece.widest {
        String::new()
    } else {
        foot_size(piece, pen)
    };
    let needless = piece.glazes.is_empty() || piece.foot == Foot::Glazed;
    let margin = if needless && piece.glaze_margin.to_m().to_bits() == 0 {
        String::new()
    } else {
        pen.length(piece.glaze_margin)
    };
    let date = |date: Option<Date>| date.map_or_else(String::new, |d| d.to_string());
    [
        piece.id.clone(),
        piece.what.clone(),
        piece.maker.clone(),
        say(words::FORM, &form(&piece.widest)).to_owned(),
        size(&piece.widest, pen),
        foot,
        pen.length(piece.height),
        pen.mass(piece.mass),
        pen.length(piece.wall),
        piece.clay.clone(),
        piece.glazes.join(";"),
        say(words::FOOT, &piece.foot).to_owned(),
        margin,
        say(words::DRYNESS, &piece.dryness).to_owned(),
        say(words::DELICACY, &piece.delicacy).to_owned(),
        say(words::STAGE, &piece.stage).to_owned(),
        piece.asked_cone.map_or_else(String::new, pen::cone),
        date(piece.due),
        date(piece.came_in),
        piece.priority.to_string(),
        piece.group.clone().unwrap_or_default(),
        say(words::HELD, &piece.held).to_owned(),
        say(words::INSIDE, &piece.inside).to_owned(),
    ]
}

fn form(outline: &Outline) -> Form {
    match outline {
        Outline::Circle { .. } => Form::Circle,
        Outline::Ellipse { .. } => Form::Ellipse,
        Outline::Rectangle { .. } => Form::Rectangle,
        Outline::Polygon { .. } => Form::Outline,
    }
}

fn size(outline: &Outline, pen: Pen) -> String {
    match outline {
        Outline::Circle { diameter } => pen.length(*diameter),
        Outline::Ellipse { length, width } | Outline::Rectangle { length, width } => {
            format!("{}x{}", pen.length(*length), pen.length(*width))
        }
        Outline::Polygon { points } => {
            let corner = |p: &Point| format!("{} {}", pen.length(p.x), pen.length(p.y));
            points.iter().map(corner).collect::<Vec<_>>().join("; ")
        }
    }
}

fn foot_size(piece: &Piece, pen: Pen) -> String {
    let foot = &piece.foot_outline;
    let wanted = form(&piece.widest);
    if form(foot) == wanted {
        return size(foot, pen);
    }
    let (x, y) = foot.extent();
    let held = match wanted {
        Form::Circle => Outline::Circle { diameter: x.max(y) },
        Form::Ellipse => Outline::Ellipse {
            length: x,
            width: y,
        },
        Form::Rectangle => Outline::Rectangle {
            length: x,
            width: y,
        },
        Form::Outline => corners(x, y),
    };
    size(&held, pen)
}

fn corners(x: Length, y: Length) -> Outline {
    let at = |i: f64, j: f64| Point {
        x: x * (i / 2.0),
        y: y * (j / 2.0),
    };
    Outline::Polygon {
        points: vec![at(-1.0, -1.0), at(1.0, -1.0), at(1.0, 1.0), at(-1.0, 1.0)],
    }
}
