//! Notices: what Glost tells people of a kiln. Kept in the book before anything is sent.

use std::sync::Arc;

use glost_model::book::{
    Act, Errand, ErrandState, Firing, FiringState, Notice, NoticeKind, Raised, Seen, Standing,
};
use glost_store::{By, Kept, Look, Order, Turn};
use jiff::Timestamp;

use super::{Actor, Desk, DeskError};
use crate::notify::limits::{self, Again};
use crate::notify::recipients;

/// Who raises notices in the log of the studio.
pub const PROGRAM: &str = "glost";
/// Counts notices; taken first, it keeps two from raising the same at once.
const NUMBER: &str = "notice";
/// So many of a firing are looked at.
const OF_A_FIRING: u32 = 60;

/// What became of a notice.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum RaisedAs {
    /// Kept, and on its way by so many errands.
    New {
        /// Its id.
        id: String,
        /// Messages to send.
        errands: usize,
    },
    /// The same was told a short while ago and it is no worse; nothing was kept.
    Known {
        /// Id of the earlier one.
        id: String,
    },
}

impl Desk {
    /// Tells people of a kiln: keeps the notice and the messages to send in one turn, and wakes the sender. May be
    /// called as often as a thing is seen: the same is told again only after a while, or when it got worse.
    ///
    /// # Errors
    /// Of the store. Nothing is kept then: call again.
    pub async fn raise(&self, notice: &Notice) -> Result<RaisedAs, DeskError> {
        let notice = notice.plain();
        let earlier = self.of_firing(&notice.firing).await?;
        if let Again::Known(id) = limits::again(&notice, earlier.iter().map(|k| &k.body)) {
            return Ok(RaisedAs::Known { id: id.to_owned() });
        }
        let given = self.given().await?;
        let by = By {
            who: PROGRAM,
            at: notice.at,
        };
        let verb = format!("notice of {}: {}", notice.kiln, notice.kind.words());
        let mut turn = self.store.turn(by, &verb).await?;
        let number = turn.next_number(NUMBER).await?;
        // Somebody may have been quicker.
        let earlier = self.of_firing(&notice.firing).await?;
        let untold = match limits::again(&notice, earlier.iter().map(|k| &k.body)) {
            Again::Known(id) => return Ok(RaisedAs::Known { id: id.to_owned() }),
            Again::Keep => true,
            Again::Tell => {
                let told = self.told_since(limits::hour_before(notice.at)).await?;
                limits::too_many(&notice, &told, given.settings.ways.most_per_hour)
            }
        };
        for old in &earlier {
            if old.body.standing == Standing::Open && old.body.notice.same_as(&notice) {
                past(&mut turn, &old.body.id, notice.at).await?;
            }
        }
        let raised = Raised {
            id: format!("{number:06}"),
            standing: Standing::Open,
            seen: Vec::new(),
            past: None,
            untold,
            notice,
        };
        turn.add(&raised).await?;
        let mut errands = Vec::new();
        if !untold {
            let firing = self.store.find::<Firing>(&raised.notice.firing).await?;
            let firing = firing.as_ref().map(|k| &k.body);
            let people = self.who_fires().await?;
            errands = recipients::errands(&raised, &given.settings, firing, &people);
        }
        for errand in &errands {
            turn.add(errand).await?;
        }
        turn.commit().await?;
        self.called.notify_one();
        Ok(RaisedAs::New {
            id: raised.id,
            errands: errands.len(),
        })
    }

    /// Notices of a firing, the latest first.
    async fn of_firing(&self, firing: &str) -> Result<Vec<Kept<Raised>>, DeskError> {
        let look = Look {
            link: Some(firing),
            order: Order::Last,
            most: OF_A_FIRING,
            ..Look::default()
        };
        Ok(self.store.list::<Raised>(&look).await?)
    }

    /// Those that were told since.
    async fn told_since(&self, since: Timestamp) -> Result<Vec<Raised>, DeskError> {
        let look = Look {
            order: Order::Last,
            most: limits::MOST_LOOKED_AT,
            ..Look::default()
        };
        let all = self.store.list::<Raised>(&look).await?;
        let since = |r: &Raised| r.notice.at >= since && !r.untold;
        Ok(all.into_iter().map(|k| k.body).filter(since).collect())
    }

    /// Notices that nobody is on, the urgent first. Kept until anything in the book changes.
    ///
    /// # Errors
    /// Of the store.
    pub async fn open_notices(&self) -> Result<Arc<Vec<Raised>>, DeskError> {
        let latest = self.store.latest_turn().await?;
        self.notices
            .get(latest, |was, _| *was == latest, self.read_open_notices())
            .await
    }

