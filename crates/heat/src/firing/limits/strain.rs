//! Stress in a wall whose parts are not equally hot: most of all where quartz swells and shrinks.
//!
//! At a steady rate φ the surface of a wall differs from its mean by φ L²/(3a); L is half the wall, or all of it
//! where one face lies on the shelf. On heating the core is pulled by half of what the surface is pressed; on
//! cooling the surface is pulled by the whole (plate between two faces; W. D. Kingery, J. Am. Ceram. Soc. 38 (1955),
//! formulas derived here).

use glost_model::{Length, Rate, Temperature};

use super::known::{KnownRate, WALLS_MM};
use super::{Cap, Of};
use crate::firing::facts::Facts;
use crate::kiln::{KilnInput, WareInput};

/// Strain that a wall bears: strength 20 MPa × (1 − 0.2) / 60 GPa, from memory.
const BORNE: f64 = 2.7e-4;
/// Expansion of a fired body, 1/K, from memory.
const ALPHA: f64 = 6e-6;
/// Quartz grows by 0.45 % in length (Fraser 1986) in 40 K about 573 °C; a quarter of the body is quartz (from memory).
const QUARTZ: f64 = 0.25 * 0.0045 / 40.0;
const QUARTZ_FROM: Temperature = Temperature::c(553.0);
const QUARTZ_TO: Temperature = Temperature::c(593.0);
/// Diffusivity of bisque, k 0.7 / (1800 · 1100), and of raw clay, whose k lies below 0.3 to 1050 °C
/// (P. Michot et al., J. Eur. Ceram. Soc. 28 (2008) 2639), m²/s.
const BISQUE_M2_PER_S: f64 = 3.5e-7;
const RAW_M2_PER_S: f64 = 1.6e-7;
/// Above this a body gives way before it cracks, from memory.
const STIFF_BELOW: Temperature = Temperature::c(750.0);

/// Fastest steady change of a wall of this diffusivity (m²/s) and way for heat (m), K/s, that pulls no part
/// of it by more than it bears.
fn borne(diffusivity: f64, across_m: f64, alpha: f64, cooling: bool) -> f64 {
    let pulled = if cooling { 1.0 } else { 0.5 };
    BORNE * 3.0 * diffusivity / (alpha * pulled * across_m * across_m)
}

/// A stretch in which a wall is under stress.
struct Stress {
    id: &'static str,
    from: Temperature,
    to: Temperature,
    /// Expansion there, 1/K.
    alpha: f64,
    what: &'static str,
}

const COLD: Temperature = Temperature::c(0.0);
const RUNS_AHEAD: &str = "a wall whose face runs ahead of its core is under stress";
const ALL: [Stress; 4] = [
    Stress {
        id: "quartz-up",
        from: QUARTZ_FROM,
        to: QUARTZ_TO,
        alpha: ALPHA + QUARTZ,
        what: "quartz swells: all parts of a piece should pass it together",
    },
    Stress {
        id: "stress-up",
        from: COLD,
        to: STIFF_BELOW,
        alpha: ALPHA,
        what: RUNS_AHEAD,
    },
    Stress {
        id: "quartz-down",
        from: QUARTZ_TO,
        to: QUARTZ_FROM,
        alpha: ALPHA + QUARTZ,
        what: "quartz shrinks: all parts of a piece should pass it together",
    },
    Stress {
        id: "stress-down",
        from: STIFF_BELOW,
        to: COLD,
        alpha: ALPHA,
        what: RUNS_AHEAD,
    },
];
const SOURCE: &str =
    "Kingery 1955 (plate under thermal stress); strength and expansion from memory";

impl Stress {
    fn cooling(&self) -> bool {
        self.to < self.from
    }

    /// In whole 5 °C/h, as nobody knows it better.
    fn c_per_h(&self, wall: Length, raised: bool, raw: bool) -> f64 {
        let across = if raised { wall / 2.0 } else { wall };
        // What was raw is fired by the time it cools.
        let a = if raw && !self.cooling() {
            RAW_M2_PER_S
        } else {
            BISQUE_M2_PER_S
        };
        let exact = borne(a, across.to_m().max(1e-4), self.alpha, self.cooling());
        ((Rate::k_per_s(exact).to_c_per_h() / 5.0).floor() * 5.0).max(5.0)
    }
}

/// Limits by stress, heating and cooling, through quartz and elsewhere.
pub fn caps(facts: &Facts) -> Vec<Cap> {
    let Some(s) = &facts.strained else {
        return Vec::new();
    };
    let lies = if s.raised {
        "raised"
    } else {
        "flat on its shelf"
    };
    let whose = format!(
        "The {} wall of {}, {lies}, sets this rate.",
        facts.shown.length(s.wall),
        s.piece
    );
    let cap = |stress: &Stress| {
        let size = stress.c_per_h(s.wall, s.raised, s.raw);
        Cap {
            id: stress.id,
            from: stress.from,
            to: stress.to,
            rate: Rate::c_per_h(if stress.cooling() { -size } else { size }),
            of: Of::Ware,
            why: format!("{}. {whose}", capital(stress.what)),
        }
    };
    ALL.iter().map(cap).collect()
}

