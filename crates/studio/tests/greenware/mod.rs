//! Greenware made up from a seed, for tests only.

use glost_model::piece::{Foot, Inside, Piece, Stage};
use glost_model::shape::Outline;
use glost_model::studio::Studio;
use glost_model::{Length, Mass};
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

/// The made-up studio with greenware alone: plates, tiles, bowls, pots, cups and odd things.
pub fn greenware(seed: u64, room: usize, count: usize) -> Studio {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let mut studio = glost_studio::figures::made_up(seed, room, count).unwrap();
    for (i, p) in studio.pieces.iter_mut().enumerate() {
        raw(i, p, &mut rng);
    }
    studio
}

fn raw(i: usize, p: &mut Piece, rng: &mut ChaCha8Rng) {
    let mm = Length::mm;
    let round = |d: f64| Outline::Circle { diameter: mm(d) };
    // Widest, foot over widest, height over widest, kg for 100 mm of width, inside.
    let straight = Some(Inside::Straight);
    let (d, foot, high, kg, inside) = match rng.random_range(0..12) {
        0..=2 => (rng.random_range(140.0..290.0), 0.6, 0.12, 0.13, None),
        3..=4 => (rng.random_range(90.0..220.0), 0.45, 0.4, 0.22, straight),
        5 => (
            rng.random_range(120.0..200.0),
            0.9,
            1.0,
            0.55,
            Some(Inside::Open),
        ),
        6..=7 => ([80.0, 81.0, 84.0][i % 3], 0.7, 1.1, 0.5, Some(Inside::Open)),
        8 => (
            rng.random_range(90.0..130.0),
            0.7,
            0.9,
            0.4,
            Some(Inside::Closed),
        ),
        9 => {
            let (l, w) = [(150.0, 150.0), (200.0, 100.0), (120.0, 90.0)][i % 3];
            p.widest = Outline::Rectangle {
                length: mm(l),
                width: mm(w),
            };
            p.foot_outline = p.widest.clone();
            p.height = mm(12.0);
            (0.0, 0.0, 0.0, 0.5, None)
        }
        // As it was made: ellipses, outlines, tall and thick things.
        _ => (0.0, 0.0, 0.0, p.mass.to_kg(), None),
    };
    if d > 0.0 {
        let d = f64::round(d);
        p.widest = round(d);
        p.foot_outline = round(f64::round(d * foot));
        p.height = mm(f64::round(d * high));
        p.mass = Mass::kg(kg * (d / 100.0).powi(2) * rng.random_range(0.95..1.05));
    } else {
        p.mass = Mass::kg(kg);
    }
    p.stage = Stage::Greenware;
    p.glazes.clear();
    p.glaze_margin = Length::ZERO;
    p.foot = Foot::Bare;
    p.inside = inside;
}
