//! Looking at the disk.

use std::fs::File;
use std::io::{ErrorKind, Read, Seek, SeekFrom};
use std::path::{Path, PathBuf};
use std::time::Duration;

use super::follower::{Follower, Told};
use super::place::{Glance, Place};
use crate::event::{Closed, Event, Teller};
use crate::joiner::KEPT;
use crate::rows::Rows;

/// Bytes taken at a time.
const PIECE: usize = 64 * 1024;
/// Files beside the log that are looked through for the one that was read before.
const MOST_BESIDE: usize = 1000;

/// A file by its path, followed over rotation, truncation and absence.
#[derive(Debug)]
pub struct Tail {
    path: PathBuf,
    follower: Follower,
    open: Option<File>,
    /// To be gone on from.
    wanted: Option<Place>,
    /// Absence or a bar was told already.
    told_away: bool,
}

impl Tail {
    /// Follows the file at `path`, from `place` if an earlier run kept one.
    pub fn new(path: &Path, rows: Rows, place: Option<Place>) -> Self {
        Self {
            path: path.to_owned(),
            follower: Follower::new(rows),
            open: None,
            wanted: place,
            told_away: false,
        }
    }

    /// Where a restart goes on.
    pub fn place(&self) -> Place {
        self.wanted.clone().unwrap_or_else(|| self.follower.place())
    }

    /// Reads what is new, at most 64 kB of it; true when there may be more.
    pub fn poll(&mut self, told: &mut Vec<Told>) -> bool {
        match self.step(told) {
            Ok(more) => more,
            Err(e) => {
                self.open = None;
                self.wanted = Some(self.place()).filter(|p| p.offset > 0);
                if !std::mem::replace(&mut self.told_away, true) {
                    told.push(match e.kind() {
                        ErrorKind::NotFound => Told::NoFile,
                        _ => Told::Barred(e.to_string()),
                    });
                }
                false
            }
        }
    }

    fn step(&mut self, told: &mut Vec<Told>) -> std::io::Result<bool> {
        let Some(file) = &mut self.open else {
            self.open_first(told)?;
            self.told_away = false;
            return Ok(true);
        };
        let place = self.follower.place();
        let short = file.stream_position()? > file.metadata()?.len();
        if short || !place.is_of(&glance(file, place.offset)?) {
            file.seek(SeekFrom::Start(0))?;
            self.follower.begin(place.number);
            told.push(Told::BegunAnew);
            return Ok(true);
        }
        let mut piece = vec![0; PIECE];
        let read = file.read(&mut piece)?;
        if read > 0 {
            self.follower
                .take(piece.get(..read).unwrap_or_default(), told);
            return Ok(true);
        }
        match std::fs::metadata(&self.path) {
            // Renamed, and the new file is not there yet.
            Err(e) if e.kind() == ErrorKind::NotFound => Ok(false),
            Err(e) => Err(e),
            Ok(there) if number(&there) == self.follower.number() => Ok(false),
            Ok(_) => {
                // Something may have been written between the last reading and the renaming.
                let read = file.read(&mut piece)?;
                if read > 0 {
                    self.follower
                        .take(piece.get(..read).unwrap_or_default(), told);
                    return Ok(true);
                }
                self.follower.end(told);
                let next = File::open(&self.path)?;
                self.follower.begin(number(&next.metadata()?));
                self.open = Some(next);
                told.push(Told::Rotated);
                Ok(true)
            }
        }
    }

    /// Opens the file; after a restart the one that was read before, which may have been renamed.
    fn open_first(&mut self, told: &mut Vec<Told>) -> std::io::Result<()> {
        let mut file = match File::open(&self.path) {
            Err(e) if e.kind() == ErrorKind::NotFound && self.wanted.is_some() => {
                let found = self.wanted.as_ref().and_then(|p| beside(&self.path, p));
                found.ok_or(e)?
            }
            other => other?,
        };
        let Some(place) = self.wanted.clone() else {
            self.follower.begin(number(&file.metadata()?));
            self.open = Some(file);
            return Ok(());
        };
        let mut seen = glance(&mut file, place.offset)?;
        if !place.is_of(&seen) {
            if let Some(mut old) = beside(&self.path, &place) {
                seen = glance(&mut old, place.offset)?;
                file = old;
            } else {
                let anew = place.number != 0 && seen.number == place.number;
                told.push(if anew { Told::BegunAnew } else { Told::Lost });
                self.follower.recall(place);
                self.follower.begin(seen.number);
                file.seek(SeekFrom::Start(0))?;
                self.open = Some(file);
                self.wanted = None;
                return Ok(());
            }
        }
        file.seek(SeekFrom::Start(place.offset))?;
        self.follower.resume(place, &seen);
        self.open = Some(file);
        self.wanted = None;
        Ok(())
    }
}

/// The file of a place among those beside `path`.
fn beside(path: &Path, place: &Place) -> Option<File> {
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty());
    let all = std::fs::read_dir(folder.unwrap_or(Path::new("."))).ok()?;
    all.take(MOST_BESIDE)
        .filter_map(Result::ok)
        .filter(|e| {
            e.metadata()
                .is_ok_and(|m| m.is_file() && number(&m) == place.number)
        })
        .find_map(|e| {
            let mut file = File::open(e.path()).ok()?;
            let seen = glance(&mut file, place.offset).ok()?;
            place.is_of(&seen).then_some(file)
        })
}

/// Looks at a file, leaving its position as it was.
fn glance(file: &mut File, offset: u64) -> std::io::Result<Glance> {
    let at = file.stream_position()?;
    let part = |file: &mut File, from: u64, length: u64| {
        let mut bytes = Vec::new();
        file.seek(SeekFrom::Start(from))?;
        file.by_ref().take(length).read_to_end(&mut bytes)?;
        Ok::<_, std::io::Error>(bytes)
    };
    let head = part(file, 0, KEPT as u64)?;
    let window = Place::window(offset);
    let before = part(file, offset - window, window)?;
    file.seek(SeekFrom::Start(at))?;
    let number = number(&file.metadata()?);
    Ok(Glance {
        number,
        head,
        before,
    })
}

#[cfg(unix)]
fn number(about: &std::fs::Metadata) -> u64 {
    std::os::unix::fs::MetadataExt::ino(about)
}

/// Without numbers of files a renamed one is not told from its successor.
#[cfg(not(unix))]
fn number(_about: &std::fs::Metadata) -> u64 {
    0
}

/// Looks at the file each `every` and tells what is new, until nobody listens. After each look [`Event::Place`] says
/// where a restart goes on: keep it together with what was heard before it, and no row is lost or doubled.
///
/// # Errors
/// [`Closed`] when nobody listens any more.
pub async fn follow(mut tail: Tail, every: Duration, mut teller: Teller) -> Result<(), Closed> {
    let mut ticks = tokio::time::interval(every);
    ticks.set_missed_tick_behavior(tokio::time::MissedTickBehavior::Delay);
    loop {
        ticks.tick().await;
        loop {
            let before = tail.place();
            let looked = tokio::task::spawn_blocking(move || {
                let mut told = Vec::new();
                let more = tail.poll(&mut told);
                (tail, told, more)
            });
            let Ok((back, told, more)) = looked.await else {
                return Err(Closed);
            };
            tail = back;
            for one in told {
                teller.told(one).await?;
            }
            let place = tail.place();
            if place != before {
                teller.send(Event::Place(place)).await?;
            }
            if !more {
                break;
            }
        }
        teller.listen_for_silence().await?;
    }
}
