//! The forecast as a drawing and as a table.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

#[expect(dead_code, reason = "the load sheet needs more")]
mod made;
mod sound;

use glost_model::Span;
use glost_model::firing::{FiringPlan, HandStep, Segment};
use glost_model::forecast::{Cooled, Forecast};
use glost_model::shown::Shown;
use glost_model::{Rate, Temperature};
use glost_sheets::{
    Curve, Line, Paper, curve_svg, forecast_csv, forecast_svg, over_marked_svg, over_svg,
};
use proptest::prelude::*;
use roxmltree::Document;
use sound::sound;

type Band = [(Span, Temperature, Temperature)];

fn drawn(forecast: &Forecast, band: Option<&Band>, paper: Paper) -> String {
    let curve = Curve {
        forecast,
        plan: &made::firing(),
        shown: made::studio().shown,
        band,
    };
    forecast_svg(&curve, paper)
}

/// Where eight kilns in ten would run.
fn band(forecast: &Forecast) -> Vec<(Span, Temperature, Temperature)> {
    let spread = |s: &glost_model::forecast::Sample| {
        let wide = (s.sensor_c - Temperature::c(20.0)) * 0.04;
        (s.time_s, s.sensor_c - wide, s.sensor_c + wide)
    };
    forecast.samples.iter().map(spread).collect()
}

#[test]
fn the_curve_looks_as_it_looked() {
    let forecast = made::forecast();
    let svg = drawn(&forecast, None, Paper::Sheet);
    sound(&svg);
    insta::assert_snapshot!(svg);
    let svg = drawn(&forecast, Some(&band(&forecast)), Paper::Phone);
    sound(&svg);
    insta::assert_snapshot!("phone_with_a_band", svg);
}

#[test]
fn readings_that_are_not_to_be_believed_are_hatched_and_numbered() {
    let lines = [Line::expected("Read", &made::forecast())];
    let shown = Shown::default();
    // One that is shorter than a line is wide, one past the end.
    let bands = [(1.0, 2.5), (3.0, 3.01), (900.0, 901.0)].map(|(a, b)| (Span::h(a), Span::h(b)));
    for paper in [Paper::Sheet, Paper::Phone] {
        let plain = over_svg(&lines, "Temperature", shown, paper);
        assert_eq!(
            over_marked_svg(&lines, &[], "Temperature", shown, paper),
            plain
        );
        let svg = over_marked_svg(&lines, &bands, "Temperature", shown, paper);
        sound(&svg);
        assert!(svg.contains("not to be believed") && !plain.contains("not to be believed"));
        assert!(svg.matches("<line").count() > plain.matches("<line").count() + 10);
        let document = Document::parse(&svg).unwrap();
        let numbers = document.descendants().filter(|n| n.has_tag_name("text"));
        let numbers: Vec<_> = numbers.filter_map(|n| n.text()).collect();
        for number in ["1", "2", "3"] {
            assert!(numbers.contains(&number), "{number} of {numbers:?}");
        }
    }
}

#[test]
fn the_curve_says_what_it_shows() {
    let curve = Curve {
        forecast: &made::forecast(),
        plan: &made::firing(),
        shown: Shown {
            fahrenheit: true,
            ..Shown::default()
        },
        band: None,
    };
    let svg = forecast_svg(&curve, Paper::Sheet);
    let doc = Document::parse(&svg).unwrap();
    let texts = doc.descendants().filter(|n| n.has_tag_name("text"));
    let text: Vec<_> = texts.filter_map(|n| n.text()).collect();
    let text = text.join("\n");
    for wanted in [
        "°F",
        "hours from the start",
        "set point",
        "coolest ware (tier 1)",
        "hottest ware (tier 2L, 2R)",
        "144 °F/h to 248 °F, hold 30 min",
        "below 392 °F: 16 h",
        "may open below 194 °F: 18 h",
        "ware less sensor, °F",
        "rising, at 1110 °F (5 h 57 min): Close the lid",
        "ramp",
        "hold",
        "step by hand",
    ] {
        assert!(text.contains(wanted), "{wanted} in {text}");
    }
    let dashes = |n: &roxmltree::Node<'_, '_>| n.attribute("stroke-dasharray").map(str::to_owned);
    let lines = doc.descendants().filter(|n| n.has_tag_name("polyline"));
    let curves = lines.filter(|n| n.attribute("points").unwrap().matches(' ').count() > 20);
    let looks: std::collections::BTreeSet<_> = curves.map(|n| dashes(&n)).collect();
    assert_eq!(looks.len(), 4, "four lines that differ without colour");
}

