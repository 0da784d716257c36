//! A small plan made by hand is accepted; every way of breaking it is refused.

use std::collections::BTreeMap;

use glost_check::judge;
use glost_model::clay::{Clay, Glaze};
use glost_model::cone::Cone;
use glost_model::furniture::{
    Furniture, PostStock, ShelfShape, ShelfSpan, ShelfStock, SupportKind, SupportStock,
};
use glost_model::kiln::{Controller, Kiln, Opening, Sensor};
use glost_model::load::{
    ConePack, FiringKind, LeftOut, LoadPlan, Placed, Side, StandingPost, Tier, Worth,
};
use glost_model::piece::{Delicacy, Dryness, Foot, Held, Piece, Stage};
use glost_model::shape::{Chamber, Outline};
use glost_model::shown::Shown;
use glost_model::studio::Studio;
use glost_model::tariff::Tariff;
use glost_model::{Angle, Length, Mass, Span, Temperature};
use glost_rules::RuleBook;
use proptest::prelude::*;

fn mm(v: f64) -> Length {
    Length::mm(v)
}

#[expect(clippy::unwrap_used, reason = "a test's constants")]
fn cone(s: &str) -> Cone {
    Cone::parse(s).unwrap()
}

fn piece(id: &str) -> Piece {
    Piece {
        id: id.into(),
        what: "bowl".into(),
        maker: "Ana".into(),
        foot_outline: Outline::Circle { diameter: mm(50.0) },
        widest: Outline::Circle { diameter: mm(80.0) },
        height: mm(70.0),
        mass: Mass::g(400.0),
        wall: mm(5.0),
        clay: "white".into(),
        glazes: vec![],
        foot: Foot::Wiped,
        glaze_margin: mm(10.0),
        dryness: Dryness::BoneDry,
        delicacy: Delicacy::Usual,
        stage: Stage::Glazed,
        asked_cone: None,
        due: None,
        came_in: None,
        priority: 3,
        held: None,
        inside: None,
        group: None,
    }
}

fn shelf(name: &str, span: ShelfSpan, count: u16) -> ShelfStock {
    ShelfStock {
        name: name.into(),
        shape: ShelfShape::Circle {
            diameter: mm(440.0),
        },
        span,
        thickness: mm(15.0),
        count,
        mass: Mass::kg(3.0),
        load_limit: Mass::kg(15.0),
    }
}

fn studio() -> Studio {
    Studio {
        name: "Test".into(),
        kilns: vec![Kiln {
            name: "K".into(),
            chamber: Chamber::Circle {
                diameter: mm(500.0),
            },
            height: mm(600.0),
            opening: Opening::Lid,
            bands: vec![],
            sensor: Sensor {
                angle: Angle::deg(90.0),
                height: mm(450.0),
                reach: mm(20.0),
            },
            peepholes: vec![],
            wall: vec![],
            floor: vec![],
            lid: vec![],
            max_cone: cone("10"),
            max_temperature: Temperature::c(1300.0),
            element_ageing: 1.0,
            taught: None,
            vent_fan: false,
            controller: Controller {
                max_segments: 8,
                zoned: false,
                hold_step: Span::minutes(1.0),
            },
        }],
        furniture: Furniture {
            shelves: vec![
                shelf("full", ShelfSpan::Full, 2),
                shelf("half", ShelfSpan::Half, 2),
            ],
            posts: [50.0, 100.0, 150.0]
                .map(|l| PostStock {
                    length: mm(l),
                    count: 6,
                })
                .to_vec(),
            post_section: mm(30.0),
            supports: vec![],
        },
        clays: vec![Clay {
            name: "white".into(),
            cone_from: cone("4"),
            cone_to: cone("7"),
            slumps_on_points: true,
            plucks: false,
            slow_burn_out: false,
            needs_leave: false,
        }],
        glazes: vec![],
        pieces: vec![piece("a"), piece("b")],
        hours: Default::default(),
        tariff: Tariff::flat("EUR", 0.3),
        shown: Shown::default(),
        rule_overrides: BTreeMap::new(),
    }
}

fn posts(side: f64, base: f64, length: f64) -> Vec<StandingPost> {
    [(45.0, -140.0), (45.0, 140.0), (170.0, 0.0)]
        .map(|(x, y)| StandingPost {
            x_m: mm(x * side),
            y_m: mm(y),
            base_m: mm(base),
            lengths_m: vec![mm(length)],
        })
        .to_vec()
}

