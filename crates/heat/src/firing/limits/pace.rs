//! How fast the trade goes by the thickest wall.

use glost_model::load::FiringKind;
use glost_model::{Length, Rate, Span, Temperature};

use super::{Cap, Of};
use crate::firing::facts::Facts;

/// Rates by wall, °C/h: what studios do with ware of at most 6, 13 and 25 mm. Between those walls in
/// proportion; thicker ware slows down with the square of its wall, as heat and water take to cross it.
pub(super) struct Pace {
    pub id: &'static str,
    pub from_c: f64,
    pub to_c: f64,
    pub c_per_h: [f64; 3],
    /// What happens there.
    pub what: &'static str,
    pub source: &'static str,
}

pub(super) const WALLS_MM: [f64; 3] = [6.0, 13.0, 25.0];

/// A start set between the notes on bisque of a university and of a studio.
const BISQUE_NOTES: &str = "between a university's and a studio's bisque notes (90 °C/h to 90 and 100 to 600 for thin ware, \
    50 to 90 for thick; 100 to 600, 150 to 900) and common practice, no source";

pub(super) const TO_DRY: Pace = Pace {
    id: "dry-rate",
    from_c: 0.0,
    to_c: 88.0,
    c_per_h: [90.0, 50.0, 30.0],
    what: "greenware: what water is left must find its way out before it boils",
    source: BISQUE_NOTES,
};
pub(super) const STEAM: Pace = Pace {
    id: "steam-rate",
    from_c: 88.0,
    to_c: 220.0,
    c_per_h: [110.0, 80.0, 50.0],
    what: "greenware: the last of the water leaves, and steam presses hard from inside",
    source: BISQUE_NOTES,
};
pub(super) const BOUND_WATER: Pace = Pace {
    id: "bound-water-rate",
    from_c: 220.0,
    to_c: 650.0,
    c_per_h: [110.0, 100.0, 60.0],
    what: "greenware: clay gives off its bound water, and quartz swells",
    source: BISQUE_NOTES,
};
pub(super) const BURN_OUT: Pace = Pace {
    id: "burn-out-rate",
    from_c: 650.0,
    to_c: 950.0,
    c_per_h: [167.0, 120.0, 80.0],
    what: "greenware: carbon and sulphur burn out, given air",
    source: BISQUE_NOTES,
};
pub(super) const GLAZE_DAMP: Pace = Pace {
    id: "glaze-damp-rate",
    from_c: 0.0,
    to_c: 120.0,
    c_per_h: [150.0, 100.0, 80.0],
    what: "glazed ware: steam under a glaze that is not quite dry lifts it",
    source: "common practice, no source",
};
/// A clay full of carbon or sulphur burns out no faster. Common practice, no source.
pub(super) const SLOW_BURN_OUT_C_PER_H: f64 = 70.0;
/// No studio kiln is fired faster with ware in it: the fastest of usual glaze firings. Common practice, no source.
pub(super) const MOST_C_PER_H: f64 = 250.0;
/// Hold past quartz and bound water, min, by wall.
const HOLD_MIN: [f64; 3] = [0.0, 20.0, 30.0];

/// A value by wall, level below the first.
fn by_wall(values: [f64; 3], wall: Length) -> f64 {
    let mm = wall.to_mm();
    let [a, b, c] = WALLS_MM;
    let between = |from: f64, to: f64, x: f64, y: f64| x + (y - x) * (mm - from) / (to - from);
    if mm <= a {
        values[0]
    } else if mm <= b {
        between(a, b, values[0], values[1])
    } else if mm <= c {
        between(b, c, values[1], values[2])
    } else {
        values[2]
    }
}

impl Pace {
    /// Whole °C/h, as controllers take.
    pub(super) fn at(&self, wall: Length) -> f64 {
        let thick = (wall.to_mm() / WALLS_MM[2]).max(1.0).powi(2);
        (by_wall(self.c_per_h, wall) / thick).floor().max(5.0)
    }

    fn cap(&self, facts: &Facts, event: &str) -> Cap {
        let wall = facts.thickest.as_ref().map_or(Length::ZERO, |t| t.0);
        let whose = facts
            .thickest
            .as_ref()
            .map_or(String::new(), |(wall, piece)| {
                format!(
                    " The {} wall of {piece} sets this rate.",
                    facts.shown.length(*wall)
                )
            });
        Cap {
            id: self.id,
            from: Temperature::c(self.from_c),
            to: Temperature::c(self.to_c),
            rate: Rate::c_per_h(self.at(wall)),
            of: Of::Sensor,
            why: format!("{event}{whose}"),
        }
    }
}

/// The hold that lets the core of thick raw ware follow, once quartz and bound water are passed.
pub fn hold_past_quartz(facts: &Facts) -> Span {
    let wall = facts.thickest.as_ref().map_or(Length::ZERO, |t| t.0);
    match facts.kind {
        FiringKind::Bisque => Span::minutes(by_wall(HOLD_MIN, wall)),
        FiringKind::Glaze => Span::ZERO,
    }
}

fn most(facts: &Facts, last_from: Temperature) -> Cap {
    let why = match facts.kind {
        FiringKind::Bisque => {
            "No wall or clay here asks for less than the fastest that studios fire."
        }
        FiringKind::Glaze => {
            "Nothing touchy happens here until the glaze seals: no wall here is thick enough to ask for less than \
             the fastest that studios fire."
        }
    };
    Cap {
        id: "most-rate",
        from: Temperature::c(0.0),
        to: last_from,
        rate: Rate::c_per_h(MOST_C_PER_H),
        of: Of::Sensor,
        why: why.into(),
    }
}

/// Of raw clay.
pub fn bisque(facts: &Facts, last_from: Temperature) -> Vec<Cap> {
    let at = |c: f64| facts.shown.temperature(Temperature::c(c));
    let mut all = vec![
        most(facts, last_from),
        TO_DRY.cap(
            facts,
            "What water is left must find its way out before it boils.",
        ),
        STEAM.cap(
            facts,
            &format!(
                "The last of the water leaves between {} and {}; steam presses hard from inside.",
                at(100.0),
                at(220.0)
            ),
        ),
        BOUND_WATER.cap(
            facts,
            &format!(
                "Clay gives off its bound water from {} to {}, and quartz swells at {}: all parts of a piece should \
                 pass it together.",
                at(450.0),
                at(650.0),
                at(573.0)
            ),
        ),
    ];
    let mut burn_out = BURN_OUT.cap(
        facts,
        &format!(
            "Carbon and sulphur burn out up to about {}, given air.",
            at(950.0)
        ),
    );
    if let Some(clay) = &facts.burn_out
        && burn_out.c_per_h() > SLOW_BURN_OUT_C_PER_H
    {
        burn_out.rate = Rate::c_per_h(SLOW_BURN_OUT_C_PER_H);
        burn_out.why = format!(
            "Carbon and sulphur burn out of {clay} from {} to {}. It needs time and air; what stays behind bloats the \
             body or pinholes its glaze. Clay {clay} sets this rate.",
            at(650.0),
            at(950.0)
        );
    }
    all.push(burn_out);
    all
}

/// Of bisqued ware with glaze on it.
pub fn glaze(facts: &Facts, last_from: Temperature) -> Vec<Cap> {
    vec![
        most(facts, last_from),
        GLAZE_DAMP.cap(
            facts,
            "Drives the damp out of glaze and foot before it can lift the glaze.",
        ),
    ]
}
