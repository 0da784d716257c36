//! The task that hears one kiln during one firing.

use std::sync::Arc;
use std::time::Duration;

use glost_feed::clean::Guard;
use glost_feed::mqtt::Messages;
use glost_feed::tail::{Place, Tail, follow};
use glost_feed::{Clock, Rows, Teller, modbus, mqtt};
use glost_model::Span;
use glost_model::book::{Firing, Source, SourceKind};
use glost_model::fault::Fault;
use glost_store::Kept;
use jiff::SignedDuration;
use jiff::tz::TimeZone;
use tokio::sync::mpsc;

use super::state::{Said, Shared};
use super::take::Take;
use super::{Hear, Way};
use crate::desk::DeskError;
use crate::follow::hot_end;

/// A source without a reading for so long is silent. Proposed.
const SILENCE: Span = Span::minutes(5.0);
/// A file is looked at so often.
const EVERY: Duration = Duration::from_secs(1);
/// After something that does not mend itself at once.
const REST: Duration = Duration::from_secs(10);
/// Events on their way.
const ROOM: usize = 256;

/// Why a source cannot be heard: what, and what to do.
pub type Deaf = (String, String);

/// Hears until it is ended. What stands in the way is told and tried again.
pub async fn run(hear: Hear, firing: Firing, source: Kept<Source>, state: Shared) {
    loop {
        let why = match listen(&hear, &firing, &source, &state).await {
            Ok(()) => ("listening broke off".to_owned(), "Nothing".to_owned()),
            Err(why) => why,
        };
        tracing::warn!(firing = firing.id, why = why.0, "a kiln is not heard");
        let said = Said {
            at: (hear.clock)(),
            what: why.0,
            remedy: why.1,
        };
        state.change(|s| s.trouble = Some(said));
        hear.desk.tell_heard(&firing.id);
        tokio::time::sleep(REST).await;
    }
}

async fn listen(
    hear: &Hear,
    firing: &Firing,
    source: &Kept<Source>,
    state: &Shared,
) -> Result<(), Deaf> {
    let way = Way::of(&source.body).map_err(of_desk)?;
    state.change(|s| s.words = way.words());
    // Of a firing and a setting: a layout that was mended reads the file anew.
    let mark = format!("{} {} {}", firing.id, source.body.kiln, source.version);
    let zone = zone(hear).await.map_err(of_desk)?;
    let (to, events) = mpsc::channel(ROOM);
    let clock = hear.clock;
    let clock: Clock = Arc::new(clock);
    let place = place(hear, &mark).await?;
    // A file that is read from its beginning comes once more with what is kept already.
    let anew = source.body.kind == SourceKind::File && place.is_none();
    let guard = if anew {
        Guard::default()
    } else {
        guard(hear, firing).await.map_err(of_desk)?
    };
    let mut teller = Teller::new(to, clock, guard, SILENCE);
    if let Some(started) = firing.started {
        teller = teller.since(started);
    }
    let take = Take::new(
        hear.desk.clone(),
        hear.clock,
        firing,
        mark.clone(),
        &source.body,
        state.clone(),
    );
    let taken = take.all(events);
    match way {
        Way::Hand => Ok(()),
        Way::File(way) => {
            let logs = hear.logs().ok_or_else(no_logs)?;
            let path = logs.path(&way.file).map_err(|(w, r)| (w, r.to_owned()))?;
            let rows = Rows::new(way.layout, &zone, firing.started, &way.file, hot_end)
                .map_err(of_faults)?;
            let tail = Tail::new(&path, rows, place);
            let (_, ()) = tokio::join!(follow(tail, EVERY, teller), taken);
            Ok(())
        }
        Way::Broker(way) => {
            // A broker cuts off the first of two listeners of one name.
            let client = format!("glost-{}", source.body.kiln);
            let broker = way.broker(client, hear.secrets())?;
            let messages = Messages::new(&broker.topics, &zone, hot_end).map_err(of_faults)?;
            let (_, ()) = tokio::join!(mqtt::listen(&broker, messages, teller), taken);
            Ok(())
        }
        Way::Controller(controller) => {
            controller.check().map_err(of_faults)?;
            let (_, ()) = tokio::join!(modbus::listen(&controller, hot_end, teller), taken);
            Ok(())
        }
    }
}

/// Goes on from the last reading that is kept, so that a hot kiln is not taken for a room.
async fn guard(hear: &Hear, firing: &Firing) -> Result<Guard, DeskError> {
    let Some(kept) = hear.desk.samples_kept(&firing.id).await? else {
        return Ok(Guard::default());
    };
    let before = kept.to.checked_sub(SignedDuration::from_micros(1)).ok();
    let last = hear.desk.samples_after(&firing.id, before).await?;
    Ok(last
        .into_iter()
        .next_back()
        .map_or_else(Guard::default, Guard::after))
}

/// Where the source was read to; nothing when it was not, or not by this version of the program.
async fn place(hear: &Hear, mark: &str) -> Result<Option<Place>, Deaf> {
    let kept = hear.desk.store.mark(mark).await;
    let kept = kept.map_err(|e| of_desk(e.into()))?;
    Ok(kept.and_then(|text| serde_json::from_str(&text).ok()))
}

pub(super) async fn zone(hear: &Hear) -> Result<TimeZone, DeskError> {
    let given = hear.desk.given().await?;
    let named = given.settings.hours.time_zone.as_deref();
    let named = named.and_then(|z| TimeZone::get(z).ok());
    Ok(named.unwrap_or_else(TimeZone::system))
}

pub(super) fn no_logs() -> Deaf {
    (
        "Glost was started without a folder of logs".to_owned(),
        "Start it with --logs FOLDER, or GLOST_LOGS".to_owned(),
    )
}

pub(super) fn of_faults(faults: Vec<Fault>) -> Deaf {
    let all: Vec<String> = faults
        .iter()
        .map(|f| match f.field.as_str() {
            "" => f.what.clone(),
            field => format!("{field}: {}", f.what),
        })
        .collect();
    let remedy = faults.first().map_or("", |f| f.remedy.as_str());
    (all.join("; "), remedy.to_owned())
}

fn of_desk(e: DeskError) -> Deaf {
    match e {
        DeskError::Cannot { what, remedy } => (what, remedy),
        other => (
            other.to_string(),
            "It is tried again by itself; look at the log of the program".to_owned(),
        ),
    }
}
