//! Charges by published price lists, and real costs that sum to the cent.
#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod parts;

use std::sync::LazyLock;

use glost_model::charge::{By, ByKind, Hire, Measured, Scheme};
use glost_model::furniture::{SupportKind, SupportStock};
use glost_model::load::FiringKind::{Bisque, Glaze};
use glost_model::piece::{Foot, Piece};
use glost_model::plan_file::PlanFile;
use glost_model::shape::Outline;
use glost_model::{Area, Length, Mass, Money};
use glost_placing::{PlanAsk, plan_unproved};
use glost_studio::charge::{NoCost, Part, Share, charge, charge_on, hire, real_cost};
use glost_studio::{demo_texts, foresee, open_texts};
use jiff::civil::date;
use proptest::prelude::*;

static DEMO: LazyLock<PlanFile> = LazyLock::new(|| {
    let (mut studio, book) = open_texts(&demo_texts()).unwrap();
    studio.tariff.per_kw = 1.5;
    let load = plan_unproved(
        &PlanAsk {
            studio: &studio,
            book: &book,
            kiln: "Badger",
            cone: glost_model::cone::Cone::parse("6").unwrap(),
            kind: Glaze,
            today: date(2026, 11, 2),
            seed: 1,
            rounds: 20,
            worth: None,
        },
        &mut |_, _| true,
    )
    .unwrap();
    let mut file = PlanFile::new(studio, load);
    foresee(&mut file).unwrap();
    file
});

/// A piece of so many inches and pounds.
fn piece(widest: Outline, height: f64, pounds: f64) -> Piece {
    Piece {
        foot_outline: widest.clone(),
        widest,
        height: Length::inches(height),
        mass: Mass::pounds(pounds),
        foot: Foot::Wiped,
        ..DEMO.studio.pieces[0].clone()
    }
}

fn round(across: f64) -> Outline {
    Outline::Circle {
        diameter: Length::inches(across),
    }
}

fn scheme(by: By, bisque: f64, glaze: f64) -> Scheme {
    Scheme {
        by,
        measured: Measured::Inches,
        price: ByKind { bisque, glaze },
        ..Scheme::default()
    }
}

/// The list of communityclay.ca (firing services) with the least charge of fryeburgpottery.com.
fn published() -> Scheme {
    Scheme {
        least: Money::cents(100),
        low_counts_as: Some(Length::inches(3.0)),
        ..scheme(By::Volume, 0.04, 0.06)
    }
}

#[test]
fn published_lists_give_their_amounts() {
    let plate = charge(&published(), &piece(round(8.0), 1.0, 1.5), Glaze);
    assert_eq!(
        plate.words,
        "8 × 8 × 3 in (1 high, counted as 3) = 192 cubic inches at 0.06: 11.52"
    );
    assert_eq!(plate.amount, Money::cents(1152));
    let mug = piece(round(4.0), 5.0, 0.9);
    assert_eq!(charge(&published(), &mug, Glaze).amount, Money::cents(480));
    assert_eq!(charge(&published(), &mug, Bisque).amount, Money::cents(320));
    let dot = charge(&published(), &piece(round(2.0), 3.0, 0.2), Glaze);
    assert_eq!(dot.amount, Money::cents(100));
    assert_eq!(
        dot.words,
        "2 × 2 × 3 in = 12 cubic inches at 0.06: 0.72; the least charge is 1.00"
    );
    // neighborhoodclay.com: 0.05 a cubic inch and 2 a piece; 150 a load.
    let other = Scheme {
        each: Money::cents(200),
        kilns: vec![Hire {
            kiln: "Heron".into(),
            whole: ByKind {
                bisque: Money::cents(15_000),
                glaze: Money::cents(15_000),
            },
            half: None,
        }],
        ..scheme(By::Volume, 0.05, 0.05)
    };
    let mug = charge(&other, &mug, Glaze);
    assert_eq!(mug.amount, Money::cents(600));
    assert_eq!(
        mug.words,
        "4 × 4 × 5 in = 80 cubic inches at 0.05, and 2.00 for the piece: 6.00"
    );
    let whole = hire(&other, "Heron", Glaze, Part::Whole).unwrap();
    assert_eq!(whole.amount, Money::cents(15_000));
    assert_eq!(whole.words, "the whole of Heron for a glaze firing: 150.00");
    assert_eq!(hire(&other, "Heron", Glaze, Part::Half), None);
    assert_eq!(hire(&other, "Badger", Glaze, Part::Whole), None);
}