fn tier(
    name: &str,
    shelf: &str,
    side: Side,
    top: f64,
    clear: f64,
    posts: Vec<StandingPost>,
) -> Tier {
    Tier {
        name: name.into(),
        shelf: shelf.into(),
        side,
        top_m: mm(top),
        clear_m: mm(clear),
        posts,
        pieces: vec![],
        cone_packs: vec![],
    }
}

fn good() -> LoadPlan {
    let both = |l: Vec<_>, r: Vec<_>| [l, r].concat();
    let mut tiers = vec![
        tier(
            "1",
            "full",
            Side::Full,
            65.0,
            100.0,
            both(posts(-1.0, 0.0, 50.0), posts(1.0, 0.0, 50.0)),
        ),
        tier(
            "2L",
            "half",
            Side::Left,
            180.0,
            150.0,
            posts(-1.0, 65.0, 100.0),
        ),
        tier(
            "2R",
            "half",
            Side::Right,
            230.0,
            100.0,
            posts(1.0, 65.0, 150.0),
        ),
        tier(
            "3",
            "full",
            Side::Full,
            345.0,
            255.0,
            both(posts(-1.0, 180.0, 150.0), posts(1.0, 230.0, 100.0)),
        ),
    ];
    tiers[3].pieces = [("a", -43.0), ("b", 43.0)]
        .map(|(id, x)| Placed {
            piece: id.into(),
            x_m: mm(x),
            y_m: mm(0.0),
            rotation_rad: Angle::rad(0.0),
            supports: vec![],
            on: None,
            raised_m: mm(0.0),
            mind: Vec::new(),
            gap_m: mm(6.0),
        })
        .to_vec();
    for (k, x, y) in [(0, 0.0, 0.0), (1, -100.0, 0.0), (3, 0.0, 130.0)] {
        tiers[k].cone_packs = vec![ConePack {
            x_m: mm(x),
            y_m: mm(y),
        }];
    }
    LoadPlan {
        kiln: "K".into(),
        cone: cone("6"),
        kind: FiringKind::Glaze,
        seed: 1,
        tiers,
        left_out: vec![],
        worth: Worth {
            value: 1.0,
            at_most: 2.0,
        },
    }
}

fn rules(s: &Studio, p: &LoadPlan) -> Vec<String> {
    judge(s, &RuleBook::default(), p)
        .iter()
        .map(|b| b.rule.to_string())
        .collect()
}

fn refused(rule: &str, change: impl FnOnce(&mut Studio, &mut LoadPlan)) {
    let (mut s, mut p) = (studio(), good());
    change(&mut s, &mut p);
    let got = rules(&s, &p);
    assert!(got.iter().any(|r| r == rule), "wanted {rule}, got {got:?}");
}

#[test]
fn the_plan_made_by_hand_is_accepted() {
    assert_eq!(judge(&studio(), &RuleBook::default(), &good()), vec![]);
}

