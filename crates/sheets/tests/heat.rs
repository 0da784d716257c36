//! Pictures of what a firing does to the kiln: across, cone by tier, energy by where it goes.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

#[expect(dead_code, reason = "the load sheet needs more")]
mod made;
mod sound;

use glost_model::across::{Across, AcrossZone, Moment, ZoneHeat};
use glost_model::cone::Cone;
use glost_model::forecast::EnergySplit;
use glost_model::shown::Shown;
use glost_model::{Energy, Length, Span, Temperature};
use glost_sheets::{across_svg, energy_svg, parts, reached_svg, shares};
use proptest::prelude::*;
use roxmltree::Document;
use sound::sound;

fn across(heights_mm: &[f64], c: f64) -> Across {
    let t = Temperature::c;
    let mut from = 40.0;
    let zones = heights_mm.iter().enumerate().map(|(i, high)| {
        let zone = AcrossZone {
            tiers: format!("{}L, {}R", i + 1, i + 1),
            from_m: Length::mm(from),
            to_m: Length::mm(from + high),
        };
        from += high + 16.0;
        zone
    });
    Across {
        zones: zones.collect(),
        moments: vec![Moment {
            time_s: Span::h(7.25),
            firing: true,
            sensor_c: t(c),
            floor_c: t(c - 20.0),
            lid_c: t(c - 15.0),
            zones: heights_mm
                .iter()
                .map(|_| ZoneHeat {
                    ware_c: t(c - 5.0),
                    wall_c: t(c + 10.0),
                    shelf_c: Some(t(c - 8.0)),
                    element_c: Some(t(c + 60.0)),
                })
                .collect(),
        }],
    }
}

#[test]
fn pictures_look_as_they_looked() {
    let forecast = made::forecast();
    let reached = reached_svg(&forecast, Cone::parse("06").unwrap());
    sound(&reached);
    insta::assert_snapshot!("reached", reached);
    let energy = energy_svg(&forecast);
    sound(&energy);
    insta::assert_snapshot!("energy", energy);
    let drawn = across_svg(&across(&[120.0, 200.0], 1015.0), 0, Shown::default()).unwrap();
    insta::assert_snapshot!("across", drawn);
}

#[test]
fn there_is_no_picture_of_a_moment_that_never_was() {
    assert!(across_svg(&across(&[120.0], 900.0), 1, Shown::default()).is_none());
}

#[test]
fn a_kiln_without_shelves_has_none_drawn() {
    let mut bare = across(&[400.0], 700.0);
    bare.zones[0].tiers.clear();
    bare.moments[0].zones[0].shelf_c = None;
    let svg = across_svg(&bare, 0, Shown::default()).unwrap();
    sound(&svg);
    assert!(!svg.contains("shelf-0") && svg.contains("ware-0"));
}

proptest! {
    #[test]
    fn every_part_is_drawn_with_its_number(heights in prop::collection::vec(5.0..600.0f64, 1..9), c in -10.0..1500.0f64, fahrenheit: bool) {
        let across = across(&heights, c);
        let shown = Shown { fahrenheit, ..Shown::default() };
        let svg = across_svg(&across, 0, shown).unwrap();
        sound(&svg);
        let doc = Document::parse(&svg).unwrap();
        for part in parts(&across.moments[0]) {
            let told = doc.descendants().find(|n| n.attribute("data-heat") == Some(&part.id)).unwrap();
            let value: f64 = told.text().unwrap().parse().unwrap();
            prop_assert!((value - shown.degrees(part.heat)).abs() <= 0.5);
        }
    }

    #[test]
    fn shares_add_up_to_what_was_drawn(kwh in prop::array::uniform4(0.0..90.0f64)) {
        let mut forecast = made::forecast();
        let [lost, vent, stored, reactions] = kwh.map(Energy::kwh);
        forecast.split = EnergySplit { lost_j: lost, vent_j: vent, stored_j: stored, reactions_j: reactions };
        let all = shares(&forecast);
        prop_assert_eq!(all.len(), 4);
        let sum: f64 = all.iter().map(|s| s.of_all).sum();
        prop_assert!((sum - 1.0).abs() < 1e-9 || kwh.iter().sum::<f64>() == 0.0);
        if kwh.iter().sum::<f64>() > 0.0 {
            let told: u32 = all.iter().map(|s| s.tenths_kwh).sum();
            let drawn = (forecast.energy_j.to_kwh() * 10.0).round();
            prop_assert!((f64::from(told) - drawn).abs() < 0.5);
            prop_assert_eq!(all.iter().map(|s| s.percent).sum::<u32>(), 100);
        }
        prop_assert!(all.windows(2).all(|w| w[0].of_all >= w[1].of_all));
        sound(&energy_svg(&forecast));
    }
}
