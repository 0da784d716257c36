//! Measure the watch: alarms in clean firings, and how soon a fault that was planted is told of.

use glost_heat::watch::trial::{Ask, Found, PLANTS, Trial, Way, clean, found, trial};
use glost_model::Span;

use super::Row;
use super::learn::LearnAsk;

/// Clean firings that are learnt from before the kiln is watched.
const LEARNT: usize = 4;
/// False alarms that are borne in a thousand firings.
const BORNE: f64 = 10.0;

const fn key(way: Way) -> &'static str {
    match way {
        Way::New => "new",
        Way::Learnt => "learnt",
        Way::SensorAlone => "sensor_alone",
    }
}

const fn words(way: Way) -> &'static str {
    match way {
        Way::New => "nothing learnt",
        Way::Learnt => "learnt",
        Way::SensorAlone => "learnt, from the sensor alone",
    }
}

pub(super) fn alarms(ask: &LearnAsk) -> Vec<Row> {
    let tried = trial(&Ask {
        kilns: ask.kilns,
        clean: ask.clean,
        faults: ask.faults,
        learnt: LEARNT,
        seed: ask.seed,
        threads: ask.threads,
    });
    vec![false_alarms(&tried, ask), delays(&tried, ask)]
}

fn false_alarms(tried: &Trial, ask: &LearnAsk) -> Row {
    let (mut lines, mut values) = (Vec::new(), Vec::new());
    let mut told = String::new();
    let mut reached = None;
    for way in Way::ALL {
        let c = clean(tried, way);
        let kinds: Vec<String> = c
            .kinds
            .iter()
            .map(|(kind, n)| format!("{} {n}", kind.rule().id))
            .collect();
        lines.push(vec![
            words(way).to_owned(),
            c.firings.to_string(),
            c.false_in.to_string(),
            format!("{:.0}", c.per_thousand),
            format!("{:.0}", c.at_most),
            c.true_in.to_string(),
            if kinds.is_empty() {
                "-".into()
            } else {
                kinds.join(", ")
            },
        ]);
        for (name, value) in [
            ("firings", c.firings as f64),
            ("false_in", c.false_in as f64),
            ("per_thousand", c.per_thousand),
            ("at_most_per_thousand", c.at_most),
            ("true_in", c.true_in as f64),
        ] {
            values.push((format!("{}_{name}", key(way)), value));
        }
        if way == Way::Learnt {
            told = format!(
                "{} of {} firings of kilns that were learnt from had a false alarm: {:.0} in a thousand, at most {:.0}",
                c.false_in, c.firings, c.per_thousand, c.at_most
            );
            // Too few firings to tell are no proof either way.
            let enough = c.at_most < BORNE || c.per_thousand >= BORNE;
            reached = enough.then_some(c.at_most < BORNE);
        }
    }
    values.push(("gave_up".into(), tried.gave_up as f64));
    values.push(("refused".into(), tried.refused.len() as f64));
    Row {
        name: "false-alarms",
        what: format!(
            "alarms in sound firings of {} kilns unlike the model (seed {}), after {LEARNT} firings learnt from; {} more in which the kiln could not do its programme are left out",
            ask.kilns, ask.seed, tried.gave_up
        ),
        wanted: format!(
            "fewer than {BORNE:.0} firings in a thousand, also by the bound that is above the truth nine times in ten (Clopper and Pearson 1934)"
        ),
        found: told,
        reached,
        values,
        head: vec![
            "watched with",
            "firings",
            "with a false alarm",
            "in a thousand",
            "at most",
            "with a true one",
            "which",
        ],
        lines,
    }
}

fn minutes(span: Option<Span>) -> String {
    span.map_or_else(|| "-".into(), |s| format!("{:.0} min", s.to_minutes()))
}

fn percent(part: usize, of: usize) -> String {
    if of == 0 {
        return "-".into();
    }
    format!("{:.0} %", 100.0 * part as f64 / of as f64)
}

fn delays(tried: &Trial, ask: &LearnAsk) -> Row {
    let (mut lines, mut values) = (Vec::new(), Vec::new());
    let (mut firings, mut right) = (0, 0);
    for (i, plant) in PLANTS.iter().enumerate() {
        let name = |way: Way, figure: &str| format!("{}_{}_{figure}", plant.id, key(way));
        for way in Way::ALL {
            let f = found(tried, i, way);
            lines.push(line(plant.words, way, &f, plant.right.is_empty()));
            values.push((name(way, "firings"), f.firings as f64));
            values.push((name(way, "right"), f.right as f64));
            values.push((name(way, "any"), f.any as f64));
            values.extend(f.median.map(|s| (name(way, "median_min"), s.to_minutes())));
            values.extend(f.most.map(|s| (name(way, "most_min"), s.to_minutes())));
            if way == Way::Learnt && !plant.right.is_empty() {
                firings += f.firings;
                right += f.right;
            }
        }
    }
    Row {
        name: "alarm-delays",
        what: format!(
            "faults planted at a drawn time in firings of {} kilns unlike the model (seed {}), after {LEARNT} firings learnt from",
            ask.kilns, ask.seed
        ),
        wanted: "each fault found, soon".into(),
        found: format!(
            "{} of {firings} faults that a rule looks for got the right alarm in kilns that were learnt from",
            right
        ),
        reached: None,
        values,
        head: vec![
            "fault",
            "watched with",
            "firings",
            "right alarm",
            "any alarm",
            "delay, half",
            "delay, nine in ten",
        ],
        lines,
    }
}

fn line(fault: &str, way: Way, f: &Found, no_rule: bool) -> Vec<String> {
    vec![
        fault.to_owned(),
        words(way).to_owned(),
        f.firings.to_string(),
        if no_rule {
            "no rule".into()
        } else {
            percent(f.right, f.firings)
        },
        percent(f.any, f.firings),
        minutes(f.median),
        minutes(f.most),
    ]
}
