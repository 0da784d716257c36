//! Piles of greenware made by hand are accepted; every rule of piles, broken once, refuses.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeMap;

use glost_check::judge;
use glost_model::clay::Clay;
use glost_model::cone::Cone;
use glost_model::furniture::{
    Furniture, PostStock, ShelfShape, ShelfSpan, ShelfStock, SupportKind, SupportStock,
};
use glost_model::kiln::{Controller, Kiln, Opening, Sensor};
use glost_model::load::{
    ConePack, FiringKind, How, LoadPlan, On, Placed, Side, StandingPost, Tier, Worth,
};
use glost_model::piece::{Delicacy, Dryness, Foot, Inside, Piece, Stage};
use glost_model::shape::{Chamber, Outline};
use glost_model::shown::Shown;
use glost_model::studio::Studio;
use glost_model::tariff::Tariff;
use glost_model::{Angle, Length, Mass, Span, Temperature};
use glost_rules::RuleBook;

fn mm(v: f64) -> Length {
    Length::mm(v)
}

fn cone(s: &str) -> Cone {
    Cone::parse(s).unwrap()
}

fn round(d: f64) -> Outline {
    Outline::Circle { diameter: mm(d) }
}

/// Sizes in mm: foot, widest, height; mass in g.
fn piece(id: &str, sizes: [f64; 3], grams: f64, inside: Option<Inside>) -> Piece {
    Piece {
        id: id.into(),
        what: "ware".into(),
        maker: "Ana".into(),
        foot_outline: round(sizes[0]),
        widest: round(sizes[1]),
        height: mm(sizes[2]),
        mass: Mass::g(grams),
        wall: mm(6.0),
        clay: "white".into(),
        glazes: vec![],
        foot: Foot::Bare,
        glaze_margin: mm(0.0),
        dryness: Dryness::BoneDry,
        delicacy: Delicacy::Usual,
        stage: Stage::Greenware,
        asked_cone: None,
        due: None,
        came_in: None,
        priority: 3,
        held: None,
        inside,
        group: None,
    }
}

/// Three plates, a pot with a beaker in it, three cups, and two straight bowls.
fn ware() -> Vec<Piece> {
    let (open, straight) = (Some(Inside::Open), Some(Inside::Straight));
    vec![
        piece("plate1", [100.0, 160.0, 25.0], 500.0, None),
        piece("plate2", [100.0, 160.0, 25.0], 500.0, None),
        piece("plate3", [90.0, 140.0, 22.0], 400.0, None),
        piece("pot", [100.0, 110.0, 120.0], 900.0, open),
        piece("beaker", [55.0, 76.0, 90.0], 300.0, None),
        piece("cup1", [60.0, 80.0, 60.0], 260.0, open),
        piece("cup2", [60.0, 80.0, 60.0], 260.0, open),
        piece("cup3", [60.0, 79.0, 60.0], 255.0, open),
        piece("bowl1", [60.0, 130.0, 60.0], 450.0, straight),
        piece("bowl2", [30.0, 90.0, 50.0], 200.0, straight),
    ]
}

