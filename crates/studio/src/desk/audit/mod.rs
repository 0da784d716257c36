//! Who did what: turns found by person, thing and day, each with what it changed, in words.

mod told;

use glost_model::book::Act;
use glost_model::shown::Shown;
use glost_store::{ChangeRow, TurnLook, TurnRow};
use jiff::tz::TimeZone;

pub use told::Words;

use super::{Actor, Desk, DeskError};

/// Things of one turn that are told; a sheet of ware brings thousands in.
const MOST_THINGS: u32 = 20;

/// A turn with what it changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Done {
    /// The turn.
    pub turn: TurnRow,
    /// The first things that it changed.
    pub things: Vec<Touched>,
    /// How many it changed in all.
    pub count: u64,
    /// Nothing stands in the way of taking it back.
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
    /// Its fields that differ; of a new thing those that are filled in.
    pub fields: Vec<FieldChange>,
}

/// A field before and after.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FieldChange {
    /// Name, in words.
    pub field: String,
    /// Before; empty for nothing.
    pub before: String,
    /// After; empty for nothing.
    pub after: String,
}

impl Desk {
    /// Turns with what each changed, the latest first, in the units and the time zone of whoever reads.
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
        let undoable = self.store.undoable(&ids).await?;
        let names = self.names().await?;
        let words = Words {
            shown,
            zone,
            names: &names,
        };
        let mut all = Vec::new();
        for turn in turns {
            let changes = self.store.changes(turn.id, MOST_THINGS).await?;
            let count = if changes.len() < MOST_THINGS as usize {
                changes.len() as u64
            } else {
                self.store.count_changes(turn.id).await?
            };
            all.push(Done {
                undoable: undoable.contains(&turn.id),
                things: changes.iter().map(|c| touched(c, &words)).collect(),
                count,
                turn,
            });
        }
        Ok(all)
    }
}

fn touched(change: &ChangeRow, words: &Words<'_>) -> Touched {
    let how = match (change.before.is_some(), change.away) {
        (false, _) => How::New,
        (true, (false, true)) => How::PutAway,
        (true, (true, false)) => How::BroughtBack,
        _ => How::Changed,
    };
    let after = words.fields(&change.kind, &change.after);
    let before = change
        .before
        .as_ref()
        .map(|b| words.fields(&change.kind, b))
        .unwrap_or_default();
    Touched {
        kind: change.kind.clone(),
        id: change.id.clone(),
        name: words.name(&change.kind, &change.id, &change.after),
        how,
        fields: differing(&before, &after),
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
