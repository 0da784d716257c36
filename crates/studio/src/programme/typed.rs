//! Rates, targets and holds as displays show them.

use glost_model::fault::Fault;
use glost_model::firing::Segment;
use glost_model::shown::Shown;
use glost_model::{Rate, Span, Temperature};

use crate::desk::DeskError;

/// Displays show a rate like this, or a word, where the kiln goes as fast as it can.
const FULL: f64 = 9999.0;
const FULL_WORDS: [&str; 3] = ["full", "fast", "max"];
/// Rates, targets and holds beyond these are slips: °C/h, °C and hours.
const RATES: std::ops::RangeInclusive<f64> = 1.0..=2000.0;
const TARGETS: std::ops::RangeInclusive<f64> = 0.0..=1400.0;
const HOLDS: std::ops::RangeInclusive<f64> = 0.0..=99.0;
/// A kiln starts in a room like this, °C.
const ROOM: f64 = 20.0;

/// A segment as it is typed.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct TypedSegment {
    /// Rate, without a sign.
    pub rate: String,
    /// Target.
    pub target: String,
    /// Hold.
    pub hold: String,
}

impl TypedSegment {
    /// Nothing was typed.
    pub fn is_empty(&self) -> bool {
        [&self.rate, &self.target, &self.hold]
            .iter()
            .all(|t| t.trim().is_empty())
    }
}

fn number(text: &str) -> Option<f64> {
    let text = text.trim().replace(',', ".");
    text.parse().ok().filter(|n: &f64| n.is_finite())
}

/// A rate without its sign; inside, nothing where the kiln goes as fast as it can.
pub(super) fn rate(text: &str, shown: Shown) -> Option<Option<Rate>> {
    let text = text.trim();
    if FULL_WORDS.contains(&text.to_lowercase().as_str()) {
        return Some(None);
    }
    let size = number(text)?.abs();
    if size >= FULL {
        return Some(None);
    }
    let rate = if shown.fahrenheit {
        Rate::f_per_h(size)
    } else {
        Rate::c_per_h(size)
    };
    RATES.contains(&rate.to_c_per_h()).then_some(Some(rate))
}

/// A target.
pub(super) fn target(text: &str, shown: Shown) -> Option<Temperature> {
    let typed = number(text)?;
    let target = if shown.fahrenheit {
        Temperature::f(typed)
    } else {
        Temperature::c(typed)
    };
    TARGETS.contains(&target.to_c()).then_some(target)
}

/// A hold: `0:30` and `0.30` are half an hour, as displays show it; a bare number is minutes.
pub(super) fn hold(text: &str) -> Option<Span> {
    let text = text.trim();
    let span = match text.split_once([':', '.', ',']) {
        None => Span::minutes(number(text)?),
        Some((h, m)) => {
            let plain = |t: &str| t.chars().all(|c| c.is_ascii_digit());
            // "1.5" would be an hour and a half to one and an hour and five minutes to another.
            let m = Some(m).filter(|m| m.len() == 2 && plain(m))?;
            let h = Some(h).filter(|h| h.len() <= 3 && plain(h))?;
            let (h, m) = (if h.is_empty() { "0" } else { h }, m);
            let (h, m): (f64, f64) = (h.parse().ok()?, m.parse().ok()?);
            if m >= 60.0 {
                return None;
            }
            Span::h(h) + Span::minutes(m)
        }
    };
    HOLDS.contains(&span.to_h()).then_some(span)
}

