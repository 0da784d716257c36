//! Logs of loggers and controllers, brought in whole.

use std::io::{BufRead, BufReader, Read, Seek, SeekFrom};

use glost_feed::layout::{Column, Degrees, Guess, Holds, Time};
use glost_feed::{Layout, Readings, Rows};
use glost_model::book::Act;
use glost_model::fault::Fault;
use glost_model::readings::Sample;
use jiff::Timestamp;
use jiff::tz::TimeZone;
use tokio::task::block_in_place;

use super::{Actor, Desk, DeskError};
use crate::follow::hot_end;

/// Samples kept in one go.
const BATCH: usize = 20_000;
/// Bytes that the layout is worked out from.
const HEAD: u64 = 16 * 1024;
/// Most faults that are told.
const FAULTS: usize = 50;
const NAME: &str = "log";

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
    /// Brings a log of a firing in that was started: a table of any layout, which is worked out from its first lines.
    /// It is read twice, so that nothing is kept of one with faults; memory does not grow with it.
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
        actor.must(Act::Fire)?;
        let firing = self.firing(id).await?.body;
        let Some(start) = firing.started else {
            return Err(DeskError::cannot(
                format!("firing {id} is {}", firing.state.words()),
                "Write down that it is on first",
            ));
        };
        let mut head = Vec::new();
        // Whoever wrote it to the disk is at its end.
        log.rewind().map_err(unread)?;
        log.by_ref()
            .take(HEAD)
            .read_to_end(&mut head)
            .map_err(unread)?;
        if head.is_empty() {
            return Err(DeskError::field(
                NAME,
                "there is no file, or nothing in it",
                "Choose the log",
            ));
        }
        let guess = Layout::guess(&head, zone, hot_end);
        // The first pass only looks.
        let (read, faults) = block_in_place(|| looked_through(&mut log, &guess, zone, start))?;
        if !faults.is_empty() {
            return Err(DeskError::Faults(faults));
        }
        if read == 0 {
            return Err(DeskError::field(
                NAME,
                "there is no reading in it",
                "Look whether it is the log of this firing, as a table in CSV",
            ));
        }
        let mut new = 0;
        let mut all = rows(&mut log, &guess, zone, start)?;
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
            read,
            new,
            understood: understood(&guess.layout),
            doubts: guess.doubts.iter().map(|d| d.words.clone()).collect(),
        })
    }
}

/// How many rows can be read, and what is wrong with the first that cannot.
fn looked_through<R: Read + Seek>(
    log: &mut R,
    guess: &Guess,
    zone: &TimeZone,
    start: Timestamp,
) -> Result<(u64, Vec<Fault>), DeskError> {
    let (mut read, mut faults) = (0, Vec::new());
    for row in rows(log, guess, zone, start)? {
        match row {
            Ok(_) => read += 1,
            Err(fault) if faults.len() < FAULTS => faults.push(at_field(fault)),
            Err(_) => {}
        }
    }
    Ok((read, faults))
}

fn rows<R: Read + Seek>(
    log: &mut R,
    guess: &Guess,
    zone: &TimeZone,
    start: Timestamp,
) -> Result<Readings<impl BufRead>, DeskError> {
    log.seek(SeekFrom::Start(0)).map_err(unread)?;
    let rows = Rows::new(guess.layout.clone(), zone, Some(start), NAME, hot_end);
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

/// A layout in sentences.
fn understood(layout: &Layout) -> Vec<String> {
    let name = |at: usize| match layout.titles.get(at).map(|t| t.trim()) {
        Some(title) if !title.is_empty() => format!("'{title}'"),
        _ => format!("column {}", at + 1),
    };
    let time = match &layout.time {
        Time::Arrival => "No column tells the time.".to_owned(),
        Time::Stamp { at, .. } => format!("{} tells day and time.", name(*at)),
        Time::DateAndTime { date, time, .. } => {
            format!(
                "{} tells the day and {} the time.",
                name(*date),
                name(*time)
            )
        }
        Time::Unix { at, .. } => format!("{} tells the time in seconds since 1970.", name(*at)),
        Time::Elapsed { at, .. } => format!(
            "{} tells the time since the start of the firing.",
            name(*at)
        ),
    };
    let column = |c: &Column| {
        let what = match &c.holds {
            Holds::Sensor { unit } => format!("the controller's sensor in {}", degrees(unit)),
            Holds::SetPoint { unit } => format!("the set point in {}", degrees(unit)),
            Holds::Other { name, unit } => format!("the sensor '{name}' in {}", degrees(unit)),
            Holds::Duty { percent: true } => "the share of power in per cent".to_owned(),
            Holds::Duty { percent: false } => "the share of power from 0 to 1".to_owned(),
            Holds::Power { kilo: true } => "the power in kW".to_owned(),
            Holds::Power { kilo: false } => "the power in W".to_owned(),
            Holds::Meter => "the meter in kWh".to_owned(),
        };
        format!("{} is {what}.", name(c.at))
    };
    std::iter::once(time)
        .chain(layout.columns.iter().map(column))
        .collect()
}

fn degrees(unit: &Degrees) -> &'static str {
    match unit {
        Degrees::Celsius => "°C",
        Degrees::Fahrenheit => "°F",
        Degrees::Kelvin => "K",
        Degrees::Millivolts { .. } => "millivolts of a thermocouple",
    }
}
