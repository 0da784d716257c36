//! What is fired together, in how many firings.

use glost_model::load::FiringKind;

use super::{Row, asked, asked_from, at, kiln, names, row, studio};
use crate::backlog::{Aim, Backlog};

fn wren() -> String {
    kiln("Wren", 660, 690, "10")
}

fn every_piece_once(backlog: &Backlog, count: usize) {
    let fired = backlog.firings.iter().flat_map(|f| names(f));
    let stays = backlog.stay.iter().map(|s| s.piece.as_str());
    let mut all: Vec<&str> = fired.chain(stays).collect();
    all.sort_unstable();
    let twice = all.windows(2).find(|w| w[0] == w[1]);
    assert_eq!(twice, None);
    assert_eq!(all.len(), count);
}

#[test]
fn a_plate_a_level_takes_as_many_firings_as_counted_by_hand() {
    // 300 mm plates on 530 mm shelves: one a level. 310 mm of chamber hold two levels of
    // 100 mm + 12 mm above + 16 mm shelf, and no third.
    for (plates, firings) in [(1, 1), (2, 1), (3, 2), (5, 3), (8, 4)] {
        let rows: Vec<Row<'_>> = (0..plates).map(|n| row(n, 300, 100)).collect();
        let studio = studio(&kiln("Low", 660, 310, "10"), 18, "", &rows);
        let backlog = asked(&studio, Aim::Fewest, 1, 8);
        assert_eq!(backlog.firings.len(), firings, "{plates} plates");
        assert_eq!(backlog.least.firings, firings, "{:?}", backlog.least);
        every_piece_once(&backlog, plates);
    }
}

#[test]
fn cones_are_shared_where_clay_and_glaze_allow_it() {
    // Calm is for 5 to 7, six for 6 to 7, five for 4 to 5; one slip asks for 7.
    let mut rows: Vec<Row<'_>> = (0..6).map(|n| row(n, 100, 100)).collect();
    rows[1].glaze = "six";
    rows[2].cone = "6";
    let one = asked(&studio(&wren(), 18, "", &rows), Aim::Fewest, 1, 8);
    assert_eq!((one.firings.len(), one.least.firings), (1, 1));
    assert_eq!(one.firings[0].load.cone.to_string(), "6");
    rows[3].glaze = "five";
    rows[4].cone = "7";
    // 4-5, 6 and 7 lie apart.
    let three = asked(&studio(&wren(), 18, "", &rows), Aim::Fewest, 1, 8);
    assert_eq!((three.firings.len(), three.least.firings), (3, 3));
    rows[5].stage = "greenware";
    rows[5].glaze = "";
    let four = asked(&studio(&wren(), 18, "", &rows), Aim::Fewest, 1, 8);
    assert_eq!((four.firings.len(), four.least.firings), (4, 4));
    let bisque = four
        .firings
        .iter()
        .find(|f| f.load.kind == FiringKind::Bisque);
    assert_eq!(names(bisque.unwrap()), ["P005"]);
    every_piece_once(&four, 6);
}

#[test]
fn leaded_ware_has_its_own_firing_and_bare_ware_joins_either() {
    let mut rows: Vec<Row<'_>> = (0..4).map(|n| row(n, 100, 100)).collect();
    rows[0].glaze = "lead";
    rows[1].glaze = "";
    let backlog = asked(&studio(&wren(), 18, "", &rows), Aim::Fewest, 1, 8);
    assert_eq!((backlog.firings.len(), backlog.least.firings), (2, 2));
    let with = backlog.firings.iter().find(|f| names(f).contains(&"P000"));
    assert!(!names(with.unwrap()).contains(&"P002"));
    rows.truncate(2);
    let backlog = asked(&studio(&wren(), 18, "", &rows), Aim::Fewest, 1, 8);
    assert_eq!((backlog.firings.len(), backlog.least.firings), (1, 1));
}

