//! Numbers as they are written into files and forms: the shortest decimal in the studio's unit that
//! is read back to the same number of metres, kilograms or kelvin, bit for bit.
//!
//! Every number that the reader gave has such a decimal, for it was read from one. A number that
//! comes from elsewhere may lie between two neighbours that the unit can give (inches and degrees
//! Fahrenheit leave gaps of one last bit); then the nearest is written, at full length.

use crate::cone::Cone;
use crate::shown::Shown;
use crate::{Angle, Length, Mass, Power, Span, Temperature};

/// Most significant digits that tell one number from its neighbours.
const DIGITS: usize = 17;
/// Neighbours on each side that are tried: rounding moves the way back by fewer.
const NEIGHBOURS: u64 = 16;

/// Writes in the studio's units.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pen(pub(super) Shown);

impl Pen {
    pub(super) fn length(self, l: Length) -> String {
        if self.0.inches {
            shortest(l.to_inches(), |v| same(Length::inches(v).to_m(), l.to_m()))
        } else {
            shortest(l.to_mm(), |v| same(Length::mm(v).to_m(), l.to_m()))
        }
    }

    pub(super) fn mass(self, m: Mass) -> String {
        if self.0.pounds {
            shortest(m.to_pounds(), |v| same(Mass::pounds(v).to_kg(), m.to_kg()))
        } else {
            plain(m.to_kg())
        }
    }

    pub(super) fn temperature(self, t: Temperature) -> String {
        if self.0.fahrenheit {
            shortest(t.to_f(), |v| same(Temperature::f(v).to_k(), t.to_k()))
        } else {
            shortest(t.to_c(), |v| same(Temperature::c(v).to_k(), t.to_k()))
        }
    }
}

pub(super) fn kilowatts(p: Power) -> String {
    shortest(p.to_kw(), |v| same(Power::kw(v).to_w(), p.to_w()))
}

pub(super) fn minutes(s: Span) -> String {
    shortest(s.to_minutes(), |v| same(Span::minutes(v).to_s(), s.to_s()))
}

pub(super) fn hours(s: Span) -> String {
    shortest(s.to_h(), |v| same(Span::h(v).to_s(), s.to_s()))
}

/// A bearing as a clock position from 1 up to 13, as people say it; what only a position below 1
/// gives is written so.
pub(super) fn clock(angle: Angle) -> String {
    let works = |hours: f64| same(on_clock(hours).to_rad(), angle.to_rad());
    let early = ((90.0 - angle.to_deg()) / 30.0).rem_euclid(12.0);
    let usual = if early < 1.0 { early + 12.0 } else { early };
    exact(usual, works)
        .or_else(|| exact(early, works))
        .unwrap_or_else(|| plain(usual))
}

/// The bearing of a clock position: 12 is toward +y, 3 toward +x.
pub(super) fn on_clock(hours: f64) -> Angle {
    Angle::deg((90.0 - 30.0 * hours).rem_euclid(360.0))
}

/// A cone with `.5` for a half: spreadsheets may spoil ½.
pub(super) fn cone(cone: Cone) -> String {
    cone.to_string().replace('½', ".5")
}

fn same(a: f64, b: f64) -> bool {
    a.to_bits() == b.to_bits()
}

/// The shortest decimal near `near` that works, or `near` itself.
fn shortest(near: f64, works: impl Fn(f64) -> bool) -> String {
    exact(near, works).unwrap_or_else(|| plain(near))
}

fn exact(near: f64, works: impl Fn(f64) -> bool) -> Option<String> {
    if !near.is_finite() {
        return None;
    }
    let rounded = (0..DIGITS)
        .filter_map(|digits| format!("{near:.digits$e}").parse::<f64>().ok())
        .find(|v| works(*v));
    // What was typed with 16 or 17 digits need not be a rounding of the way back.
    let beside = |step: u64| {
        let bits = near.to_bits();
        [bits.checked_add(step), bits.checked_sub(step)]
    };
    let near_by = (0..=NEIGHBOURS)
        .flat_map(beside)
        .flatten()
        .map(f64::from_bits)
        .filter(|v| v.is_finite() && works(*v));
    rounded
        .into_iter()
        .chain(near_by)
        .map(plain)
        .min_by_key(String::len)
}

/// A number as people write it, with the fewest digits that are read back to it.
pub(super) fn plain(v: f64) -> String {
    if v == 0.0 && v.is_sign_negative() {
        // A file's whole number has no minus nought.
        "-0.0".to_owned()
    } else if v != 0.0 && !(1e-5..1e15).contains(&v.abs()) {
        format!("{v:e}")
    } else {
        v.to_string()
    }
}