    async fn read_open_notices(&self) -> Result<Vec<Raised>, DeskError> {
        let look = Look {
            states: &[Standing::Open.key()],
            order: Order::Last,
            ..Look::default()
        };
        let all = self.store.list::<Raised>(&look).await?;
        let mut all: Vec<Raised> = all.into_iter().map(|k| k.body).collect();
        all.sort_by_key(|r| !r.notice.urgent);
        Ok(all)
    }

    /// The latest notices, whatever became of them, each with its messages.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`] for those who do not fire.
    pub async fn notices(
        &self,
        actor: Actor<'_>,
        most: u32,
    ) -> Result<Vec<(Raised, Vec<Errand>)>, DeskError> {
        actor.must(Act::Fire)?;
        let look = Look {
            order: Order::Last,
            most,
            ..Look::default()
        };
        let mut out = Vec::new();
        for raised in self.store.list::<Raised>(&look).await? {
            let of = Look {
                link: Some(&raised.body.id),
                ..Look::default()
            };
            let errands = self.store.list::<Errand>(&of).await?;
            out.push((raised.body, errands.into_iter().map(|k| k.body).collect()));
        }
        Ok(out)
    }

    /// Somebody is on it.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`]; [`DeskError::Cannot`] when it has passed.
    pub async fn on_it(&self, actor: Actor<'_>, id: &str) -> Result<i64, DeskError> {
        actor.must(Act::Fire)?;
        let mut turn = self
            .store
            .turn(actor.by(), &format!("be on notice {id}"))
            .await?;
        let kept = turn.get::<Raised>(id).await?;
        let mut raised = kept.body;
        if raised.standing == Standing::Past {
            return Err(DeskError::cannot(
                "this notice has passed",
                "Look at the list of notices for the latest",
            ));
        }
        let who = &actor.person.id;
        if !raised.seen.iter().any(|s| s.who == *who) {
            raised.seen.push(Seen {
                who: who.clone(),
                at: actor.at,
            });
        }
        raised.standing = Standing::OnIt;
        turn.put(&raised, kept.version).await?;
        spare(self, &mut turn, id).await?;
        Ok(turn.commit().await?)
    }

    /// What a notice told of has passed, as when readings come again: all of one kind of a firing, or with `about` only
    /// that one.
    ///
    /// # Errors
    /// Of the store.
    pub async fn notice_past(
        &self,
        firing: &str,
        kind: NoticeKind,
        about: Option<&str>,
        at: Timestamp,
    ) -> Result<usize, DeskError> {
        let fits = |n: &Notice| n.kind == kind && about.is_none_or(|a| n.about == a);
        let all = self.of_firing(firing).await?;
        let open: Vec<_> = all
            .iter()
            .filter(|k| k.body.standing != Standing::Past && fits(&k.body.notice))
            .collect();
        if open.is_empty() {
            return Ok(0);
        }
        let by = By { who: PROGRAM, at };
        let mut turn = self
            .store
            .turn(by, &format!("firing {firing}: notice has passed"))
            .await?;
        for kept in &open {
            past(&mut turn, &kept.body.id, at).await?;
            spare(self, &mut turn, &kept.body.id).await?;
        }
        turn.commit().await?;
        Ok(open.len())
    }

    /// Within the turn that moves a firing on: what no longer needs anybody has passed.
    pub(super) async fn notices_moved_on(
        &self,
        turn: &mut Turn,
        firing: &str,
        state: FiringState,
    ) -> Result<(), DeskError> {
        // A kiln that is off still has to be opened; one that is open needs nobody.
        let stays = |k: NoticeKind| state == FiringState::Cooling && k == NoticeKind::Open;
        for kept in self.of_firing(firing).await? {
            if kept.body.standing != Standing::Past && !stays(kept.body.notice.kind) {
                let at = turn.at();
                past(turn, &kept.body.id, at).await?;
                spare(self, turn, &kept.body.id).await?;
            }
        }
        Ok(())
    }
}

async fn past(turn: &mut Turn, id: &str, at: Timestamp) -> Result<(), DeskError> {
    let kept = turn.get::<Raised>(id).await?;
    let mut raised = kept.body;
    raised.standing = Standing::Past;
    raised.past = Some(at);
    turn.put(&raised, kept.version).await?;
    Ok(())
}

/// Messages that were held back for quiet hours are not sent once somebody is on it. Those that were due at once are:
/// whoever was told by another way should know.
async fn spare(desk: &Desk, turn: &mut Turn, id: &str) -> Result<(), DeskError> {
    let look = Look {
        link: Some(id),
        states: &[ErrandState::Waiting.key()],
        ..Look::default()
    };
    let at = turn.at();
    for kept in desk.store.list::<Errand>(&look).await? {
        let kept = turn.get::<Errand>(&kept.body.id).await?;
        let mut errand = kept.body;
        if errand.state == ErrandState::Waiting && errand.tried == 0 && errand.next > at {
            errand.state = ErrandState::Spared;
            turn.put(&errand, kept.version).await?;
        }
    }
    Ok(())
}
