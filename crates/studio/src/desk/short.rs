//! A firing that did not reach its cone: its ware waits again, and nobody is charged.

use glost_model::Temperature;
use glost_model::book::{Act, Firing, FiringState, State, Summary, Ware};
use glost_model::piece::Stage;
use glost_model::{Span, shown::Shown};
use jiff::ToSpan;
use jiff::civil::Date;

use super::fire::note;
use super::verdict::{Answer, verdict};
use super::words::{MOST_FIRING_NOTE, MOST_NOTE, words};
use super::{Actor, Desk, DeskError};

/// Below this clay has kept all of its chemical water and can still be slaked down; common practice puts the end of
/// that between 350 and 650 °C.
const RAW_BELOW: Temperature = Temperature::c(350.0);
/// Counters of upkeep count the time above this.
const HOT: Temperature = Temperature::c(1100.0);

impl Desk {
    /// The kiln is empty, and its firing did not reach its cone: ware that came to no harm waits again as it did, each
    /// piece with a note of what happened to it and whether it can be fired again. Nothing is charged.
    ///
    /// # Errors
    /// When it is not open; a fault of `why` when nothing is told.
    pub async fn fell_short(
        &self,
        actor: Actor<'_>,
        id: &str,
        version: i64,
        hottest: Option<Temperature>,
        why: &str,
        today: Date,
    ) -> Result<i64, DeskError> {
        actor.must(Act::Fire)?;
        let why = words("short", why, MOST_FIRING_NOTE)?;
        if why.is_empty() {
            return Err(DeskError::field(
                "short",
                "nothing is told of what happened",
                "Write it in a few words, as: the power failed",
            ));
        }
        let given = self.given().await?;
        let shown = actor.person.shown.unwrap_or(given.studio.shown);
        let fetch_by = today.saturating_add(i64::from(given.settings.keep_days).days());
        let verb = format!("firing {id} did not reach its cone");
        let mut turn = self.store.turn(actor.by(), &verb).await?;
        let mut firing = turn.seen::<Firing>(id, version).await?;
        if firing.state != FiringState::Opened {
            return Err(DeskError::cannot(
                format!("firing {id} is {}", firing.state.words()),
                "Open it first",
            ));
        }
        if let Some(t) = hottest {
            firing.hottest_c = Some(t.to_c());
        }
        let hottest = firing.hottest_c.map(Temperature::c);
        let mut again = 0;
        for ware in self.in_firing(id).await? {
            let kept = turn.get::<Ware>(ware.body.code()).await?;
            let mut ware = kept.body;
            match ware.state {
                State::InKiln => {
                    let fit = verdict(&given, &ware.piece).answer != Answer::No;
                    let told = of_piece(&firing, &ware, hottest, fit, shown);
                    ware.note = with_note(told, &ware.note);
                    ware.set(State::Waiting, actor.at);
                    again += 1;
                }
                State::Accident => ware.fetch_by = Some(fetch_by),
                _ => continue,
            }
            turn.put(&ware, kept.version).await?;
        }
        firing.state = FiringState::Done;
        firing.short = true;
        firing.summary = as_it_went(&firing, hottest);
        let told = format!("it did not reach its cone: {why}; {again} pieces wait again");
        firing.notes.push(note(actor, &told));
        turn.put(&firing, version).await?;
        Ok(turn.commit().await?)
    }
}

/// What was foreseen of a whole firing is not what this one took.
fn as_it_went(firing: &Firing, hottest: Option<Temperature>) -> Summary {
    let was = firing.summary;
    let metered = firing.metered().is_some();
    Summary {
        hot_s: hottest.filter(|t| *t < HOT).map(|_| Span::ZERO),
        energy_j: was.energy_j.filter(|_| metered),
        cost_cents: was.cost_cents.filter(|_| metered),
        ..was
    }
}

/// What is told on a piece before what was noted there; in brief where both are more than a note holds.
fn with_note((brief, more): (String, String), note: &str) -> String {
    let all = format!("{brief} {more} {note}");
    if all.trim().chars().count() <= MOST_NOTE {
        return all.trim().to_owned();
    }
    format!("{brief} {note}").chars().take(MOST_NOTE).collect()
}

/// What is told on a piece: what happened, and what to do.
fn of_piece(
    firing: &Firing,
    ware: &Ware,
    hottest: Option<Temperature>,
    fit: bool,
    shown: Shown,
) -> (String, String) {
    let until = hottest.map_or_else(String::new, |t| format!(" at {}", shown.temperature(t)));
    let state = match ware.piece.stage {
        Stage::Greenware if hottest.is_some_and(|t| t < RAW_BELOW) => {
            "It is as raw as before: look whether it is dry and whole, and fire it again."
        }
        Stage::Greenware => {
            "It is half fired and weak: handle it with care, look for cracks, and fire it again. It cannot be slaked down any more."
        }
        Stage::Glazed => {
            "Look at its glaze: where nothing flaked, crawled or ran, it can be fired again as it is."
        }
    };
    let unfit = if fit {
        ""
    } else {
        " It is not fit to fire just now: see why below."
    };
    let brief = format!(
        "Firing {} stopped short{until}, before cone {}.",
        firing.id, firing.cone
    );
    (brief, format!("{state}{unfit}"))
}
