//! Take ware in by a form: one piece, or several alike.

use glost_model::book::{Act, Person, State, Ware};
use glost_model::text::{self, Fields};
use glost_store::{StoreError, Turn, new_code};
use jiff::civil::Date;

use super::verdict::{Answer, verdict};
use super::ware::photo_row;
use super::words::{MOST_NOTE, words};
use super::{Actor, Desk, DeskError};

/// A piece as it is handed in.
#[derive(Debug, Clone, Default)]
pub struct HandIn {
    /// Fields by the names of the ware sheet, in the units of whoever typed them.
    pub fields: Fields,
    /// Id of the owner; nothing for one's own.
    pub owner: Option<String>,
    /// How many alike.
    pub count: u16,
    /// What its maker wants known.
    pub note: String,
    /// Whoever writes it down has looked it over.
    pub looked_over: bool,
    /// A photo of it; of the first when there are several alike.
    pub photo: Option<Vec<u8>>,
}

/// Most pieces alike at once.
pub const MOST_ALIKE: u16 = 60;

impl Desk {
    /// Takes pieces in; answers them with the number of the turn.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`], every fault of the form.
    pub async fn take_in(
        &self,
        actor: Actor<'_>,
        hand_in: &HandIn,
        today: Date,
    ) -> Result<(Vec<Ware>, i64), DeskError> {
        actor.must(Act::HandIn)?;
        let owner = self.owner(actor, hand_in.owner.as_deref()).await?;
        let given = self.given().await?;
        let shown = actor.person.shown.unwrap_or(given.studio.shown);
        let mut fields = hand_in.fields.clone();
        set(&mut fields, "id", "new");
        set(&mut fields, "maker", &owner.name);
        if !has(&fields, "came_in") {
            set(&mut fields, "came_in", &today.to_string());
        }
        let piece = text::read_piece(&fields, shown);
        let note = || words("note", &hand_in.note, MOST_NOTE);
        DeskError::together([
            piece
                .as_ref()
                .map(drop)
                .map_err(|f| DeskError::Faults(f.clone())),
            note().map(drop),
            how_many(hand_in.count),
        ])?;
        let (piece, note) = (piece.map_err(DeskError::Faults)?, note()?);
        let mut photo = match &hand_in.photo {
            Some(bytes) => Some(self.keep_photo(bytes.clone()).await?),
            None => None,
        };
        let verb = format!("take in {} {} of {}", hand_in.count, piece.what, owner.name);
        let mut turn = self.store.turn(actor.by(), &verb).await?;
        let mut all = Vec::new();
        for _ in 0..hand_in.count {
            let mut ware = Ware {
                piece: piece.clone(),
                owner: owner.id.clone(),
                by: actor.person.id.clone(),
                state: State::Made,
                note: note.clone(),
                firing: None,
                stood: Vec::new(),
                faults: Vec::new(),
                since: actor.at,
                fetch_by: None,
            };
            let trusted = hand_in.looked_over && actor.person.role.may(Act::LookOver);
            if trusted {
                let fit = verdict(&given, &piece).answer != Answer::No;
                ware.state = if fit {
                    State::Waiting
                } else {
                    State::NeedsAttention
                };
            }
            add_with_code(&mut turn, &mut ware).await?;
            if let Some(photo) = photo.take() {
                turn.add_photo(&photo_row(actor, ware.code(), photo))
                    .await?;
            }
            all.push(ware);
        }
        Ok((all, turn.commit().await?))
    }

    /// Whose piece it is to be.
    async fn owner(&self, actor: Actor<'_>, owner: Option<&str>) -> Result<Person, DeskError> {
        let Some(id) = owner.filter(|id| *id != actor.person.id) else {
            return Ok(actor.person.clone());
        };
        let all = actor.person.role.may(Act::LookOver);
        if !all {
            actor.must(Act::HandInForOthers)?;
        }
        let found = self.store.find::<Person>(id).await?;
        // Who else there is, is not told to those who may not know.
        found
            .map(|k| k.body)
            .filter(|p| all || actor.person.sees(p))
            .ok_or_else(|| {
                DeskError::field(
                    "owner",
                    "nobody for whom you may hand in has that name",
                    "Choose one of the people listed",
                )
            })
    }
}

fn how_many(count: u16) -> Result<(), DeskError> {
    if (1..=MOST_ALIKE).contains(&count) {
        return Ok(());
    }
    Err(DeskError::field(
        "count",
        format!("{count} pieces alike"),
        format!("Write 1 to {MOST_ALIKE}"),
    ))
}

/// Gives a piece a code that none has, and keeps it.
async fn add_with_code(turn: &mut Turn, ware: &mut Ware) -> Result<(), DeskError> {
    // With 450 000 codes a free one is found at once in any studio.
    for _ in 0..64 {
        ware.piece.id = new_code()?;
        match turn.add(ware).await {
            Err(StoreError::Taken { .. }) => {}
            done => return Ok(done?),
        }
    }
    Err(DeskError::cannot("no free code was found", "Try again"))
}

pub(super) fn set(fields: &mut Fields, name: &str, value: &str) {
    match fields.iter_mut().find(|f| f.0 == name) {
        Some(field) => value.clone_into(&mut field.1),
        None => fields.push((name.to_owned(), value.to_owned())),
    }
}

fn has(fields: &Fields, name: &str) -> bool {
    fields.iter().any(|f| f.0 == name && !f.1.trim().is_empty())
}
