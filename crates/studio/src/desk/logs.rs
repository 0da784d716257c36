//! Logs of loggers and controllers, brought in whole: looked at first, and kept when they are understood.

mod words;

use std::io::{BufRead, BufReader, Read, Seek, SeekFrom};

use glost_feed::{Layout, Readings, Rows};
use glost_model::book::{Act, Firing};
use glost_model::fault::Fault;
use glost_model::readings::Sample;
use jiff::Timestamp;
use jiff::tz::TimeZone;
use tokio::task::block_in_place;

use super::{Actor, Desk, DeskError};
use crate::follow::hot_end;
use crate::hear::Way;

/// Samples kept in one go.
const BATCH: usize = 20_000;
/// Bytes that the layout is worked out from.
const HEAD: u64 = 16 * 1024;
/// Most faults that are told.
const FAULTS: usize = 50;
/// First and last readings that are shown.
const SHOWN: usize = 3;
const NAME: &str = "log";
/// Under this kind the layout of a kiln's logs is kept among the long texts, by the kiln's name.
const LAYOUT: &str = "log-layout";

/// How a log is understood.
#[derive(Debug, Clone)]
pub struct LogLook {
    /// How its columns are read.
    pub layout: Layout,
    /// Logs of this kiln are read so, and this one has their titles.
    pub known: bool,
    /// The layout in sentences.
    pub understood: Vec<String>,
    /// What is not certain about it.
    pub doubts: Vec<String>,
    /// Rows that can be read.
    pub rows: u64,
    /// The first and the last of them.
    pub ends: Vec<Sample>,
    /// What is wrong with those that cannot be read.
    pub faults: Vec<Fault>,
}

/// What was brought in.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Brought {
    /// Rows read.
    pub read: u64,
    /// Of them, such as were not kept before.
    pub new: u64,
    /// How the file was understood, in sentences.
    pub understood: Vec<String>,
    /// What is not certain about that.
    pub doubts: Vec<String>,
}

impl Desk {
    /// Brings a log of a firing in that was started: a table of any layout, read as the kiln's logs are, or as its first
    /// lines look. It is read twice, so that nothing is kept of one with faults; memory does not grow with it.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`], a firing that was never started, or every fault by its line.
    pub async fn bring_log(
        &self,
        actor: Actor<'_>,
        id: &str,
        mut log: impl Read + Seek,
        zone: &TimeZone,
    ) -> Result<Brought, DeskError> {
        let look = self.look_at_log(actor, id, &mut log, zone, None).await?;
        self.bring_log_as(actor, id, &mut log, zone, &look).await
    }

    /// Looks a log through and keeps nothing of it. `layout`: how a person says that it is written.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`], a firing that was never started, or no file at all.
    pub async fn look_at_log(
        &self,
        actor: Actor<'_>,
        id: &str,
        log: &mut (impl Read + Seek),
        zone: &TimeZone,
        layout: Option<Layout>,
    ) -> Result<LogLook, DeskError> {
        actor.must(Act::Fire)?;
        let firing = self.firing(id).await?.body;
        let start = started(&firing)?;
        let mut head = Vec::new();
        // Whoever wrote it to the disk is at its end.
        log.rewind().map_err(unread)?;
        let taken = log.by_ref().take(HEAD).read_to_end(&mut head);
        taken.map_err(unread)?;
        if head.is_empty() {
            return Err(DeskError::field(
                NAME,
                "there is no file, or nothing in it",
                "Choose the log",
            ));
        }
        let mut known = false;
        let mut doubts = Vec::new();
        let layout = match layout {
            Some(layout) => layout,
            None => {
                let kept = self.log_layouts(&firing.kiln).await?;
                let fits = |l: &&Layout| fits(l, &head, zone, start);
                let titled = kept.iter().filter(|l| !l.titles.is_empty()).find(fits);
                known = titled.is_some();
                // Without titles nobody can tell that columns have not moved: it is proposed, and looked over.
                let bare = || kept.iter().find(fits);
                match titled.or_else(bare) {
                    Some(layout) => layout.clone(),
                    None => {
                        let guess = Layout::guess(&head, zone, hot_end);
                        doubts.extend(guess.doubts.iter().map(|d| d.words.clone()));
                        guess.layout
                    }
                }
            }
        };
        let mut look = LogLook {
            understood: words::understood(&layout),
            layout,
            known,
            doubts,
            rows: 0,
            ends: Vec::new(),
            faults: Vec::new(),
        };
        block_in_place(|| look.through(log, zone, start))?;
        Ok(look)
    }

