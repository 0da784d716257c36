//! Pyrometric cones as a ladder from 022 (coolest) to 14.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A cone of the ladder 022 … 01, 1 … 14, with the halves 05½ and 5½.
///
/// Ordered by heat: `06 < 6`. The leading zero is part of the name; mixing up 06 and 6 ruins a load.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Cone(i16);

/// The text is not the name of a cone.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("'{0}' is not a cone: write 022 to 01 or 1 to 14, or a half as 05.5 or 5.5")]
pub struct NotACone(pub String);

impl Cone {
    /// Every cone from the coolest to the hottest.
    pub fn all() -> impl Iterator<Item = Self> {
        (-42..=28).filter_map(Self::from_half_rungs)
    }

    fn from_half_rungs(half: i16) -> Option<Self> {
        let known = (-42..=28).contains(&half) && (half % 2 == 0 || half == -9 || half == 11);
        known.then_some(Self(half))
    }

    /// The cone at exactly this place on the ladder, if there is one.
    pub fn from_position(position: f64) -> Option<Self> {
        let half = position * 2.0;
        ((half - half.round()).abs() < 1e-9)
            .then(|| Self::from_half_rungs(half.round() as i16))
            .flatten()
    }

    /// The whole cones next to it: the cooler one, which bends before it, and the hotter one, which bends after it.
    pub fn neighbours(self) -> [Option<Self>; 2] {
        let at = self.position();
        let whole = (at - at.round()).abs() < 1e-9;
        let by = |far: f64| if whole { far } else { far / 2.0 };
        [-1.0, 1.0].map(|far| Self::from_position(at + by(far)))
    }

    /// Place on the ladder: 022 is −21, 01 is 0, 1 is 1, 14 is 14; 05½ is −4.5, 5½ is 5.5.
    pub fn position(self) -> f64 {
        f64::from(self.0) / 2.0
    }

    /// Reads `06`, `6`, `5.5`, `5½` or `05.5`. Spaces around it and a leading 'cone', '^' or 'Δ' are fine.
    ///
    /// # Errors
    /// [`NotACone`] for anything else; `0`, `00` and `15` among them.
    pub fn parse(text: &str) -> Result<Self, NotACone> {
        let bad = || NotACone(text.to_owned());
        let lower = text.trim().to_lowercase();
        let name = lower
            .strip_prefix("cone")
            .unwrap_or(&lower)
            .trim()
            .trim_start_matches(['^', 'δ']);
        let (whole, half) = match name.strip_suffix('½').or_else(|| name.strip_suffix(".5")) {
            Some(w) => (w, true),
            None => (name, false),
        };
        if whole.is_empty() || whole.len() > 3 || !whole.bytes().all(|b| b.is_ascii_digit()) {
            return Err(bad());
        }
        let n: i16 = whole.parse().map_err(|_e| bad())?;
        let zero = whole.starts_with('0');
        if n == 0 || (zero && whole != format!("0{n}")) {
            return Err(bad());
        }
        let rung = if zero { 2 * (1 - n) } else { 2 * n };
        // 05½ is cooler than 05, 5½ hotter than 5.
        let step = if zero {
            -i16::from(half)
        } else {
            i16::from(half)
        };
        Self::from_half_rungs(rung + step).ok_or_else(bad)
    }

    /// Coarse range in words, shown beside the number so that 06 is never read as 6.
    pub fn range_name(self) -> &'static str {
        match self.0 {
            ..=-28 => "very low fire, for lustre and enamel",
            -27..=2 => "low fire",
            3..=14 => "mid fire",
            _ => "high fire",
        }
    }
}

impl fmt::Display for Cone {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // 05½ stands between 06 and 05, so halves below cone 1 round toward the cooler name.
        let half = if self.0 % 2 == 0 { "" } else { "½" };
        let floor = self.0.div_euclid(2);
        match (floor, half) {
            (..=0, "½") => write!(f, "0{}½", -floor),
            (..=0, _) => write!(f, "0{}", 1 - floor),
            _ => write!(f, "{floor}{half}"),
        }
    }
}

impl Serialize for Cone {
    fn serialize<S: serde::Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.collect_str(self)
    }
}
impl<'de> Deserialize<'de> for Cone {
    fn deserialize<D: serde::Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        let text = String::deserialize(d)?;
        Self::parse(&text).map_err(serde::de::Error::custom)
    }
}
impl JsonSchema for Cone {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Cone".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({
            "type": "string",
            "description": "Name of a pyrometric cone: 022 to 01, 1 to 14, 05½, 5½",
            "pattern": pattern()
        })
    }
}

/// Every name as it is written out, and the halves with `.5`, for keyboards without ½.
fn pattern() -> String {
    let names = Cone::all().flat_map(|cone| {
        let name = cone.to_string();
        let dotted = name.strip_suffix('½').map(|whole| format!(r"{whole}\.5"));
        std::iter::once(name).chain(dotted)
    });
    format!("^({})$", names.collect::<Vec<_>>().join("|"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_round_trip_in_order() {
        let all: Vec<_> = Cone::all().collect();
        assert_eq!(all.len(), 22 + 14 + 2);
        for c in &all {
            assert_eq!(Cone::parse(&c.to_string()), Ok(*c), "{c}");
            assert_eq!(Cone::from_position(c.position()), Some(*c));
        }
        assert_eq!(all[0].to_string(), "022");
        assert!(Cone::parse("06").unwrap() < Cone::parse("6").unwrap());
        assert_eq!(Cone::parse("05.5").ok(), Cone::from_position(-4.5));
        assert_eq!(Cone::parse("Cone 5½").ok(), Cone::from_position(5.5));
    }

    #[test]
    fn the_schema_takes_every_name_and_no_other() {
        let pattern = pattern();
        let inner = pattern
            .strip_prefix("^(")
            .and_then(|p| p.strip_suffix(")$"));
        let raw: Vec<&str> = inner.unwrap().split('|').collect();
        // With nothing but digits and ½ left, no listed name can match anything but itself.
        for name in &raw {
            let plain = name.replace(r"\.5", "");
            assert!(
                plain.chars().all(|c| c.is_ascii_digit() || c == '½'),
                "{name}"
            );
        }
        let listed: Vec<String> = raw.iter().map(|n| n.replace(r"\.", ".")).collect();
        let mut wanted: Vec<String> = Cone::all().map(|c| c.to_string()).collect();
        wanted.extend(["05.5".to_owned(), "5.5".to_owned()]);
        for name in &wanted {
            assert!(listed.contains(name), "{name}");
            assert!(Cone::parse(name).is_ok(), "{name}");
        }
        assert_eq!(listed.len(), wanted.len());
    }

    #[test]
    fn refuses_what_is_no_cone() {
        for bad in [
            "", "0", "00", "15", "023", "006", "6.2", "six", "-6", "4.5", "½", "99999",
        ] {
            assert!(Cone::parse(bad).is_err(), "{bad}");
        }
    }
}
