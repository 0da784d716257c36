//! One piece: look at it, change it, move it on.

use std::collections::BTreeMap;
use std::sync::Arc;

use glost_model::book::{Act, Person, State, Ware};
use glost_model::text::{self, Fields};
use glost_store::{Kept, Look, Order, PhotoRow, new_secret};

use super::take_in::set;
use super::verdict::{Answer, verdict};
use super::words::{MOST_NOTE, words};
use super::{Actor, Desk, DeskError};

/// Which ware is listed.
#[derive(Debug, Clone, Default)]
pub struct WareLook<'a> {
    /// In these states; empty for all.
    pub states: &'a [&'a str],
    /// Of this person.
    pub owner: Option<&'a str>,
    /// In this firing.
    pub firing: Option<&'a str>,
    /// With these words.
    pub words: Option<&'a str>,
    /// Latest first.
    pub latest: bool,
    /// So many left out at the start.
    pub skip: u32,
    /// At most so many.
    pub most: u32,
}

/// Id, width and height of a photo whose files are written.
pub(super) type PhotoFile = (String, u32, u32);

/// The row of a piece's photo.
pub(super) fn photo_row(actor: Actor<'_>, code: &str, (id, width, height): PhotoFile) -> PhotoRow {
    PhotoRow {
        id,
        kind: "ware".to_owned(),
        thing: code.to_owned(),
        who: actor.person.id.clone(),
        width,
        height,
        made: actor.at,
    }
}

impl Desk {
    /// A list of ware as far as the person may see it, with how many there are in all.
    ///
    /// # Errors
    /// Of the store.
    pub async fn wares(
        &self,
        who: &Person,
        look: &WareLook<'_>,
    ) -> Result<(Vec<Kept<Ware>>, u64), DeskError> {
        let all = who.role.may(Act::SeeAllWare);
        let owners = if all || look.owner.is_some() {
            Vec::new()
        } else {
            self.class_of(who).await?
        };
        let owner = match (all, look.owner) {
            (_, Some(id)) if all || self.may_see(who, id).await? => Some(id),
            (false, Some(_)) => return Err(DeskError::NotAllowed(who.role)),
            _ => None,
        };
        let ids: Vec<&str> = owners.iter().map(String::as_str).collect();
        let base = Look {
            owner,
            owners: &ids,
            states: look.states,
            link: look.firing,
            words: look.words,
            archived: false,
            order: if look.latest {
                Order::Last
            } else {
                Order::First
            },
            skip: look.skip,
            most: look.most,
        };
        let list = self.store.list::<Ware>(&base).await?;
        let whole = look.most == 0 || (list.len() < look.most as usize && look.skip == 0);
        let plain = all && owner.is_none() && look.firing.is_none() && look.words.is_none();
        let count = if whole {
            list.len() as u64
        } else if plain {
            let counts = self.all_counts().await?;
            let in_look = |s: &&String| look.states.is_empty() || look.states.contains(&s.as_str());
            counts
                .keys()
                .filter(in_look)
                .filter_map(|s| counts.get(s))
                .sum()
        } else {
            self.store.count::<Ware>(&base).await?
        };
        Ok((list, count))
    }

    /// Those whose ware a person without a wider view may see: their own, and a teacher's class.
    pub(super) async fn class_of(&self, who: &Person) -> Result<Vec<String>, DeskError> {
        let mut ids = vec![who.id.clone()];
        if let Some(class) = who
            .class
            .as_deref()
            .filter(|_| who.role.may(Act::HandInForOthers))
        {
            let look = Look {
                link: Some(class),
                archived: true,
                ..Look::default()
            };
            let people = self.store.list::<Person>(&look).await?;
            ids.extend(
                people
                    .into_iter()
                    .map(|p| p.body.id)
                    .filter(|id| *id != who.id),
            );
        }
        Ok(ids)
    }

    async fn may_see(&self, who: &Person, owner: &str) -> Result<bool, DeskError> {
        if who.id == owner || who.role.may(Act::SeeAllWare) {
            return Ok(true);
        }
        let owner = self.store.find::<Person>(owner).await?;
        Ok(owner.is_some_and(|o| who.sees(&o.body)))
    }

