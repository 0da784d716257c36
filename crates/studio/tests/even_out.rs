//! Evening a load out changes places only: the same ware goes, and the judge still accepts it.

use std::collections::BTreeMap;

use glost_check::judge;
use glost_model::cone::Cone;
use glost_model::load::{FiringKind, LoadPlan};
use glost_model::piece::Delicacy;
use glost_placing::{PlanAsk, plan_unproved};
use glost_studio::{demo_texts, even_out, open_texts};

/// Height of the shelf under each piece, mm.
fn heights(load: &LoadPlan) -> BTreeMap<String, f64> {
    let all = load.placed();
    all.map(|(t, p)| (p.piece.clone(), t.top_m.to_mm()))
        .collect()
}

#[test]
fn the_demo_gets_more_even_and_stays_accepted() {
    let (studio, book) = open_texts(&demo_texts()).unwrap();
    let mut evened = 0;
    for (kiln, seed) in [("Heron", 1), ("Badger", 1), ("Heron", 2)] {
        let ask = PlanAsk {
            studio: &studio,
            book: &book,
            kiln,
            cone: Cone::parse("6").unwrap(),
            kind: FiringKind::Glaze,
            today: jiff::civil::date(2026, 11, 25),
            seed,
            rounds: 60,
            worth: None,
        };
        let load = plan_unproved(&ask, &mut |_, _| true).unwrap();
        let told = even_out(&ask, &load).unwrap();
        assert!(told.after <= told.before, "{told:?}");
        assert_eq!(judge(&studio, &book, &told.load), vec![]);
        let (was, is) = (heights(&load), heights(&told.load));
        assert!(was.keys().eq(is.keys()));
        for (id, before) in &was {
            let piece = studio.piece(id).unwrap();
            // Thickness of the shelves differs, so tiers may shift a little.
            let by = is[id] - before;
            assert!(
                piece.mass.to_kg() < 1.5 || by < 30.0,
                "{id} rose by {by} mm"
            );
            let delicate = piece.delicacy == Delicacy::Delicate;
            assert!(!delicate || by > -30.0, "{id} sank by {by} mm");
        }
        evened += usize::from(told.after < told.before);
        assert_eq!(even_out(&ask, &load), Some(told));
    }
    assert!(evened > 0, "none of the loads got more even");
}