#[test]
fn mass_shelf_footprint_and_piece_are_charged_too() {
    // mosskeramik.de: EUR 5 a kilogram.
    let metric = |by, price| Scheme {
        measured: Measured::Metric,
        ..scheme(by, price, price)
    };
    let mut bowl = piece(round(8.0), 3.0, 1.0);
    bowl.mass = Mass::g(1250.0);
    let by_mass = charge(&metric(By::Mass, 5.0), &bowl, Glaze);
    assert_eq!(
        (by_mass.amount, &*by_mass.words),
        (Money::cents(625), "1.25 kg at 5: 6.25")
    );
    // ritawalkerpottery.com: a full shelf of 23 × 23 in for 30.
    let area = Length::inches(23.0) * Length::inches(23.0);
    let tile = piece(
        Outline::Rectangle {
            length: Length::inches(11.5),
            width: Length::inches(23.0),
        },
        1.0,
        4.0,
    );
    let half = charge(&scheme(By::Shelf { area }, 30.0, 30.0), &tile, Bisque);
    assert_eq!(half.amount, Money::cents(1500));
    assert_eq!(
        half.words,
        "264.5 square inches, 50 % of a shelf, at 30: 15.00"
    );
    let none = charge(
        &scheme(By::Shelf { area: Area::ZERO }, 30.0, 30.0),
        &tile,
        Bisque,
    );
    assert_eq!(none.amount, Money::cents(0));
    let foot = charge(&metric(By::Footprint, 0.1), &tile, Bisque);
    assert_eq!(foot.words, "17.06 square decimetres at 0.1: 1.71");
    assert_eq!(
        charge(&scheme(By::Piece, 0.75, 1.5), &tile, Glaze).amount,
        Money::cents(150)
    );
    let litres = charge(&metric(By::Volume, 2.44), &bowl, Glaze);
    assert_eq!(
        litres.words,
        "203 × 203 × 76 mm = 3.146 litres at 2.44: 7.68"
    );
}

#[test]
fn what_is_free_is_free() {
    let bowl = piece(round(8.0), 3.0, 1.0);
    let none = charge(&Scheme::default(), &bowl, Glaze);
    assert_eq!(
        (none.amount, &*none.words),
        (Money::cents(0), "nothing is asked for this firing")
    );
    let glaze_only = Scheme {
        least: Money::cents(100),
        ..scheme(By::Volume, 0.0, 0.06)
    };
    assert_eq!(charge(&glaze_only, &bowl, Bisque).amount, Money::cents(0));
}

#[test]
fn stilts_and_trays_count_where_the_list_says_so() {
    let tray = SupportStock {
        name: "tray".into(),
        kind: SupportKind::WasterSlab,
        diameter: Length::inches(6.0),
        height: Length::inches(0.5),
        load_limit: Mass::kg(5.0),
        max_cone: DEMO.load.cone,
        count: 4,
    };
    let mut mug = piece(round(4.0), 4.5, 0.9);
    let plain = scheme(By::Volume, 0.04, 0.06);
    assert_eq!(
        charge_on(&plain, &mug, Glaze, &[&tray]).amount,
        charge(&plain, &mug, Glaze).amount
    );
    let counted = Scheme {
        supports_counted: true,
        stilted: Money::cents(50),
        ..plain
    };
    let on = charge_on(&counted, &mug, Glaze, &[&tray]);
    assert_eq!(on.words, "6 × 6 × 5 in = 180 cubic inches at 0.06: 10.80");
    mug.foot = Foot::Glazed;
    let stilted = charge(&counted, &mug, Glaze);
    assert_eq!(
        stilted.words,
        "4 × 4 × 4.5 in = 72 cubic inches at 0.06, and 0.50 for its stilt: 4.82"
    );
    assert_eq!(charge(&counted, &mug, Bisque).amount, Money::cents(288));
}

