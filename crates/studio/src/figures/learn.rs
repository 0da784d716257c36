//! Measure learning and the watch, in kilns unlike the model: how well firings are foretold that were not learnt from,
//! and how soon faults are told of.

use glost_heat::learn::trial::{Ask, Case, Figures, Off, Trial, Way, figures, trial};

use super::Row;
use super::alarms::alarms;

/// Firings that are learnt from before the last forecast.
const FIRINGS: usize = 6;
/// Forecasts are told of after so many firings.
const AFTER: [usize; 4] = [0, 1, 3, 6];

/// How many kilns, drawn how.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LearnAsk {
    /// Kilns.
    pub kilns: usize,
    /// Clean firings of each that are watched, once it was learnt from.
    pub clean: usize,
    /// Firings of each with each fault.
    pub faults: usize,
    /// The same seed draws the same kilns.
    pub seed: u64,
    /// Worked on at the same time; the answer is the same whatever it is.
    pub threads: usize,
}

type Measure = fn(&LearnAsk) -> Vec<Row>;

/// What is measured.
const ROWS: [(&str, Measure); 2] = [("forecasts", forecasts), ("alarms", alarms)];

/// Names of all, in order.
pub fn learn_names() -> impl Iterator<Item = &'static str> {
    ROWS.iter().map(|r| r.0)
}

/// Measures one; nothing for an unknown name.
pub fn measure_learn(ask: &LearnAsk, name: &str) -> Option<Vec<Row>> {
    ROWS.iter().find(|r| r.0 == name).map(|r| r.1(ask))
}

/// One thing that is foretold.
struct Thing {
    name: &'static str,
    what: &'static str,
    unit: &'static str,
    places: usize,
    /// From what a case holds to the unit.
    scale: f64,
    of: fn(&Case) -> Vec<&Off>,
}

const THINGS: [Thing; 3] = [
    Thing {
        name: "cones",
        what: "cone of each tier",
        unit: "cone",
        places: 2,
        scale: 1.0,
        of: |c| c.cones.iter().collect(),
    },
    Thing {
        name: "peak",
        what: "end of the hold at the peak",
        unit: "min",
        places: 1,
        scale: 1.0 / 60.0,
        of: |c| c.peak.iter().collect(),
    },
    Thing {
        name: "energy",
        what: "energy drawn",
        unit: "%",
        places: 1,
        scale: 100.0,
        of: |c| vec![&c.energy],
    },
];

const WAYS: [(Way, &str, &str); 3] = [
    (Way::Prior, "prior", "nothing learnt"),
    (
        Way::CarriedOver,
        "carried_over",
        "last firing's error carried over",
    ),
    (Way::Learnt, "learnt", "learnt"),
];

fn summed(tried: &Trial, thing: &Thing, way: Way, after: usize) -> Figures {
    let cases = tried.cases.iter();
    let of = cases.filter(|c| c.way == way && c.after == after);
    figures(of.flat_map(|c| (thing.of)(c)))
}

fn row(tried: &Trial, thing: &Thing, ask: &LearnAsk) -> Row {
    let (mut lines, mut values) = (Vec::new(), Vec::new());
    let mut last = [f64::NAN; 3];
    let mut within = f64::NAN;
    for after in AFTER {
        for (i, (way, key, words)) in WAYS.iter().enumerate() {
            // Before the first firing there is nothing to learn from or to carry over.
            if after == 0 && *way != Way::Prior {
                continue;
            }
            let f = summed(tried, thing, *way, after);
            let (root, worst) = (f.root * thing.scale, f.worst * thing.scale);
            let places = thing.places;
            lines.push(vec![
                after.to_string(),
                (*words).to_owned(),
                f.count.to_string(),
                format!("{root:.places$} {}", thing.unit),
                format!("{worst:.places$} {}", thing.unit),
                f.within
                    .map_or_else(|| "-".into(), |w| format!("{:.0} %", w * 100.0)),
            ]);
            let name = |figure: &str| format!("{key}_after_{after}_{figure}");
            values.push((name("root"), root));
            values.push((name("worst"), worst));
            values.extend(f.within.map(|w| (name("within"), w)));
            last[i] = root;
            if *way == Way::Learnt {
                within = f.within.unwrap_or(f64::NAN);
            }
        }
    }
    let [prior, carried, learnt] = last;
    let places = thing.places;
    Row {
        name: thing.name,
        what: format!(
            "{} in the next firing, foretold for {} kilns unlike the model (seed {})",
            thing.what, ask.kilns, ask.seed
        ),
        wanted: format!(
            "after {FIRINGS} firings nearer than by the priors and than by the last firing's error; bands of eight in ten hold about that many"
        ),
        found: format!(
            "{learnt:.places$} {unit} where the priors miss by {prior:.places$} and the last firing's error by {carried:.places$}; {:.0} % within the bands",
            within * 100.0,
            unit = thing.unit,
        ),
        reached: Some(learnt < prior && learnt < carried && within >= 0.6),
        values,
        head: vec![
            "firings before",
            "by",
            "forecasts",
            "root of mean square",
            "worst",
            "within the band",
        ],
        lines,
    }
}

fn forecasts(ask: &LearnAsk) -> Vec<Row> {
    let tried = trial(&Ask {
        kilns: ask.kilns,
        seed: ask.seed,
        threads: ask.threads,
        firings: FIRINGS,
    });
    let mut rows: Vec<Row> = THINGS.iter().map(|t| row(&tried, t, ask)).collect();
    let looked: usize = tried.learnt.iter().map(|l| l.firings.len()).sum();
    rows.push(Row {
        name: "refused",
        what: "sound firings that were not learnt from".into(),
        wanted: "next to none".into(),
        found: format!(
            "{} of {looked}; the controller gave up in {}",
            tried.refused.len(),
            tried.gave_up
        ),
        reached: Some(tried.refused.len() * 20 <= looked),
        values: vec![
            ("refused".into(), tried.refused.len() as f64),
            ("firings".into(), looked as f64),
            ("gave_up".into(), tried.gave_up as f64),
        ],
        head: vec!["which, and why"],
        lines: tried.refused.iter().map(|r| vec![r.clone()]).collect(),
    });
    rows
}
