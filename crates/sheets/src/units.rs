//! Quantities in the words and units of the studio.

use glost_model::studio::Shown;
use glost_model::{Length, Mass, Rate, Span, TempDiff, Temperature};

/// A number with at most `places` decimals and no trailing zeros.
pub(crate) fn trimmed(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        &text
    };
    if text == "-0" { "0" } else { text }.to_owned()
}

/// A length without its unit: whole millimetres, or inches to a tenth.
pub(crate) fn bare_length(shown: Shown, length: Length) -> String {
    if shown.inches {
        trimmed(length.to_inches(), 1)
    } else {
        trimmed(length.to_mm(), 0)
    }
}

/// The unit that goes with [`bare_length`].
pub(crate) fn length_unit(shown: Shown) -> &'static str {
    if shown.inches { "in" } else { "mm" }
}

/// A height, a thickness or the length of a post.
pub(crate) fn length(shown: Shown, length: Length) -> String {
    format!("{} {}", bare_length(shown, length), length_unit(shown))
}

/// A distance as read off a tape: half centimetres or quarter inches.
pub(crate) fn distance(shown: Shown, length: Length) -> String {
    if !shown.inches {
        let halves = (length.to_mm() / 5.0).round();
        return format!("{} cm", trimmed(halves / 2.0, 1));
    }
    let quarters = (length.to_inches() * 4.0).round();
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

/// A temperature on the studio's scale, as a number.
pub(crate) fn degrees(shown: Shown, t: Temperature) -> f64 {
    if shown.fahrenheit { t.to_f() } else { t.to_c() }
}

/// Sign of the studio's scale.
pub(crate) fn degree_sign(shown: Shown) -> &'static str {
    if shown.fahrenheit { "°F" } else { "°C" }
}

/// A temperature in whole degrees.
pub(crate) fn temperature(shown: Shown, t: Temperature) -> String {
    format!("{:.0} {}", degrees(shown, t), degree_sign(shown))
}

/// A difference of temperatures in whole degrees.
pub(crate) fn difference(shown: Shown, d: TempDiff) -> String {
    let value = if shown.fahrenheit {
        d.to_fahrenheit()
    } else {
        d.to_k()
    };
    format!("{value:.0} {}", degree_sign(shown))
}

/// A ramp as set on a controller.
pub(crate) fn rate(shown: Shown, rate: Option<Rate>) -> String {
    match rate {
        None => "as fast as it can".to_owned(),
        Some(r) if shown.fahrenheit => format!("{:.0} °F/h", r.to_f_per_h()),
        Some(r) => format!("{:.0} °C/h", r.to_c_per_h()),
    }
}

/// Hours and minutes.
pub(crate) fn hours(span: Span) -> String {
    let minutes = span.to_minutes().round().max(0.0) as u64;
    match (minutes / 60, minutes % 60) {
        (0, m) => format!("{m} min"),
        (h, 0) => format!("{h} h"),
        (h, m) => format!("{h} h {m:02} min"),
    }
}

/// A mass to a tenth.
pub(crate) fn mass(shown: Shown, mass: Mass) -> String {
    if shown.pounds {
        format!("{} lb", trimmed(mass.to_pounds(), 1))
    } else {
        format!("{} kg", trimmed(mass.to_kg(), 1))
    }
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
        assert_eq!(distance(Shown::default(), Length::mm(123.0)), "12.5 cm");
        assert_eq!(distance(inch, Length::mm(121.0)), "4¾ in");
        assert_eq!(distance(inch, Length::mm(6.0)), "¼ in");
        assert_eq!(length(inch, Length::mm(152.4)), "6 in");
        assert_eq!(hours(Span::minutes(605.0)), "10 h 05 min");
        assert_eq!(trimmed(-0.01, 1), "0");
    }
}
