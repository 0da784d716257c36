//! What Glost tells people of a kiln, and how it was told. A notice that does not come does not mean that all is well.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

/// What a notice is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum NoticeKind {
    /// Something is not as it should be.
    Alarm,
    /// The firing nears its end: somebody is to be there.
    End,
    /// The peak is over.
    Over,
    /// The kiln is cool enough to open.
    Open,
    /// No readings come.
    Silent,
}

impl NoticeKind {
    /// All.
    pub const ALL: [Self; 5] = [Self::Alarm, Self::End, Self::Over, Self::Open, Self::Silent];
    /// Key in lists, files and messages to programs.
    pub fn key(self) -> &'static str {
        match self {
            Self::Alarm => "alarm",
            Self::End => "end",
            Self::Over => "over",
            Self::Open => "open",
            Self::Silent => "silent",
        }
    }
    /// The kind of that key.
    pub fn of_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|k| k.key() == key)
    }
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Alarm => "alarm",
            Self::End => "end is near",
            Self::Over => "peak over",
            Self::Open => "cool enough to open",
            Self::Silent => "no readings",
        }
    }
}

/// Something that people are told of a firing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Notice {
    /// Id of the firing.
    pub firing: String,
    /// Name of its kiln.
    pub kiln: String,
    /// When it was seen: now, by the clock of whoever raises it. Limits and tries count from it.
    pub at: Timestamp,
    /// What it is about.
    pub kind: NoticeKind,
    /// Which of its kind, as `element-out`: by it the same one is known again. Empty where there is only one.
    #[serde(default)]
    pub about: String,
    /// What is so, in a sentence.
    pub words: String,
    /// What to do about it, in a sentence.
    pub what_to_do: String,
    /// It cannot wait for quiet hours to end.
    pub urgent: bool,
    /// How grave it is among the urgent or the others: a higher number than last time is told at once.
    #[serde(default)]
    pub grave: u8,
    /// Page about it, a path as `/firings/0012`.
    #[serde(default)]
    pub link: Option<String>,
}

/// Most letters of a sentence of a notice. What is to be done first and what mends it stand in one.
pub const MOST_SENTENCE: usize = 600;

impl Notice {
    /// Whether it tells of the same as another.
    pub fn same_as(&self, other: &Self) -> bool {
        self.firing == other.firing && self.kind == other.kind && self.about == other.about
    }

    /// Whether things are worse than another said.
    pub fn worse_than(&self, other: &Self) -> bool {
        (self.urgent, self.grave) > (other.urgent, other.grave)
    }

    /// With every text on one line and of a fit length, whatever it was made from; a link that leads elsewhere goes.
    #[must_use]
    pub fn plain(&self) -> Self {
        Self {
            firing: one_line(&self.firing, 20),
            kiln: one_line(&self.kiln, 80),
            about: one_line(&self.about, 40),
            words: one_line(&self.words, MOST_SENTENCE),
            what_to_do: one_line(&self.what_to_do, MOST_SENTENCE),
            link: self.link.clone().filter(|l| is_path(l)),
            ..self.clone()
        }
    }
}

/// A text on one line: what would break it is a space, and no two spaces follow each other.
pub fn one_line(text: &str, most: usize) -> String {
    let breaks =
        |c: char| c.is_control() || c.is_whitespace() || matches!(c, '\u{2028}' | '\u{2029}');
    let words: Vec<&str> = text.split(breaks).filter(|w| !w.is_empty()).collect();
    let line: String = words.join(" ").chars().take(most).collect();
    line.trim_end().to_owned()
}

/// Whether it is a page of this studio, not of another place.
fn is_path(link: &str) -> bool {
    let plain = |b: u8| b.is_ascii_graphic() && b != b'\\';
    link.starts_with('/') && !link.starts_with("//") && link.len() <= 200 && link.bytes().all(plain)
}

/// How far a notice has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Standing {
    /// Nobody is on it.
    Open,
    /// Somebody is on it.
    OnIt,
    /// It has passed, or a later one stands in its place.
    Past,
}

impl Standing {
    /// Key in lists.
    pub fn key(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::OnIt => "on-it",
            Self::Past => "past",
        }
    }
}

/// Somebody has seen a notice and is on it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Seen {
    /// Who.
    pub who: String,
    /// When.
    pub at: Timestamp,
}

/// A notice as the book has it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Raised {
    /// Id: its number in six digits.
    pub id: String,
    /// What is told.
    pub notice: Notice,
    /// How far it has come.
    pub standing: Standing,
    /// Who is on it.
    #[serde(default)]
    pub seen: Vec<Seen>,
    /// When it passed.
    #[serde(default)]
    pub past: Option<Timestamp>,
    /// It stands on the pages only: the same was told a short while ago, or too many others were.
    #[serde(default)]
    pub untold: bool,
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn notice(words: &str, link: &str) -> Notice {
        Notice {
            firing: "0012".into(),
            kiln: words.into(),
            at: Timestamp::UNIX_EPOCH,
            kind: NoticeKind::Alarm,
            about: "element-out".into(),
            words: words.into(),
            what_to_do: words.into(),
            urgent: false,
            grave: 0,
            link: Some(link.into()),
        }
    }

    proptest! {
        #[test]
        fn nothing_breaks_a_line(words in any::<String>(), most in 0_usize..60) {
            let line = one_line(&words, most);
            prop_assert!(line.chars().count() <= most);
            let breaks = |c: char| c.is_control() || matches!(c, '\u{2028}' | '\u{2029}' | '\u{85}');
            prop_assert!(!line.contains(breaks));
            prop_assert_eq!(one_line(&line, most), line.clone());
        }
    }

    #[test]
    fn only_a_page_of_the_studio_is_a_link() {
        for bad in [
            "//elsewhere.example/",
            "https://elsewhere.example",
            "/a b",
            "/a\r\nBcc: x",
            "/\\elsewhere",
            "",
        ] {
            assert_eq!(notice("so", bad).plain().link, None, "{bad:?}");
        }
        assert_eq!(
            notice("so", "/firings/0012").plain().link.unwrap(),
            "/firings/0012"
        );
    }

    #[test]
    fn urgent_is_worse_than_grave() {
        let (mild, mut urgent) = (notice("so", "/"), notice("so", "/"));
        urgent.urgent = true;
        let grave = Notice {
            grave: 9,
            ..mild.clone()
        };
        assert!(urgent.worse_than(&grave) && grave.worse_than(&mild) && !mild.worse_than(&mild));
        assert!(grave.same_as(&mild));
    }
}