fn studio() -> Studio {
    Studio {
        hours: Default::default(),
        name: "Test".into(),
        kilns: vec![Kiln {
            name: "K".into(),
            chamber: Chamber::Circle {
                diameter: mm(600.0),
            },
            height: mm(300.0),
            opening: Opening::Lid,
            bands: vec![],
            sensor: Sensor {
                angle: Angle::deg(90.0),
                height: mm(280.0),
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
            shelves: vec![ShelfStock {
                name: "full".into(),
                shape: ShelfShape::Circle {
                    diameter: mm(540.0),
                },
                span: ShelfSpan::Full,
                thickness: mm(15.0),
                count: 1,
                mass: Mass::kg(3.0),
                load_limit: Mass::kg(15.0),
            }],
            posts: vec![PostStock {
                length: mm(50.0),
                count: 6,
            }],
            post_section: mm(30.0),
            supports: vec![SupportStock {
                name: "pins".into(),
                kind: SupportKind::PinSupport,
                diameter: mm(40.0),
                height: mm(10.0),
                load_limit: Mass::kg(5.0),
                max_cone: cone("10"),
                count: 1,
            }],
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
        pieces: ware(),
        tariff: Tariff::flat("EUR", 0.3),
        shown: Shown::default(),
        rule_overrides: BTreeMap::new(),
    }
}

fn placed(id: &str, at: (f64, f64), raised: f64, on: Option<(&str, How)>) -> Placed {
    Placed {
        piece: id.into(),
        x_m: mm(at.0),
        y_m: mm(at.1),
        rotation_rad: Angle::rad(0.0),
        supports: vec![],
        on: on.map(|(piece, how)| On {
            piece: piece.into(),
            how,
        }),
        raised_m: mm(raised),
        mind: Vec::new(),
        gap_m: mm(6.0),
    }
}

/// Places of the pieces in the plan.
const PLATE2: usize = 1;
const PLATE3: usize = 2;
const BEAKER: usize = 4;
const CUP2: usize = 6;
const CUP3: usize = 7;
const BOWL2: usize = 9;

fn good() -> LoadPlan {
    let (plates, pot, cups, bowls) = (
        (-80.0, 60.0),
        (120.0, 60.0),
        (120.0, -80.0),
        (-80.0, -100.0),
    );
    let posts = [(0.0, 200.0), (180.0, -110.0), (-180.0, -110.0)].map(|(x, y)| StandingPost {
        x_m: mm(x),
        y_m: mm(y),
        base_m: mm(0.0),
        lengths_m: vec![mm(50.0)],
    });
    let pieces = vec![
        placed("plate1", plates, 0.0, None),
        placed("plate2", plates, 25.0, Some(("plate1", How::Piled))),
        placed("plate3", plates, 50.0, Some(("plate2", How::Piled))),
        placed("pot", pot, 0.0, None),
        // The pot's wall, and what its foot ring may lift its floor.
        placed("beaker", pot, 14.0, Some(("pot", How::Nested))),
        placed("cup1", cups, 0.0, None),
        placed("cup2", cups, 60.0, Some(("cup1", How::RimToRim))),
        placed("cup3", cups, 120.0, Some(("cup2", How::FootToFoot))),
        placed("bowl1", bowls, 0.0, None),
        placed("bowl2", bowls, 14.0, Some(("bowl1", How::Nested))),
    ];
    LoadPlan {
        kiln: "K".into(),
        cone: cone("04"),
        kind: FiringKind::Bisque,
        seed: 1,
        tiers: vec![Tier {
            name: "1".into(),
            shelf: "full".into(),
            side: Side::Full,
            top_m: mm(65.0),
            clear_m: mm(235.0),
            posts: posts.to_vec(),
            pieces,
            cone_packs: vec![ConePack {
                x_m: mm(20.0),
                y_m: mm(-20.0),
            }],
        }],
        left_out: vec![],
        worth: Worth {
            value: 1.0,
            at_most: 2.0,
        },
    }
}

fn rules(s: &Studio, book: &RuleBook, p: &LoadPlan) -> Vec<&'static str> {
    judge(s, book, p).iter().map(|b| b.rule).collect()
}

fn refused(rule: &str, change: impl FnOnce(&mut Studio, &mut Vec<Placed>)) {
    let (mut s, mut p) = (studio(), good());
    change(&mut s, &mut p.tiers[0].pieces);
    let got = rules(&s, &RuleBook::default(), &p);
    assert!(got.contains(&rule), "wanted {rule}, got {got:?}");
}

fn named<'a>(s: &'a mut Studio, id: &str) -> &'a mut Piece {
    s.pieces.iter_mut().find(|p| p.id == id).unwrap()
}

#[test]
fn piles_made_by_hand_are_accepted() {
    assert_eq!(judge(&studio(), &RuleBook::default(), &good()), vec![]);
}

