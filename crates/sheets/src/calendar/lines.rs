//! Lines of RFC 5545: escaped, folded at 75 octets, ended by CR and LF.
//!
//! Written here and not by a library: the one at hand (icalendar 0.17.17) never comes to an end when it folds a place
//! of sixty emoji and many spaces, and makes up time stamps and names for reminders from clock and chance.

/// Octets in a line without its end (section 3.1).
const FOLD: usize = 75;

/// A text of content lines being made.
#[derive(Default)]
pub(super) struct Lines(String);

impl Lines {
    /// Adds a line. The value is already escaped if it is text.
    pub fn put(&mut self, name: &str, value: &str) {
        let mut used = 0;
        for c in name.chars().chain([':']).chain(value.chars()) {
            if used + c.len_utf8() > FOLD {
                // The space counts as well.
                self.0.push_str("\r\n ");
                used = 1;
            }
            self.0.push(c);
            used += c.len_utf8();
        }
        self.0.push_str("\r\n");
    }

    /// Adds a line unless its value is empty.
    pub fn put_some(&mut self, name: &str, value: &str) {
        if !value.is_empty() {
            self.put(name, value);
        }
    }

    pub fn text(self) -> String {
        self.0
    }
}

/// Text as a value (section 3.3.11). Line ends of every kind are one; other controls, which must not stand in a
/// calendar, are dropped.
pub(super) fn escaped(text: &str) -> String {
    let text = text.replace("\r\n", "\n");
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\\' | ',' | ';' => out.extend(['\\', c]),
            '\n' | '\r' | '\u{2028}' | '\u{2029}' => out.push_str("\\n"),
            '\t' => out.push(c),
            c if c.is_control() => {}
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn line(name: &str, value: &str) -> String {
        let mut lines = Lines::default();
        lines.put(name, value);
        lines.text()
    }

    #[test]
    fn text_is_escaped_and_kept_on_its_line() {
        assert_eq!(escaped("a\\b, c; d: e"), r"a\\b\, c\; d: e");
        assert_eq!(escaped("1\r\n2\n3\r4\u{2028}5"), r"1\n2\n3\n4\n5");
        assert_eq!(escaped("a\u{0}\u{b}\u{85}\u{7f}b\tc"), "ab\tc");
    }

    #[test]
    fn a_line_of_75_octets_is_whole_and_one_more_is_folded() {
        let whole = format!("NAME:{}", "x".repeat(70));
        assert_eq!(line("NAME", &"x".repeat(70)), format!("{whole}\r\n"));
        assert_eq!(line("NAME", &"x".repeat(71)), format!("{whole}\r\n x\r\n"));
        // Four octets that would reach to 76.
        let short = format!("NAME:{}", "x".repeat(69));
        let emoji = line("NAME", &format!("{}🏺", "x".repeat(69)));
        assert_eq!(emoji, format!("{short}\r\n 🏺\r\n"));
    }

    #[test]
    fn emoji_and_many_spaces_come_to_an_end() {
        let place = format!("{}{}end", "😀".repeat(60), " ".repeat(200));
        let folded = line("LOCATION", &place);
        assert_eq!(folded.replace("\r\n ", ""), format!("LOCATION:{place}\r\n"));
    }

    proptest! {
        #[test]
        fn folding_loses_nothing_and_no_line_is_too_long(value in "(?s).{0,400}") {
            let value = escaped(&value);
            let folded = line("DESCRIPTION", &value);
            prop_assert!(folded.ends_with("\r\n"));
            for line in folded.split("\r\n") {
                prop_assert!(line.len() <= FOLD && !line.contains(['\r', '\n']), "{line}");
            }
            prop_assert_eq!(folded.replace("\r\n ", ""), format!("DESCRIPTION:{value}\r\n"));
        }
    }
}
