//! Opening the kiln: cones, faults, and the ware goes on its way.

use glost_model::Temperature;
use glost_model::book::ware::Fault;
use glost_model::book::{Act, ConeRead, Edges, FaultKind, Firing, FiringState, State, Ware};
use glost_model::cone::Cone;
use jiff::civil::Date;
use jiff::{Timestamp, ToSpan};

use super::fire::{done_at, note};
use super::ware::photo_row;
use super::words::{MOST_FIRING_NOTE, MOST_NOTE, words};
use super::{Actor, Desk, DeskError};

/// Kind of the photos of witness cones.
pub const CONES: &str = "cones";

/// The thing that photos of a tier's cones are of.
pub fn cones_on(firing: &str, tier: &str) -> String {
    format!("{firing}/{tier}")
}

/// A cone as it is read off.
#[derive(Debug, Clone)]
pub struct Reading {
    /// Tier.
    pub tier: String,
    /// Cone.
    pub cone: Cone,
    /// Where its tip points on a clock face.
    pub clock: f64,
}

/// A fault as it is seen.
#[derive(Debug, Clone)]
pub struct FaultSeen {
    /// Code of the piece.
    pub code: String,
    /// What is seen.
    pub kind: FaultKind,
    /// In words.
    pub words: String,
    /// How the edges of a crack look.
    pub edges: Option<Edges>,
    /// It cannot be given back as good.
    pub spoilt: bool,
    /// Bytes of a photo.
    pub photo: Option<Vec<u8>>,
}

/// The field of a cone on a tier in forms. That of the firing's own cone names the tier alone.
pub fn clock_field(tier: &str, cone: Cone, own: Cone) -> String {
    if cone == own {
        format!("clock {tier}")
    } else {
        format!("clock {tier} cone {cone}")
    }
}

impl Desk {
    /// Writes down that the kiln was opened, now or when it is told, with what the display showed. Sooner than the plan foresees that has to be
    /// told, and a reading above what the ware bears needs a reason.
    ///
    /// # Errors
    /// When it is not cooling; faults of `display` and `why` as told above, and of `at` for a time that cannot be.
    pub async fn opened(
        &self,
        actor: Actor<'_>,
        id: &str,
        version: i64,
        display: Option<Temperature>,
        why: &str,
        at: Option<Timestamp>,
    ) -> Result<i64, DeskError> {
        let at = done_at(actor, at)?;
        let why = words("why", why, MOST_FIRING_NOTE)?;
        let forecast = self.plan(id).await?.and_then(|p| p.forecast);
        let below = forecast.and_then(|f| f.may_open().map(|c| c.below_c));
        let shown = match actor.person.shown {
            Some(own) => own,
            None => self.given().await?.studio.shown,
        };
        self.write(actor, id, version, "open", |firing| {
            if firing.state != FiringState::Cooling {
                return Err(DeskError::cannot(
                    format!("firing {id} is {}", firing.state.words()),
                    "End it first",
                ));
            }
            if firing.ended.is_some_and(|ended| at < ended) {
                return Err(DeskError::field(
                    "at",
                    "this is before the kiln was off",
                    "Write when it was opened",
                ));
            }
            let early = firing.open_from().is_some_and(|from| at < from);
            let hot = display
                .zip(below)
                .is_some_and(|(shows, below)| shows > below);
            if early && display.is_none() {
                return Err(DeskError::field(
                    "display",
                    "it is early, and nothing was read off the display",
                    "Read the display and write what it shows; the clock does not count",
                ));
            }
            if hot && why.is_empty() {
                return Err(DeskError::field(
                    "why",
                    "it is too hot to open: ware may crack, and people are burnt",
                    "Close it and wait. If it is open all the same, write why",
                ));
            }
            if let Some(shows) = display {
                let reason = if why.is_empty() {
                    String::new()
                } else {
                    format!(": {why}")
                };
                let read = format!(
                    "opened at {} on the display{reason}",
                    shown.temperature(shows)
                );
                firing.notes.push(note(actor, &read));
            }
            firing.state = FiringState::Opened;
            firing.opened = Some(at);
            firing.opened_c = display.map(Temperature::to_c);
            Ok(())
        })
        .await
    }

    /// Writes down how cones bent: any cone on any tier, guides and guards among them. A cone that lies flat tells that
    /// its tier got no less, one that stands that it got no more; learning takes both so.
    ///
    /// # Errors
    /// A clock position that no cone has.
    pub async fn read_cones(
        &self,
        actor: Actor<'_>,
        id: &str,
        version: i64,
        readings: &[Reading],
    ) -> Result<i64, DeskError> {
        self.write(actor, id, version, "read the cones", |firing| {
            for r in readings {
                if !(0.0..=6.0).contains(&(r.clock % 12.0)) || !(0.0..=12.0).contains(&r.clock) {
                    let field = clock_field(&r.tier, r.cone, firing.cone);
                    return Err(DeskError::field(
                        &field,
                        format!("{} on a clock", r.clock),
                        "Write 12 for upright, 3 for level, 6 for down, or between",
                    ));
                }
                firing
                    .cones
                    .retain(|c| c.tier != r.tier || c.cone != r.cone);
                firing.cones.push(ConeRead {
                    tier: r.tier.clone(),
                    cone: r.cone,
                    clock: r.clock,
                    who: actor.person.id.clone(),
                    at: actor.at,
                });
            }
            Ok(())
        })
        .await
    }