#[test]
fn every_broken_pile_is_refused_by_its_rule() {
    // What may be part of a pile.
    refused("pile-dry", |s, _| {
        named(s, "plate3").dryness = Dryness::Doubtful;
    });
    refused("pile-wall", |s, _| named(s, "plate2").wall = mm(13.0));
    refused("pile-sticks", |s, _| {
        named(s, "plate2").glazes = vec!["slip".into()];
    });
    refused("pile-wide", |s, _| {
        for id in ["plate1", "plate2"] {
            named(s, id).widest = round(301.0);
        }
    });
    refused("pile-air", |s, _| {
        let mut dark = s.clays[0].clone();
        dark.name = "dark".into();
        dark.slow_burn_out = true;
        s.clays.push(dark);
        named(s, "beaker").clay = "dark".into();
    });
    // Which way it stands.
    refused("pile-flat", |s, _| {
        // Higher than a fifth of its width.
        named(s, "plate3").height = mm(29.0);
    });
    refused("pile-closed", |s, _| {
        named(s, "plate1").inside = Some(Inside::Closed);
    });
    refused("pile-within", |s, _| {
        named(s, "plate3").widest = round(161.0);
    });
    refused("nest-open", |s, _| named(s, "pot").inside = None);
    refused("nest-open", |s, _| {
        named(s, "pot").inside = Some(Inside::Closed);
    });
    refused("nest-clear", |s, _| {
        // The floor of the pot is 88 mm wide, less 6 mm on either side.
        named(s, "beaker").widest = round(77.0);
    });
    refused("nest-clear", |s, _| named(s, "bowl2").widest = round(100.0));
    refused("nest-clear", |s, _| {
        // A bellied bowl of these sizes may touch; only straight walls are known.
        named(s, "bowl2").inside = Some(Inside::Open);
    });
    refused("rim-open", |s, _| named(s, "cup2").inside = None);
    refused("rim-match", |s, _| named(s, "cup2").widest = round(77.0));
    refused("rim-match", |s, _| {
        named(s, "cup3").foot_outline = round(57.0);
    });
    refused("pile-way-up", |_, p| {
        p[CUP3].on.as_mut().unwrap().how = How::RimToRim;
    });
    // What it carries.
    refused("pile-delicate", |s, _| {
        named(s, "pot").delicacy = Delicacy::Delicate;
    });
    refused("pile-heaviest", |s, _| {
        named(s, "plate3").mass = Mass::g(510.0);
    });
    refused("pile-mass", |s, _| {
        for id in ["plate1", "plate2", "plate3"] {
            named(s, id).mass = Mass::g(1700.0);
        }
    });
    refused("pile-slender", |s, _| {
        for id in ["cup1", "cup2", "cup3"] {
            named(s, id).foot_outline = round(59.0);
        }
    });
    // How many.
    refused("pile-most", |s, p| {
        for (n, above) in ["plate3", "plate4"].into_iter().enumerate() {
            let id = format!("plate{}", n + 4);
            s.pieces.push(piece(&id, [90.0, 140.0, 22.0], 100.0, None));
            let up = 72.0 + 22.0 * n as f64;
            let on = Some((above, How::Piled));
            p.insert(PLATE3 + 1 + n, placed(&id, (-80.0, 60.0), up, on));
        }
    });
    refused("pile-one", |_, p| {
        p[PLATE3].on.as_mut().unwrap().piece = "plate1".into();
        p[PLATE3].raised_m = mm(25.0);
    });
    // Where it stands.
    refused("pile-height", |_, p| p[BEAKER].raised_m = mm(13.0));
    refused("pile-height", |_, p| p[PLATE2].raised_m = mm(0.0));
    refused("pile-middle", |_, p| p[BOWL2].x_m = mm(-79.0));
    refused("pile-middle", |_, p| {
        p[BOWL2].rotation_rad = Angle::deg(5.0);
    });
    refused("pile-order", |_, p| p.swap(BOWL2 - 1, BOWL2));
    refused("pile-support", |_, p| {
        p[CUP2].supports = vec!["pins".into()];
    });
    refused("pile-host", |_, p| {
        p[BEAKER].on.as_mut().unwrap().piece = "ghost".into();
    });
    refused("pile-cycle", |_, p| {
        // The plates carry one another and no shelf carries them; they touch for no good reason.
        p.drain(3..);
        p.remove(0);
        p[0].on.as_mut().unwrap().piece = "plate3".into();
    });
}

#[test]
fn a_glaze_firing_has_no_piles() {
    let mut s = studio();
    for q in &mut s.pieces {
        q.stage = Stage::Glazed;
    }
    let mut p = good();
    (p.kind, p.cone) = (FiringKind::Glaze, cone("6"));
    assert!(rules(&s, &RuleBook::default(), &p).contains(&"pile-glaze"));
}

#[test]
fn a_studio_may_ask_for_lighter_piles() {
    let own = |id: &str, value: &str| {
        let texts = BTreeMap::from([(id.to_owned(), value.to_owned())]);
        let book = RuleBook::from_overrides(&texts, "studio.toml").unwrap();
        rules(&studio(), &book, &good())
    };
    assert_eq!(own("pile-bears", "1.8"), Vec::<&str>::new());
    // Plates of 500 and 400 g on one of 500 g.
    assert_eq!(own("pile-bears", "1.79"), ["pile-bears"]);
    // Cups of 260 and 255 g on one of 260 g.
    assert_eq!(own("hollow-bears", "1.98"), ["hollow-bears"]);
    assert_eq!(own("pile-most", "2"), ["pile-most", "pile-most"]);
    assert_eq!(own("pile-mass", "1.3 kg"), ["pile-mass"]);
}
