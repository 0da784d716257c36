//! The forecast as a drawing and as a table.

#[expect(dead_code, reason = "the load sheet needs more")]
mod made;

use glost_model::Span;
use glost_sheets::{forecast_csv, forecast_svg};
use roxmltree::Document;

#[test]
fn the_curve_looks_as_it_looked() {
    let svg = forecast_svg(&made::forecast(), &made::firing(), &made::studio());
    insta::assert_snapshot!(svg);
}

#[test]
fn the_curve_says_what_it_shows() {
    let mut studio = made::studio();
    studio.shown.fahrenheit = true;
    let svg = forecast_svg(&made::forecast(), &made::firing(), &studio);
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
        "below 392 °F at 18 h",
    ] {
        assert!(text.contains(wanted), "{wanted} in {text}");
    }
    let dashes = |n: &roxmltree::Node<'_, '_>| n.attribute("stroke-dasharray").map(str::to_owned);
    let lines = doc.descendants().filter(|n| n.has_tag_name("polyline"));
    let looks: std::collections::BTreeSet<_> = lines.map(|n| dashes(&n)).collect();
    assert_eq!(looks.len(), 4, "four lines that differ without colour");
}

#[test]
fn a_forecast_without_samples_is_still_a_drawing() {
    let mut forecast = made::forecast();
    forecast.samples.clear();
    forecast.zones.clear();
    let svg = forecast_svg(&forecast, &made::firing(), &made::studio());
    Document::parse(&svg).unwrap();
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

#[test]
fn a_band_shows_what_is_in_doubt() {
    use glost_model::Temperature;
    use glost_model::doubt::{Band, BandAt, Doubt, Limit, Margin};
    let bare = forecast_svg(&made::forecast(), &made::firing(), &made::studio());
    let mut forecast = made::forecast();
    let at = |hour: u32| {
        let middle = 100.0 * f64::from(hour);
        let band = |wide: f64| Band {
            low: Temperature::c(middle - wide),
            middle: Temperature::c(middle),
            high: Temperature::c(middle + wide),
        };
        BandAt {
            time_s: Span::h(f64::from(hour)),
            sensor_c: band(2.0),
            ware_c: band(20.0),
        }
    };
    let all = |t: Span| Band {
        low: Some(t),
        middle: Some(t),
        high: Some(t),
    };
    let kwh = glost_model::Energy::kwh(60.0);
    forecast.doubt = Some(Doubt {
        draws: 24,
        seed: 1,
        peak_over_s: all(Span::h(10.0)),
        over_s: all(Span::h(10.0)),
        open_s: all(Span::h(20.0)),
        open_below_c: Temperature::c(90.0),
        energy_j: Band {
            low: kwh,
            middle: kwh,
            high: kwh,
        },
        cost_cents: None,
        zones: Vec::new(),
        missed: 0,
        curve: (0..10).map(at).collect(),
        margin: Margin {
            ageing: 1.0,
            keeps: Limit::Far,
            reaches: Limit::Far,
        },
    });
    let svg = forecast_svg(&forecast, &made::firing(), &made::studio());
    let doc = Document::parse(&svg).unwrap();
    let band = doc
        .descendants()
        .find(|n| n.has_tag_name("polygon"))
        .unwrap();
    assert_eq!(band.attribute("points").unwrap().split(' ').count(), 20);
    assert!(svg.contains("8 kilns of 10") && !bare.contains("8 kilns of 10"));
}
