//! What is known of electric studio kilns, as bands. Brick of one group spreads by a factor of 1.7 and no load was
//! written down, so a band is wider than the published figures by a share that is said.

use std::f64::consts::PI;

use glost_model::forecast::{Forecast, Sample};

use super::kilns::{REFERENCE, SMALL, Sizes, kiln, plan, tariff};
use crate::kiln::{Extent, KilnModel, simulate};

/// A quantity with a band of published figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Fact {
    /// Which quantity.
    pub name: String,
    /// Where the figures come from.
    pub source: &'static str,
    /// Unit.
    pub unit: &'static str,
    /// Published, from and to.
    pub published: (f64, f64),
    /// How far outside it ours may be, as a share.
    pub allowed: f64,
    /// Ours.
    pub ours: f64,
}

impl Fact {
    /// The band with what is allowed.
    pub fn band(&self) -> (f64, f64) {
        let (low, high) = self.published;
        (low * (1.0 - self.allowed), high * (1.0 + self.allowed))
    }

    /// Whether it lies in its band.
    pub fn holds(&self) -> bool {
        let (low, high) = self.band();
        (low..=high).contains(&self.ours)
    }
}

fn fired(sizes: &Sizes, cone: &str, segments: &[(f64, f64, f64)]) -> Option<Forecast> {
    let model = KilnModel::new(kiln(sizes)).ok()?;
    simulate(&model, &plan(cone, segments)?, &tariff(), Extent::Cooling).ok()
}

/// Hours from the end of the programme until sensor and ware are below.
fn hours_to(f: &Forecast, below_c: f64) -> f64 {
    let warmest = |s: &Sample| {
        let all = s.ware_c.iter().copied().fold(s.sensor_c, |a, b| a.max(b));
        all.to_c()
    };
    let after = f.samples.iter().filter(|s| s.time_s >= f.firing_s);
    let cold = after.into_iter().find(|s| warmest(s) < below_c);
    cold.map_or(f64::NAN, |s| (s.time_s - f.firing_s).to_h())
}

fn of<T>(f: Option<&Forecast>, what: impl Fn(&Forecast) -> T, none: T) -> T {
    f.map_or(none, what)
}

/// Share of full power over the programme, %.
fn duty(f: &Forecast, sizes: &Sizes) -> f64 {
    f.energy_j.to_kwh() / (sizes.kw * f.firing_s.to_h()) * 100.0
}

/// Power that keeps the reference kiln at a temperature when its walls have settled, kW, against the flux through
/// a flat wall over the mean of inner and outer area.
fn held() -> Vec<Fact> {
    let area = |r: f64, h: f64| 2.0 * PI * r * (h + r);
    let mut facts = Vec::new();
    for (brick_mm, table) in [
        (64.0, [1144.0, 2354.0, 3176.0]),
        (76.0, [979.0, 2007.0, 2704.0]),
        (115.0, [667.0, 1361.0, 1829.0]),
    ] {
        let deep = brick_mm / 1000.0;
        let mean = (area(0.29, 0.76) * area(0.29 + deep, 0.76 + 2.0 * deep)).sqrt();
        for (temp, flux) in [600.0, 1000.0, 1222.0].into_iter().zip(table) {
            let mut input = kiln(&Sizes {
                brick_mm,
                kw: 14.0,
                ..REFERENCE
            });
            input.tuning.draught = 0.0;
            let power = || {
                let model = KilnModel::new(input).ok()?;
                let plan = plan("6", &[(300.0, temp, 3000.0)])?;
                let f = simulate(&model, &plan, &tariff(), Extent::Firing).ok()?;
                let end = f.samples.iter().rfind(|s| s.set_point_c.is_some())?;
                Some(end.power_w.to_kw())
            };
            let want = (flux * mean / 10.0).round() / 100.0;
            facts.push(Fact {
                name: format!("reference kiln with {brick_mm} mm of brick held at {temp} °C"),
                source: "flat wall, derived here",
                unit: "kW",
                published: (want, want),
                allowed: 0.05,
                ours: power().unwrap_or(f64::NAN),
            });
        }
    }
    facts
}

pub fn all() -> Vec<Fact> {
    let mut facts = firings();
    facts.extend(held());
    facts
}

fn firings() -> Vec<Fact> {
    let fact = |name: &str, source, unit, published, allowed, ours| Fact {
        name: name.into(),
        source,
        unit,
        published,
        allowed,
        ours,
    };
    let kwh = |f: &Forecast| f.energy_j.to_kwh();
    let nan = f64::NAN;
    let nine = fired(&SMALL, "9", &[(250.0, 1140.0, 0.0), (108.0, 1260.0, 10.0)]);
    let bisque = fired(&SMALL, "06", &[(100.0, 865.0, 0.0), (108.0, 985.0, 5.0)]);
    let six = fired(
        &REFERENCE,
        "6",
        &[(150.0, 1100.0, 0.0), (60.0, 1208.0, 10.0)],
    );
    let oxford = fired(&REFERENCE, "8", &[(100.0, 1260.0, 15.0)]);
    let glaze = fired(&REFERENCE, "6", &[(135.0, 1210.0, 10.0)]);
    let logged = "one logged kiln of 0.074 m³, potters.org 43125";
    let derived = "hand calculation, derived here";
    vec![
        fact(
            "small kiln to cone 9",
            logged,
            "kWh",
            (34.0, 36.0),
            0.3,
            of(nine.as_ref(), kwh, nan),
        ),
        fact(
            "small kiln to cone 06",
            logged,
            "kWh",
            (26.0, 29.0),
            0.3,
            of(bisque.as_ref(), kwh, nan),
        ),
        fact(
            "small kiln to cone 06, heating",
            logged,
            "h",
            (10.0, 10.0),
            0.1,
            of(bisque.as_ref(), |f| f.firing_s.to_h(), nan),
        ),
        fact(
            "reference kiln to cone 6",
            derived,
            "kWh",
            (68.0, 68.0),
            0.25,
            of(six.as_ref(), kwh, nan),
        ),
        fact(
            "reference kiln, 1208 to 100 °C, shut",
            derived,
            "h",
            (24.6, 24.6),
            0.25,
            of(six.as_ref(), |f| hours_to(f, 100.0), nan),
        ),
        fact(
            "0.2 m³ to 1260 °C, heating",
            "oxfordclay.co.uk, 80 to 120 °C/h and 15 min",
            "h",
            (13.0, 13.0),
            0.15,
            of(oxford.as_ref(), |f| f.firing_s.to_h(), nan),
        ),
        fact(
            "0.2 m³ from 1260 °C down to cold (60 °C)",
            "oxfordclay.co.uk",
            "h",
            (33.0, 33.0),
            0.25,
            of(oxford.as_ref(), |f| hours_to(f, 60.0), nan),
        ),
        fact(
            "0.2 m³, 9 h to cone 6: energy",
            "11.5 kW at 50 to 65 % for 9 h, lakesidepottery.com",
            "kWh",
            (52.0, 67.0),
            0.25,
            of(glaze.as_ref(), kwh, nan),
        ),
        fact(
            "0.2 m³, 9 h to cone 6: average power",
            "lakesidepottery.com",
            "%",
            (50.0, 65.0),
            0.25,
            of(glaze.as_ref(), |f| duty(f, &REFERENCE), nan),
        ),
    ]
}
