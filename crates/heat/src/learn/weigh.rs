//! Whether a firing makes forecasts better or worse, by other firings that are left out.

use std::collections::BTreeSet;

use glost_model::Span;
use glost_model::book::upkeep::{Upkeep, Wearing};
use jiff::Timestamp;

use super::learnt::{Foretold, LAST, Learnt, Missed};
use super::past::Past;
use super::{Going, in_order_of_time};

/// Misses count in these, which are about what forecasts are off by in any case; proposed, from kilns unlike the model.
const CONE: f64 = 0.15;
const PEAK_S: f64 = 300.0;
const ENERGY: f64 = 0.015;
/// A miss that is further off counts as this, squared: one firing that was odd decides nothing.
const FURTHEST: f64 = 25.0;
/// Worse is further off by this share: less is chance.
const MARGIN: f64 = 0.15;

/// What one firing is worth: forecasts of others, each left out of what it is foretold by.
#[derive(Debug, Clone, PartialEq)]
pub struct Weighed {
    /// Id of the firing.
    pub firing: String,
    /// By all other firings.
    pub without: Foretold,
    /// By those and this one.
    pub with: Foretold,
    /// How far off both are, in what forecasts are off by in any case.
    pub off: (f64, f64),
}

impl Weighed {
    /// The firing makes forecasts clearly worse. Of one against one nobody knows which of them is wrong.
    pub fn worse(&self) -> bool {
        self.with.firings > 1 && self.off.1 > self.off.0 * (1.0 + MARGIN)
    }
}

/// Learns from all firings, as [`super::learn_watched`], and weighs the latest of those that are used and not among
/// `known`: each of the last firings is left out in turn, and foretold by what is learnt from all others and from all
/// others but the one that is weighed. Those of before a change of the kiln tell nothing.
pub fn learn_and_weigh(
    pasts: &[Past],
    upkeep: &[Upkeep],
    known: &BTreeSet<String>,
    threads: usize,
    watch: &mut dyn FnMut(usize) -> bool,
) -> (Learnt, Vec<Weighed>) {
    let order = in_order_of_time(pasts);
    let mut states = Vec::new();
    let mut going = Going::nothing();
    for past in &order {
        states.push(going.clone());
        going.take(past, upkeep, threads);
        if !watch(going.learnt.firings.len()) {
            break;
        }
    }
    let learnt = going.over(upkeep);
    let scales = Scales {
        order: &order,
        states: &states,
        upkeep,
        threads,
        used: order.iter().map(|p| is_used(&learnt, &p.id)).collect(),
        since: alike_since(&learnt, upkeep),
    };
    let mut all = Vec::new();
    let fresh = (0..states.len()).rev().filter(|i| {
        let past = order[*i];
        scales.used[*i] && !known.contains(&past.id)
    });
    for i in fresh.take(LAST) {
        if !watch(order.len()) {
            break;
        }
        all.extend(scales.weigh(i));
    }
    (learnt, all)
}

fn is_used(learnt: &Learnt, id: &str) -> bool {
    let of = learnt.firings.iter().find(|f| f.id == id);
    of.is_some_and(|f| f.refused.is_none())
}

/// What firings are weighed by.
struct Scales<'a> {
    order: &'a [&'a Past],
    /// Before each firing.
    states: &'a [Going],
    upkeep: &'a [Upkeep],
    threads: usize,
    /// Which are learnt from.
    used: Vec<bool>,
    since: Option<Timestamp>,
}

impl Scales<'_> {
    /// Nothing when no other firing tells anything.
    fn weigh(&self, new: usize) -> Option<Weighed> {
        let telling = |i: &usize| {
            let alike = self.since.is_none_or(|since| self.order[*i].at >= since);
            *i != new && self.used[*i] && alike
        };
        let out = (0..self.states.len()).rev().filter(telling);
        let mut misses = Vec::new();
        for i in out.take(LAST) {
            let mut without = self.states[i.min(new)].clone();
            let rest: Vec<usize> = (i.min(new)..self.states.len())
                .filter(|k| *k != i)
                .collect();
            let alike = rest.iter().take_while(|k| **k < new).count();
            let (alike, rest) = rest.split_at(alike);
            self.go_on(&mut without, alike.iter());
            let mut with = without.clone();
            self.go_on(&mut without, rest.iter().filter(|k| **k != new));
            self.go_on(&mut with, rest.iter());
            let told =
                |m: &Missed| !m.cones.is_empty() || m.peak_s.is_some() || m.energy_j.is_some();
            let of = |going: &Going| going.learnt.misses(self.order[i]).filter(told);
            misses.extend(of(&without).zip(of(&with)));
        }
        let without: Vec<&Missed> = misses.iter().map(|m| &m.0).collect();
        let with: Vec<&Missed> = misses.iter().map(|m| &m.1).collect();
        Some(Weighed {
            firing: self.order[new].id.clone(),
            without: Foretold::of(&without)?,
            with: Foretold::of(&with)?,
            off: (off(&without), off(&with)),
        })
    }

    fn go_on<'k>(&self, going: &mut Going, over: impl Iterator<Item = &'k usize>) {
        for k in over {
            going.take(self.order[*k], self.upkeep, self.threads);
        }
    }
}

/// Since when the kiln is the one that it is: new elements, a new sensor, or a change that two firings told of.
fn alike_since(learnt: &Learnt, upkeep: &[Upkeep]) -> Option<Timestamp> {
    let until = learnt.firings.last()?.at;
    let made_new = upkeep
        .iter()
        .filter(|e| matches!(e.what, Wearing::Elements | Wearing::Sensor) && e.at <= until)
        .map(|e| e.at)
        .max();
    let changed = learnt.firings.iter().rposition(|f| f.changed);
    // The first of the two was not believed then.
    let changed = changed.and_then(|i| learnt.firings.get(i.saturating_sub(1)));
    made_new.max(changed.map(|f| f.at))
}

/// Root of the mean square of all misses, in what forecasts are off by in any case.
fn off(all: &[&Missed]) -> f64 {
    let square = |miss: f64, unit: f64| (miss / unit).powi(2).min(FURTHEST);
    let mean = |of: Vec<f64>| {
        let count = of.len() as f64;
        (count > 0.0).then(|| of.iter().sum::<f64>() / count)
    };
    let each = all.iter().filter_map(|m| {
        let cones = mean(m.cones.iter().map(|c| square(c.1, CONE)).collect());
        let peak = m.peak_s.map(|p| square(Span::to_s(p), PEAK_S));
        let energy = m.energy_j.map(|e| square(e.1, ENERGY));
        mean([cones, peak, energy].into_iter().flatten().collect())
    });
    mean(each.collect()).unwrap_or(0.0).sqrt()
}
