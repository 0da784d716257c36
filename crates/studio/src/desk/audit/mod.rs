//! Who did what: turns found by person, thing and day, and what each changed, in words.

mod told;

use std::collections::BTreeMap;

use glost_model::book::Act;
use glost_model::shown::Shown;
use glost_store::{ChangeRow, TurnLook, TurnRow};
use jiff::tz::TimeZone;

pub use told::Words;

use super::{Actor, Desk, DeskError};

/// Things of each turn that a list names; a sheet of ware brings thousands in.
const NAMED: u32 = 3;
/// Whether a turn could be taken back is asked in a list for those that changed at most so many things; of others it is
/// told on their own page, since each of their things has to be looked at.
const ASKED: u64 = 20;
/// Things of one turn that are told at once.
pub const TOLD: u32 = 50;

/// A turn with what it changed: in a list the names of the first few things, of one turn their fields as well.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Done {
    /// The turn.
    pub turn: TurnRow,
    /// Things that it changed.
    pub things: Vec<Touched>,
    /// How many it changed in all.
    pub count: u64,
    /// Nothing stands in the way of taking it back; in a list never said of a turn that changed very many things.
    pub undoable: bool,
}

/// What happened to a thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum How {
    /// It came into the book.
    New,
    /// It was changed.
    Changed,
    /// It was put away.
    PutAway,
    /// It was brought back.
    BroughtBack,
}

/// A thing that a turn changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Touched {
    /// Kind, as in the book.
    pub kind: String,
    /// Id.
    pub id: String,
    /// What people call it.
    pub name: String,
    /// What happened to it.
    pub how: How,
    /// Its fields that differ; of a new thing those that are filled in; none in a list.
    pub fields: Vec<FieldChange>,
}

/// A field before and after.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FieldChange {
    /// Name, as in forms and in the book.
    pub field: String,
    /// Before; empty for nothing.
    pub before: String,
    /// After; empty for nothing.
    pub after: String,
}

impl Desk {
    /// Turns with the first things that each changed, the latest first. Their fields are left out: writing out those of
    /// a page full of turns takes longer than anybody waits.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`].
    pub async fn audit(
        &self,
        actor: Actor<'_>,
        look: &TurnLook<'_>,
        shown: Shown,
        zone: &TimeZone,
    ) -> Result<Vec<Done>, DeskError> {
        actor.must(Act::Govern)?;
        let turns = self.store.find_turns(look).await?;
        let ids: Vec<i64> = turns.iter().map(|t| t.id).collect();
        let counts = self.store.count_changes(&ids).await?;
        let few: Vec<i64> = counts
            .iter()
            .filter(|c| *c.1 <= ASKED)
            .map(|c| *c.0)
            .collect();
        let undoable = self.store.undoable(&few).await?;
        let names = self.names().await?;
        let words = Words {
            shown,
            zone,
            names: &names,
        };
        let mut things: BTreeMap<i64, Vec<Touched>> = BTreeMap::new();
        for change in self.store.changes(&ids, 0, NAMED).await? {
            let named = touched(&change, &words);
            things.entry(change.turn.id).or_default().push(named);
        }
        let done = |turn: TurnRow| Done {
            undoable: undoable.contains(&turn.id),
            things: things.remove(&turn.id).unwrap_or_default(),
            count: counts.get(&turn.id).copied().unwrap_or(0),
            turn,
        };
        Ok(turns.into_iter().map(done).collect())
    }

    /// One turn with what it changed from the `skip`th thing on, at most [`TOLD`] of them, in the units and the time
    /// zone of whoever reads; nothing when there is no such turn.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`].
    pub async fn audit_one(
        &self,
        actor: Actor<'_>,
        turn: i64,
        skip: u32,
        shown: Shown,
        zone: &TimeZone,
    ) -> Result<Option<Done>, DeskError> {
        actor.must(Act::Govern)?;
        let Some(row) = self.store.turn_row(turn).await? else {
            return Ok(None);
        };
        let names = self.names().await?;
        let words = Words {
            shown,
            zone,
            names: &names,
        };
        let changes = self.store.changes(&[turn], skip, TOLD).await?;
        let told = |change: &ChangeRow| {
            let mut thing = touched(change, &words);
            let after = words.fields(&change.kind, &change.after);
            let before = change.before.as_ref();
            let before = before.map(|b| words.fields(&change.kind, b));
            thing.fields = differing(&before.unwrap_or_default(), &after);
            thing
        };
        Ok(Some(Done {
            undoable: self.store.undoable(&[turn]).await?.contains(&turn),
            things: changes.iter().map(told).collect(),
            count: self
                .store
                .count_changes(&[turn])
                .await?
                .remove(&turn)
                .unwrap_or(0),
            turn: row,
        }))
    }
}

fn touched(change: &ChangeRow, words: &Words<'_>) -> Touched {
    let how = match (change.before.is_some(), change.away) {
        (false, _) => How::New,
        (true, (false, true)) => How::PutAway,
        (true, (true, false)) => How::BroughtBack,
        _ => How::Changed,
    };
    Touched {
        kind: change.kind.clone(),
        id: change.id.clone(),
        name: words.name(&change.kind, &change.id, &change.after),
        how,
        fields: Vec::new(),
    }
}

/// Fields that are not alike, in the order of the thing as it is now, then those that are gone.
pub(super) fn differing(
    before: &[(String, String)],
    after: &[(String, String)],
) -> Vec<FieldChange> {
    let of = |all: &[(String, String)], name: &str| {
        let found = all.iter().find(|f| f.0 == name);
        found.map_or_else(String::new, |f| f.1.clone())
    };
    let gone = before.iter().filter(|b| !after.iter().any(|a| a.0 == b.0));
    after
        .iter()
        .chain(gone)
        .map(|(name, _)| FieldChange {
            field: name.clone(),
            before: of(before, name),
            after: of(after, name),
        })
        .filter(|c| c.before != c.after)
        .collect()
}
