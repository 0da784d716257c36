//! Why faults of a firing came about, gathered from the book for whoever asks.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use glost_model::book::ware::Fault;
use glost_model::book::{Act, BadStretch, Edges, Firing, Person, Ware};
use glost_model::load::FiringKind;
use glost_model::readings::Sample;
use glost_model::shown::Shown;
use glost_rules::cause::{Common, Earlier, Ranked, common, rank};
use glost_store::{Kept, StoreError};

use super::mirror::Mirrored;
use super::stretches::believed;
use super::{Actor, Desk, DeskError};
use crate::causes::{self, OneFiring, Stood, TierHeat};

/// Readings that paces are read off: one each minute or two of a firing with its cooling.
const READINGS: usize = 2_000;

/// A fault with its causes.
#[derive(Debug, Clone)]
pub struct FaultCauses {
    /// Code of the piece.
    pub code: String,
    /// What it is.
    pub what: String,
    /// Version of the piece.
    pub version: i64,
    /// Which of the faults of the piece.
    pub index: usize,
    /// The fault.
    pub fault: Fault,
    /// Where it stood.
    pub tier: String,
    /// Causes, the likeliest first.
    pub ranked: Vec<Ranked>,
}

/// Faults of a firing, as far as somebody may see them.
#[derive(Debug, Clone)]
pub struct FiringCauses {
    /// The firing.
    pub firing: Firing,
    /// Its log tells something.
    pub has_log: bool,
    /// Stretches of the log that are left out.
    pub left_out: Vec<BadStretch>,
    /// It has a plan.
    pub has_plan: bool,
    /// What its tiers reached.
    pub heats: Vec<TierHeat>,
    /// Faults with their causes.
    pub faults: Vec<FaultCauses>,
    /// Faults that one cause may explain, as numbers of `faults`.
    pub common: Vec<Common>,
}

impl FiringCauses {
    /// How many pieces have a fault.
    pub fn pieces(&self) -> usize {
        let codes: BTreeSet<&str> = self.faults.iter().map(|f| f.code.as_str()).collect();
        codes.len()
    }
}

/// Earlier firings that were read, by their numbers.
type Before = BTreeMap<String, Option<Earlier>>;

impl Desk {
    /// Why all faults of a firing came about that the person may see. Somebody who neither plans nor has ware in it is
    /// not told that there is such a firing.
    ///
    /// # Errors
    /// [`StoreError::Missing`], or of the store.
    pub async fn causes(
        &self,
        who: &Person,
        id: &str,
        shown: Shown,
    ) -> Result<FiringCauses, DeskError> {
        let book = self.mirror().await?;
        let sees = self.sees(who).await?;
        let stood = |w: &Ware| w.stood.iter().any(|s| s.firing == id);
        let seen: Vec<Arc<Kept<Ware>>> = book
            .ware
            .values()
            .filter(|k| k.archived.is_none() && stood(&k.body))
            .filter(|k| sees.as_ref().is_none_or(|ids| ids.contains(&k.body.owner)))
            .cloned()
            .collect();
        let missing = || StoreError::Missing {
            kind: "firing".to_owned(),
            id: id.to_owned(),
        };
        let firing = book.firings.get(id).filter(|k| k.archived.is_none());
        let told = who.role.may(Act::Plan) || !seen.is_empty();
        let firing = firing.filter(|_| told).ok_or_else(missing)?;
        self.look_into(&book, &firing.body, &seen, shown).await
    }

    /// Why the faults of one piece in a firing came about.
    ///
    /// # Errors
    /// What the person may not see is missing; [`DeskError::Cannot`] for a piece that was not in that firing.
    pub async fn causes_of(
        &self,
        who: &Person,
        id: &str,
        code: &str,
        shown: Shown,
    ) -> Result<FiringCauses, DeskError> {
        let kept = self.ware(who, code).await?;
        let book = self.mirror().await?;
        let stood = kept.body.stood.iter().any(|s| s.firing == id);
        let Some(firing) = book.firings.get(id).filter(|_| stood) else {
            return Err(was_not_in(code, id));
        };
        self.look_into(&book, &firing.body, &[Arc::new(kept)], shown)
            .await
    }

    /// Whether somebody may see what is told of a firing to those whose ware was in it.
    pub(super) async fn told_of(&self, who: &Person, id: &str) -> Result<bool, DeskError> {
        if who.role.may(Act::Plan) {
            return Ok(true);
        }
        let book = self.mirror().await?;
        let sees = self.sees(who).await?;
        let own = |w: &Ware| sees.as_ref().is_none_or(|ids| ids.contains(&w.owner));
        let mut all = book.ware.values().map(|k| &k.body);
        Ok(all.any(|w| own(w) && w.stood.iter().any(|s| s.firing == id)))
    }

    /// Those whose ware a person may see; nothing for whoever sees all.
    async fn sees(&self, who: &Person) -> Result<Option<BTreeSet<String>>, DeskError> {
        if who.role.may(Act::SeeAllWare) {
            return Ok(None);
        }
        Ok(Some(self.class_of(who).await?.into_iter().collect()))
    }