/// Programme of somebody's own from what was typed; rows left empty at its end do not count. A segment falls when its
/// target is below the one before.
///
/// # Errors
/// Every fault, by its field `rate.0`, `target.0`, `hold.0`.
pub fn read(rows: &[TypedSegment], shown: Shown) -> Result<Vec<Segment>, DeskError> {
    let long = rows
        .iter()
        .rposition(|r| !r.is_empty())
        .map_or(0, |i| i + 1);
    let mut out = Vec::new();
    let mut faults: Vec<Fault> = Vec::new();
    let mut from = Temperature::c(ROOM);
    for (i, row) in rows.iter().take(long).enumerate() {
        let mut fault = |name: &str, text: &str, what: &str, remedy: &str| {
            let what = if text.trim().is_empty() {
                "is empty".to_owned()
            } else {
                format!("'{}' is {what}", text.trim())
            };
            faults.push(super::compare::fault(&format!("{name}.{i}"), what, remedy));
        };
        let rate = rate(&row.rate, shown);
        if rate.is_none() {
            let remedy = "Write the number on the display, or 9999 where it goes as fast as it can";
            fault("rate", &row.rate, "no rate of a kiln", remedy);
        }
        let target = target(&row.target, shown);
        if target.is_none() {
            let remedy = "Write the number on the display";
            fault("target", &row.target, "no temperature of a kiln", remedy);
        }
        let hold = match row.hold.trim() {
            "" => Some(Span::ZERO),
            text => hold(text),
        };
        if hold.is_none() {
            fault("hold", &row.hold, "no hold", HOLD_REMEDY);
        }
        if let (Some(rate), Some(target), Some(hold)) = (rate, target, hold) {
            let rate = rate.map(|r| if target < from { r * -1.0 } else { r });
            from = target;
            out.push(Segment {
                rate,
                target,
                hold,
                reason: "As set at the kiln.".to_owned(),
            });
        }
    }
    if faults.is_empty() {
        Ok(out)
    } else {
        Err(DeskError::Faults(faults))
    }
}

pub(super) const HOLD_REMEDY: &str = "Write minutes, or hours and minutes as 0:30 or 0.30";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn holds_are_read_as_displays_show_them() {
        let minutes = |t: &str| hold(t).map(|s| s.to_minutes().round());
        assert_eq!(minutes("15"), Some(15.0));
        assert_eq!(minutes("0:30"), Some(30.0));
        assert_eq!(minutes("0.30"), Some(30.0));
        assert_eq!(minutes("12,05"), Some(725.0));
        assert_eq!(minutes(".45"), Some(45.0));
        for bad in ["1.5", "0:75", "", "x", "-5", "1:2:3", "1:-5", "+1:05"] {
            assert_eq!(minutes(bad), None, "{bad}");
        }
    }

    #[test]
    fn rates_have_no_sign_and_full_is_none() {
        let c = Shown::default();
        let f = Shown {
            fahrenheit: true,
            ..c
        };
        let per_h = |t, s| rate(t, s).map(|r| r.map(|r| r.to_c_per_h().round()));
        assert_eq!(per_h("150", c), Some(Some(150.0)));
        assert_eq!(per_h("-150", c), Some(Some(150.0)));
        assert_eq!(per_h("108", f), Some(Some(60.0)));
        assert_eq!(per_h("Full", c), Some(None));
        assert_eq!(per_h("9999", f), Some(None));
        assert_eq!(per_h("0", c), None);
        assert_eq!(per_h("", c), None);
        assert_eq!(target("2232", f).map(|t| t.to_c().round()), Some(1222.0));
        assert_eq!(target("9000", c), None);
    }

    #[test]
    fn a_programme_falls_where_its_target_does() {
        let row = |rate: &str, target: &str, hold: &str| TypedSegment {
            rate: rate.into(),
            target: target.into(),
            hold: hold.into(),
        };
        let rows = [
            row("100", "600", ""),
            row("60", "1222", "15"),
            row("70", "760", "0:30"),
            row("", "", ""),
        ];
        let read = super::read(&rows, Shown::default()).unwrap();
        let rates: Vec<_> = read
            .iter()
            .map(|s| s.rate.map(|r| r.to_c_per_h().round()))
            .collect();
        assert_eq!(rates, [Some(100.0), Some(60.0), Some(-70.0)]);
        let holes = super::read(&[row("", "", ""), row("x", "600", "1.5")], Shown::default());
        let Err(DeskError::Faults(faults)) = holes else {
            panic!("{holes:?}");
        };
        let fields: Vec<&str> = faults.iter().map(|f| f.field.as_str()).collect();
        assert_eq!(fields, ["rate.0", "target.0", "rate.1", "hold.1"]);
        assert!(super::read(&[], Shown::default()).unwrap().is_empty());
    }
}
