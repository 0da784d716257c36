//! What spoils ware.

use std::collections::BTreeMap;

use glost_model::book::FaultKind;

use super::Books;

/// One kind of fault.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Loss {
    /// What.
    pub kind: FaultKind,
    /// Pieces on which it was seen.
    pub pieces: usize,
    /// Pieces that it spoilt.
    pub spoilt: usize,
}

/// Faults of all firings looked at.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Losses {
    /// Pieces that were fired; one that was fired twice counts twice.
    pub fired: usize,
    /// Of them, with any fault.
    pub faulty: usize,
    /// Of them, spoilt.
    pub spoilt: usize,
    /// By kind, that which spoils most first.
    pub by_kind: Vec<Loss>,
}

/// Counts them.
pub fn losses(books: &Books<'_>) -> Losses {
    let mut out = Losses::default();
    let mut kinds: BTreeMap<FaultKind, (usize, usize)> = BTreeMap::new();
    for (ware, firing, _) in books.stood() {
        out.fired += 1;
        let here = ware
            .faults
            .iter()
            .filter(|f| f.firing.as_deref() == Some(firing.id.as_str()));
        // The same fault written down twice is one.
        let mut seen: BTreeMap<FaultKind, bool> = BTreeMap::new();
        for fault in here {
            *seen.entry(fault.kind).or_insert(false) |= fault.spoilt;
        }
        out.faulty += usize::from(!seen.is_empty());
        out.spoilt += usize::from(seen.values().any(|s| *s));
        for (kind, spoilt) in seen {
            let count = kinds.entry(kind).or_default();
            count.0 += 1;
            count.1 += usize::from(spoilt);
        }
    }
    out.by_kind = kinds
        .into_iter()
        .map(|(kind, (pieces, spoilt))| Loss {
            kind,
            pieces,
            spoilt,
        })
        .collect();
    out.by_kind.sort_by(|a, b| {
        (b.spoilt, b.pieces)
            .cmp(&(a.spoilt, a.pieces))
            .then(a.kind.cmp(&b.kind))
    });
    out
}
