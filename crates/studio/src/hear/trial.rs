//! Trying whether a source is understood: a few readings now, none of them kept.

use std::fs::File;
use std::io::{Read as _, Seek as _, SeekFrom};
use std::sync::Arc;
use std::time::Duration;

use glost_feed::clean::Guard;
use glost_feed::layout::Guess;
use glost_feed::mqtt::Messages;
use glost_feed::{Clock, Event, Layout, Readings, Rows, Teller, TroubleKind, modbus, mqtt};
use glost_model::Span;
use glost_model::readings::Sample;
use glost_model::shown::Shown;
use jiff::Timestamp;
use jiff::tz::TimeZone;
use tokio::sync::mpsc::{self, Receiver};

use super::task::{Deaf, no_logs, of_faults, zone};
use super::{BrokerWay, Hear, Way};
use crate::follow::hot_end;

/// Readings that are shown.
const SHOWN: usize = 6;
/// Longest wait for one.
const PATIENCE: Duration = Duration::from_secs(12);
/// Bytes of a file's beginning, and of its end.
const PIECE: u64 = 32 * 1024;

/// What came of a try.
#[derive(Debug, Clone, Default)]
pub struct Tried {
    /// The latest readings as they are understood, the last one last.
    pub samples: Vec<Sample>,
    /// What was odd, and what to do.
    pub odd: Vec<(String, String)>,
}

impl Hear {
    /// Proposes how a file in the folder of logs is written, from its first lines.
    ///
    /// # Errors
    /// Why it cannot be looked at, and what to do.
    pub async fn guess(&self, name: &str) -> Result<Guess, Deaf> {
        let zone = zone(self)
            .await
            .map_err(|e| (e.to_string(), String::new()))?;
        let (bytes, _) = self.ends(name)?;
        Ok(Layout::guess(&bytes, &zone, hot_end))
    }

    /// The first and the last lines of a file, joined; and whether that is all of it.
    fn ends(&self, name: &str) -> Result<(Vec<u8>, bool), Deaf> {
        let logs = self.logs().ok_or_else(no_logs)?;
        let path = logs.path(name).map_err(|(w, r)| (w, r.to_owned()))?;
        ends_of(&path).map_err(|e| {
            let remedy = match e.kind() {
                std::io::ErrorKind::NotFound => {
                    "See that the logger runs and that the name is right; Glost waits for a file that is not there yet"
                }
                _ => "See that the program may read the file and its folder",
            };
            (format!("{name} cannot be read: {e}"), remedy.to_owned())
        })
    }
}

fn ends_of(path: &std::path::Path) -> std::io::Result<(Vec<u8>, bool)> {
    let mut file = File::open(path)?;
    let length = file.metadata()?.len();
    let mut head = Vec::new();
    if length <= 2 * PIECE {
        file.take(2 * PIECE).read_to_end(&mut head)?;
        return Ok((head, true));
    }
    file.by_ref().take(PIECE).read_to_end(&mut head)?;
    let whole = head
        .iter()
        .rposition(|b| *b == b'\n')
        .map_or(0, |at| at + 1);
    head.truncate(whole);
    file.seek(SeekFrom::Start(length - PIECE))?;
    let mut tail = Vec::new();
    file.take(PIECE).read_to_end(&mut tail)?;
    let begins = tail
        .iter()
        .position(|b| *b == b'\n')
        .map_or(tail.len(), |at| at + 1);
    head.extend(tail.into_iter().skip(begins));
    Ok((head, false))
}

