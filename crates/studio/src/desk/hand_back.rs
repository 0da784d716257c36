//! Giving ware back to its makers.

use std::collections::BTreeMap;

use glost_model::book::{Act, Person, State, Ware};
use glost_model::piece::{Dryness, Stage};
use glost_store::{Kept, Look};
use jiff::civil::Date;

use super::{Actor, Desk, DeskError};

/// What waits for one maker.
#[derive(Debug, Clone)]
pub struct ForMaker {
    /// The maker.
    pub person: Person,
    /// What may be fetched, the longest waiting first.
    pub ware: Vec<Kept<Ware>>,
}

impl ForMaker {
    /// Pieces that have waited past their day.
    pub fn overdue(&self, today: Date) -> usize {
        self.ware
            .iter()
            .filter(|w| w.body.fetch_by.is_some_and(|d| d < today))
            .count()
    }
}

/// States in which ware lies ready for its maker.
pub const TO_FETCH: [&str; 4] = ["bisqued", "ready", "accident", "refused"];

impl Desk {
    /// What waits to be fetched, by maker.
    ///
    /// # Errors
    /// Of the store.
    pub async fn to_fetch(&self, actor: Actor<'_>) -> Result<Vec<ForMaker>, DeskError> {
        actor.must(Act::SeeAllWare)?;
        let look = Look {
            states: &TO_FETCH,
            ..Look::default()
        };
        let mut by: BTreeMap<String, Vec<Kept<Ware>>> = BTreeMap::new();
        for ware in self.store.list::<Ware>(&look).await? {
            by.entry(ware.body.owner.clone()).or_default().push(ware);
        }
        let everybody = self
            .store
            .list::<Person>(&Look {
                archived: true,
                ..Look::default()
            })
            .await?;
        let mut out: Vec<ForMaker> = everybody
            .into_iter()
            .filter_map(|p| {
                by.remove(&p.body.id).map(|ware| ForMaker {
                    person: p.body,
                    ware,
                })
            })
            .collect();
        out.sort_by(|a, b| a.person.name.cmp(&b.person.name));
        Ok(out)
    }

    /// Notes that these pieces were fetched. A maker may for their own.
    ///
    /// # Errors
    /// When one of them is not ready; nothing is noted then.
    pub async fn hand_back(&self, actor: Actor<'_>, codes: &[String]) -> Result<i64, DeskError> {
        if codes.is_empty() {
            return Err(DeskError::field(
                "code",
                "no piece is chosen",
                "Tick what was fetched",
            ));
        }
        let verb = format!(
            "hand back {}",
            if codes.len() == 1 {
                codes.concat()
            } else {
                format!("{} pieces", codes.len())
            }
        );
        let mut turn = self.store.turn(actor.by(), &verb).await?;
        for code in codes {
            let kept = turn.get::<Ware>(code).await?;
            let mut ware = kept.body;
            if ware.owner != actor.person.id {
                actor.must(Act::HandBack)?;
            }
            if !TO_FETCH.contains(&ware.state.key()) {
                return Err(DeskError::cannot(
                    format!("{code} is {}", ware.state.words()),
                    "Look at the list again",
                ));
            }
            ware.set(State::HandedBack, actor.at);
            turn.put(&ware, kept.version).await?;
        }
        Ok(turn.commit().await?)
    }

    /// A bisqued piece comes back glazed.
    ///
    /// # Errors
    /// When it was not bisqued.
    pub async fn glazed(
        &self,
        actor: Actor<'_>,
        code: &str,
        version: i64,
    ) -> Result<i64, DeskError> {
        let mut turn = self
            .store
            .turn(actor.by(), &format!("{code} comes back glazed"))
            .await?;
        let mut ware = turn.get::<Ware>(code).await?.body;
        if ware.owner != actor.person.id {
            actor.must(Act::LookOver)?;
        }
        if ware.piece.stage != Stage::Greenware
            || !matches!(ware.state, State::Bisqued | State::HandedBack)
        {
            return Err(DeskError::cannot(
                format!("{code} is {}", ware.state.words()),
                "Only bisqued ware comes back glazed",
            ));
        }
        ware.piece.stage = Stage::Glazed;
        ware.piece.dryness = Dryness::Doubtful;
        ware.piece.asked_cone = None;
        ware.piece.came_in = None;
        ware.fetch_by = None;
        ware.set(State::Made, actor.at);
        turn.put(&ware, version).await?;
        Ok(turn.commit().await?)
    }
}