    /// Keeps what a log holds, read as it was looked at.
    ///
    /// # Errors
    /// Every fault by its line; nothing is kept then.
    pub async fn bring_log_as(
        &self,
        actor: Actor<'_>,
        id: &str,
        log: &mut (impl Read + Seek),
        zone: &TimeZone,
        look: &LogLook,
    ) -> Result<Brought, DeskError> {
        actor.must(Act::Fire)?;
        let start = started(&self.firing(id).await?.body)?;
        if !look.faults.is_empty() {
            return Err(DeskError::Faults(look.faults.clone()));
        }
        if look.rows == 0 {
            return Err(DeskError::field(
                NAME,
                "there is no reading in it",
                "Look whether it is the log of this firing, as a table in CSV",
            ));
        }
        let mut new = 0;
        let mut all = rows(log, &look.layout, zone, start)?;
        loop {
            let next = || all.by_ref().take(BATCH).collect::<Result<Vec<Sample>, _>>();
            let batch = block_in_place(next).map_err(|f| DeskError::Faults(vec![at_field(f)]))?;
            if batch.is_empty() {
                break;
            }
            new += self.keep_samples(id, &batch, None, actor.at).await?;
        }
        self.tell_heard(id);
        Ok(Brought {
            read: look.rows,
            new,
            understood: look.understood.clone(),
            doubts: look.doubts.clone(),
        })
    }

    /// Layouts that are kept for a kiln: that of the file it is heard from, and the one that somebody looked over when a
    /// log was brought in.
    async fn log_layouts(&self, kiln: &str) -> Result<Vec<Layout>, DeskError> {
        let mut all = Vec::new();
        if let Some(id) = self.kiln_of(kiln).await? {
            // A source of another version of the program is none for a log either.
            if let Ok(Way::File(way)) = Way::of(&self.source(&id).await?.body) {
                all.push(way.layout);
            }
        }
        let kept = self.store.paper(LAYOUT, kiln).await?;
        all.extend(kept.and_then(|text| serde_json::from_str::<Layout>(&text).ok()));
        Ok(all)
    }

    /// Keeps how logs of a firing's kiln are written, so that the next one is read so.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`], or of the store.
    pub async fn keep_log_layout(
        &self,
        actor: Actor<'_>,
        id: &str,
        layout: &Layout,
    ) -> Result<(), DeskError> {
        actor.must(Act::Fire)?;
        let kiln = self.firing(id).await?.body.kiln;
        let text = serde_json::to_string(layout).map_err(|e| DeskError::Machine(e.to_string()))?;
        if self.store.paper(LAYOUT, &kiln).await?.as_deref() == Some(&text) {
            return Ok(());
        }
        let verb = format!("keep how logs of kiln {kiln} are written");
        let mut turn = self.store.turn(actor.by(), &verb).await?;
        turn.write_paper(LAYOUT, &kiln, &text).await?;
        turn.commit().await?;
        Ok(())
    }
}

impl LogLook {
    /// Reads all rows once.
    fn through<R: Read + Seek>(
        &mut self,
        log: &mut R,
        zone: &TimeZone,
        start: Timestamp,
    ) -> Result<(), DeskError> {
        let all = match rows(log, &self.layout, zone, start) {
            Err(DeskError::Faults(faults)) => {
                self.faults = faults;
                return Ok(());
            }
            other => other?,
        };
        for row in all {
            match row {
                Ok(sample) => {
                    self.rows += 1;
                    if self.ends.len() == 2 * SHOWN {
                        self.ends.remove(SHOWN);
                    }
                    self.ends.push(sample);
                }
                Err(fault) if self.faults.len() < FAULTS => self.faults.push(at_field(fault)),
                Err(_) => {}
            }
        }
        Ok(())
    }
}

fn started(firing: &Firing) -> Result<Timestamp, DeskError> {
    firing.started.ok_or_else(|| {
        DeskError::cannot(
            format!("firing {} is {}", firing.id, firing.state.words()),
            "Write down that it is on first",
        )
    })
}

/// Whether rows of a file can be read so. Under other titles none can.
fn fits(layout: &Layout, head: &[u8], zone: &TimeZone, start: Timestamp) -> bool {
    let rows = Rows::new(layout.clone(), zone, Some(start), NAME, hot_end);
    rows.is_ok_and(|rows| Readings::new(head, rows).any(|row| row.is_ok()))
}

fn rows<'l, R: Read + Seek>(
    log: &'l mut R,
    layout: &Layout,
    zone: &TimeZone,
    start: Timestamp,
) -> Result<Readings<impl BufRead + use<'l, R>>, DeskError> {
    log.seek(SeekFrom::Start(0)).map_err(unread)?;
    let rows = Rows::new(layout.clone(), zone, Some(start), NAME, hot_end);
    let rows = rows.map_err(|all| DeskError::Faults(all.into_iter().map(at_field).collect()))?;
    Ok(Readings::new(BufReader::new(log), rows))
}

fn unread(e: std::io::Error) -> DeskError {
    DeskError::field(NAME, format!("it cannot be read: {e}"), "Choose it again")
}

/// Faults of rows stand at the one field of the form, with their line and column in words.
fn at_field(fault: Fault) -> Fault {
    let place = match (fault.line, fault.field.as_str()) {
        (Some(line), "") => format!("line {line}: "),
        (Some(line), field) => format!("line {line}, {field}: "),
        (None, "") => String::new(),
        (None, field) => format!("{field}: "),
    };
    Fault {
        field: NAME.to_owned(),
        line: None,
        file: String::new(),
        what: format!("{place}{}", fault.what),
        remedy: fault.remedy,
    }
}
