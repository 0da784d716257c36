//! Where the energy of a firing goes.

use glost_model::Energy;
use glost_model::forecast::Forecast;

use crate::svg::{Anchor, SMALL, Svg};

const WIDTH: f64 = 110.0;
const LEFT: f64 = 2.0;
const BAR: f64 = 106.0;
const ROW: f64 = 13.0;
const TOP: f64 = 4.0;

/// A share of the energy.
#[derive(Debug, Clone, PartialEq)]
pub struct Share {
    /// Where it goes.
    pub to: &'static str,
    /// How much, J.
    pub energy: Energy,
    /// Of what was drawn, 0 to 1.
    pub of_all: f64,
    /// As told, in tenths of a kWh: together as many as were drawn.
    pub tenths_kwh: u32,
    /// As told, in per cent: together 100.
    pub percent: u32,
}

/// The shares, the largest first; they add up to what was drawn, also as told.
pub fn shares(forecast: &Forecast) -> Vec<Share> {
    let split = &forecast.split;
    let all = split.lost_j + split.vent_j + split.stored_j + split.reactions_j;
    let each = [
        ("through walls, floor and lid", split.lost_j),
        ("out of vent and cracks", split.vent_j),
        ("left in kiln and ware at the end", split.stored_j),
        ("drying and changing the clay", split.reactions_j),
    ];
    let share = |(to, energy): (&'static str, Energy)| Share {
        to,
        energy,
        tenths_kwh: 0,
        percent: 0,
        of_all: if all > Energy::ZERO {
            energy / all
        } else {
            0.0
        },
    };
    let mut shares: Vec<Share> = each.map(share).into();
    shares.sort_by(|a, b| b.of_all.total_cmp(&a.of_all));
    let parts: Vec<f64> = shares.iter().map(|s| s.of_all).collect();
    let drawn = (forecast.energy_j.to_kwh() * 10.0).round().max(0.0) as u32;
    let told = dealt(drawn, &parts).into_iter().zip(dealt(100, &parts));
    for (share, (tenths, percent)) in shares.iter_mut().zip(told) {
        share.tenths_kwh = tenths;
        share.percent = percent;
    }
    shares
}

/// Whole numbers that add up to `whole`, in proportion; the largest remainders round up. All 0 when there are no parts.
fn dealt(whole: u32, parts: &[f64]) -> Vec<u32> {
    let exact: Vec<f64> = parts
        .iter()
        .map(|p| p.max(0.0) * f64::from(whole))
        .collect();
    let mut out: Vec<u32> = exact.iter().map(|e| e.floor() as u32).collect();
    if parts.iter().sum::<f64>() <= 0.0 {
        return out;
    }
    let mut order: Vec<usize> = (0..parts.len()).collect();
    order.sort_by(|&a, &b| exact[b].fract().total_cmp(&exact[a].fract()));
    let short = whole.saturating_sub(out.iter().sum());
    for i in order.into_iter().take(short as usize) {
        out[i] += 1;
    }
    out
}

/// A bar for each share. One unit is 1 mm.
pub fn energy_svg(forecast: &Forecast) -> String {
    let mut svg = Svg::new();
    let shares = shares(forecast);
    for (i, s) in shares.iter().enumerate() {
        let y = TOP + ROW * i as f64;
        let kwh = f64::from(s.tenths_kwh) / 10.0;
        let percent = match s.percent {
            0 if s.of_all > 0.0 => "under 1".to_owned(),
            p => p.to_string(),
        };
        let words = format!("{}: {kwh:.1} kWh, {percent} %", s.to);
        svg.text((LEFT, y + SMALL * 0.7), SMALL, Anchor::Start, &words);
        let rail = r#"fill="white" stroke="black" stroke-width="0.4""#;
        svg.rect((LEFT, y + 4.5), (BAR, 5.0), rail);
        let full = r#"fill="rgb(70,70,70)""#;
        let wide = BAR * s.of_all.clamp(0.0, 1.0);
        svg.rect((LEFT, y + 4.5), (wide, 5.0), full);
    }
    let bottom = TOP + ROW * shares.len() as f64 + 3.0;
    let all = format!("drawn in all: {:.1} kWh", forecast.energy_j.to_kwh());
    svg.bold((LEFT, bottom), SMALL, Anchor::Start, &all);
    svg.finish(WIDTH, bottom + 3.0, "Where the energy goes")
}