#[test]
fn a_forecast_without_samples_is_still_a_drawing() {
    let mut forecast = made::forecast();
    forecast.samples.clear();
    forecast.zones.clear();
    for paper in [Paper::Sheet, Paper::Phone] {
        sound(&drawn(&forecast, Some(&[]), paper));
    }
    assert_eq!(forecast_csv(&forecast).lines().count(), 1);
}

#[test]
fn the_table_has_units_and_every_sample() {
    let csv = forecast_csv(&made::forecast());
    let mut lines = csv.lines();
    assert_eq!(
        lines.next().unwrap(),
        "time (h),set point (°C),sensor (°C),hottest element (°C),ware of 1 (°C),\"ware of 2L, 2R (°C)\",power (W),energy (kWh)"
    );
    assert_eq!(lines.next().unwrap(), "0,25,20,80,20,20,6000,0");
    assert_eq!(lines.count(), 80);
    assert!(csv.contains("\r\n20,,20,80,20,20,0,60\r\n"));
    let mut short = made::forecast();
    short.samples[0].ware_c.clear();
    short.samples[0].time_s = Span::ZERO;
    assert!(forecast_csv(&short).contains("\r\n0,25,20,80,,,6000,0\r\n"));
}

/// A plan and what becomes of it, of any length.
#[derive(Debug)]
struct Any {
    ramps: Vec<(f64, f64, f64)>,
    by_hand: Vec<(f64, bool)>,
    cooled_h: Vec<f64>,
    hours: f64,
    seen: usize,
}

fn any() -> impl Strategy<Value = Any> {
    let ramps = prop::collection::vec((0.01..9.0, 0.0..3.0, 20.0..1300.0), 1..33);
    let by_hand = prop::collection::vec((0.0..1300.0, any_bool()), 0..20);
    let cooled_h = prop::collection::vec(0.0..90.0, 0..5);
    (ramps, by_hand, cooled_h, 0.5..90.0f64, 0usize..33).prop_map(
        |(ramps, by_hand, cooled_h, hours, seen)| Any {
            ramps,
            by_hand,
            cooled_h,
            hours,
            seen,
        },
    )
}

fn any_bool() -> impl Strategy<Value = bool> {
    proptest::bool::ANY
}

proptest! {
    #[test]
    fn labels_never_stand_on_one_another(any in any(), fahrenheit: bool, phone: bool, banded: bool) {
        let mut forecast = made::forecast();
        let whole = any.hours / 20.0;
        for s in &mut forecast.samples {
            s.time_s = s.time_s * whole;
        }
        let plan = FiringPlan {
            segments: any.ramps.iter().map(|(_, hold, target)| Segment {
                rate: Some(Rate::c_per_h(100.0)),
                target: Temperature::c(*target),
                hold: Span::h(*hold),
                reason: "as fast as the thickest piece stands".into(),
            }).collect(),
            hand_steps: any.by_hand.iter().map(|(at, cooling)| HandStep {
                at: Temperature::c(*at),
                cooling: *cooling,
                step: "Look at the cones".into(),
            }).collect(),
            ..made::firing()
        };
        let mut at = 0.0;
        forecast.segments_over_s = any.ramps.iter().take(any.seen).map(|(ramp, hold, _)| {
            at += ramp + hold;
            Span::h(at)
        }).collect();
        forecast.cooled = any.cooled_h.iter().map(|h| Cooled {
            below_c: Temperature::c(100.0),
            time_s: (*h < 80.0).then(|| Span::h(*h)),
        }).collect();
        let shown = Shown { fahrenheit, ..Shown::default() };
        let band = band(&forecast);
        let curve = Curve { forecast: &forecast, plan: &plan, shown, band: banded.then_some(&band) };
        let paper = if phone { Paper::Phone } else { Paper::Sheet };
        sound(&curve_svg(&curve, paper));
        sound(&forecast_svg(&curve, paper));
    }
}
