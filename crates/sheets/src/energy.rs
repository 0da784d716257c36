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
}

/// The shares, the largest first; they add up to what was drawn.
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
        of_all: if all > Energy::ZERO {
            energy / all
        } else {
            0.0
        },
    };
    let mut shares: Vec<Share> = each.map(share).into();
    shares.sort_by(|a, b| b.of_all.total_cmp(&a.of_all));
    shares
}

/// A bar for each share. One unit is 1 mm.
pub fn energy_svg(forecast: &Forecast) -> String {
    let mut svg = Svg::new();
    let shares = shares(forecast);
    for (i, s) in shares.iter().enumerate() {
        let y = TOP + ROW * i as f64;
        let words = format!(
            "{}: {:.1} kWh, {:.0} %",
            s.to,
            s.energy.to_kwh(),
            s.of_all * 100.0
        );
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
