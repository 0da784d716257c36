//! Furniture to fetch from the store before loading begins.

use std::collections::BTreeMap;

use glost_model::load::LoadPlan;
use glost_model::studio::Studio;
use serde::Serialize;

use crate::support;

/// One kind of thing and how many of it.
#[derive(Debug, PartialEq, Eq, Serialize)]
pub struct Item {
    /// How many.
    pub count: usize,
    /// What, in words.
    pub what: String,
}

/// Everything to fetch.
#[derive(Debug, PartialEq, Eq, Serialize)]
pub struct Fetch {
    /// Shelves by kind.
    pub shelves: Vec<Item>,
    /// Posts, longest first.
    pub posts: Vec<Item>,
    /// Stilts, pins and slabs.
    pub supports: Vec<Item>,
    /// Packs of witness cones.
    pub cone_packs: usize,
}

impl Fetch {
    /// Of a load plan.
    pub fn new(studio: &Studio, plan: &LoadPlan) -> Self {
        Self {
            shelves: shelves(studio, plan),
            posts: posts(studio, plan),
            supports: supports(studio, plan),
            cone_packs: plan.tiers.iter().map(|t| t.cone_packs.len()).sum(),
        }
    }
}

fn counted<'a>(names: impl Iterator<Item = &'a str>) -> BTreeMap<&'a str, usize> {
    let mut counts = BTreeMap::new();
    for name in names {
        *counts.entry(name).or_default() += 1;
    }
    counts
}

fn shelves(studio: &Studio, plan: &LoadPlan) -> Vec<Item> {
    let shown = studio.shown;
    let what = |name: &str| {
        let stock = studio.furniture.shelves.iter().find(|s| s.name == name);
        stock.map_or_else(
            || name.to_owned(),
            |s| {
                format!(
                    "{name}, {} thick, {}",
                    shown.length(s.thickness),
                    shown.mass(s.mass)
                )
            },
        )
    };
    counted(plan.tiers.iter().map(|t| t.shelf.as_str()))
        .into_iter()
        .map(|(name, count)| Item {
            count,
            what: what(name),
        })
        .collect()
}

fn posts(studio: &Studio, plan: &LoadPlan) -> Vec<Item> {
    let mut lengths: Vec<_> = plan
        .tiers
        .iter()
        .flat_map(|t| &t.posts)
        .flat_map(|p| p.lengths_m.iter().copied())
        .collect();
    lengths.sort_by(|a, b| b.total_cmp(a));
    let mut out: Vec<Item> = Vec::new();
    for length in lengths {
        let what = studio.shown.length(length);
        match out.last_mut() {
            Some(last) if last.what == what => last.count += 1,
            _ => out.push(Item { count: 1, what }),
        }
    }
    out
}

fn supports(studio: &Studio, plan: &LoadPlan) -> Vec<Item> {
    let names = plan.placed().flat_map(|(_, p)| &p.supports);
    let what = |name: &str| {
        let code = support::code(studio, name);
        support::stock(studio, name).map_or_else(
            || format!("{code}  {name}"),
            |s| {
                let size = studio.shown.length(s.diameter);
                format!(
                    "{code}  {name} ({}, {size} across)",
                    support::kind_name(s.kind)
                )
            },
        )
    };
    counted(names.map(String::as_str))
        .into_iter()
        .map(|(name, count)| Item {
            count,
            what: what(name),
        })
        .collect()
}