    /// How many pieces there are in each state, as far as the person may see them.
    ///
    /// # Errors
    /// Of the store.
    pub async fn ware_counts(&self, who: &Person) -> Result<BTreeMap<String, u64>, DeskError> {
        if who.role.may(Act::SeeAllWare) {
            return Ok(self.all_counts().await?.as_ref().clone());
        }
        let owners = self.class_of(who).await?;
        let ids: Vec<&str> = owners.iter().map(String::as_str).collect();
        Ok(self
            .store
            .count_by_state::<Ware>(&Look {
                owners: &ids,
                ..Look::default()
            })
            .await?)
    }

    /// How much ware there is in each state. Counted anew when anything was changed since.
    async fn all_counts(&self) -> Result<Arc<BTreeMap<String, u64>>, DeskError> {
        let latest = self.store.latest_turn().await?;
        let count = async { Ok(self.store.count_by_state::<Ware>(&Look::default()).await?) };
        self.counts
            .get(latest, |was, _| *was == latest, count)
            .await
    }

    /// A piece that the person may see. What they may not see is not there for them.
    ///
    /// # Errors
    /// [`glost_store::StoreError::Missing`].
    pub async fn ware(&self, who: &Person, code: &str) -> Result<Kept<Ware>, DeskError> {
        let kept = self.store.get::<Ware>(code).await?;
        if self.may_see(who, &kept.body.owner).await? {
            return Ok(kept);
        }
        Err(glost_store::StoreError::Missing {
            kind: "ware".to_owned(),
            id: code.to_owned(),
        }
        .into())
    }

    /// Changes what is known of a piece that was seen at `version`. A maker may, until it was looked over.
    ///
    /// # Errors
    /// Faults of the form; [`DeskError::NotAllowed`]; when somebody else changed it.
    pub async fn change_ware(
        &self,
        actor: Actor<'_>,
        code: &str,
        version: i64,
        fields: &Fields,
        note: &str,
    ) -> Result<i64, DeskError> {
        let maker = self.ware(actor.person, code).await?.body.piece.maker;
        let given = self.given().await?;
        let mut fields = fields.clone();
        set(&mut fields, "id", code);
        set(&mut fields, "maker", &maker);
        let piece = text::read_piece(&fields, actor.person.shown.unwrap_or(given.studio.shown))
            .map_err(DeskError::Faults)?;
        let note = words("note", note, MOST_NOTE)?;
        let mut turn = self
            .store
            .turn(actor.by(), &format!("change {code}"))
            .await?;
        let mut ware = turn.seen::<Ware>(code, version).await?;
        if !matches!(ware.state, State::Made | State::Drying) {
            actor.must(Act::LookOver)?;
        }
        if matches!(ware.state, State::Planned | State::InKiln) {
            return Err(DeskError::cannot(
                format!("{code} is {}", ware.state.words()),
                "Take it out of its firing first",
            ));
        }
        ware.piece = piece;
        ware.note = note;
        turn.put(&ware, version).await?;
        Ok(turn.commit().await?)
    }

    /// Moves a piece on by hand. To wait for a firing it must be fit, or somebody says why it may go all the same.
    ///
    /// # Errors
    /// [`DeskError::Cannot`] for a way that there is not, or without a reason where one is needed.
    pub async fn move_ware(
        &self,
        actor: Actor<'_>,
        code: &str,
        version: i64,
        to: State,
        note: &str,
    ) -> Result<i64, DeskError> {
        let kept = self.ware(actor.person, code).await?;
        if kept.version != version {
            // Says who was quicker, before anything is said of what they did.
            let mut turn = self.store.turn(actor.by(), "look").await?;
            turn.seen::<Ware>(code, version).await?;
        }
        let seen = kept.body;
        let own = actor.person.id == seen.owner
            && matches!((seen.state, to), (State::HandedBack, State::Made));
        match to {
            State::HandedBack | State::Abandoned if actor.person.role.may(Act::HandBack) => {}
            _ if own => {}
            _ => actor.must(Act::LookOver)?,
        }
        if !seen.state.next().contains(&to) {
            return Err(DeskError::cannot(
                format!(
                    "{code} {} and cannot become '{}'",
                    is(seen.state),
                    to.words()
                ),
                "Look at it again: somebody may have moved it on",
            ));
        }
        let note = words("note", note, MOST_NOTE)?;
        if matches!(to, State::NeedsAttention | State::Refused | State::Accident) && note.is_empty()
        {
            return Err(DeskError::field(
                "note",
                "no reason is given",
                "Write what is wrong, for its maker to read",
            ));
        }
        if to == State::Waiting {
            let given = self.given().await?;
            let v = verdict(&given, &seen.piece);
            if v.answer == Answer::No {
                let why = v.findings.first().map_or_else(
                    || "no cone suits it".to_owned(),
                    |f| format!("{}. {}", f.why, f.remedy),
                );
                return Err(DeskError::cannot(
                    format!("{code} is not fit to fire: {why}"),
                    "Change the piece first, or mark it as needing attention",
                ));
            }
        }
        let mut turn = self
            .store
            .turn(actor.by(), &format!("{code}: {}", to.words()))
            .await?;
        let mut ware = turn.get::<Ware>(code).await?.body;
        ware.set(to, actor.at);
        // Why it had to wait is over once it may be fired; what its maker wrote when handing it in is not.
        let reason = !matches!(seen.state, State::Made | State::Drying);
        if !note.is_empty() || (to == State::Waiting && reason) {
            ware.note = note;
        }
        if matches!(to, State::Waiting | State::Made) {
            ware.firing = None;
        }
        turn.put(&ware, version).await?;
        Ok(turn.commit().await?)
    }

