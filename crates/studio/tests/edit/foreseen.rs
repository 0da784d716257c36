//! What is foreseen of a load beside the bench, before and after it was changed.

use glost_studio::edit::{Edit, EditFault, Foreseen};
use glost_studio::foresee;

use super::HERON;

#[test]
fn a_changed_load_is_foreseen_beside_the_plan() {
    let mut bench = HERON.clone();
    assert_eq!(Foreseen::of(&bench.plan), None);
    foresee(&mut bench.plan).unwrap();
    let plan = Foreseen::of(&bench.plan).unwrap();
    let what: Vec<&str> = plan.lines.iter().map(|l| l.what.as_str()).collect();
    assert_eq!(
        what[..5],
        [
            "Peak over",
            "Programme over",
            "May be opened",
            "Energy",
            "Cost"
        ]
    );
    assert!(what[5..].iter().all(|w| w.starts_with("Tier")), "{what:?}");
    let with_band = |l: &glost_studio::edit::Line| !l.band.is_empty();
    assert!(
        plan.lines
            .iter()
            .filter(|l| l.what != "Cost")
            .all(with_band),
        "{plan:?}"
    );
    assert!(plan.lines.iter().all(|l| l.was.is_empty()));
    // As it stands nothing is foreseen otherwise.
    assert_eq!(bench.foreseen_anew().unwrap(), plan);
    // Without all ware but one piece it takes less energy.
    let ids: Vec<String> = bench
        .load()
        .placed()
        .map(|(_, p)| p.piece.clone())
        .collect();
    for piece in ids.iter().skip(1) {
        // What stood on another is out with it.
        let _gone = bench.apply(Edit::TakeOut {
            piece: piece.clone(),
        });
    }
    let now = bench.foreseen_anew().unwrap();
    let energy = now.lines.iter().find(|l| l.what == "Energy").unwrap();
    let before = plan.lines.iter().find(|l| l.what == "Energy").unwrap();
    assert_eq!(energy.was, before.is);
    let kwh = |text: &str| text.trim_end_matches(" kWh").parse::<f64>().unwrap();
    assert!(kwh(&energy.is) < kwh(&before.is), "{energy:?}");
    let _gone = bench.apply(Edit::TakeOut {
        piece: ids[0].clone(),
    });
    assert!(matches!(
        bench.foreseen_anew(),
        Err(EditFault::NotForeseen(_))
    ));
}
