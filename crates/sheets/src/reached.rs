//! The heat-work of each zone beside the cone that is wanted.

use glost_model::cone::Cone;
use glost_model::forecast::Forecast;

use crate::svg::{Anchor, SMALL, Svg};

const WIDTH: f64 = 110.0;
const LEFT: f64 = 24.0;
const RIGHT: f64 = 88.0;
const TOP: f64 = 13.0;
const ROW: f64 = 8.0;
/// Half a cone off is read as another cone by eye.
const HALF_CONE: f64 = 0.5;
/// So many cones to either side at least.
const AROUND: f64 = 1.5;

/// How far a zone is off the wanted cone, in cones: `+0.3`, and whether that is within half a cone.
pub fn beside(position: f64, cone: Cone) -> String {
    let off = position - cone.position();
    let words = if off.abs() <= HALF_CONE {
        "within half a cone"
    } else if off < 0.0 {
        "too little"
    } else {
        "too much"
    };
    let number = if off.abs() < 0.05 {
        "0".to_owned()
    } else {
        format!("{off:+.1}").replace('-', "−")
    };
    format!("{number}: {words}")
}

/// A row for each zone, the highest first: a mark where its cone lies, the wanted cone in the middle with half a cone
/// to either side. One unit is 1 mm.
pub fn reached_svg(forecast: &Forecast, cone: Cone) -> String {
    let wanted = cone.position();
    let off = |p: f64| (p - wanted).clamp(-9.0, 9.0);
    let farthest = forecast.zones.iter().map(|z| off(z.cone_position).abs());
    let around = farthest.fold(AROUND, f64::max).ceil();
    let x = |off: f64| (LEFT + RIGHT) / 2.0 + off / around * (RIGHT - LEFT) / 2.0;
    let bottom = TOP + ROW * forecast.zones.len().max(1) as f64;
    let mut svg = Svg::new();
    let band = r#"fill="rgb(225,225,225)""#;
    let wide = x(HALF_CONE) - x(-HALF_CONE);
    svg.rect((x(-HALF_CONE), TOP), (wide, bottom - TOP), band);
    let (line, thin) = (
        r#"stroke="black" stroke-width="0.6""#,
        r#"stroke="rgb(120,120,120)" stroke-width="0.25""#,
    );
    let mut cones = -around;
    while cones <= around {
        svg.line((x(cones), TOP), (x(cones), bottom), thin);
        cones += 1.0;
    }
    svg.line((x(0.0), TOP - 1.5), (x(0.0), bottom), line);
    svg.bold(
        (x(0.0), TOP - 3.0),
        SMALL,
        Anchor::Middle,
        &format!("cone {cone} wanted"),
    );
    svg.text((LEFT - 9.0, TOP - 3.0), SMALL, Anchor::End, "tier");
    svg.text((LEFT, TOP - 3.0), SMALL, Anchor::Middle, "cooler");
    svg.text((RIGHT, TOP - 3.0), SMALL, Anchor::Middle, "hotter");
    for (i, z) in forecast.zones.iter().rev().enumerate() {
        let y = TOP + ROW * (i as f64 + 0.5);
        let text = y + SMALL * 0.36;
        let name = if z.tiers.is_empty() { "ware" } else { &z.tiers };
        svg.text((LEFT - 3.0, text), SMALL, Anchor::End, name);
        let spot = x(off(z.cone_position));
        svg.line((x(0.0), y), (spot, y), line);
        // Filled inside the half cone, open outside: not told by place alone.
        let inside = (z.cone_position - wanted).abs() <= HALF_CONE;
        let fill = if inside { "black" } else { "white" };
        let look = format!(r#"fill="{fill}" stroke="black" stroke-width="0.8""#);
        svg.circle((spot, y), 2.0, &look);
        svg.bold((RIGHT + 4.0, text), SMALL, Anchor::Start, &z.cone_reached);
    }
    let told = "filled: within half a cone; a line is a cone";
    svg.text((WIDTH / 2.0, bottom + 6.0), SMALL, Anchor::Middle, told);
    svg.finish(WIDTH, bottom + 9.0, "Cone that each tier gets")
}
