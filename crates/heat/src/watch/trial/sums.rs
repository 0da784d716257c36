//! Sums over the firings that were watched.

use glost_model::Span;

use super::super::AlarmKind;
use super::{PLANTS, Trial, Watched, Way, at_most};

/// What became of a fault.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// Firings with it.
    pub firings: usize,
    /// The right alarm rang.
    pub right: usize,
    /// Any alarm rang after it began.
    pub any: usize,
    /// From the fault to the right alarm, half of those that were found and nine in ten of them.
    pub median: Option<Span>,
    /// See `median`.
    pub most: Option<Span>,
}

/// Alarms in clean firings.
#[derive(Debug, Clone, PartialEq)]
pub struct Clean {
    /// Clean firings.
    pub firings: usize,
    /// Those with at least one alarm that was false.
    pub false_in: usize,
    /// Those with an alarm that was true: the kiln did pass its cone.
    pub true_in: usize,
    /// Firings with a false alarm in a thousand, and what that is at most, nine times in ten.
    pub per_thousand: f64,
    /// See `per_thousand`.
    pub at_most: f64,
    /// In how many firings each alarm rang falsely.
    pub kinds: Vec<(AlarmKind, usize)>,
}

/// What became of a fault of [`PLANTS`].
pub fn found(trial: &Trial, plant: usize, way: Way) -> Found {
    let right = PLANTS.get(plant).map_or(&[][..], |p| p.right);
    let these = trial.watched.iter().filter(|w| w.way == way);
    let these = these.filter_map(|w| w.fault.filter(|f| f.0 == plant).map(|f| (w, f.1)));
    let (mut firings, mut any, mut after) = (0, 0, Vec::new());
    for (watched, at) in these {
        firings += 1;
        let later = || watched.rang.iter().filter(move |r| r.after >= at);
        any += usize::from(later().next().is_some());
        let told = later().find(|r| right.contains(&r.kind));
        after.extend(told.map(|r| (r.after - at).to_s()));
    }
    after.sort_by(f64::total_cmp);
    let part = |share: f64| {
        let at = (after.len() as f64 * share).ceil() as usize;
        after.get(at.max(1) - 1).copied().map(Span::s)
    };
    Found {
        firings,
        right: after.len(),
        any,
        median: part(0.5),
        most: part(0.9),
    }
}

/// What rang in clean firings.
pub fn clean(trial: &Trial, way: Way) -> Clean {
    let these: Vec<&Watched> = trial
        .watched
        .iter()
        .filter(|w| w.way == way && w.fault.is_none())
        .collect();
    let in_how_many = |of: &dyn Fn(&Watched) -> bool| these.iter().filter(|w| of(w)).count();
    let false_in = in_how_many(&|w| w.rang.iter().any(|r| !r.so));
    let kinds = super::super::rules().map(|rule| {
        let rang = |w: &Watched| w.rang.iter().any(|r| r.kind == rule.kind && !r.so);
        (rule.kind, in_how_many(&rang))
    });
    Clean {
        firings: these.len(),
        false_in,
        true_in: in_how_many(&|w| w.rang.iter().any(|r| r.so)),
        per_thousand: 1000.0 * false_in as f64 / these.len().max(1) as f64,
        at_most: 1000.0 * at_most(false_in, these.len()),
        kinds: kinds.filter(|(_, n)| *n > 0).collect(),
    }
}
