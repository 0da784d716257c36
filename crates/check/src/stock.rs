//! Does the studio own what the plan uses?

use std::collections::BTreeMap;

use glost_model::load::LoadPlan;
use glost_model::studio::Studio;

use crate::{Breach, breach};

/// Judges the numbers of shelves, posts and supports.
pub fn judge(studio: &Studio, plan: &LoadPlan, out: &mut Vec<Breach>) {
    let owned = &studio.furniture;
    let shelves = counted(plan.tiers.iter().map(|t| t.shelf.as_str()));
    for (name, used) in shelves {
        let kinds = owned.shelves.iter().filter(|s| s.name == name);
        let held = kinds.map(|s| usize::from(s.count)).sum();
        short(used, held, &format!("shelves '{name}'"), out);
    }
    let supports = plan.placed().flat_map(|(_, p)| &p.supports);
    for (name, used) in counted(supports.map(String::as_str)) {
        let kinds = owned.supports.iter().filter(|s| s.name == name);
        let held = kinds.map(|s| usize::from(s.count)).sum();
        short(used, held, &format!("supports '{name}'"), out);
    }
    // Lengths are the same to a hundredth of a millimetre.
    let key = |l: glost_model::Length| (l.to_mm() * 100.0).round() as i64;
    let posts = plan.tiers.iter().flat_map(|t| &t.posts);
    let lengths = posts.flat_map(|p| p.lengths_m.iter().map(|l| key(*l)));
    for (length, used) in counted(lengths) {
        let kinds = owned.posts.iter().filter(|p| key(p.length) == length);
        let held = kinds.map(|p| usize::from(p.count)).sum();
        let what = format!("posts of {:.1} mm", length as f64 / 100.0);
        short(used, held, &what, out);
    }
}

fn counted<T: Ord>(all: impl Iterator<Item = T>) -> BTreeMap<T, usize> {
    let mut counts = BTreeMap::new();
    for one in all {
        *counts.entry(one).or_default() += 1;
    }
    counts
}

fn short(used: usize, held: usize, what: &str, out: &mut Vec<Breach>) {
    if used > held {
        out.push(breach(
            "stock",
            None,
            &[],
            format!("uses {used} {what} and the studio owns {held}"),
            "Use fewer, or others",
        ));
    }
}
