//! Texts of causes in the units of whoever reads them.

use glost_model::shown::Shown;
use glost_model::{TempDiff, Temperature};

/// Fills numbers of °C in: `{573}` is a temperature, `{~100}` a difference of two.
pub(super) fn fill(text: &str, shown: Shown) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('{') {
        out.push_str(before);
        let Some((number, then)) = after.split_once('}') else {
            rest = after;
            continue;
        };
        let difference = number.strip_prefix('~').map(str::parse::<f64>);
        match (difference, number.parse()) {
            (Some(Ok(k)), _) => out.push_str(&shown.difference(TempDiff::k(k))),
            (None, Ok(c)) => out.push_str(&shown.temperature(Temperature::c(c))),
            _ => out.push_str(number),
        }
        rest = then;
    }
    out.push_str(rest);
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_told_in_the_readers_degrees() {
        let c = Shown::default();
        let f = Shown {
            fahrenheit: true,
            ..c
        };
        let text = "From {650} on, {~100} more";
        assert_eq!(fill(text, c), "From 650 °C on, 100 °C more");
        assert_eq!(fill(text, f), "From 1202 °F on, 180 °F more");
        assert_eq!(fill("a {brace} and {", c), "a brace and ");
        for cause in super::super::all() {
            for told in [cause.title(f), cause.change(f)] {
                assert!(!told.contains(['{', '}']) && !told.contains("°C"), "{told}");
            }
        }
    }
}
