//! Limits of piles at their edges, worked out by hand.

use glost_model::load::How;
use glost_model::piece::{Delicacy, Dryness, Foot, Inside, Piece, Stage};
use glost_model::shape::Outline;
use glost_model::{Length, Mass};
use glost_rules::RuleBook;

use super::limits::{Limits, Link};

/// Foot, widest and height in mm, mass in g.
fn ware(id: &str, sizes: [f64; 3], grams: f64, inside: Option<Inside>) -> Piece {
    let round = |d: f64| Outline::Circle {
        diameter: Length::mm(d),
    };
    Piece {
        id: id.into(),
        what: "ware".into(),
        maker: "Ana".into(),
        foot_outline: round(sizes[0]),
        widest: round(sizes[1]),
        height: Length::mm(sizes[2]),
        mass: Mass::g(grams),
        wall: Length::mm(6.0),
        clay: "white".into(),
        glazes: vec![],
        foot: Foot::Bare,
        glaze_margin: Length::ZERO,
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

fn limits() -> Limits {
    Limits::of(&RuleBook::default())
}

fn lift_mm(host: &Piece, guest: &Piece, how: How) -> Option<f64> {
    let lift = limits().pair(host, guest, how);
    lift.map(|m| (m * 1e4).round() / 10.0)
}

#[test]
fn what_stands_in_a_pot_keeps_off_its_wall() {
    let pot = ware("pot", [100.0, 110.0, 120.0], 900.0, Some(Inside::Open));
    let beaker = |d| ware("beaker", [50.0, d, 150.0], 300.0, None);
    // A floor of 100 less wall and gap, 12 on either side; up by wall and foot ring, 6 and 8.
    assert_eq!(lift_mm(&pot, &beaker(76.0), How::Nested), Some(14.0));
    assert_eq!(lift_mm(&pot, &beaker(76.5), How::Nested), None);
    for inside in [None, Some(Inside::Closed)] {
        let other = Piece {
            inside,
            ..pot.clone()
        };
        assert_eq!(lift_mm(&other, &beaker(50.0), How::Nested), None);
    }
    let shallow = Piece {
        height: Length::mm(14.0),
        ..pot
    };
    assert_eq!(lift_mm(&shallow, &beaker(50.0), How::Nested), None);
}

#[test]
fn straight_bowls_nest_by_their_walls() {
    let straight = Some(Inside::Straight);
    let host = ware("host", [60.0, 180.0, 60.0], 600.0, straight);
    // Both at 45°: walls 12 apart across the wall are 12·√2 = 17.0 apart across the bowl.
    let guest = |foot: f64| ware("guest", [foot, foot + 60.0, 30.0], 200.0, straight);
    assert_eq!(lift_mm(&host, &guest(26.0), How::Nested), Some(14.0));
    assert_eq!(lift_mm(&host, &guest(26.2), How::Nested), None);
    let bellied = Piece {
        inside: Some(Inside::Open),
        ..guest(26.0)
    };
    assert_eq!(lift_mm(&host, &bellied, How::Nested), None);
}

#[test]
fn plates_pile_up_to_count_and_mass() {
    let plate = ware("plate", [150.0, 250.0, 30.0], 900.0, None);
    let limits = limits();
    let mut pile = vec![Link::lowest(&plate)];
    while let Some(next) = limits.joins(&pile, &plate, How::Piled) {
        pile.push(next);
    }
    assert_eq!(pile.len(), 4);
    assert!((pile[3].top_m() - 0.12).abs() < 1e-9);
    // Four of 1.3 kg would be over 5 kg.
    let heavy = Piece {
        mass: Mass::kg(1.3),
        ..plate.clone()
    };
    let mut pile = vec![Link::lowest(&heavy)];
    while let Some(next) = limits.joins(&pile, &heavy, How::Piled) {
        pile.push(next);
    }
    assert_eq!(pile.len(), 3);
    let wider = ware("wider", [150.0, 251.0, 30.0], 800.0, None);
    assert_eq!(lift_mm(&plate, &wider, How::Piled), None);
    let delicate = Piece {
        delicacy: Delicacy::Delicate,
        ..plate.clone()
    };
    assert_eq!(lift_mm(&delicate, &plate, How::Piled), None);
    assert_eq!(lift_mm(&plate, &delicate, How::Piled), Some(30.0));
}

#[test]
fn cups_go_rim_to_rim_then_foot_to_foot() {
    let cup = ware("cup", [60.0, 80.0, 55.0], 250.0, Some(Inside::Open));
    let limits = limits();
    let join = |pile: &[Link<'_>], how| limits.joins(pile, &cup, how).is_some();
    let first = Link::lowest(&cup);
    assert!(!join(&[first], How::FootToFoot));
    let second = limits.joins(&[first], &cup, How::RimToRim).unwrap();
    assert!(!join(&[first, second], How::RimToRim));
    let third = limits
        .joins(&[first, second], &cup, How::FootToFoot)
        .unwrap();
    assert!((third.raised_m - 0.11).abs() < 1e-9);
    // The lowest would carry three times its own mass.
    assert!(!join(&[first, second, third], How::RimToRim));
    let taller = Piece {
        height: Length::mm(61.0),
        ..cup.clone()
    };
    // 55 + 61 + 61 is under three times the foot, 180; 55 + 63 + 63 is over.
    let up = Link {
        piece: &taller,
        raised_m: 0.055,
        ..second
    };
    assert!(
        limits
            .joins(&[first, up], &taller, How::FootToFoot)
            .is_some()
    );
    let tallest = Piece {
        height: Length::mm(63.0),
        ..cup.clone()
    };
    let up = Link {
        piece: &tallest,
        ..up
    };
    assert!(
        limits
            .joins(&[first, up], &tallest, How::FootToFoot)
            .is_none()
    );
}
