//! Numbers as loggers write them.

use crate::cell::{Wrong, short};

/// Reads a number, with its unit behind it or not. A unit that is not one of `units` is a fault.
pub(crate) fn decimal(text: &str, comma: bool, units: &[&str]) -> Result<f64, Wrong> {
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+' | 'e' | 'E')))
        .unwrap_or(text.len());
    let (digits, unit) = text.split_at(end);
    let unit = unit.trim();
    let mark = if comma { ',' } else { '.' };
    let other = if comma { '.' } else { ',' };
    let plain = if comma {
        digits.replacen(',', ".", 1)
    } else {
        digits.to_owned()
    };
    let found = (!digits.contains(other))
        .then(|| plain.parse::<f64>().ok())
        .flatten()
        .filter(|n| n.is_finite());
    let Some(found) = found else {
        let what = format!("'{}' is not a number", short(text));
        let remedy = format!(
            "Decimals are read with a '{mark}' and thousands without any mark: correct the layout, or add the word to those that mean no reading"
        );
        return Err((what, remedy));
    };
    if unit.is_empty() || units.iter().any(|u| u.eq_ignore_ascii_case(unit)) {
        return Ok(found);
    }
    let what = format!("'{}' has another unit than the layout says", short(text));
    let known = units.first().copied().unwrap_or("none");
    Err((
        what,
        format!("The layout says {known}: correct one of the two"),
    ))
}

/// A number within bounds.
pub(crate) fn within(value: f64, least: f64, most: f64, unit: &str) -> Result<f64, Wrong> {
    if (least..=most).contains(&value) {
        return Ok(value);
    }
    let what = format!("{value} is out of bounds");
    Err((
        what,
        format!("It is read from {least} to {most} {unit}: correct the unit in the layout"),
    ))
}

#[cfg(test)]
mod tests {
    use super::decimal;

    #[test]
    fn marks_and_units_are_those_of_the_layout() {
        let c = ["°C", "C"];
        for (text, comma, wanted) in [
            ("18.4", false, Some(18.4)),
            ("18,4", true, Some(18.4)),
            ("18,4", false, None),
            ("1.222,5", true, None),
            ("1,222.5", false, None),
            ("-3", true, Some(-3.0)),
            ("1222 °c", false, Some(1222.0)),
            ("1222C", false, Some(1222.0)),
            ("1222F", false, None),
            ("1e2", false, Some(100.0)),
            ("1e999", false, None),
            ("OPEN", false, None),
            ("", false, None),
            ("18.4 19", false, None),
        ] {
            let found = decimal(text, comma, &c).ok();
            assert_eq!(found, wanted, "{text}");
        }
    }
}