/// How fast ware may fall over a stretch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fall {
    /// From here to here, K.
    pub from_k: f64,
    /// See `from_k`.
    pub to_k: f64,
    /// At most, K/s.
    pub k_per_s: f64,
}

/// Cristobalite shrinks by about 1 % in length near 220 °C, over some 40 K, where a body holds it; a tenth of a body
/// is taken for it (from memory).
const CRISTOBALITE: f64 = 0.1 * 0.01 / 40.0;
const CRISTOBALITE_FROM: Temperature = Temperature::c(240.0);
const CRISTOBALITE_TO: Temperature = Temperature::c(200.0);

/// Limits of cooling where bodies shrink at once, for the thickest way for heat of a load.
pub(crate) fn cooling_limits(kiln: &KilnInput) -> Vec<Fall> {
    let tops = || kiln.shelves.iter().map(|s| s.top);
    let way = |w: &WareInput| {
        let stands = tops().any(|t| (w.foot - t).abs() < Length::mm(2.0));
        let half = if stands { 1.0 } else { 0.5 };
        w.wall.to_m() * half
    };
    let across = kiln.ware.iter().map(way).fold(0.0, f64::max).max(1e-4);
    let fall = |from: Temperature, to: Temperature, extra: f64| Fall {
        from_k: from.to_k(),
        to_k: to.to_k(),
        k_per_s: borne(BISQUE_M2_PER_S, across, ALPHA + extra, true),
    };
    vec![
        fall(QUARTZ_TO, QUARTZ_FROM, QUARTZ),
        fall(CRISTOBALITE_FROM, CRISTOBALITE_TO, CRISTOBALITE),
    ]
}

/// What a wall passes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Through {
    QuartzUp,
    QuartzDown,
    CristobaliteDown,
}

/// The fastest that one wall bears there, in whole 5 °C/h.
pub(super) fn borne_c_per_h(through: Through, wall: Length, raised: bool, raw: bool) -> f64 {
    let (id, from, to, extra) = match through {
        Through::QuartzUp => ("quartz-up", QUARTZ_FROM, QUARTZ_TO, QUARTZ),
        Through::QuartzDown => ("quartz-down", QUARTZ_TO, QUARTZ_FROM, QUARTZ),
        Through::CristobaliteDown => (
            "cristobalite-down",
            CRISTOBALITE_FROM,
            CRISTOBALITE_TO,
            CRISTOBALITE,
        ),
    };
    let stress = Stress {
        id,
        from,
        to,
        alpha: ALPHA + extra,
        what: "",
    };
    stress.c_per_h(wall, raised, raw)
}

/// For people to read: bisqued ware, flat on its shelf.
pub(super) fn known() -> impl Iterator<Item = KnownRate> {
    ALL.iter().map(|s| KnownRate {
        id: s.id,
        from: s.from,
        to: Some(s.to),
        c_per_h: WALLS_MM.map(|mm| s.c_per_h(Length::mm(mm), false, false)),
        what: s.what,
        source: SOURCE,
    })
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters
        .next()
        .map_or_else(String::new, |c| c.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_wall_is_held_to_what_firings_are_planned_with() {
        let known: Vec<_> = known().collect();
        for (through, id) in [
            (Through::QuartzUp, "quartz-up"),
            (Through::QuartzDown, "quartz-down"),
        ] {
            let planned = known.iter().find(|k| k.id == id).unwrap();
            for (mm, c_per_h) in WALLS_MM.iter().zip(planned.c_per_h) {
                let borne = borne_c_per_h(through, Length::mm(*mm), false, false);
                assert!((borne - c_per_h).abs() < 1e-9, "{id}, {mm} mm: {borne}");
            }
        }
    }

    /// Half walls of 10 and 20 mm with k 1.2, ρ 2300, c 1000: surface stress of 20 MPa at 2500 and 630 °C/h, and at
    /// a tenth of that where a body swells ten times as much (plate formula E α φ L²/(3a)/(1 − ν), worked by hand).
    #[test]
    fn follows_the_plate_formula() {
        for (half_m, c_per_h) in [(0.010, 2500.0), (0.020, 630.0)] {
            for (times, share) in [(1.0, 1.0), (10.0, 0.1)] {
                let k_per_s = borne(5.2e-7, half_m, ALPHA * times, true);
                let told = Rate::k_per_s(k_per_s).to_c_per_h();
                assert!((told / (c_per_h * share) - 1.0).abs() < 0.02, "{told}");
            }
        }
    }

    /// Thick sanitary ware is cooled through quartz at 50 °C/h at most (Fortuna, Sanitaryware, 2000): such ware is
    /// 20 to 30 mm thick with glaze around it.
    #[test]
    fn thick_ware_cools_through_quartz_as_industry_cools_it() {
        let told = |mm: f64| {
            let k_per_s = borne(BISQUE_M2_PER_S, mm / 1e3, ALPHA + QUARTZ, true);
            Rate::k_per_s(k_per_s).to_c_per_h()
        };
        assert!(
            told(30.0) < 50.0 && told(20.0) > 50.0,
            "{} {}",
            told(30.0),
            told(20.0)
        );
    }
}
