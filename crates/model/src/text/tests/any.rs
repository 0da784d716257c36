//! No input makes the reader panic.

use proptest::prelude::*;

use super::sample::sample;
use crate::text::{Texts, read};

/// Puts a snippet in place of a stretch of the text.
pub(super) fn mar(text: &mut String, at: usize, len: usize, put: &str) {
    let mut bounds: Vec<usize> = text.char_indices().map(|(i, _)| i).collect();
    bounds.push(text.len());
    let from = at % bounds.len();
    let to = (from + len).min(bounds.len() - 1);
    text.replace_range(bounds[from]..bounds[to], put);
}

pub(super) fn six(texts: &mut Texts) -> [&mut String; 6] {
    let Texts {
        studio,
        clays,
        glazes,
        furniture,
        kilns,
        pieces,
    } = texts;
    [studio, clays, glazes, furniture, kilns, pieces]
}

pub(super) const SNIPPETS: [&str; 16] = [
    "",
    "\"",
    "\n",
    ",",
    ";",
    "1e308",
    "-0",
    "nan",
    "[[",
    "{ }",
    "= []",
    "\u{0}",
    "é½×",
    "x",
    "0x",
    "99999999999999999999",
];

proptest! {
    #![proptest_config(ProptestConfig { cases: 1500, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_is_read_or_refused(all in proptest::array::uniform6(any::<String>())) {
        let [studio, clays, glazes, furniture, kilns, pieces] = all;
        let refused = read(&Texts { studio, clays, glazes, furniture, kilns, pieces });
        prop_assert!(refused.is_err());
    }

    #[test]
    fn a_marred_sample_is_read_or_refused_with_a_reason(
        inches in any::<bool>(),
        marks in prop::collection::vec((0..6_usize, any::<usize>(), 0..12_usize, 0..SNIPPETS.len()), 1..5),
    ) {
        let mut texts = sample(inches);
        for (file, at, len, put) in marks {
            mar(six(&mut texts)[file], at, len, SNIPPETS[put]);
        }
        if let Err(faults) = read(&texts) {
            prop_assert!(!faults.is_empty());
            prop_assert!(faults.iter().all(|f| !f.what.is_empty() && !f.remedy.is_empty() && f.line != Some(0)));
        }
    }

    #[test]
    fn any_corners_are_read_or_refused(corners in prop::collection::vec((-9..9_i32, -9..9_i32), 0..9)) {
        let mut texts = sample(false);
        let list: Vec<String> = corners.iter().map(|(x, y)| format!("{x} {y}")).collect();
        texts.pieces = texts.pieces.replace("-60 -40; 60 -40; 0 70", &list.join(";"));
        if let Ok(studio) = read(&texts) {
            prop_assert!(studio.pieces[3].widest.area().to_m2() > 0.0);
        }
    }
}