    async fn look_into(
        &self,
        book: &Mirrored,
        firing: &Firing,
        seen: &[Arc<Kept<Ware>>],
        shown: Shown,
    ) -> Result<FiringCauses, DeskError> {
        let given = self.given().await?;
        let plan = self.plan(&firing.id).await?;
        let bad = self.bad_stretches(&firing.id).await?;
        let log = self.log_of(firing, &bad).await?;
        let mut before = Before::new();
        for k in seen.iter().filter(|k| faulty(&k.body, &firing.id)) {
            let Some(id) = bisque_of(book, &k.body, firing) else {
                continue;
            };
            if !before.contains_key(id) {
                let earlier = self.earlier(book, id).await?;
                before.insert(id.to_owned(), earlier);
            }
        }
        let stood = stood(book, firing.kind);
        let common_facts = causes::Common::of(OneFiring {
            firing,
            plan: plan.as_ref(),
            log: &log,
            bad: &bad,
            clays: &given.studio.clays,
            glazes: &given.studio.glazes,
            rules: &given.book,
            shown,
        });
        let mut faults = Vec::new();
        for k in seen {
            let ware = &k.body;
            let bisque = bisque_of(book, ware, firing).and_then(|id| before.get(id)?.clone());
            let tier = ware.stood.iter().rfind(|s| s.firing == firing.id);
            for (index, fault) in ware.faults.iter().enumerate() {
                if fault.firing.as_deref() != Some(firing.id.as_str()) {
                    continue;
                }
                let facts = common_facts.facts(ware, fault, bisque.clone(), &stood);
                faults.push(FaultCauses {
                    code: ware.code().to_owned(),
                    what: ware.piece.what.clone(),
                    version: k.version,
                    index,
                    fault: fault.clone(),
                    tier: tier.map_or_else(String::new, |s| s.tier.clone()),
                    ranked: rank(&facts, fault.kind),
                });
            }
        }
        let ranked: Vec<_> = faults.iter().map(|f| f.ranked.clone()).collect();
        Ok(FiringCauses {
            has_log: common_facts.has_log(),
            has_plan: plan.is_some(),
            left_out: bad.clone(),
            heats: common_facts.heats().to_vec(),
            common: common(&ranked),
            firing: firing.clone(),
            faults,
        })
    }

    /// Readings that are to be believed.
    async fn log_of(&self, firing: &Firing, bad: &[BadStretch]) -> Result<Vec<Sample>, DeskError> {
        let read = self.samples_thinned(&firing.id, READINGS).await?;
        Ok(believed(read, bad))
    }

    /// An earlier firing: what its curve tells.
    async fn earlier(&self, book: &Mirrored, id: &str) -> Result<Option<Earlier>, DeskError> {
        let Some(firing) = book.firings.get(id) else {
            return Ok(None);
        };
        let bad = self.bad_stretches(id).await?;
        let log = self.log_of(&firing.body, &bad).await?;
        let plan = self.plan(id).await?;
        Ok(Some(causes::earlier(&firing.body, plan.as_ref(), &log)))
    }

    /// Writes down how the edges of a crack look, on a piece that was seen at `version`.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`], a fault that there is not or that is no crack, or an edit of somebody else in between.
    pub async fn tell_edges(
        &self,
        actor: Actor<'_>,
        firing: &str,
        code: &str,
        version: i64,
        (index, edges): (usize, Edges),
    ) -> Result<i64, DeskError> {
        actor.must(Act::Fire)?;
        let verb = format!("edges of a crack of {code}: {}", edges.key());
        let mut turn = self.store.turn(actor.by(), &verb).await?;
        let mut ware = turn.seen::<Ware>(code, version).await?;
        let here = |f: &&mut Fault| f.firing.as_deref() == Some(firing) && f.kind.is_crack();
        let Some(fault) = ware.faults.get_mut(index).filter(here) else {
            return Err(DeskError::cannot(
                format!("{code} has no such crack of firing {firing}"),
                "Look at its faults again",
            ));
        };
        fault.edges = Some(edges);
        turn.put(&ware, version).await?;
        Ok(turn.commit().await?)
    }
}

fn was_not_in(code: &str, id: &str) -> DeskError {
    DeskError::cannot(
        format!("{code} was not in firing {id}"),
        "Look at its page for the firings that it was in",
    )
}

fn faulty(ware: &Ware, id: &str) -> bool {
    ware.faults.iter().any(|f| f.firing.as_deref() == Some(id))
}

/// The bisque firing that a piece was in before this one.
fn bisque_of<'a>(book: &Mirrored, ware: &'a Ware, firing: &Firing) -> Option<&'a str> {
    if firing.kind == FiringKind::Bisque {
        return None;
    }
    let until = ware.stood.iter().position(|s| s.firing == firing.id)?;
    let before = ware.stood.get(..until)?.iter().rev();
    before.map(|s| s.firing.as_str()).find(|id| {
        let kept = book.firings.get(*id);
        kept.is_some_and(|k| k.body.kind == FiringKind::Bisque)
    })
}

/// All ware in all firings of a kind.
fn stood(book: &Mirrored, kind: FiringKind) -> Vec<Stood<'_>> {
    let of_kind = |id: &str| book.firings.get(id).is_some_and(|k| k.body.kind == kind);
    let all = book.ware.values().flat_map(|k| {
        let ware = &k.body;
        ware.stood.iter().map(move |s| Stood {
            ware,
            firing: &s.firing,
            tier: &s.tier,
        })
    });
    all.filter(|s| of_kind(s.firing)).collect()
}
