//! A small studio, load, firing plan and forecast, made by hand for the tests of this crate.

#![expect(clippy::unwrap_used, reason = "a test's constants")]

use glost_model::across::{Across, AcrossZone, Moment, ZoneHeat};
use glost_model::cone::Cone;
use glost_model::firing::{Aim, FiringPlan, HandStep, Segment};
use glost_model::forecast::{Cooled, EnergySplit, Forecast, Sample, ZoneResult};
use glost_model::load::{
    ConePack, FiringKind, How, LeftOut, LoadPlan, On, Placed, Side, StandingPost, Tier, Worth,
};
use glost_model::studio::Studio;
use glost_model::text::{Texts, read};
use glost_model::{Angle, Energy, Length, Money, Power, Rate, Span, TempDiff, Temperature};

pub fn studio() -> Studio {
    let texts = Texts {
        studio: include_str!("studio.toml").into(),
        clays: include_str!("clays.toml").into(),
        glazes: include_str!("glazes.toml").into(),
        furniture: include_str!("furniture.toml").into(),
        kilns: include_str!("kilns.toml").into(),
        pieces: include_str!("pieces.csv").into(),
    };
    read(&texts).unwrap()
}

fn mm(v: f64) -> Length {
    Length::mm(v)
}

fn post(x: f64, y: f64, base: f64, lengths: &[f64]) -> StandingPost {
    StandingPost {
        x_m: mm(x),
        y_m: mm(y),
        base_m: mm(base),
        lengths_m: lengths.iter().map(|&l| mm(l)).collect(),
    }
}

fn placed(piece: &str, x: f64, y: f64, turn: f64, supports: &[&str]) -> Placed {
    Placed {
        piece: piece.into(),
        x_m: mm(x),
        y_m: mm(y),
        rotation_rad: Angle::deg(turn),
        supports: supports.iter().map(|s| (*s).to_owned()).collect(),
        on: None,
        raised_m: mm(9.0 * supports.len() as f64),
        mind: Vec::new(),
        gap_m: mm(8.0),
    }
}

/// One full tier under two half tiers, the right one without ware.
pub fn load() -> LoadPlan {
    let places = [(-60.0, -150.0), (-60.0, 150.0), (-170.0, 0.0)];
    let tier = |name: &str, shelf: &str, side, top, clear, posts, pieces| Tier {
        name: name.into(),
        shelf: shelf.into(),
        side,
        top_m: mm(top),
        clear_m: mm(clear),
        posts,
        pieces,
        cone_packs: vec![],
    };
    let left = places
        .map(|(x, y)| post(x, y, 41.0, &[100.0, 25.0]))
        .to_vec();
    let right = places.map(|(x, y)| post(-x, y, 41.0, &[125.0])).to_vec();
    let mut first = tier(
        "1",
        "disc",
        Side::Full,
        41.0,
        125.0,
        places.map(|(x, y)| post(x, y, 0.0, &[25.0])).to_vec(),
        vec![
            placed("A1", 0.0, 60.0, 0.0, &[]),
            placed(
                "A2 <&> \"long name of a dish\"",
                20.0,
                -60.0,
                30.0,
                &["slab"],
            ),
            placed("gone", 140.0, 60.0, 0.0, &[]),
        ],
    );
    first.cone_packs = vec![ConePack {
        x_m: mm(120.0),
        y_m: mm(-90.0),
    }];
    let upper = vec![
        placed("A3", -110.0, -60.0, 90.0, &[]),
        placed("A4", -90.0, 60.0, 0.0, &["prop"]),
    ];
    LoadPlan {
        kiln: "Wren".into(),
        cone: Cone::parse("06").unwrap(),
        kind: FiringKind::Glaze,
        seed: 1,
        tiers: vec![
            first,
            tier("2L", "half", Side::Left, 182.0, 268.0, left, upper),
            tier("2R", "half", Side::Right, 182.0, 268.0, right, vec![]),
        ],
        left_out: vec![LeftOut {
            piece: "A5".into(),
            rule: "no-room".into(),
            why: "no room is left for it".into(),
            remedy: "fire it with the next load".into(),
        }],
        worth: Worth {
            value: 4.0,
            at_most: 6.0,
        },
    }
}

/// Stands A5 in A1 on the first tier, and A4 upside down on A5.
pub fn pile(load: &mut LoadPlan) {
    load.tiers[1].pieces.pop();
    let over = |id: &str, host: &str, how, raised| Placed {
        on: Some(On {
            piece: host.into(),
            how,
        }),
        raised_m: mm(raised),
        ..placed(id, 0.0, 60.0, 0.0, &[])
    };
    let guests = [
        over("A5", "A1", How::Nested, 13.0),
        over("A4", "A5", How::RimToRim, 213.0),
    ];
    load.tiers[0].pieces.splice(1..1, guests);
}

