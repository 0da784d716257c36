//! Plans of chambers and shelves, which are written alike.

use super::row::Row;
use super::units::{Units, solid};
use super::words;
use crate::Length;
use crate::furniture::ShelfShape;
use crate::shape::Chamber;

/// A plan as it is written.
#[derive(Debug, Clone, Copy)]
pub(super) enum Plan {
    Circle(Length),
    RegularPolygon(u8, Length),
    Oval(Length, Length),
    Rectangle(Length, Length),
}

/// The shapes that a plan can have.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Form {
    Circle,
    RegularPolygon,
    Oval,
    Rectangle,
}

/// Reads a plan and refuses every field that is neither its own nor one of `others`.
pub(super) fn read(row: &Row<'_, '_>, units: Units, others: &[&str]) -> Option<Plan> {
    let form = row.word("shape", words::PLAN);
    let own: &[&str] = match form {
        Some(Form::Circle) => &["diameter"],
        Some(Form::RegularPolygon) => &["sides", "across_flats"],
        Some(Form::Oval) => &["length", "width"],
        Some(Form::Rectangle) => &["width", "depth"],
        // An unknown shape has its fault already.
        None => &[
            "diameter",
            "sides",
            "across_flats",
            "length",
            "width",
            "depth",
        ],
    };
    row.only(&[&["shape"], own, others].concat());
    let long = |key| row.length(key, units, solid(3.0));
    match form? {
        Form::Circle => long("diameter").map(Plan::Circle),
        Form::RegularPolygon => {
            let (sides, flats) = (row.count("sides", 5, 64), long("across_flats"));
            let sides = u8::try_from(sides?).ok()?;
            Some(Plan::RegularPolygon(sides, flats?))
        }
        Form::Oval => {
            let (length, width) = (long("length"), long("width"));
            let (length, width) = (length?, width?);
            if length < width {
                row.fault(
                    "length",
                    "an oval is longer than it is wide".to_owned(),
                    "Swap length and width: length runs left to right",
                );
                return None;
            }
            Some(Plan::Oval(length, width))
        }
        Form::Rectangle => {
            let (width, depth) = (long("width"), long("depth"));
            Some(Plan::Rectangle(width?, depth?))
        }
    }
}

impl Plan {
    /// Narrowest way across.
    pub(super) fn narrowest(self) -> Length {
        match self {
            Self::Circle(d) | Self::RegularPolygon(_, d) => d,
            Self::Oval(a, b) | Self::Rectangle(a, b) => a.min(b),
        }
    }

    /// The word for its shape.
    pub(super) const fn form(self) -> Form {
        match self {
            Self::Circle(_) => Form::Circle,
            Self::RegularPolygon(..) => Form::RegularPolygon,
            Self::Oval(..) => Form::Oval,
            Self::Rectangle(..) => Form::Rectangle,
        }
    }

    pub(super) const fn chamber(self) -> Chamber {
        match self {
            Self::Circle(diameter) => Chamber::Circle { diameter },
            Self::RegularPolygon(sides, across_flats) => Chamber::RegularPolygon {
                sides,
                across_flats,
            },
            Self::Oval(length, width) => Chamber::Oval { length, width },
            Self::Rectangle(width, depth) => Chamber::Rectangle { width, depth },
        }
    }

    pub(super) const fn shelf(self) -> ShelfShape {
        match self {
            Self::Circle(diameter) => ShelfShape::Circle { diameter },
            Self::RegularPolygon(sides, across_flats) => ShelfShape::RegularPolygon {
                sides,
                across_flats,
            },
            Self::Oval(length, width) => ShelfShape::Oval { length, width },
            Self::Rectangle(width, depth) => ShelfShape::Rectangle { width, depth },
        }
    }
}