    /// Keeps a photo of a piece.
    ///
    /// # Errors
    /// [`DeskError::Cannot`] when it is no picture that is taken here.
    pub async fn add_photo(
        &self,
        actor: Actor<'_>,
        code: &str,
        bytes: Vec<u8>,
    ) -> Result<String, DeskError> {
        self.ware(actor.person, code).await?;
        let photo = self.keep_photo(bytes).await?;
        let id = photo.0.clone();
        let mut turn = self
            .store
            .turn(actor.by(), &format!("add a photo of {code}"))
            .await?;
        turn.add_photo(&photo_row(actor, code, photo)).await?;
        turn.commit().await?;
        Ok(id)
    }

    /// Makes a photo fit to keep and writes its files; answers its id, width and height.
    pub(super) async fn keep_photo(&self, bytes: Vec<u8>) -> Result<PhotoFile, DeskError> {
        let photo = tokio::task::spawn_blocking(move || crate::photo::photo(&bytes))
            .await
            .map_err(|e| DeskError::Machine(e.to_string()))?
            .map_err(|e| DeskError::field("photo", e.to_string(), "Take another photo"))?;
        let id: String = new_secret()?.chars().take(24).collect();
        let write = |name: String, bytes: &[u8]| {
            let path = self.photos.join(name);
            std::fs::create_dir_all(&self.photos)
                .and_then(|()| std::fs::write(&path, bytes))
                .map_err(|e| {
                    DeskError::Machine(format!("cannot keep the photo at {}: {e}", path.display()))
                })
        };
        write(format!("{id}.jpg"), &photo.jpeg)?;
        write(format!("{id}.small.jpg"), &photo.thumb)?;
        Ok((id, photo.width, photo.height))
    }

    /// The file of a photo that the person may see.
    ///
    /// # Errors
    /// [`glost_store::StoreError::Missing`].
    pub async fn photo_file(
        &self,
        who: &Person,
        id: &str,
        small: bool,
    ) -> Result<Vec<u8>, DeskError> {
        let missing = || glost_store::StoreError::Missing {
            kind: "photo".to_owned(),
            id: id.to_owned(),
        };
        let row = self.store.photo(id).await?.ok_or_else(missing)?;
        if row.kind == super::open::CONES {
            let firing = row.thing.split('/').next().unwrap_or("");
            if !self.told_of(who, firing).await? {
                return Err(missing().into());
            }
        } else {
            // The same words as for a photo that there is not: those of its piece would tell its code.
            self.ware(who, &row.thing).await.map_err(|e| match e {
                DeskError::Store(glost_store::StoreError::Missing { .. }) => missing().into(),
                other => other,
            })?;
        }
        let name = if small {
            format!("{}.small.jpg", row.id)
        } else {
            format!("{}.jpg", row.id)
        };
        let path = self.photos.join(name);
        tokio::fs::read(&path).await.map_err(|e| {
            DeskError::Machine(format!("cannot read the photo at {}: {e}", path.display()))
        })
    }
}

fn is(state: State) -> String {
    match state {
        State::Waiting => "waits for a firing".to_owned(),
        other => format!("is {}", other.words()),
    }
}
