//! Words that people write, of any kind: whole, or refused.

use super::DeskError;

/// Most letters of what is written about a piece.
pub(super) const MOST_NOTE: usize = 500;
/// Most letters of what is written about a firing.
pub(super) const MOST_FIRING_NOTE: usize = 1_000;

/// A text without the white space around it.
///
/// # Errors
/// A fault of the field when it is longer than `most` letters, or holds what is no text: nothing is cut off in silence.
pub(super) fn words(field: &str, text: &str, most: usize) -> Result<String, DeskError> {
    let text = text.trim();
    let letters = text.chars().count();
    if letters > most {
        return Err(DeskError::field(
            field,
            format!("{letters} letters are more than are kept here"),
            format!("Write at most {most} letters"),
        ));
    }
    if text
        .chars()
        .any(|c| c.is_control() && !matches!(c, '\n' | '\r' | '\t'))
    {
        return Err(DeskError::field(
            field,
            "it holds characters that are no text",
            "Type it anew",
        ));
    }
    Ok(text.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_kept_whole_or_refused() {
        assert_eq!(
            words("note", " lid\nsticks ", 12).ok().as_deref(),
            Some("lid\nsticks")
        );
        for bad in ["thirteen long", "a\0b", "a\u{1b}[2J"] {
            assert!(
                matches!(words("note", bad, 12), Err(DeskError::Faults(f)) if f[0].field == "note")
            );
        }
    }
}
