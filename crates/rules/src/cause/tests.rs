use glost_model::book::{Edges, FaultKind};
use glost_model::clay::{Clay, Glaze};
use glost_model::cone::Cone;
use glost_model::load::FiringKind;
use glost_model::piece::{Delicacy, Dryness, Foot, Piece, Stage};
use glost_model::shape::Outline;
use glost_model::shown::Shown;
use glost_model::{Length, Mass, Rate, Span, Temperature};
use proptest::prelude::*;

use super::*;

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
    assert!(place(&ranked, "kiln-hot") > 0 || ranked[0].belief < Belief::Most);
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
        said[0].starts_with("cooled 190 °C/h through 573 °C by its log; its 6 mm wall bears 100 °C/h"),
        "{said:?}"
    );
    f.edges = Some(Edges::Rounded);
    let rounded = rank(&f, FaultKind::Crack);
    assert!(rounded[0].cause.born != Born::Cooling, "{}", rounded[0].cause.id);
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
        down.of(Side::Unknown).any(|w| w.contains("a log of the cooling")),
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
            .any(|w| w == "4 of 5 others with this glaze have it, and 0 of 20 with other glazes"),
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

fn rate() -> impl Strategy<Value = Option<Rate>> {
    proptest::option::of(any::<f64>().prop_map(Rate::c_per_h))
}

fn paces() -> impl Strategy<Value = Paces> {
    let rates = proptest::collection::vec(rate(), 6);
    let rest = proptest::option::of((any::<f64>(), any::<f64>()));
    (rates, rest).prop_map(|(r, rest)| Paces {
        damp: r[0],
        steam: r[1],
        quartz_up: r[2],
        burn_out: r[3],
        last: r[4],
        quartz_down: r[5],
        cristobalite_down: r[0],
        peak: rest.map(|x| Temperature::c(x.0)),
        hold: rest.map(|x| Span::s(x.1)),
        soak: rest.map(|x| Span::s(x.0)),
    })
}

prop_compose! {
    fn anything()(
        logged in proptest::option::of(paces()),
        planned in proptest::option::of(paces()),
        wanted in paces(),
        at in any::<f64>(),
        elsewhere in proptest::option::of(any::<f64>()),
        mm in proptest::collection::vec(any::<f64>(), 6),
        flags in proptest::collection::vec(any::<bool>(), 8),
        edges in proptest::option::of(0_usize..4),
        counts in proptest::collection::vec(0_usize..40, 6),
        half in 0_usize..38,
    ) -> Facts {
        let mut f = facts();
        f.cone = Cone::all().nth(half).unwrap();
        f.logged = logged;
        f.planned = planned;
        f.wanted = wanted;
        f.heat = flags[0].then(|| heat(at, HeatBy::Log));
        f.elsewhere = elsewhere;
        f.piece.piece.wall = Length::mm(mm[0]);
        f.piece.piece.height = Length::mm(mm[1]);
        f.piece.piece.glaze_margin = Length::mm(mm[2]);
        f.piece.piece.foot = if flags[1] { Foot::Glazed } else { Foot::Bare };
        if flags[2] {
            f.piece.clay = None;
            f.piece.glazes.clear();
            f.piece.piece.glazes.clear();
        }
        if flags[3] {
            f.place = None;
        } else if let Some(p) = &mut f.place {
            p.gap = Length::mm(mm[3]);
            p.raised = Length::mm(mm[4]);
            p.piled = flags[4];
            p.chrome = if flags[5] { Near::OnTier } else { Near::Nowhere };
        }
        f.kind = if flags[6] { FiringKind::Bisque } else { FiringKind::Glaze };
        f.opened = flags[7].then_some(Opened { at: Temperature::c(mm[5]), below: None });
        f.edges = edges.map(|i| Edges::ALL[i]);
        f.others = [Group::Firing, Group::Tier, Group::Maker].map(|group| Shared {
            group,
            with: (counts[0], counts[1]),
            without: (counts[2], counts[3]),
            before: (counts[4], counts[5]),
        }).into();
        f
    }
}

proptest! {
    /// Whatever the facts, the order stands: shares fall, add up to 1, and the same facts give the same answer.
    #[test]
    fn ranking_never_fails_and_is_stable(f in anything(), k in 0_usize..23) {
        let kind = FaultKind::ALL[k];
        let ranked = rank(&f, kind);
        let told: Vec<_> = ranked.iter().map(|r| (r.cause.id, r.share)).collect();
        let again: Vec<_> = rank(&f, kind).iter().map(|r| (r.cause.id, r.share)).collect();
        prop_assert_eq!(&told, &again);
        let sum: f64 = told.iter().map(|t| t.1).sum();
        prop_assert!((sum - 1.0).abs() < 1e-9, "{}", sum);
        let causes = &told[..told.len() - 1];
        prop_assert!(causes.windows(2).all(|w| w[0].1 >= w[1].1));
        prop_assert_eq!(told[told.len() - 1].0, SOMETHING_ELSE.id);
        let groups = common(&[ranked.clone(), ranked]);
        let mut all: Vec<usize> = groups.iter().flat_map(|g| g.explains.clone()).collect();
        all.sort_unstable();
        prop_assert_eq!(all, vec![0, 1]);
    }

    /// A faster cooling never makes it less likely that it was cooled too fast.
    #[test]
    fn faster_is_no_less_likely(slow in 1.0..800.0_f64, more in 0.0..800.0_f64) {
        let share = |c: f64| {
            let mut f = facts();
            f.logged = Some(Paces { quartz_down: Some(Rate::c_per_h(c)), ..Paces::default() });
            let all = rank(&f, FaultKind::Crack);
            all[place(&all, "fast-quartz-down")].share
        };
        prop_assert!(share(slow + more) >= share(slow) - 1e-12);
    }

    /// Any curve is read without harm.
    #[test]
    fn any_curve_is_read(points in proptest::collection::vec((any::<f64>(), any::<f64>()), 0..60)) {
        let curve: Vec<_> = points.iter().map(|p| (Span::s(p.0), Temperature::c(p.1))).collect();
        let p = Paces::of(&curve);
        for r in [p.damp, p.steam, p.quartz_up, p.burn_out, p.last, p.quartz_down, p.cristobalite_down] {
            prop_assert!(r.is_none_or(|r| r.to_c_per_h() >= 0.0));
        }
    }
}
