//! The log: all firings, also those that are over.

use std::collections::BTreeMap;
use std::sync::Arc;

use glost_model::book::{Act, Firing, Ware};
use glost_model::cone::Cone;
use glost_model::load::FiringKind;
use glost_store::{Kept, Record};
use jiff::civil::Date;
use jiff::tz::TimeZone;

use super::{Actor, Desk, DeskError};

/// Which firings.
#[derive(Debug, Clone, Default)]
pub struct LogLook<'a> {
    /// With all of these words.
    pub words: Option<&'a str>,
    /// Of this kiln.
    pub kiln: Option<&'a str>,
    /// Of this kind.
    pub kind: Option<FiringKind>,
    /// To this cone.
    pub cone: Option<Cone>,
    /// Started, or to be started, on this day or later.
    pub from: Option<Date>,
    /// On this day or earlier.
    pub to: Option<Date>,
}

/// Faults of a firing: pieces with any, and those spoilt.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct FaultCount {
    /// Pieces with a fault.
    pub faulty: usize,
    /// Pieces spoilt.
    pub spoilt: usize,
}

impl Desk {
    /// Firings of the log, the latest first. What a list shows is in the records themselves: no plan is read.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`].
    pub async fn log(
        &self,
        actor: Actor<'_>,
        look: &LogLook<'_>,
        zone: &TimeZone,
    ) -> Result<Vec<Arc<Kept<Firing>>>, DeskError> {
        actor.must(Act::Report)?;
        let words: Vec<String> = look
            .words
            .unwrap_or("")
            .split_whitespace()
            .map(str::to_lowercase)
            .collect();
        let fits = |f: &Firing| {
            look.kiln.is_none_or(|k| k == f.kiln)
                && look.kind.is_none_or(|k| k == f.kind)
                && look.cone.is_none_or(|c| c == f.cone)
                && within(f, look, zone)
                && (words.is_empty() || {
                    let all = f.keys().words.to_lowercase();
                    words.iter().all(|w| all.contains(w.as_str()))
                })
        };
        let book = self.mirror().await?;
        let mut all: Vec<_> = book
            .firings
            .values()
            .filter(|k| k.archived.is_none() && fits(&k.body))
            .map(|k| (k.body.keys().sort, Arc::clone(k)))
            .collect();
        all.sort_by(|a, b| (&b.0, &b.1.body.id).cmp(&(&a.0, &a.1.body.id)));
        Ok(all.into_iter().map(|k| k.1).collect())
    }

    /// Faults by firing.
    ///
    /// # Errors
    /// Of the store.
    pub async fn fault_counts(&self) -> Result<Arc<BTreeMap<String, FaultCount>>, DeskError> {
        let latest = self.store.latest_turn().await?;
        self.faults
            .get(latest, |was, _| *was == latest, self.count_faults())
            .await
    }

    /// Ware with a fault of that firing.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`], of the store.
    pub async fn faulty_of(&self, actor: Actor<'_>, firing: &str) -> Result<Vec<Ware>, DeskError> {
        actor.must(Act::Report)?;
        let book = self.mirror().await?;
        let of = |w: &Ware| w.faults.iter().any(|f| f.firing.as_deref() == Some(firing));
        let here = book.ware.values().filter(|k| k.archived.is_none());
        Ok(here.map(|k| &k.body).filter(|w| of(w)).cloned().collect())
    }

    async fn count_faults(&self) -> Result<BTreeMap<String, FaultCount>, DeskError> {
        let mut out: BTreeMap<String, FaultCount> = BTreeMap::new();
        let book = self.mirror().await?;
        for ware in book.ware.values().filter(|k| k.archived.is_none()) {
            let mut here: BTreeMap<&str, bool> = BTreeMap::new();
            for fault in &ware.body.faults {
                if let Some(firing) = &fault.firing {
                    *here.entry(firing).or_insert(false) |= fault.spoilt;
                }
            }
            for (firing, spoilt) in here {
                let count = out.entry(firing.to_owned()).or_default();
                count.faulty += 1;
                count.spoilt += usize::from(spoilt);
            }
        }
        Ok(out)
    }
}

/// Whether a firing was started, or is to be, on one of the days looked for.
fn within(f: &Firing, look: &LogLook<'_>, zone: &TimeZone) -> bool {
    if look.from.is_none() && look.to.is_none() {
        return true;
    }
    let day = f
        .started
        .or(f.starts)
        .map(|t| t.to_zoned_datetime(zone.clone()).date());
    day.is_some_and(|d| look.from.is_none_or(|from| from <= d) && look.to.is_none_or(|to| d <= to))
}
