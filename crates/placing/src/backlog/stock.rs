//! Furniture that loads use between them.

use std::collections::BTreeMap;

use glost_model::Length;
use glost_model::furniture::{Furniture, SupportKind};
use glost_model::load::LoadPlan;
use glost_rules::Need;

/// One kind of furniture.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Item {
    Shelf(String),
    Post(i64),
    Support(String),
}

/// How many of each kind.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Used(BTreeMap<Item, u32>);

/// Lengths are the same to a hundredth of a millimetre, as for the judge.
fn post(length: Length) -> Item {
    Item::Post((length.to_mm() * 100.0).round() as i64)
}

impl Used {
    /// What a load uses.
    pub fn by(load: &LoadPlan) -> Self {
        let mut used = Self::default();
        for tier in &load.tiers {
            used.count(Item::Shelf(tier.shelf.clone()));
            for length in tier.posts.iter().flat_map(|p| &p.lengths_m) {
                used.count(post(*length));
            }
        }
        for name in load.placed().flat_map(|(_, p)| &p.supports) {
            used.count(Item::Support(name.clone()));
        }
        used
    }

    fn count(&mut self, item: Item) {
        *self.0.entry(item).or_default() += 1;
    }

    /// Both together.
    pub fn with(mut self, other: &Self) -> Self {
        for (item, n) in &other.0 {
            *self.0.entry(item.clone()).or_default() += n;
        }
        self
    }

    /// Whether the studio owns that much.
    pub fn within(&self, owned: &Furniture) -> bool {
        self.0.iter().all(|(item, n)| *n <= held(owned, item))
    }

    /// What is left of the studio's furniture.
    pub fn left_of(&self, owned: &Furniture) -> Furniture {
        let mut left = owned.clone();
        let mut taken = self.0.clone();
        // Kinds may be listed more than once: each gives what it has.
        let mut take = |item: Item, count: &mut u16| {
            if let Some(n) = taken.get_mut(&item) {
                let now = (*n).min(u32::from(*count));
                *n -= now;
                *count -= u16::try_from(now).unwrap_or(*count);
            }
        };
        for s in &mut left.shelves {
            take(Item::Shelf(s.name.clone()), &mut s.count);
        }
        for p in &mut left.posts {
            take(post(p.length), &mut p.count);
        }
        for s in &mut left.supports {
            take(Item::Support(s.name.clone()), &mut s.count);
        }
        left
    }
}

fn held(owned: &Furniture, item: &Item) -> u32 {
    let counts: Vec<u16> = match item {
        Item::Shelf(name) => {
            let kinds = owned.shelves.iter().filter(|s| s.name == *name);
            kinds.map(|s| s.count).collect()
        }
        Item::Post(_) => {
            let kinds = owned.posts.iter().filter(|p| post(p.length) == *item);
            kinds.map(|p| p.count).collect()
        }
        Item::Support(name) => {
            let kinds = owned.supports.iter().filter(|s| s.name == *name);
            kinds.map(|s| s.count).collect()
        }
    };
    counts.into_iter().map(u32::from).sum()
}

/// How many supports meet a need.
pub fn supports_for(owned: &Furniture, need: Need) -> u32 {
    let kind = match need {
        Need::Stilt => SupportKind::Stilt,
        Need::PinSupport => SupportKind::PinSupport,
        Need::WasterSlab => SupportKind::WasterSlab,
    };
    let kinds = owned.supports.iter().filter(|s| s.kind == kind);
    kinds.map(|s| u32::from(s.count)).sum()
}