/// Tries a source that is not kept yet. `started` is when elapsed time is taken to begin.
///
/// # Errors
/// Why nothing was understood, and what to do.
pub async fn try_out(
    hear: &Hear,
    kiln: &str,
    way: &Way,
    started: Timestamp,
) -> Result<Tried, Deaf> {
    let zone = zone(hear)
        .await
        .map_err(|e| (e.to_string(), String::new()))?;
    match way {
        Way::Hand => Ok(Tried::default()),
        Way::File(way) => {
            let (bytes, whole) = hear.ends(&way.file)?;
            let rows = Rows::new(way.layout.clone(), &zone, Some(started), &way.file, hot_end)
                .map_err(of_faults)?;
            Ok(of_file(bytes.as_slice(), rows, whole))
        }
        Way::Broker(way) => from_broker(hear, kiln, way, &zone).await,
        Way::Controller(controller) => {
            controller.check().map_err(of_faults)?;
            let (teller, events) = channel(hear);
            tokio::select! {
                _ = modbus::listen(controller, hot_end, teller) => Err(nothing()),
                found = gather(events, 1) => found,
            }
        }
    }
}

fn of_file(bytes: &[u8], rows: Rows, whole: bool) -> Tried {
    let mut tried = Tried::default();
    for row in Readings::new(bytes, rows) {
        match row {
            Ok(sample) => tried.samples.push(sample),
            Err(fault) => {
                let place = match (fault.line, fault.field.as_str()) {
                    (Some(line), "") if whole => format!("line {line}: "),
                    (Some(line), field) if whole => format!("line {line}, {field}: "),
                    (_, "") => String::new(),
                    (_, field) => format!("{field}: "),
                };
                tried
                    .odd
                    .push((format!("{place}{}", fault.what), fault.remedy));
            }
        }
    }
    let from = tried.samples.len().saturating_sub(SHOWN);
    tried.samples.drain(..from);
    tried.odd.truncate(SHOWN);
    tried
}

async fn from_broker(
    hear: &Hear,
    kiln: &str,
    way: &BrokerWay,
    zone: &TimeZone,
) -> Result<Tried, Deaf> {
    // Another name than that of the listener, which would be cut off.
    let broker = way.broker(format!("glost-try-{kiln}"), hear.secrets())?;
    let messages = Messages::new(&broker.topics, zone, hot_end).map_err(of_faults)?;
    let enough = broker.topics.len();
    let (teller, events) = channel(hear);
    tokio::select! {
        _ = mqtt::listen(&broker, messages, teller) => Err(nothing()),
        found = gather(events, enough) => found,
    }
}

fn channel(hear: &Hear) -> (Teller, Receiver<Event>) {
    let (to, events) = mpsc::channel(64);
    let clock = hear.clock;
    let clock: Clock = Arc::new(clock);
    // Of a kiln that may be hot already.
    let teller = Teller::new(to, clock, Guard::default(), Span::h(1.0));
    (teller, events)
}

fn nothing() -> Deaf {
    (
        format!("nothing came within {} s", PATIENCE.as_secs()),
        "See that the other side runs and sends; a logger that sends seldom may only be waited for"
            .to_owned(),
    )
}

/// Until so many readings came, or it is clear that none will.
async fn gather(mut events: Receiver<Event>, enough: usize) -> Result<Tried, Deaf> {
    let mut tried = Tried::default();
    let mut broken = None;
    let reading = async {
        while let Some(event) = events.recv().await {
            match event {
                Event::Heard(heard) => {
                    for remark in heard.remarks.iter().filter(|r| r.withheld) {
                        let (what, remedy) = remark.words(Shown::default());
                        tried.odd.push((what, remedy.to_owned()));
                    }
                    tried.samples.push(heard.sample);
                    if tried.samples.len() >= enough {
                        break;
                    }
                }
                Event::Trouble(trouble) => {
                    let (what, remedy) = trouble.kind.words();
                    match trouble.kind {
                        TroubleKind::Listening => {}
                        TroubleKind::Unreachable { .. } => {
                            broken = Some((what, remedy.to_owned()));
                            break;
                        }
                        _ => tried.odd.push((what, remedy.to_owned())),
                    }
                }
                Event::Place(_) => {}
            }
        }
    };
    drop(tokio::time::timeout(PATIENCE, reading).await);
    tried.odd.truncate(SHOWN);
    match broken {
        Some(why) => Err(why),
        None if tried.samples.is_empty() && tried.odd.is_empty() => Err(nothing()),
        None => Ok(tried),
    }
}
