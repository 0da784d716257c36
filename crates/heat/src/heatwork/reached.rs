//! The cone that a firing reached, in the words of the trade.

use std::fmt;

use glost_model::cone::Cone;

/// A place on the ladder of cones.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Place {
    /// Not even cone 022 is down.
    Below,
    /// As [`Cone::position`] counts: 6.4 is four tenths of the way from 6 to 7.
    At(f64),
    /// Cone 14 is down, so how much hotter it was cannot be told.
    Top,
}

/// The cone reached, and how sure that is.
///
/// `{}` writes the place alone, as `5.4` or `06 +0.7`; `{:#}` writes the band with it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reached {
    /// The best reading.
    pub position: Place,
    /// The reading if every cone were as stiff as its doubt allows.
    pub low: Place,
    /// The reading if every cone were as soft as its doubt allows.
    pub high: Place,
}

impl Place {
    pub(super) fn of(position: Option<f64>, top: bool) -> Self {
        match position {
            None => Self::Below,
            Some(_) if top => Self::Top,
            Some(p) => Self::At(p),
        }
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let position = match self {
            Self::Below => return f.write_str("cooler than 022"),
            Self::Top => return f.write_str("14 or hotter"),
            Self::At(p) => *p,
        };
        let tenths = (position * 10.0).round();
        let rung = (tenths / 10.0).floor();
        let Some(cone) = Cone::from_position(rung) else {
            return write!(f, "{position:.1}");
        };
        let over = (tenths - rung * 10.0).abs();
        // A decimal after 06 would be read as the wrong way down the ladder.
        match (over < 0.5, rung < 0.5) {
            (true, _) => write!(f, "{cone}"),
            (false, true) => write!(f, "{cone} +{:.1}", over / 10.0),
            (false, false) => write!(f, "{:.1}", tenths / 10.0),
        }
    }
}

impl fmt::Display for Reached {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.position.fmt(f)?;
        if f.alternate() {
            write!(f, " ({} to {})", self.low, self.high)?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_written_as_loaders_say_them() {
        for (place, said) in [
            (Place::At(5.4), "5.4"),
            (Place::At(5.96), "6"),
            (Place::At(10.0), "10"),
            (Place::At(-4.3), "06 +0.7"),
            (Place::At(-4.04), "05"),
            (Place::At(-4.5), "06 +0.5"),
            (Place::At(0.0), "01"),
            (Place::At(0.4), "01 +0.4"),
            (Place::At(0.97), "1"),
            (Place::At(1.1), "1.1"),
            (Place::At(-21.0), "022"),
            (Place::Below, "cooler than 022"),
            (Place::Top, "14 or hotter"),
        ] {
            assert_eq!(place.to_string(), said, "{place:?}");
        }
    }

    #[test]
    fn the_band_is_written_on_demand() {
        let reached = Reached {
            position: Place::At(-4.3),
            low: Place::At(-4.5),
            high: Place::At(-4.1),
        };
        assert_eq!(reached.to_string(), "06 +0.7");
        assert_eq!(format!("{reached:#}"), "06 +0.7 (06 +0.5 to 06 +0.9)");
    }
}
