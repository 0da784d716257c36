//! How a studio likes its numbers shown, and every number in those words.

mod example;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{Length, Mass, Rate, Span, TempDiff, Temperature};

/// How the studio likes its numbers shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
pub struct Shown {
    /// Temperatures in °F.
    pub fahrenheit: bool,
    /// Lengths in inches.
    pub inches: bool,
    /// Masses in pounds.
    pub pounds: bool,
}

impl Shown {
    /// A length without its unit: whole millimetres, or inches to a tenth, quarters exactly.
    pub fn bare_length(self, l: Length) -> String {
        if self.inches {
            let inches = l.to_inches();
            let quarter = (inches * 4.0 - (inches * 4.0).round()).abs() < 0.01;
            trimmed(inches, if quarter { 2 } else { 1 })
        } else {
            trimmed(l.to_mm(), 0)
        }
    }
    /// The unit that goes with [`Self::bare_length`].
    pub fn length_unit(self) -> &'static str {
        if self.inches { "in" } else { "mm" }
    }
    /// A length as people here write it: `120 mm` or `4.7 in`.
    pub fn length(self, l: Length) -> String {
        format!("{} {}", self.bare_length(l), self.length_unit())
    }
    /// A distance as read off a tape: half centimetres or quarter inches. What is short is told in millimetres, as
    /// sizes of ware and gaps are; 20 cm is where people here change over.
    pub fn distance(self, l: Length) -> String {
        if !self.inches {
            let halves = (l.to_mm() / 5.0).round();
            return if halves.abs() < 40.0 {
                format!("{:.0} mm", halves * 5.0)
            } else {
                format!("{} cm", trimmed(halves / 2.0, 1))
            };
        }
        let quarters = (l.to_inches() * 4.0).round();
        let whole = (quarters / 4.0).floor();
        let part = match (quarters - whole * 4.0).round() as i64 {
            1 => "¼",
            2 => "½",
            3 => "¾",
            _ => "",
        };
        if whole == 0.0 && !part.is_empty() {
            format!("{part} in")
        } else {
            format!("{whole:.0}{part} in")
        }
    }
    /// A mass: `1.2 kg` or `2.6 lb`.
    pub fn mass(self, m: Mass) -> String {
        if self.pounds {
            format!("{} lb", trimmed(m.to_pounds(), 1))
        } else {
            format!("{} kg", trimmed(m.to_kg(), 1))
        }
    }
    /// A temperature on the studio's scale, as a number.
    pub fn degrees(self, t: Temperature) -> f64 {
        if self.fahrenheit { t.to_f() } else { t.to_c() }
    }
    /// Sign of the studio's scale.
    pub fn degree_sign(self) -> &'static str {
        if self.fahrenheit { "°F" } else { "°C" }
    }
    /// A temperature: `1222 °C` or `2232 °F`.
    pub fn temperature(self, t: Temperature) -> String {
        format!("{:.0} {}", self.degrees(t), self.degree_sign())
    }
    /// A temperature at which somebody does something, as they look for it on a display: whole degrees, fives in °F, so
    /// that 600 °C is no odd 1112 °F.
    pub fn mark(self, t: Temperature) -> String {
        if self.fahrenheit {
            format!("{:.0} °F", (t.to_f() / 5.0).round() * 5.0)
        } else {
            self.temperature(t)
        }
    }
    /// A difference of temperatures in whole degrees.
    pub fn difference(self, d: TempDiff) -> String {
        let value = if self.fahrenheit {
            d.to_fahrenheit()
        } else {
            d.to_k()
        };
        format!("{value:.0} {}", self.degree_sign())
    }
    /// A rate as set on a controller: `60 °C/h` or `108 °F/h`.
    pub fn rate(self, r: Rate) -> String {
        let value = if self.fahrenheit {
            r.to_f_per_h()
        } else {
            r.to_c_per_h()
        };
        format!("{value:.0} {}/h", self.degree_sign())
    }
    /// A ramp: its rate, `down` when it falls, or as fast as the kiln can.
    pub fn ramp(self, rate: Option<Rate>) -> String {
        match rate {
            None => "as fast as it can".to_owned(),
            Some(r) if r < Rate::ZERO => format!("down {}", self.rate(r * -1.0)),
            Some(r) => self.rate(r),
        }
    }
}

/// Hours and minutes: `10 h 05 min`.
pub fn hours(span: Span) -> String {
    let minutes = span.to_minutes().round().max(0.0) as u64;
    match (minutes / 60, minutes % 60) {
        (0, m) => format!("{m} min"),
        (h, 0) => format!("{h} h"),
        (h, m) => format!("{h} h {m:02} min"),
    }
}

/// A number with at most `places` decimals and no trailing zeros.
pub fn trimmed(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        &text
    };
    if text == "-0" { "0" } else { text }.to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tape_distances_are_halves_and_quarters() {
        let inch = Shown {
            inches: true,
            ..Shown::default()
        };
        assert_eq!(Shown::default().distance(Length::mm(123.0)), "125 mm");
        assert_eq!(Shown::default().distance(Length::mm(100.0)), "100 mm");
        assert_eq!(Shown::default().distance(Length::mm(204.0)), "20.5 cm");
        assert_eq!(inch.distance(Length::mm(121.0)), "4¾ in");
        assert_eq!(inch.distance(Length::mm(6.0)), "¼ in");
        assert_eq!(inch.length(Length::mm(152.4)), "6 in");
        assert_eq!(inch.length(Length::inches(4.25)), "4.25 in");
        assert_eq!(inch.length(Length::mm(100.0)), "3.9 in");
        assert_eq!(hours(Span::minutes(605.0)), "10 h 05 min");
        assert_eq!(trimmed(-0.01, 1), "0");
    }

    #[test]
    fn rates_and_differences_take_the_scale_without_its_zero() {
        let fahrenheit = Shown {
            fahrenheit: true,
            ..Shown::default()
        };
        assert_eq!(fahrenheit.ramp(Some(Rate::c_per_h(60.0))), "108 °F/h");
        assert_eq!(fahrenheit.difference(TempDiff::k(10.0)), "18 °F");
        assert_eq!(fahrenheit.temperature(Temperature::c(100.0)), "212 °F");
        assert_eq!(fahrenheit.ramp(Some(Rate::c_per_h(-60.0))), "down 108 °F/h");
        assert_eq!(fahrenheit.ramp(None), "as fast as it can");
        assert_eq!(fahrenheit.mark(Temperature::c(600.0)), "1110 °F");
        assert_eq!(Shown::default().mark(Temperature::c(600.0)), "600 °C");
    }
}
