//! Where faults gather.

use std::collections::BTreeMap;

use super::Books;

/// By what pieces are told apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum By {
    /// Clay.
    Clay,
    /// Glaze; a piece with two counts for both.
    Glaze,
    /// Kiln and tier.
    Tier,
}

impl By {
    /// Its name.
    pub fn word(self) -> &'static str {
        match self {
            Self::Clay => "Clay",
            Self::Glaze => "Glaze",
            Self::Tier => "Tier",
        }
    }
}

/// One clay, glaze or tier.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Gathered {
    /// Its name.
    pub name: String,
    /// Pieces that were fired.
    pub pieces: usize,
    /// Of them, with a fault.
    pub faulty: usize,
    /// Of them, spoilt.
    pub spoilt: usize,
}

/// The most faults first; those without any are there, too, so that few pieces are seen as few.
pub fn gather(books: &Books<'_>, by: By) -> Vec<Gathered> {
    let mut all: BTreeMap<String, (usize, usize, usize)> = BTreeMap::new();
    for (ware, firing, tier) in books.stood() {
        let mut here = ware
            .faults
            .iter()
            .filter(|f| f.firing.as_deref() == Some(firing.id.as_str()))
            .peekable();
        let faulty = here.peek().is_some();
        let spoilt = here.any(|f| f.spoilt);
        let names = match by {
            By::Clay => vec![ware.piece.clay.clone()],
            By::Glaze => ware.piece.glazes.clone(),
            By::Tier => vec![format!("{}, tier {tier}", firing.kiln)],
        };
        for name in names {
            let count = all.entry(name).or_default();
            count.0 += 1;
            count.1 += usize::from(faulty);
            count.2 += usize::from(spoilt);
        }
    }
    let mut out: Vec<Gathered> = all
        .into_iter()
        .map(|(name, (pieces, faulty, spoilt))| Gathered {
            name,
            pieces,
            faulty,
            spoilt,
        })
        .collect();
    out.sort_by(|a, b| {
        (b.faulty, b.spoilt)
            .cmp(&(a.faulty, a.spoilt))
            .then_with(|| a.name.cmp(&b.name))
    });
    out
}