pub fn firing() -> FiringPlan {
    let segment = |rate: f64, target: f64, hold: f64, reason: &str| Segment {
        rate: Some(Rate::c_per_h(rate)),
        target: Temperature::c(target),
        hold: Span::minutes(hold),
        reason: reason.into(),
    };
    FiringPlan {
        cone: Cone::parse("06").unwrap(),
        aim: Aim::Soonest,
        drop_hold: None,
        segments: vec![
            segment(
                80.0,
                120.0,
                30.0,
                "drives off the last water: walls are up to 9 mm",
            ),
            segment(150.0, 900.0, 0.0, "as fast as the thickest piece stands"),
            segment(60.0, 995.0, 12.0, "even heat from the floor to the lid"),
        ],
        hand_steps: vec![
            HandStep {
                at: Temperature::c(600.0),
                cooling: false,
                step: "Close the lid and plug the upper peephole".into(),
            },
            HandStep {
                at: Temperature::c(120.0),
                cooling: true,
                step: "Prop the lid by 2 cm".into(),
            },
        ],
        notes: vec!["the last ramp is near what this kiln can do".into()],
    }
}

/// The same climb and fall, hour by hour.
fn across() -> Across {
    let whole = |c: f64| Temperature::c(c.max(20.0).round());
    let zone = |tiers: &str, from: f64, to: f64| AcrossZone {
        tiers: tiers.into(),
        from_m: mm(from),
        to_m: mm(to),
    };
    let moment = |hour: u32| {
        let h = f64::from(hour);
        let sensor = (20.0 + 97.5 * h).min(1970.0 - 97.5 * h);
        let heat = |off: f64| ZoneHeat {
            ware_c: whole(sensor - off),
            wall_c: whole(sensor + 10.0),
            shelf_c: Some(whole(sensor - off - 3.0)),
            element_c: Some(whole(sensor + 60.0)),
        };
        Moment {
            time_s: Span::h(h),
            firing: hour <= 10,
            sensor_c: whole(sensor),
            floor_c: whole(sensor - 40.0),
            lid_c: whole(sensor - 20.0),
            zones: vec![heat(25.0), heat(8.0)],
        }
    };
    Across {
        zones: vec![zone("1", 41.0, 166.0), zone("2L, 2R", 182.0, 450.0)],
        moments: (0..=20).map(moment).collect(),
    }
}

/// A straight climb to 995 °C in 10 h and a straight fall.
pub fn forecast() -> Forecast {
    let sample = |i: u32| {
        let hour = f64::from(i) / 4.0;
        let sensor = (20.0 + 97.5 * hour).min(1970.0 - 97.5 * hour).max(20.0);
        Sample {
            time_s: Span::h(hour),
            set_point_c: (hour <= 10.0).then(|| Temperature::c(sensor + 5.0)),
            sensor_c: Temperature::c(sensor),
            element_c: Temperature::c(sensor + 60.0),
            ware_c: vec![
                Temperature::c((sensor - 25.0).max(20.0)),
                Temperature::c((sensor - 8.0).max(20.0)),
            ],
            power_w: Power::kw(if hour <= 10.0 { 6.0 } else { 0.0 }),
            energy_j: Energy::kwh(6.0 * hour.min(10.0)),
        }
    };
    let zone = |tiers: &str, peak: f64, at: f64, cone: &str| ZoneResult {
        tiers: tiers.into(),
        peak_c: Temperature::c(peak),
        cone_position: at,
        cone_reached: cone.into(),
        skin_core_k: TempDiff::k(11.0),
    };
    Forecast {
        feasible: true,
        notes: vec!["8 % of the power is in reserve at the peak".into()],
        firing_s: Span::h(10.0),
        segments_over_s: vec![Span::h(4.0), Span::h(8.0), Span::h(10.0)],
        peak_c: Temperature::c(995.0),
        energy_j: Energy::kwh(60.0),
        highest_w: Power::kw(6.0),
        cost_cents: Money::cents(1860),
        split: EnergySplit {
            lost_j: Energy::kwh(30.0),
            vent_j: Energy::kwh(2.0),
            stored_j: Energy::kwh(25.0),
            reactions_j: Energy::kwh(3.0),
        },
        zones: vec![
            zone("1", 970.0, -5.3, "06 −0.3"),
            zone("2L, 2R", 987.0, -4.9, "06 +0.1"),
        ],
        cooled: [
            (200.0, Some(16.0)),
            (120.0, Some(17.25)),
            (90.0, Some(18.0)),
            (50.0, None),
        ]
        .map(|(below, hour)| Cooled {
            below_c: Temperature::c(below),
            time_s: hour.map(Span::h),
        })
        .into(),
        samples: (0..=80).map(sample).collect(),
        across: Some(across()),
        doubt: None,
    }
}
