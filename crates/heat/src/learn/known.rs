//! What is fitted, how much of it changes from firing to firing, and how to say it.

use glost_model::shown::Shown;
use glost_model::{TempDiff, Temperature};

use crate::doubt::{ENDS, PRIORS, Prior};
use crate::kiln::KilnInput;

/// How something that is fitted goes on between firings, in the prior's unit.
#[derive(Debug, Clone, Copy)]
pub struct Known {
    /// What it may be before the first firing.
    pub prior: Prior,
    /// It walks away by so much from one firing to the next and stays there.
    pub walks: f64,
    /// It is off by so much in one firing only.
    pub today: f64,
}

/// Everything that is fitted, in the order of [`PRIORS`], and [`ENDS`].
pub const KNOWN: [Known; COUNT] = [
    // Bricks crack and are patched.
    known(0, 0.005, 0.0),
    // Elements age by 0.3 to 1 % in a firing at cone 6 (proposed); mains are 1 % off on a day.
    known(1, 0.008, 0.015),
    // Seams wear, and a lid never falls shut the same way twice.
    known(2, 0.05, 0.2),
    // Coils age on their own.
    known(3, 0.003, 0.005),
    // A thermocouple of base metal drifts by up to a K in a firing at cone 6 (from memory).
    known(4, 0.0006, 0.0003),
    // Weights that somebody guessed are off in other ways each time.
    known(5, 0.003, 0.03),
    Known {
        prior: ENDS,
        walks: 0.003,
        today: 0.01,
    },
];

/// How many.
pub const COUNT: usize = PRIORS.len() + 1;

const fn known(prior: usize, walks: f64, today: f64) -> Known {
    Known {
        prior: PRIORS[prior],
        walks,
        today,
    }
}

/// Place of a prior by its id.
pub fn place(id: &str) -> Option<usize> {
    KNOWN.iter().position(|k| k.prior.id == id)
}

/// Power of the elements, which ages.
pub(super) const POWER: usize = 1;
/// What new elements make anew.
pub(super) const OF_ELEMENTS: [usize; 3] = [POWER, 3, 6];
/// What a new sensor makes anew.
pub(super) const SENSOR: usize = 4;

/// The kiln where it has come to along every direction.
pub(super) fn moved(kiln: &KilnInput, shifts: &[f64]) -> KilnInput {
    let mut out = kiln.clone();
    for (known, by) in KNOWN.iter().zip(shifts) {
        known.prior.move_kiln(&mut out, *by);
    }
    out
}

/// Known to less than this share of the prior's width, something was learnt.
const LEARNT: f64 = 0.85;

/// Says a value with its deviation.
pub(super) fn words(id: &str, value: f64, deviation: f64, shown: Shown) -> String {
    let width = place(id).and_then(|i| KNOWN.get(i)).map(|k| k.prior.width);
    if width.is_none_or(|w| deviation > LEARNT * w) {
        return match id {
            "lining" => "how well the walls keep heat is not known better than before",
            "power" => "the power of the elements is not known better than before",
            "leak" => "how much air is drawn through is not known better than before",
            "balance" => "how top and bottom elements compare is not known better than before",
            "ends" => {
                "how the ends of the kiln compare with its middle is not known better than before"
            }
            "sensor" => "how far off the sensor reads is not known better than before",
            _ => "how much heat the load takes up is not known better than before",
        }
        .to_owned();
    }
    let percent = (value.exp() - 1.0) * 100.0;
    let give = deviation * 100.0;
    let more = |p: f64, up: &str, down: &str| {
        format!("{:.0} % {}", p.abs(), if p < 0.0 { down } else { up })
    };
    match id {
        "lining" => format!(
            "walls, floor and lid conduct {} than usual for their bricks, ±{give:.0} %",
            more(percent, "more heat", "less heat")
        ),
        "power" => format!(
            "elements give {} than the nameplate, ±{give:.0} %",
            more(percent, "more", "less")
        ),
        "leak" => format!(
            "{:.1} times the usual air is drawn through, ±{give:.0} %",
            value.exp()
        ),
        "balance" => format!(
            "the top elements give {} than their share and the bottom ones as much {}, ±{give:.0} %",
            more(value * 100.0, "more", "less"),
            if value < 0.0 { "more" } else { "less" }
        ),
        "ends" => format!(
            "top and bottom get heat as if their elements gave {} than their share, ±{give:.0} %",
            more(value * 100.0, "more", "less")
        ),
        "sensor" => {
            // Near cone 6 and 7.
            let at = Temperature::c(1220.0);
            let hot = 1220.0;
            format!(
                "the sensor reads {} too {} at {}, ±{}",
                shown.difference(TempDiff::k(value.abs() * hot)),
                if value < 0.0 { "low" } else { "high" },
                shown.temperature(at),
                shown.difference(TempDiff::k(deviation * hot))
            )
        }
        _ => format!(
            "the load takes up {} heat than its weight says, ±{give:.0} %",
            more(percent, "more", "less")
        ),
    }
}
