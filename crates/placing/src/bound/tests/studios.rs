//! On whole studios: the demo's kilns, and a studio that measures in inches.

use glost_model::studio::Studio;
use glost_model::text::{Texts, read};
use glost_rules::RuleBook;

use super::made::ask;
use crate::{PlanAsk, worth_bounds};

fn open(folder: &str) -> Studio {
    let folder = format!("{}/../../{folder}", env!("CARGO_MANIFEST_DIR"));
    let text = |name: &str| std::fs::read_to_string(format!("{folder}/{name}")).unwrap();
    let texts = Texts {
        studio: text("studio.toml"),
        clays: text("clays.toml"),
        glazes: text("glazes.toml"),
        furniture: text("furniture.toml"),
        kilns: text("kilns.toml"),
        pieces: text("pieces.csv"),
    };
    read(&texts).unwrap()
}

/// The bound of areas and heights alone, with levels of any height, was the worth of all ware.
#[test]
fn not_all_ware_fits_one_load() {
    for (folder, kiln, share) in [
        ("demo", "Heron", 0.98),
        ("demo", "Badger", 0.93),
        ("crates/model/tests/data/inches", "Marten", 0.96),
    ] {
        let studio = open(folder);
        let book = RuleBook::from_overrides(&studio.rule_overrides, "studio.toml").unwrap();
        let ask = PlanAsk {
            kiln,
            ..ask(&studio, &book, 1, 0)
        };
        let all: f64 = crate::ware::sort_out(&ask).0.iter().map(|w| w.value).sum();
        let b = worth_bounds(&ask).unwrap();
        println!(
            "{kiln}: of {all:.1} at most {:.1}, typical best {:.1}",
            b.at_most, b.typical_best
        );
        assert!(b.at_most < share * all, "{kiln}: {} of {all}", b.at_most);
        assert!(b.typical_best < b.at_most);
    }
}