#[test]
fn every_broken_plan_is_refused_by_its_rule() {
    refused("post-height", |_, p| {
        let (l, r) = p.tiers[3].posts.split_at_mut(3);
        std::mem::swap(&mut l[0].lengths_m, &mut r[0].lengths_m);
    });
    refused("stock", |s, _| s.furniture.posts[1].count = 5);
    refused("stock", |s, _| s.furniture.shelves[0].count = 1);
    refused("damp", |s, _| s.pieces[0].dryness = Dryness::Damp);
    refused("glazed-foot", |s, _| s.pieces[0].foot = Foot::Glazed);
    refused("post-height", |_, p| p.tiers[3].top_m = mm(350.0));
    refused("once", |_, p| {
        let twin = p.tiers[3].pieces[0].clone();
        p.tiers[0].pieces.push(twin);
    });
    refused("three-posts", |_, p| p.tiers[1].posts.truncate(2));
    refused("post-over-post", |_, p| {
        p.tiers[1].posts[0].y_m = mm(-125.0)
    });
    refused("number", |_, p| p.tiers[3].pieces[0].x_m = mm(f64::NAN));
    refused("shelf-place", |_, p| p.tiers[1].top_m = mm(335.0));
    refused("kept-together", |s, p| {
        s.pieces
            .iter_mut()
            .for_each(|q| q.group = Some("jar".into()));
        p.tiers[3].pieces.pop();
    });
    refused("gap-wall", |_, p| p.tiers[3].pieces[0].x_m = mm(-186.0));
    refused("gap-lid", |s, _| s.pieces[0].height = mm(231.0));
    refused("post-inset", |_, p| p.tiers[1].posts[0].x_m = mm(-30.0));
    // Two solid things in one place.
    refused("shelf-place", |s, _| s.kilns[0].height = mm(340.0));
    refused("cone-pack", |s, p| {
        p.tiers[0].cone_packs = vec![ConePack {
            x_m: mm(60.0),
            y_m: mm(0.0),
        }];
        s.furniture.shelves[1].thickness = mm(60.0);
    });
    // Witness cones missing from all shelves, from the lowest, and from the highest.
    refused("witness-packs", |_, p| {
        p.tiers.iter_mut().for_each(|t| t.cone_packs.clear());
    });
    refused("witness-packs", |_, p| {
        p.tiers[2].cone_packs = std::mem::take(&mut p.tiers[0].cone_packs);
        p.tiers[2].cone_packs[0].x_m = mm(100.0);
    });
    refused("witness-packs", |_, p| {
        p.tiers[2].cone_packs = std::mem::take(&mut p.tiers[3].cone_packs);
        (p.tiers[2].cone_packs[0].x_m, p.tiers[2].cone_packs[0].y_m) = (mm(100.0), mm(0.0));
    });
    refused("post-base", |_, p| {
        p.tiers[3].posts[0].base_m = mm(65.0);
        p.tiers[3].posts[0].lengths_m = vec![mm(265.0)];
    });
    refused("gap-shelf", |_, p| {
        let a = p.tiers[3].pieces[0].clone();
        // Beside the higher half shelf, 50 mm up, and taller than that.
        p.tiers[1].pieces.push(Placed {
            x_m: mm(-20.0),
            ..a
        });
        p.tiers[3].pieces.remove(0);
    });
    refused("post-apart", |_, p| {
        p.tiers[3].posts[0].base_m = mm(65.0);
        p.tiers[3].posts[0].lengths_m = vec![mm(265.0)];
    });
    refused("support-cone", |s, p| {
        s.furniture.supports = vec![SupportStock {
            name: "pins".into(),
            kind: SupportKind::PinSupport,
            diameter: mm(40.0),
            height: mm(10.0),
            load_limit: Mass::kg(5.0),
            max_cone: cone("1"),
            count: 1,
        }];
        p.tiers[3].pieces[0].supports = vec!["pins".into()];
        p.tiers[3].pieces[0].raised_m = mm(10.0);
    });
    refused("overhang", |_, p| p.tiers[3].pieces[0].x_m = mm(-181.0));
    refused("held", |s, _| s.pieces[0].held = Some(Held::Cracked));
    refused("tier-order", |_, p| p.tiers.swap(1, 2));
    refused("tier-order", |_, p| p.tiers[2].name = "2L".into());
    refused("number", |s, _| s.pieces[1].height = mm(0.0));
    refused("number", |s, _| s.furniture.shelves[0].thickness = mm(-1.0));
    refused("number", |s, _| {
        s.kilns[0].chamber = Chamber::RegularPolygon {
            sides: 0,
            across_flats: mm(500.0),
        };
    });
    refused("chrome-tin", |s, _| {
        let glaze = |name: &str, chrome, tin_white| Glaze {
            name: name.into(),
            cone_from: cone("4"),
            cone_to: cone("7"),
            runny: false,
            chrome,
            tin_white,
            volatile_colour: false,
            light: false,
            lead: false,
            slow_cool: false,
            own_firing: false,
        };
        s.glazes = vec![glaze("leaf", true, false), glaze("milk", false, true)];
        s.pieces[0].glazes = vec!["leaf".into()];
        s.pieces[1].glazes = vec!["milk".into()];
    });
    refused("unknown-name", |_, p| {
        p.left_out.push(LeftOut {
            piece: "ghost".into(),
            rule: "room".into(),
            why: "no room".into(),
            remedy: "wait".into(),
        });
    });
    refused("shelf-load", |s, _| s.pieces[0].mass = Mass::kg(16.0));
}

proptest! {
    #[test]
    fn a_gap_too_small_by_any_amount_is_refused(by in 0.1f64..70.0, turn in 0.0f64..6.0) {
        let mut p = good();
        p.tiers[3].pieces[0].x_m = mm(-43.0 + by);
        p.tiers[3].pieces[0].rotation_rad = Angle::rad(turn);
        prop_assert!(rules(&studio(), &p).iter().any(|r| r == "gap-ware"));
    }
}
