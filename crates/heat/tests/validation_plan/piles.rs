//! Ware on and in other ware is as much ware as on the shelf.

use glost_heat::kiln::from_plan;
use glost_model::Length;
use glost_model::load::{FiringKind, How, On};

use super::demo::{heron, studio};

#[test]
fn every_piece_of_a_pile_counts_once_at_its_own_height() {
    let studio = studio();
    let mut load = heron("04", FiringKind::Bisque);
    let kiln = studio.kiln("Heron").unwrap();
    let flat = from_plan(&studio, kiln, &load);
    let tier = &mut load.tiers[0];
    let host = tier.pieces[0].piece.clone();
    tier.pieces[1].on = Some(On {
        piece: host,
        how: How::Nested,
    });
    tier.pieces[1].raised_m = Length::mm(14.0);
    let piled = from_plan(&studio, kiln, &load);
    assert_eq!(piled.ware.len(), load.placed().count());
    let kg =
        |ware: &[glost_heat::kiln::WareInput]| ware.iter().map(|w| w.mass.to_kg()).sum::<f64>();
    assert!((kg(&piled.ware) - kg(&flat.ware)).abs() < 1e-9);
    let up = piled.ware[1].foot - load.tiers[0].top_m;
    assert!((up.to_mm() - 14.0).abs() < 1e-6);
}