#[test]
fn sets_stay_whole_and_what_nothing_takes_is_told() {
    let mut rows: Vec<Row<'_>> = (0..9).map(|n| row(n, 280, 100)).collect();
    for r in &mut rows[..4] {
        r.group = "set";
    }
    // A slip against its glaze, a low clay under a hot glaze, a set of two minds, and one too wide.
    rows[4].cone = "06";
    rows[5].clay = "low";
    (rows[6].group, rows[7].group, rows[7].cone) = ("odd", "odd", "7");
    rows[6].cone = "5";
    rows[8].across = 525;
    let backlog = asked(&studio(&wren(), 18, "", &rows), Aim::Fewest, 1, 8);
    every_piece_once(&backlog, 9);
    let told: Vec<(&str, &str)> = backlog
        .stay
        .iter()
        .map(|s| (s.piece.as_str(), s.rule.as_str()))
        .collect();
    let wanted = [
        ("P004", "glaze-cone"),
        ("P005", "clay-below-cone"),
        ("P006", "kept-together"),
        ("P007", "kept-together"),
        ("P008", "no-room"),
    ];
    assert_eq!(told, wanted);
    let with = backlog.firings.iter().find(|f| names(f).contains(&"P000"));
    assert_eq!(names(with.unwrap()), ["P000", "P001", "P002", "P003"]);
    assert!(
        backlog
            .stay
            .iter()
            .all(|s| !s.why.is_empty() && !s.remedy.is_empty())
    );
}

#[test]
fn ware_beyond_a_kilns_cone_goes_to_another() {
    let mut rows: Vec<Row<'_>> = (0..2).map(|n| row(n, 100, 100)).collect();
    (rows[1].clay, rows[1].glaze) = ("high", "");
    let both = wren() + &kiln("Cool", 660, 400, "6");
    let backlog = asked(&studio(&both, 18, "", &rows), Aim::Fewest, 1, 8);
    let hot = backlog.firings.iter().find(|f| names(f).contains(&"P001"));
    assert_eq!(hot.unwrap().load.kiln, "Wren");
    // Alone, the cool kiln leaves it.
    let backlog = asked(
        &studio(&kiln("Cool", 660, 400, "6"), 18, "", &rows),
        Aim::Fewest,
        1,
        8,
    );
    assert_eq!(backlog.stay[0].rule, "no-kiln");
    assert!(backlog.stay[0].why.contains('8'), "{}", backlog.stay[0].why);
}

#[test]
fn a_small_load_goes_into_the_small_kiln() {
    let rows: Vec<Row<'_>> = (0..5).map(|n| row(n, 100, 100)).collect();
    let both = wren() + &kiln("Small", 660, 300, "10");
    for aim in [Aim::Fewest, Aim::Cheapest] {
        let backlog = asked(&studio(&both, 18, "", &rows), aim, 1, 8);
        assert_eq!(backlog.firings.len(), 1);
        assert_eq!(backlog.firings[0].load.kiln, "Small");
    }
}

#[test]
fn the_same_seed_gives_the_same_firings_and_a_stop_leaves_nothing_behind() {
    let rows: Vec<Row<'_>> = (0..26)
        .map(|n| row(n, 110 + 9 * (n as u32 % 20), 90 + 17 * (n as u32 % 13)))
        .collect();
    let studio = studio(&(wren() + &kiln("Small", 660, 400, "10")), 18, "", &rows);
    let first = asked(&studio, Aim::Fewest, 3, 4);
    assert_eq!(first, asked(&studio, Aim::Fewest, 3, 4));
    every_piece_once(&first, 26);
    let mut heard = 0;
    let stopped = asked_from(
        &studio,
        Aim::Fewest,
        3,
        6,
        &at(2026, 11, 25, 9),
        &mut |done, _| {
            assert!((0.0..=1.0).contains(&done));
            heard += 1;
            heard < 5
        },
    );
    every_piece_once(&stopped, 26);
    assert!(stopped.firings.len() >= first.least.firings);
}
