//! Examples beside fields, in the units of whoever fills them in: nobody should have to convert one to see how a field
//! is written.

use crate::{Length, Temperature};

use super::{Shown, trimmed};

impl Shown {
    /// A size of about so many millimetres, as somebody would write it here: `150`, or `6` where lengths are inches.
    pub fn example_size(self, mm: f64) -> String {
        if !self.inches {
            return trimmed(mm, 0);
        }
        let inches = Length::mm(mm).to_inches();
        // Walls and gaps are read in eighths, what is larger in halves.
        let parts = if inches.abs() < 1.0 { 8.0 } else { 2.0 };
        trimmed((inches * parts).round() / parts, 3)
    }
    /// [`Self::example_size`] with its unit: `150 mm` or `6 in`.
    pub fn example_length(self, mm: f64) -> String {
        format!("{} {}", self.example_size(mm), self.length_unit())
    }
    /// A temperature of about so many °C, as somebody would write it here: `1260 °C` or `2300 °F`.
    pub fn example_temperature(self, c: f64) -> String {
        let t = Temperature::c(c);
        if self.fahrenheit {
            format!("{:.0} °F", (t.to_f() / 10.0).round() * 10.0)
        } else {
            self.temperature(t)
        }
    }
    /// Sizes of ware, one of each way to write them, with an `and` between where they stand in a sentence.
    pub fn example_sizes(self) -> [String; 3] {
        let s = |mm: f64| self.example_size(mm);
        [
            s(90.0),
            format!("{}x{}", s(200.0), s(120.0)),
            format!(
                "{} {}; {} {}; 0 {}",
                s(-60.0),
                s(-40.0),
                s(60.0),
                s(-40.0),
                s(70.0)
            ),
        ]
    }
    /// A step of a piece moved by hand, and a fine one.
    pub fn hand_steps(self) -> [(Length, &'static str); 2] {
        if self.inches {
            [
                (Length::inches(0.25), "¼ in"),
                (Length::inches(1.0 / 16.0), "1/16 in"),
            ]
        } else {
            [(Length::mm(5.0), "5 mm"), (Length::mm(1.0), "1 mm")]
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const INCH: Shown = Shown {
        fahrenheit: true,
        inches: true,
        pounds: true,
    };

    #[test]
    fn examples_are_numbers_that_people_write() {
        let metric = Shown::default();
        assert_eq!(metric.example_length(150.0), "150 mm");
        assert_eq!(INCH.example_length(150.0), "6 in");
        assert_eq!(INCH.example_length(8.0), "0.375 in");
        assert_eq!(INCH.example_temperature(1260.0), "2300 °F");
        assert_eq!(
            metric.example_sizes(),
            ["90", "200x120", "-60 -40; 60 -40; 0 70"]
        );
        assert_eq!(
            INCH.example_sizes(),
            ["3.5", "8x4.5", "-2.5 -1.5; 2.5 -1.5; 0 3"]
        );
    }
}