#[test]
fn halves_of_a_hundredth_go_up_in_either_unit() {
    // 0.5 in³ at 0.05 is 2.5 hundredths.
    let small = piece(round(1.0), 0.5, 0.1);
    assert_eq!(
        charge(&scheme(By::Volume, 0.05, 0.05), &small, Glaze).amount,
        Money::cents(3)
    );
}

#[test]
fn a_firing_is_shared_to_the_cent() {
    let shares = real_cost(&DEMO, None, Money::cents(750)).unwrap();
    let forecast = DEMO.forecast.as_ref().unwrap();
    assert_eq!(shares.energy, DEMO.studio.tariff.cost(forecast.energy_j));
    assert_eq!(
        shares.draw,
        DEMO.studio.tariff.cost_of_draw(forecast.highest_w)
    );
    assert!(shares.draw > Money::cents(0));
    let sum = shares
        .makers
        .iter()
        .fold(Money::cents(0), |a, m| a + m.amount);
    assert_eq!(sum, shares.whole());
    let pieces: usize = shares.makers.iter().map(|m| m.pieces).sum();
    assert_eq!(pieces, DEMO.load.placed().count());
    for part in [|m: &Share| m.space, |m: &Share| m.mass] {
        let sum: f64 = shares.makers.iter().map(part).sum();
        assert!((sum - 1.0).abs() < 1e-12);
    }
    for maker in &shares.makers {
        let fair = shares.whole().to_units() * (maker.space + maker.mass) / 2.0;
        assert!((maker.amount.to_units() - fair).abs() < 0.01, "{maker:?}");
    }
    assert!(shares.words.contains("wear 7.50"), "{}", shares.words);
    // With the hour known each hour has its price; without other hours it is the same.
    let start = "2026-11-26T20:00[Europe/Dublin]".parse().unwrap();
    let timed = real_cost(&DEMO, Some(&start), Money::cents(750)).unwrap();
    assert_eq!(timed.energy, shares.energy);
}

#[test]
fn without_forecast_or_ware_there_is_no_cost() {
    let mut bare = DEMO.clone();
    bare.load.tiers.clear();
    assert_eq!(real_cost(&bare, None, Money::cents(0)), Err(NoCost::NoWare));
    bare.forecast = None;
    assert_eq!(
        real_cost(&bare, None, Money::cents(0)),
        Err(NoCost::NotForeseen)
    );
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_larger_piece_never_costs_less(
        across in 0.5..40.0_f64, height in 0.2..40.0_f64, more in 1.0..2.0_f64, price in 0.0..10.0_f64, glaze in any::<bool>(),
    ) {
        let kind = if glaze { Glaze } else { Bisque };
        let by = [By::Volume, By::Mass, By::Footprint, By::Shelf { area: Area::m2(0.3) }, By::Piece, By::Nothing];
        for by in by {
            let scheme = Scheme { price: ByKind { bisque: price / 2.0, glaze: price }, ..Scheme { by, ..published() } };
            let small = charge(&scheme, &piece(round(across), height, height), kind);
            let large = charge(&scheme, &piece(round(across * more), height * more, height * more), kind);
            prop_assert!(small.amount <= large.amount, "{} {}", small.words, large.words);
            prop_assert!(small.amount >= Money::cents(0) && !small.words.is_empty());
        }
    }
}
