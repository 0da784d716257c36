//! What a piece costs its maker, and what a firing costs the studio.
//!
//! Schemes are those that studios publish (docs/sources.md names them). An amount is worked out in
//! one go and rounded once, to the nearest hundredth, halves up; the least charge is held against
//! the rounded amount. What is a half but for the rounding of units (a millionth of a hundredth)
//! counts as one.

mod real;
mod split;

pub use real::{NoCost, Share, Shares, real_cost};
pub use split::split;

use glost_model::charge::{By, Measured, Scheme};
use glost_model::furniture::SupportStock;
use glost_model::load::FiringKind;
use glost_model::piece::{Foot, Piece};
use glost_model::shown::trimmed;
use glost_model::{Area, Length, Money};

/// What is asked, and how it was worked out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Charge {
    /// The amount.
    pub amount: Money,
    /// How it was worked out, with its numbers, without the currency.
    pub words: String,
}

/// Which part of a kiln is hired.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// All of it.
    Whole,
    /// Half of it.
    Half,
}

/// The charge for a piece on its own foot.
pub fn charge(scheme: &Scheme, piece: &Piece, kind: FiringKind) -> Charge {
    charge_on(scheme, piece, kind, &[])
}

/// The charge for a piece on stilts or trays, which count where the scheme says so.
pub fn charge_on(
    scheme: &Scheme,
    piece: &Piece,
    kind: FiringKind,
    supports: &[&SupportStock],
) -> Charge {
    let price = scheme.price.of(kind);
    if scheme.by == By::Nothing || (price <= 0.0 && scheme.each <= Money::cents(0)) {
        return Charge {
            amount: Money::cents(0),
            words: "nothing is asked for this firing".to_owned(),
        };
    }
    let counted = if scheme.supports_counted {
        supports
    } else {
        &[]
    };
    let (units, mut words) = Size::of(piece, counted, scheme).measure(scheme, piece);
    words += &format!(" at {price}");
    let mut whole = units * price + scheme.each.to_units();
    if scheme.each > Money::cents(0) {
        words += &format!(", and {} for the piece", say(scheme.each));
    }
    if kind == FiringKind::Glaze && piece.foot == Foot::Glazed && scheme.stilted > Money::cents(0) {
        whole += scheme.stilted.to_units();
        words += &format!(", and {} for its stilt", say(scheme.stilted));
    }
    let amount = nearest(whole);
    words += &format!(": {}", say(amount));
    if amount < scheme.least {
        words += &format!("; the least charge is {}", say(scheme.least));
    }
    Charge {
        amount: amount.max(scheme.least),
        words,
    }
}

/// What a kiln costs that one maker has to himself; nothing when the studio does not let it so.
pub fn hire(scheme: &Scheme, kiln: &str, kind: FiringKind, part: Part) -> Option<Charge> {
    let hire = scheme.kilns.iter().find(|h| h.kiln == kiln)?;
    let (price, name) = match part {
        Part::Whole => (hire.whole, "the whole of"),
        Part::Half => (hire.half?, "half of"),
    };
    let firing = match kind {
        FiringKind::Bisque => "bisque firing",
        FiringKind::Glaze => "glaze firing",
    };
    let amount = price.of(kind);
    Some(Charge {
        amount,
        words: format!("{name} {kiln} for a {firing}: {}", say(amount)),
    })
}

fn say(money: Money) -> String {
    format!("{:.2}", money.to_units())
}

/// To the nearest hundredth, halves up.
fn nearest(units: f64) -> Money {
    Money::cents((units * 100.0 + 0.5 + 1e-6).floor() as i64)
}

/// A piece as it is charged.
struct Size {
    length: Length,
    width: Length,
    height: Length,
    /// Its height before it counted as more.
    measured: Length,
    footprint: Area,
}

impl Size {
    fn of(piece: &Piece, supports: &[&SupportStock], scheme: &Scheme) -> Self {
        let (length, width) = piece.widest.extent();
        let across = supports
            .iter()
            .fold(Length::ZERO, |most, s| most.max(s.diameter));
        let measured = piece.height + supports.iter().map(|s| s.height).sum();
        let disc = std::f64::consts::FRAC_PI_4 * across.to_m() * across.to_m();
        Self {
            length: length.max(across),
            width: width.max(across),
            height: measured.max(scheme.low_counts_as.unwrap_or(Length::ZERO)),
            measured,
            footprint: Area::m2(piece.widest.area().to_m2().max(disc)),
        }
    }

    /// So many units of the scheme's measure, and how they came about.
    fn measure(&self, scheme: &Scheme, piece: &Piece) -> (f64, String) {
        let inches = scheme.measured == Measured::Inches;
        match scheme.by {
            By::Nothing => (0.0, String::new()),
            By::Volume => self.volume(inches),
            By::Mass => {
                let (units, unit) = if inches {
                    (piece.mass.to_pounds(), "lb")
                } else {
                    (piece.mass.to_kg(), "kg")
                };
                (units, format!("{} {unit}", trimmed(units, 3)))
            }
            By::Footprint => {
                let (units, unit) = self.area(inches);
                (units, format!("{} {unit}", trimmed(units, 2)))
            }
            By::Shelf { area } => {
                let part = self.footprint / area;
                let part = if part.is_finite() { part } else { 0.0 };
                let (units, unit) = self.area(inches);
                let words = format!(
                    "{} {unit}, {} % of a shelf,",
                    trimmed(units, 2),
                    trimmed(part * 100.0, 1)
                );
                (part, words)
            }
            By::Piece => (1.0, "one piece".to_owned()),
        }
    }

    fn volume(&self, inches: bool) -> (f64, String) {
        let long = |l: Length| {
            if inches {
                trimmed(l.to_inches(), 2)
            } else {
                trimmed(l.to_mm(), 0)
            }
        };
        let Self {
            length,
            width,
            height,
            measured,
            ..
        } = *self;
        let (units, lengths, unit) = if inches {
            let units = length.to_inches() * width.to_inches() * height.to_inches();
            (units, "in", "cubic inches")
        } else {
            (
                length.to_m() * width.to_m() * height.to_m() * 1e3,
                "mm",
                "litres",
            )
        };
        let counts = if height > measured {
            format!(" ({} high, counted as {})", long(measured), long(height))
        } else {
            String::new()
        };
        let words = format!(
            "{} × {} × {} {lengths}{counts} = {} {unit}",
            long(length),
            long(width),
            long(height),
            trimmed(units, if inches { 2 } else { 3 })
        );
        (units, words)
    }

    fn area(&self, inches: bool) -> (f64, &'static str) {
        if inches {
            let inch = Length::inches(1.0).to_m();
            (self.footprint.to_m2() / (inch * inch), "square inches")
        } else {
            (self.footprint.to_m2() * 100.0, "square decimetres")
        }
    }
}
