use glost_model::book::{Edges, FaultKind};
use glost_model::clay::{Clay, Glaze};
use glost_model::cone::Cone;
use glost_model::load::FiringKind;
use glost_model::piece::{Delicacy, Dryness, Foot, Piece, Stage};
use glost_model::shape::Outline;
use glost_model::shown::Shown;
use glost_model::{Length, Mass, Rate, Temperature};

use super::*;

mod any;

fn cone(name: &str) -> Cone {
    Cone::parse(name).unwrap()
}

fn mug() -> PieceFacts {
    let circle = |mm: f64| Outline::Circle {
        diameter: Length::mm(mm),
    };
    PieceFacts {
        piece: Piece {
            id: "K7".into(),
            what: "mug".into(),
            maker: "Wen".into(),
            foot_outline: circle(70.0),
            widest: circle(90.0),
            height: Length::mm(100.0),
            mass: Mass::kg(0.4),
            wall: Length::mm(6.0),
            clay: "Heatherstone".into(),
            glazes: vec!["Mist".into()],
            foot: Foot::Wiped,
            glaze_margin: Length::mm(8.0),
            dryness: Dryness::BoneDry,
            delicacy: Delicacy::Usual,
            stage: Stage::Glazed,
            asked_cone: None,
            due: None,
            came_in: None,
            priority: 1,
            held: None,
            inside: None,
            group: None,
        },
        clay: Some(Clay {
            name: "Heatherstone".into(),
            cone_from: cone("5"),
            cone_to: cone("8"),
            slumps_on_points: true,
            plucks: false,
            slow_burn_out: false,
            needs_leave: false,
        }),
        glazes: vec![Glaze {
            name: "Mist".into(),
            cone_from: cone("5"),
            cone_to: cone("6"),
            runny: false,
            chrome: false,
            tin_white: false,
            volatile_colour: false,
            light: false,
            lead: false,
            slow_cool: false,
            own_firing: false,
        }],
    }
}

/// A mug of a quiet firing, of which nothing speaks.
fn facts() -> Facts {
    Facts {
        shown: Shown::default(),
        kind: FiringKind::Glaze,
        cone: cone("6"),
        piece: mug(),
        place: Some(PlaceFacts {
            tier: "3".into(),
            gap: Length::mm(12.0),
            gap_wanted: Length::mm(6.0),
            margin_wanted: Length::mm(6.0),
            supports: Vec::new(),
            raised: Length::ZERO,
            piled: false,
            top: false,
            bottom: false,
            chrome: Near::Nowhere,
            volatile: Near::Nowhere,
        }),
        heat: Some(heat(6.0, HeatBy::Cones)),
        elsewhere: Some(6.0),
        planned: None,
        logged: None,
        wanted: Paces {
            damp: Some(Rate::c_per_h(150.0)),
            steam: Some(Rate::c_per_h(110.0)),
            quartz_up: Some(Rate::c_per_h(300.0)),
            burn_out: Some(Rate::c_per_h(160.0)),
            quartz_down: Some(Rate::c_per_h(100.0)),
            cristobalite_down: Some(Rate::c_per_h(100.0)),
            ..Paces::default()
        },
        bisque: None,
        opened: Some(Opened {
            at: Temperature::c(60.0),
            below: None,
        }),
        steps: Vec::new(),
        edges: None,
        others: Vec::new(),
    }
}

fn heat(position: f64, by: HeatBy) -> Heat {
    Heat {
        position,
        said: format!("{position:.1}"),
        by,
        bound: Bound::Exact,
    }
}

fn place(ranked: &[Ranked], id: &str) -> usize {
    ranked.iter().position(|r| r.cause.id == id).unwrap()
}

fn first(facts: &Facts, kind: FaultKind) -> &'static str {
    rank(facts, kind)[0].cause.id
}

#[test]
fn ids_are_unique_and_every_fault_has_causes_that_say_what_to_change() {
    let ids: std::collections::BTreeSet<_> = all().map(|c| c.id).collect();
    assert_eq!(ids.len(), all().count());
    for c in all() {
        assert!(!c.change.is_empty() && !c.source.is_empty() && !c.faults.is_empty());
        assert!(!c.change.ends_with('.'), "{}", c.id);
    }
    for kind in FaultKind::ALL {
        let ranked = rank(&facts(), kind);
        assert!(ranked.len() > 1, "{kind:?}");
        assert_eq!(ranked.last().unwrap().cause.id, SOMETHING_ELSE.id);
    }
}

#[test]
fn a_hot_tier_and_a_hot_kiln_are_told_apart() {
    let mut f = facts();
    f.heat = Some(heat(6.8, HeatBy::Cones));
    f.elsewhere = Some(5.9);
    let ranked = rank(&f, FaultKind::Running);
    assert_eq!(ranked[0].cause.id, "tier-hot");
    let said: Vec<_> = ranked[0].of(Side::For).collect();
    assert!(
        said.contains(&"tier 3 reached cone 6.8 by its cones; glaze Mist is for 5 to 6"),
        "{said:?}"
    );
    f.elsewhere = Some(6.8);
    assert_eq!(first(&f, FaultKind::Running), "kiln-hot");
    // The clay is for 8, so that it is not what bends.
    let ranked = rank(&f, FaultKind::Bloating);
    assert!(ranked[place(&ranked, "kiln-hot")].belief < Belief::Likely);
    f.heat = Some(heat(5.0, HeatBy::Cones));
    f.elsewhere = Some(6.0);
    f.piece.glazes[0].cone_from = cone("6");
    assert_eq!(first(&f, FaultKind::Underfired), "tier-cold");
}

