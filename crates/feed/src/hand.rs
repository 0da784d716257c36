//! A reading that a person takes off the display.

use jiff::Timestamp;

use glost_model::Temperature;
use glost_model::fault::Fault;
use glost_model::readings::Sample;
use glost_model::shown::Shown;

use crate::cell::short;
use crate::rows::decimal;

/// Lowest and highest reading of a display, °C.
const RANGE_C: (f64, f64) = (-50.0, 1800.0);

/// Reads what was typed: a number in the person's unit, or with its unit behind it, `1222`, `1221.5 °C`, `2232 F`.
///
/// # Errors
/// What is wrong, at the field `reading`.
pub fn typed(text: &str, shown: Shown, at: Timestamp) -> Result<Sample, Fault> {
    let fault = |what: String, remedy: String| Fault {
        file: String::new(),
        line: None,
        field: "reading".to_owned(),
        what,
        remedy,
    };
    let text = text.trim();
    let like = || {
        let example = shown.temperature(Temperature::c(1000.0));
        format!("Write what the display shows, like {example}")
    };
    if text.is_empty() {
        return Err(fault("nothing was written".to_owned(), like()));
    }
    let comma = text.contains(',');
    let celsius = decimal(text, comma, &["°C", "C"]).map(Temperature::c);
    let fahrenheit = decimal(text, comma, &["°F", "F"]).map(Temperature::f);
    // A bare number is read by both: the person's unit decides.
    let (own, other) = if shown.fahrenheit {
        (fahrenheit, celsius)
    } else {
        (celsius, fahrenheit)
    };
    let Ok(found) = own.or(other) else {
        return Err(fault(
            format!("'{}' is no temperature", short(text)),
            like(),
        ));
    };
    let (least, most) = (Temperature::c(RANGE_C.0), Temperature::c(RANGE_C.1));
    if (RANGE_C.0 - 1e-9..=RANGE_C.1 + 1e-9).contains(&found.to_c()) {
        return Ok(Sample::of_sensor(at, found));
    }
    let remedy = format!(
        "Readings are from {} to {}: see whether the display shows °C or °F, and write the unit behind the number",
        shown.temperature(least),
        shown.temperature(most)
    );
    Err(fault(
        format!("{} is no temperature of a kiln", short(text)),
        remedy,
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_display_is_read_in_the_persons_unit() {
        let f = Shown {
            fahrenheit: true,
            ..Shown::default()
        };
        let at = Timestamp::UNIX_EPOCH;
        for (text, shown, wanted) in [
            ("1222", Shown::default(), Some(1222.0)),
            (" 1221,5 ", Shown::default(), Some(1221.5)),
            ("2232 °F", Shown::default(), Some(1222.22)),
            ("2232", f, Some(1222.22)),
            ("100C", f, Some(100.0)),
            ("2232", Shown::default(), None),
            ("", f, None),
            ("hot", f, None),
            ("12 K", f, None),
            ("nan", f, None),
        ] {
            let found = typed(text, shown, at).map(|s| s.sensor.map(Temperature::to_c));
            let found = found.ok().flatten().map(|c| (c * 100.0).round() / 100.0);
            assert_eq!(found, wanted, "{text}");
        }
        let far = typed("9999", f, at).err().map(|f| f.remedy);
        assert!(far.is_some_and(|r| r.contains("3272 °F")));
    }
}
