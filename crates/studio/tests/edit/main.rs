//! A load changed by hand: steps can be taken back to the last bit, the judge's answer is that of the load,
//! and whatever is asked, nothing panics.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod at_once;
mod by_hand;
mod foreseen;
mod random;

use std::sync::LazyLock;

use glost_model::Length;
use glost_model::cone::Cone;
use glost_model::load::{FiringKind, LoadPlan, Placed};
use glost_model::plan_file::PlanFile;
use glost_model::studio::Studio;
use glost_placing::{PlanAsk, plan_unproved};
use glost_rules::RuleBook;
use glost_studio::edit::{Bench, Edit};
use glost_studio::{DEMO_KILN, demo_texts, open_texts};

const DAY: jiff::civil::Date = jiff::civil::date(2026, 11, 25);

fn planned(studio: Studio, kiln: &str, kind: FiringKind, cone: &str) -> Bench {
    let book = RuleBook::from_overrides(&studio.rule_overrides, "studio.toml").unwrap();
    let ask = PlanAsk {
        studio: &studio,
        book: &book,
        kiln,
        cone: Cone::parse(cone).unwrap(),
        kind,
        today: DAY,
        seed: 1,
        rounds: 40,
        worth: None,
    };
    let load = plan_unproved(&ask, &mut |_, _| true).unwrap();
    Bench::open(PlanFile::new(studio, load), DAY).unwrap()
}

fn demo(kind: FiringKind, cone: &str) -> Bench {
    let (studio, _) = open_texts(&demo_texts()).unwrap();
    planned(studio, DEMO_KILN, kind, cone)
}

static HERON: LazyLock<Bench> = LazyLock::new(|| demo(FiringKind::Glaze, "6"));

/// Made-up rooms, and greenware that stands in piles.
static BENCHES: LazyLock<Vec<Bench>> = LazyLock::new(|| {
    let mut all: Vec<Bench> = (0..4)
        .map(|n| {
            let studio = glost_studio::figures::made_up(31 + n as u64, n, 50).unwrap();
            planned(studio, "Test", FiringKind::Glaze, "6")
        })
        .collect();
    let (mut studio, _) = open_texts(&demo_texts()).unwrap();
    for p in &mut studio.pieces {
        p.stage = glost_model::piece::Stage::Greenware;
        p.glazes.clear();
        p.asked_cone = None;
        p.inside = Some(glost_model::piece::Inside::Open);
    }
    all.push(planned(studio, DEMO_KILN, FiringKind::Bisque, "06"));
    all.push(HERON.clone());
    all
});

fn bits(load: &LoadPlan) -> String {
    // Debug prints the shortest text that reads back as the same number, and tells 0 from -0.
    format!("{load:?}")
}

fn m(v: f64) -> Length {
    Length::m(v)
}

fn place<'b>(bench: &'b Bench, piece: &str) -> (&'b str, &'b Placed) {
    let found = bench.load().placed().find(|(_, p)| p.piece == piece);
    found.map(|(t, p)| (t.name.as_str(), p)).unwrap()
}

fn shift(bench: &Bench, piece: &str, to: &str) -> Edit {
    let (tier, p) = place(bench, to);
    Edit::Move {
        piece: piece.to_owned(),
        tier: tier.to_owned(),
        x_m: p.x_m,
        y_m: p.y_m,
        rotation_rad: None,
    }
}

/// Two pieces of one tier that carry nothing.
fn pair(bench: &Bench) -> (String, String) {
    let tier = bench.load().tiers.iter().max_by_key(|t| t.pieces.len());
    let tier = tier.unwrap();
    (tier.pieces[0].piece.clone(), tier.pieces[1].piece.clone())
}