#[test]
fn the_edges_of_a_crack_tell_heating_from_cooling() {
    let mut f = facts();
    f.logged = Some(Paces {
        steam: Some(Rate::c_per_h(90.0)),
        quartz_up: Some(Rate::c_per_h(150.0)),
        quartz_down: Some(Rate::c_per_h(190.0)),
        cristobalite_down: Some(Rate::c_per_h(40.0)),
        ..Paces::default()
    });
    f.edges = Some(Edges::Sharp);
    let ranked = rank(&f, FaultKind::Crack);
    assert_eq!(ranked[0].cause.id, "fast-quartz-down");
    assert_eq!(ranked[0].belief, Belief::Most);
    let said: Vec<_> = ranked[0].of(Side::For).collect();
    assert!(
        said[0]
            .starts_with("cooled 190 °C/h through 573 °C by its log; its 6 mm wall bears 100 °C/h"),
        "{said:?}"
    );
    f.edges = Some(Edges::Rounded);
    let rounded = rank(&f, FaultKind::Crack);
    assert!(
        rounded[0].cause.born != Born::Cooling,
        "{}",
        rounded[0].cause.id
    );
    let share = |r: &[Ranked]| r[place(r, "fast-quartz-down")].share;
    assert!(share(&rounded) < share(&ranked) / 3.0);
    f.edges = Some(Edges::Both);
    assert_eq!(first(&f, FaultKind::Crack), "reopened");
    // Nobody has looked: that is what is said first.
    f.edges = None;
    let ranked = rank(&f, FaultKind::Crack);
    assert!(ranked[0].of(Side::Unknown).any(|w| w.contains("edges")));
    // One that was opened hot.
    f.edges = Some(Edges::Sharp);
    f.logged = None;
    f.opened = Some(Opened {
        at: Temperature::c(240.0),
        below: Some(Temperature::c(90.0)),
    });
    assert_eq!(first(&f, FaultKind::Crack), "opened-hot");
    f.edges = None;
    assert_eq!(first(&f, FaultKind::CrackMaking), "joint");
}

#[test]
fn damp_ware_bursts() {
    let mut f = facts();
    f.kind = FiringKind::Bisque;
    f.cone = cone("04");
    f.piece.piece.dryness = Dryness::Doubtful;
    f.planned = Some(Paces {
        steam: Some(Rate::c_per_h(80.0)),
        ..Paces::default()
    });
    assert_eq!(first(&f, FaultKind::Explosion), "damp");
    f.piece.piece.dryness = Dryness::BoneDry;
    f.logged = Some(Paces {
        steam: Some(Rate::c_per_h(240.0)),
        ..Paces::default()
    });
    assert_eq!(first(&f, FaultKind::Explosion), "fast-steam");
}

#[test]
fn what_is_not_known_says_what_would_tell() {
    let mut f = facts();
    f.heat = None;
    f.elsewhere = None;
    let ranked = rank(&f, FaultKind::Running);
    let hot = &ranked[place(&ranked, "tier-hot")];
    let said: Vec<_> = hot.of(Side::Unknown).collect();
    assert_eq!(said, ["how hot tier 3 was: witness cones there would tell"]);
    let ranked = rank(&f, FaultKind::Crack);
    let down = &ranked[place(&ranked, "fast-quartz-down")];
    assert!(
        down.of(Side::Unknown)
            .any(|w| w.contains("a log of the cooling")),
        "{:?}",
        down.reasons
    );
}

#[test]
fn other_pieces_are_evidence() {
    let mut f = facts();
    f.others = vec![
        Shared {
            group: Group::Glaze,
            with: (4, 5),
            without: (0, 20),
            before: (3, 12),
        },
        Shared {
            group: Group::Tier,
            with: (1, 6),
            without: (3, 19),
            before: (0, 0),
        },
    ];
    let ranked = rank(&f, FaultKind::Crazing);
    assert_eq!(ranked[0].cause.id, "glaze-shrinks-more");
    assert!(
        ranked[0]
            .of(Side::For)
            .any(|w| w == "4 of 5 others with this glaze show it, and 0 of 20 with other glazes"),
        "{:?}",
        ranked[0].reasons
    );
}

#[test]
fn one_cause_is_found_for_many_faults() {
    let mut hot = facts();
    hot.heat = Some(heat(7.0, HeatBy::Cones));
    hot.elsewhere = Some(6.0);
    let mut dirty = facts();
    dirty.place.as_mut().unwrap().top = true;
    let ranked = vec![
        rank(&hot, FaultKind::Running),
        rank(&dirty, FaultKind::Specks),
        rank(&hot, FaultKind::Overfired),
    ];
    let groups = common(&ranked);
    assert_eq!(groups[0].cause.id, "tier-hot");
    assert_eq!(groups[0].explains, [0, 2]);
    assert_eq!(groups[1].cause.id, "crumbs-above");
    assert_eq!(groups[1].explains, [1]);
    assert!(common(&[]).is_empty());
}