    /// Keeps a photo of the cones of a tier that has some.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`], a tier without cones, a kiln that is not open yet, or no picture that is taken here.
    pub async fn add_cones_photo(
        &self,
        actor: Actor<'_>,
        id: &str,
        tier: &str,
        bytes: Vec<u8>,
    ) -> Result<i64, DeskError> {
        actor.must(Act::Fire)?;
        let firing = self.firing(id).await?.body;
        if !firing.tiers_with_cones().contains(&tier) {
            return Err(DeskError::field(
                "tier",
                format!("there are no witness cones on tier '{tier}'"),
                "Choose one of the list",
            ));
        }
        if !matches!(firing.state, FiringState::Opened | FiringState::Done) {
            return Err(DeskError::cannot(
                format!("firing {id} is {}", firing.state.words()),
                "Open it first",
            ));
        }
        let photo = self.keep_photo(bytes).await?;
        let verb = format!("add a photo of the cones of tier {tier}, firing {id}");
        let mut turn = self.store.turn(actor.by(), &verb).await?;
        let mut row = photo_row(actor, &cones_on(id, tier), photo);
        row.kind = CONES.to_owned();
        turn.add_photo(&row).await?;
        Ok(turn.commit().await?)
    }

    /// Notes a fault on a piece of a firing that is open or done, with a photo of it if there is one. Spoilt ware came
    /// to harm.
    ///
    /// # Errors
    /// When the piece was not in that firing; a fault of the field `photo` when it is no picture that is taken here.
    pub async fn note_fault(
        &self,
        actor: Actor<'_>,
        firing: &str,
        seen: FaultSeen,
    ) -> Result<i64, DeskError> {
        actor.must(Act::Fire)?;
        let FaultSeen {
            code,
            kind,
            words: text,
            edges,
            spoilt,
            photo,
        } = seen;
        let code = code.as_str();
        let text = words("words", &text, MOST_NOTE)?;
        let photo = match photo {
            // A photo of a piece that is not there is not worth keeping.
            Some(bytes) if self.store.has::<Ware>(code).await? => {
                Some(self.keep_photo(bytes).await?)
            }
            _ => None,
        };
        let mut turn = self
            .store
            .turn(
                actor.by(),
                &format!("note a fault of {code}: {}", kind.look()),
            )
            .await?;
        let kept = turn.get::<Ware>(code).await?;
        let mut ware = kept.body;
        if !ware.stood.iter().any(|s| s.firing == firing) {
            return Err(DeskError::cannot(
                format!("{code} was not in firing {firing}"),
                "Look at its label again",
            ));
        }
        ware.faults.push(Fault {
            kind,
            words: text,
            firing: Some(firing.to_owned()),
            edges: edges.filter(|_| kind.is_crack()),
            spoilt,
            who: actor.person.id.clone(),
            at: actor.at,
        });
        if spoilt && matches!(ware.state, State::InKiln | State::Bisqued | State::Ready) {
            ware.set(State::Accident, actor.at);
        }
        turn.put(&ware, kept.version).await?;
        if let Some(photo) = photo {
            turn.add_photo(&photo_row(actor, code, photo)).await?;
        }
        Ok(turn.commit().await?)
    }

    /// The kiln is empty: all ware of the firing may be fetched, what came to harm aside, and is charged.
    ///
    /// # Errors
    /// When it is not open.
    pub async fn emptied(
        &self,
        actor: Actor<'_>,
        id: &str,
        version: i64,
        next_time: &str,
        today: Date,
    ) -> Result<i64, DeskError> {
        actor.must(Act::Fire)?;
        let next_time = words("next_time", next_time, MOST_FIRING_NOTE)?;
        let given = self.given().await?;
        let fetch_by = today.saturating_add(i64::from(given.settings.keep_days).days());
        let mut turn = self
            .store
            .turn(actor.by(), &format!("empty firing {id}"))
            .await?;
        let mut firing = turn.seen::<Firing>(id, version).await?;
        if firing.state != FiringState::Opened {
            return Err(DeskError::cannot(
                format!("firing {id} is {}", firing.state.words()),
                "Open it first",
            ));
        }
        let mut charged = Vec::new();
        for ware in self.in_firing(id).await? {
            let kept = turn.get::<Ware>(ware.body.code()).await?;
            let mut ware = kept.body;
            charged.push(ware.clone());
            match ware.state {
                State::InKiln => {
                    let next = ware.after_firing();
                    ware.set(next, actor.at);
                }
                State::Accident => {}
                _ => continue,
            }
            ware.fetch_by = Some(fetch_by);
            turn.put(&ware, kept.version).await?;
        }
        firing.state = FiringState::Done;
        firing.next_time = next_time;
        let kind = firing.kind;
        turn.put(&firing, version).await?;
        self.charge_all(actor, &mut turn, id, kind, &charged)
            .await?;
        Ok(turn.commit().await?)
    }
}
