//! What a studio asks its makers for firing their ware.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::fault::Fault;
use crate::load::FiringKind;
use crate::quantity::{Area, Length, Money};

/// Most that a price may be, as for energy.
const MOST: f64 = 10_000.0;

/// What a price is multiplied with.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "measure", rename_all = "kebab-case")]
pub enum By {
    /// Nothing is asked: the firing is in the dues, or in the price of the clay.
    #[default]
    Nothing,
    /// The box round a piece: length × width × height.
    Volume,
    /// Mass as it is loaded.
    Mass,
    /// What the widest part covers, seen from above.
    Footprint,
    /// The same as a part of a shelf; the price is that of a whole shelf.
    Shelf {
        /// Area of the shelf that the price is for, m².
        #[serde(rename = "area_m2")]
        area: Area,
    },
    /// So much for each piece.
    Piece,
}

/// Units that prices are for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Measured {
    /// Litres, kilograms, square decimetres (100 cm²); words speak of millimetres.
    #[default]
    Metric,
    /// Cubic inches, pounds, square inches; words speak of inches.
    Inches,
}

/// One thing for bisque and another for glaze.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
pub struct ByKind<T> {
    /// Of a bisque firing.
    pub bisque: T,
    /// Of a glaze firing.
    pub glaze: T,
}

impl<T: Copy> ByKind<T> {
    /// That of a kind of firing.
    pub const fn of(&self, kind: FiringKind) -> T {
        match kind {
            FiringKind::Bisque => self.bisque,
            FiringKind::Glaze => self.glaze,
        }
    }
}

/// What it costs to have a kiln to oneself.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Hire {
    /// Kiln's name.
    pub kiln: String,
    /// The whole kiln, hundredths of the currency.
    #[serde(rename = "whole_cents")]
    pub whole: ByKind<Money>,
    /// Half of it, where the studio lets halves.
    #[serde(default, rename = "half_cents")]
    pub half: Option<ByKind<Money>>,
}

/// How a studio charges. Amounts are in the studio's currency.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
pub struct Scheme {
    /// What a price is multiplied with.
    pub by: By,
    /// Units that prices are for.
    #[serde(default)]
    pub measured: Measured,
    /// Price of one unit, in whole units of the currency. A kind whose price and fixed part are
    /// nothing is free, whatever the least charge.
    pub price: ByKind<f64>,
    /// On top for each piece, hundredths.
    #[serde(default, rename = "each_cents")]
    pub each: Money,
    /// On top for a piece that needs a stilt: glaze firings of pieces with a glazed foot, hundredths.
    #[serde(default, rename = "stilted_cents")]
    pub stilted: Money,
    /// Least charge for a piece, hundredths.
    #[serde(default, rename = "least_cents")]
    pub least: Money,
    /// A lower piece counts as this high (plates), m.
    #[serde(default, rename = "low_counts_as_m")]
    pub low_counts_as: Option<Length>,
    /// Stilts and trays are measured with the piece.
    #[serde(default)]
    pub supports_counted: bool,
    /// Kilns that may be had whole.
    #[serde(default)]
    pub kilns: Vec<Hire>,
}

impl Scheme {
    /// What cannot be asked of anybody, each with its field; `file` is the name that faults give it.
    pub fn faults(&self, file: &str) -> Vec<Fault> {
        let mut faults = Vec::new();
        let mut check = |field: &str, good: bool, found: String, remedy: &str| {
            if !good {
                faults.push(Fault {
                    file: file.to_owned(),
                    line: None,
                    field: field.to_owned(),
                    what: format!("{found} is out of bounds"),
                    remedy: remedy.to_owned(),
                });
            }
        };
        let prices = [
            ("price.bisque", self.price.bisque),
            ("price.glaze", self.price.glaze),
        ];
        for (field, price) in prices {
            let good = (0.0..=MOST).contains(&price);
            check(
                field,
                good,
                price.to_string(),
                "Write a price from 0 to 10000",
            );
        }
        let mut amounts = vec![
            ("each".to_owned(), self.each),
            ("stilted".to_owned(), self.stilted),
            ("least".to_owned(), self.least),
        ];
        for (at, hire) in self.kilns.iter().enumerate() {
            let parts = [("whole", Some(hire.whole)), ("half", hire.half)];
            for (part, price) in parts.into_iter().filter_map(|(p, m)| Some((p, m?))) {
                amounts.push((format!("kilns.{at}.{part}.bisque"), price.bisque));
                amounts.push((format!("kilns.{at}.{part}.glaze"), price.glaze));
            }
        }
        for (field, amount) in amounts {
            let good = (0.0..=MOST).contains(&amount.to_units());
            let found = format!("{:.2}", amount.to_units());
            check(&field, good, found, "Write an amount from 0 to 10000");
        }
        if let By::Shelf { area } = self.by {
            let good = (1e-4..=9.0).contains(&area.to_m2());
            let found = format!("{} m²", area.to_m2());
            check(
                "area",
                good,
                found,
                "Choose the shelf that the price is for",
            );
        }
        if let Some(low) = self.low_counts_as {
            let good = (0.0..=3.0).contains(&low.to_m());
            let found = format!("{:.0} mm", low.to_mm());
            check("low_counts_as", good, found, "Write a height up to 3 m");
        }
        faults
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_scheme_outlives_its_json() {
        let scheme = Scheme {
            by: By::Shelf {
                area: Area::m2(0.2),
            },
            price: ByKind {
                bisque: 5.0,
                glaze: 7.5,
            },
            low_counts_as: Some(Length::inches(3.0)),
            kilns: vec![Hire {
                kiln: "Heron".into(),
                whole: ByKind::default(),
                half: None,
            }],
            ..Scheme::default()
        };
        let text = serde_json::to_string(&scheme).unwrap();
        assert_eq!(serde_json::from_str::<Scheme>(&text).unwrap(), scheme);
        let bare = r#"{"by":{"measure":"volume"},"price":{"bisque":0.02,"glaze":0.04}}"#;
        let read: Scheme = serde_json::from_str(bare).unwrap();
        assert_eq!((read.by, read.measured), (By::Volume, Measured::Metric));
        assert_eq!(read.faults("charges"), []);
    }

    #[test]
    fn every_amount_is_held_within_bounds() {
        let scheme = Scheme {
            by: By::Shelf { area: Area::ZERO },
            price: ByKind {
                bisque: f64::NAN,
                glaze: -1.0,
            },
            each: Money::cents(-1),
            low_counts_as: Some(Length::m(4.0)),
            kilns: vec![Hire {
                kiln: "Heron".into(),
                whole: ByKind::default(),
                half: Some(ByKind {
                    bisque: Money::cents(0),
                    glaze: Money::cents(1_000_001),
                }),
            }],
            ..Scheme::default()
        };
        let fields: Vec<String> = scheme
            .faults("charges")
            .into_iter()
            .map(|f| f.field)
            .collect();
        assert_eq!(
            fields,
            [
                "price.bisque",
                "price.glaze",
                "each",
                "kilns.0.half.glaze",
                "area",
                "low_counts_as"
            ]
        );
    }
}
