//! Every plan that the planner makes is accepted by the judge, and broken plans are not.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod made {
    use glost_model::cone::Cone;
    use glost_model::studio::Studio;

    pub fn cone(name: &str) -> Cone {
        Cone::parse(name).unwrap()
    }

    pub fn studio(seed: u64, room: usize, count: usize) -> Studio {
        glost_studio::figures::made_up(seed, room, count).unwrap()
    }
}

use std::sync::LazyLock;

use geo::{Distance as _, Euclidean, LineString, Polygon};
use glost_check::judge;
use glost_model::Length;
use glost_model::furniture::PostStock;
use glost_model::load::{FiringKind, LoadPlan, Placed, Side, StandingPost};
use glost_model::shape::Outline;
use glost_model::studio::Studio;
use glost_placing::{PlanAsk, plan};
use glost_rules::RuleBook;
use proptest::prelude::*;

fn ask<'a>(studio: &'a Studio, book: &'a RuleBook, seed: u64, rounds: u32) -> PlanAsk<'a> {
    PlanAsk {
        studio,
        book,
        kiln: "Test",
        cone: made::cone("6"),
        kind: FiringKind::Glaze,
        today: jiff::civil::date(2026, 11, 25),
        seed,
        rounds,
        worth: None,
    }
}

fn planned(studio: &Studio, seed: u64, rounds: u32) -> LoadPlan {
    plan(
        &ask(studio, &RuleBook::default(), seed, rounds),
        &mut |_, _| true,
    )
    .unwrap()
}

#[test]
fn plans_for_every_chamber_are_accepted() {
    for room in 0..4 {
        for (seed, count) in [(1, 0), (2, 5), (3, 40), (4, 110)] {
            let studio = made::studio(seed, room, count);
            let load = planned(&studio, seed, 60);
            let breaches = judge(&studio, &RuleBook::default(), &load);
            assert!(
                breaches.is_empty(),
                "room {room}, {count} pieces:\n{}",
                list(&breaches)
            );
            println!(
                "room {room}, {count} pieces: {} placed on {} tiers ({} half), value {:.1} of at most {:.1}",
                load.placed().count(),
                load.tiers.len(),
                load.tiers.iter().filter(|t| t.side != Side::Full).count(),
                load.worth.value,
                load.worth.at_most
            );
        }
    }
}

/// Common practice, no source: half shelves on short then tall posts on one side, tall then short on
/// the other, level out for a full shelf.
#[test]
fn short_and_tall_against_tall_and_short_level_out_for_a_full_shelf() {
    let mut studio = made::studio(7, 0, 60);
    let stock = |mm: f64, count| PostStock {
        length: Length::mm(mm),
        count,
    };
    studio.furniture.posts = vec![stock(25.0, 6), stock(100.0, 5), stock(150.0, 5)];
    studio.furniture.shelves[0].count = 1;
    // Clear of the shelf that closes the two columns.
    studio.kilns[0].sensor.height = Length::mm(450.0);
    let load = planned(&studio, 7, 60);
    let breaches = judge(&studio, &RuleBook::default(), &load);
    assert!(breaches.is_empty(), "{}", list(&breaches));
    let halves = |side| {
        let tiers = load.tiers.iter().filter(move |t| t.side == side);
        tiers.map(|t| t.top_m.to_mm().round()).collect::<Vec<_>>()
    };
    let (left, right) = (halves(Side::Left), halves(Side::Right));
    assert_eq!((left.len(), right.len()), (2, 2), "{left:?} {right:?}");
    assert!(
        (left[1] - right[1]).abs() > 1.0,
        "staggered: {left:?} {right:?}"
    );
    let full = load.tiers.iter().find(|t| t.side == Side::Full).unwrap();
    let mut lengths: Vec<_> = full
        .posts
        .iter()
        .map(|p| p.lengths_m.iter().map(|l| l.to_mm()).sum::<f64>().round())
        .collect();
    lengths.sort_by(f64::total_cmp);
    lengths.dedup();
    assert_eq!(lengths, [100.0, 150.0], "posts of the full shelf");
    for post in &full.posts {
        assert!((post.top() - full.posts[0].top()).to_mm().abs() < 1e-6);
    }
}

fn list(breaches: &[glost_check::Breach]) -> String {
    breaches.iter().map(|b| format!("{b}\n")).collect()
}

#[test]
fn the_same_seed_and_rounds_give_the_same_plan() {
    let studio = made::studio(11, 0, 60);
    assert_eq!(planned(&studio, 5, 40), planned(&studio, 5, 40));
}

/// One sound plan for each chamber, to be broken.
static WHOLE: LazyLock<Vec<(Studio, LoadPlan)>> = LazyLock::new(|| {
    (0..4)
        .map(|room| {
            let studio = made::studio(21, room, 50);
            let load = planned(&studio, 7, 0);
            (studio, load)
        })
        .collect()
});

