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

/// Whose ware is asked for.
#[derive(Debug, Clone, Copy, Default)]
pub struct Makers<'a> {
    /// Words of their names; empty for all.
    pub words: &'a str,
    /// So many are left out at the start.
    pub skip: usize,
    /// At most so many; 0 for all.
    pub most: usize,
}

/// What waits to be fetched.
#[derive(Debug, Clone)]
pub struct ToFetch {
    /// Of the makers asked for.
    pub shown: Vec<ForMaker>,
    /// How many makers there are.
    pub makers: usize,
    /// How many pieces wait for them.
    pub pieces: u64,
}

/// States in which ware lies ready for its maker.
pub const TO_FETCH: [&str; 4] = ["bisqued", "ready", "accident", "refused"];

impl Desk {
    /// What waits to be fetched, by maker in the order of their names: of all, of those whose name has these words, or
    /// of so many makers at most.
    ///
    /// # Errors
    /// Of the store.
    pub async fn to_fetch(&self, actor: Actor<'_>, of: &Makers<'_>) -> Result<ToFetch, DeskError> {
        actor.must(Act::SeeAllWare)?;
        let look = Look {
            states: &TO_FETCH,
            ..Look::default()
        };
        let counts = self.store.count_by_owner::<Ware>(&look).await?;
        let everybody = Look {
            archived: true,
            ..Look::default()
        };
        let people = self.store.list::<Person>(&everybody).await?;
        let said = of.words.to_lowercase();
        let mut people: Vec<Person> = people
            .into_iter()
            .map(|p| p.body)
            .filter(|p| counts.contains_key(&p.id) && p.name.to_lowercase().contains(said.trim()))
            .collect();
        people.sort_by(|a, b| a.name.cmp(&b.name));
        let (makers, pieces) = (
            people.len(),
            people.iter().filter_map(|p| counts.get(&p.id)).sum(),
        );
        let most = if of.most == 0 { usize::MAX } else { of.most };
        let shown: Vec<Person> = people.into_iter().skip(of.skip).take(most).collect();
        let ids: Vec<&str> = shown.iter().map(|p| p.id.as_str()).collect();
        let mut by: BTreeMap<String, Vec<Kept<Ware>>> = BTreeMap::new();
        // Databases bind only so many names at once.
        for ids in ids.chunks(200) {
            let look = Look {
                states: &TO_FETCH,
                owners: ids,
                ..Look::default()
            };
            for ware in self.store.list::<Ware>(&look).await? {
                by.entry(ware.body.owner.clone()).or_default().push(ware);
            }
        }
        let with_ware = shown.into_iter().filter_map(|person| {
            let ware = by.remove(&person.id)?;
            Some(ForMaker { person, ware })
        });
        Ok(ToFetch {
            shown: with_ware.collect(),
            makers,
            pieces,
        })
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
            // What somebody may not see is not there for them.
            self.ware(actor.person, code).await?;
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
        self.ware(actor.person, code).await?;
        let mut turn = self
            .store
            .turn(actor.by(), &format!("{code} comes back glazed"))
            .await?;
        let mut ware = turn.seen::<Ware>(code, version).await?;
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