fn refused(studio: &Studio, load: &LoadPlan) -> bool {
    !judge(studio, &RuleBook::default(), load).is_empty()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn broken_plans_are_refused(which in 0usize..1000, how in 0u8..13) {
        let (mut studio, mut load) = WHOLE[which % 4].clone();
        let (t, p) = {
            let with: Vec<usize> = (0..load.tiers.len()).filter(|&i| load.tiers[i].pieces.len() > 1).collect();
            let t = with[which % with.len()];
            (t, which % load.tiers[t].pieces.len())
        };
        let id = load.tiers[t].pieces[p].piece.clone();
        match how {
            0 => {
                // The least gap is 6 mm.
                let moved = crowded(&studio, &load, t, p, 0.005);
                load.tiers[t].pieces[p] = moved;
            }
            1 => load.tiers[t].posts[0].lengths_m[0] += Length::mm(25.0),
            2 => {
                let used = load.tiers[t].posts[0].lengths_m[0];
                let of = |l: Length| (l - used).abs() < Length::mm(0.01);
                let n = load.tiers.iter().flat_map(|t| &t.posts).flat_map(|p| &p.lengths_m).filter(|l| of(**l)).count();
                for s in studio.furniture.posts.iter_mut().filter(|s| of(s.length)) {
                    s.count = u16::try_from(n - 1).unwrap();
                }
            }
            3 => studio.pieces.iter_mut().filter(|q| q.id == id).for_each(|q| q.dryness = glost_model::piece::Dryness::Damp),
            4 => load.tiers[t].top_m += Length::mm(5.0),
            5 => studio.pieces.iter_mut().filter(|q| q.id == id).for_each(|q| q.foot = glost_model::piece::Foot::Glazed),
            6 => {
                let twice = load.tiers[t].pieces[p].clone();
                load.tiers[t].pieces.push(twice);
            }
            7 => load.tiers[t].posts.truncate(2),
            8 => {
                let top = load.tiers.len() - 1;
                load.tiers[top].posts[0].x_m += Length::mm(10.0);
            }
            9 => {
                let Some(raised) = load.tiers.iter_mut().flat_map(|t| &mut t.pieces).find(|p| !p.supports.is_empty()) else {
                    panic!("this load has a piece on supports")
                };
                raised.supports.clear();
                raised.raised_m = Length::ZERO;
            }
            10 => load.tiers[t].posts[0].base_m += Length::mm(1.0),
            11 => {
                // Two posts of different length swap places.
                let mut posts: Vec<&mut StandingPost> = load.tiers.iter_mut().flat_map(|t| &mut t.posts).collect();
                let first = posts.remove(0);
                let other = posts.into_iter().find(|q| (q.top() - q.base_m - (first.top() - first.base_m)).to_mm().abs() > 1.0);
                std::mem::swap(&mut first.lengths_m, &mut other.unwrap().lengths_m);
            }
            _ => load.tiers[t].pieces[p].x_m = Length::m(f64::NAN),
        }
        prop_assert!(refused(&studio, &load), "mutation {how} of {id} passed");
    }
}

/// A piece in its place as a polygon of many corners, by the `geo` crate, which the planner does not use.
fn drawn(studio: &Studio, p: &Placed) -> Polygon<f64> {
    let turned = |(x, y): (f64, f64)| {
        let (sin, cos) = p.rotation_rad.to_rad().sin_cos();
        (
            p.x_m.to_m() + x * cos - y * sin,
            p.y_m.to_m() + x * sin + y * cos,
        )
    };
    let oval = |l: f64, w: f64| -> Vec<(f64, f64)> {
        let at = |i: i32| f64::from(i) / 256.0 * std::f64::consts::TAU;
        (0..256)
            .map(|i| (l / 2.0 * at(i).cos(), w / 2.0 * at(i).sin()))
            .collect()
    };
    let corners = match &studio.piece(&p.piece).unwrap().widest {
        Outline::Circle { diameter } => oval(diameter.to_m(), diameter.to_m()),
        Outline::Ellipse { length, width } => oval(length.to_m(), width.to_m()),
        Outline::Rectangle { length, width } => {
            let (x, y) = (length.to_m() / 2.0, width.to_m() / 2.0);
            vec![(-x, -y), (x, -y), (x, y), (-x, y)]
        }
        Outline::Polygon { points } => points.iter().map(|q| (q.x.to_m(), q.y.to_m())).collect(),
    };
    let corners: Vec<(f64, f64)> = corners.into_iter().map(turned).collect();
    Polygon::new(LineString::from(corners), vec![])
}

fn gap(studio: &Studio, a: &Placed, b: &Placed) -> f64 {
    Euclidean.distance(&drawn(studio, a), &drawn(studio, b))
}

/// The piece moved straight toward its nearest neighbour until their gap is `to` metres.
fn crowded(studio: &Studio, load: &LoadPlan, t: usize, p: usize, to: f64) -> Placed {
    let me = &load.tiers[t].pieces[p];
    let others = load.tiers[t].pieces.iter().enumerate();
    let near = others
        .filter(|(i, _)| *i != p)
        .map(|(_, q)| q)
        .min_by(|a, b| gap(studio, me, a).total_cmp(&gap(studio, me, b)))
        .unwrap();
    let at = |share: f64| Placed {
        x_m: me.x_m + (near.x_m - me.x_m) * share,
        y_m: me.y_m + (near.y_m - me.y_m) * share,
        ..me.clone()
    };
    let (mut lo, mut hi) = (0.0, 1.0);
    for _ in 0..50 {
        let mid = f64::midpoint(lo, hi);
        if gap(studio, &at(mid), near) > to {
            lo = mid;
        } else {
            hi = mid;
        }
    }
    at(hi)
}
