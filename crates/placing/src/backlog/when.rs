//! When: the hours of the studio's people, kilns one firing after another, furniture shared.

use glost_model::furniture::Furniture;
use glost_model::hours::Hours;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{Timestamp, ZonedDateTime};

use super::stock::Used;
use super::{Course, Times};

/// How far ahead people's hours are looked up, days.
const AHEAD: i32 = 366;

/// A firing to be given its time.
#[derive(Debug, Clone, Copy)]
pub struct Job<'a> {
    /// Its kiln.
    pub kiln: &'a str,
    /// What it takes.
    pub course: Course,
    /// Furniture that it keeps from loading to unloading.
    pub used: &'a Used,
}

/// A job's times, in seconds since 1970: elapsed time counts, whatever clocks do meanwhile.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Slot {
    /// Loading begins.
    pub load_s: i64,
    /// Loading is over.
    pub loaded_s: i64,
    /// Switched on.
    pub start_s: i64,
    /// The hold at the peak is over.
    pub peak_s: i64,
    /// Somebody is there then.
    pub attended: bool,
    /// Opened.
    pub open_s: i64,
    /// Unloaded.
    pub done_s: i64,
    /// It had to wait for furniture of these jobs.
    pub waited: bool,
}

/// Hours of the people, and what they are busy with.
#[derive(Debug, Clone)]
pub struct Days<'a> {
    hours: &'a Hours,
    zone: &'a TimeZone,
    /// Spans in which the one pair of hands is taken.
    busy: Vec<(i64, i64)>,
}

impl<'a> Days<'a> {
    /// Nobody busy yet.
    pub fn new(hours: &'a Hours, zone: &'a TimeZone) -> Self {
        Self {
            hours,
            zone,
            busy: Vec::new(),
        }
    }

    /// The shift of a day; clocks that jump within it make it longer or shorter.
    fn shift(&self, day: Date) -> Option<(i64, i64)> {
        let shift = self.hours.shift(day)?;
        let at = |t| {
            let moment = self.zone.to_timestamp(day.to_datetime(t)).ok();
            moment.map(Timestamp::as_second)
        };
        Some((at(shift.from)?, at(shift.to)?))
    }

    fn day(&self, at_s: i64) -> Option<Date> {
        let moment = Timestamp::from_second(at_s).ok()?;
        Some(self.zone.to_datetime(moment).date())
    }

    /// From when to when this much work is done, begun no earlier than `from_s`; a night or other
    /// work may lie between. No work asks for a moment only.
    fn work(&self, from_s: i64, need_s: i64) -> Option<(i64, i64)> {
        let mut day = self.day(from_s)?;
        let mut begun = None;
        let mut left_s = need_s;
        for _ in 0..AHEAD {
            if let Some((come_s, go_s)) = self.shift(day) {
                let mut now_s = come_s.max(from_s);
                while now_s < go_s {
                    if let Some(busy) = self.busy.iter().find(|b| b.0 <= now_s && now_s < b.1) {
                        now_s = busy.1;
                        continue;
                    }
                    let until = self.busy.iter().map(|b| b.0).filter(|b| *b > now_s);
                    let until_s = until.min().unwrap_or(go_s).min(go_s);
                    let begin_s = *begun.get_or_insert(now_s);
                    if left_s <= until_s - now_s {
                        return Some((begin_s, now_s + left_s));
                    }
                    left_s -= until_s - now_s;
                    now_s = until_s;
                }
            }
            day = day.tomorrow().ok()?;
        }
        None
    }

    /// Whether within a year there is time to load and to unload.
    pub fn anybody(&self, from_s: i64) -> bool {
        let need_s = whole_s(self.hours.loading).max(whole_s(self.hours.unloading));
        self.work(from_s, need_s).is_some()
    }

    /// Whether somebody is there, busy or not.
    fn there(&self, at_s: i64) -> bool {
        let shift = self.day(at_s).and_then(|d| self.shift(d));
        shift.is_some_and(|(come, go)| (come..=go).contains(&at_s))
    }

    /// The first moment from `from_s` at which somebody is there, busy or not.
    fn somebody(&self, from_s: i64) -> Option<i64> {
        let idle = Self::new(self.hours, self.zone);
        idle.work(from_s, 0).map(|w| w.0)
    }

    /// When a loaded kiln is switched on: at once by hand; by its controller so that somebody is
    /// there when the peak is over.
    fn start(&self, loaded_s: i64, peak_s: i64) -> Option<i64> {
        if !self.hours.delayed_start || self.there(loaded_s + peak_s) {
            return Some(loaded_s);
        }
        Some(self.somebody(loaded_s + peak_s)? - peak_s)
    }
}

/// Gives each job its time, in the order in which they stand. `None`: nobody is ever there.
pub fn slots(
    days: &Days<'_>,
    from_s: i64,
    owned: &Furniture,
    jobs: &[Job<'_>],
) -> Option<Vec<Slot>> {
    let mut days = days.clone();
    let mut made: Vec<Slot> = Vec::new();
    for job in jobs {
        let same = made.iter().zip(jobs).filter(|(_, j)| j.kiln == job.kiln);
        let mut ready_s = same.map(|(s, _)| s.done_s).max().unwrap_or(from_s);
        let mut waited = false;
        let slot = loop {
            let slot = one(&days, ready_s, job, waited)?;
            let Some(free_s) = short(&made, jobs, job, &slot, owned) else {
                break slot;
            };
            ready_s = free_s;
            waited = true;
        };
        days.busy.push((slot.load_s, slot.loaded_s));
        days.busy.push((slot.open_s, slot.done_s));
        made.push(slot);
    }
    Some(made)
}

fn one(days: &Days<'_>, ready_s: i64, job: &Job<'_>, waited: bool) -> Option<Slot> {
    let (load_s, loaded_s) = days.work(ready_s, whole_s(days.hours.loading))?;
    let start_s = days.start(loaded_s, whole_s(job.course.peak))?;
    let peak_s = start_s + whole_s(job.course.peak);
    let cool_s = start_s + whole_s(job.course.open);
    let (open_s, done_s) = days.work(cool_s, whole_s(days.hours.unloading))?;
    Some(Slot {
        load_s,
        loaded_s,
        start_s,
        peak_s,
        attended: days.there(peak_s),
        open_s,
        done_s,
        waited,
    })
}

/// When furniture is short while a job runs: the first moment after its loading begins at which
/// another gives some back.
fn short(
    made: &[Slot],
    jobs: &[Job<'_>],
    job: &Job<'_>,
    slot: &Slot,
    owned: &Furniture,
) -> Option<i64> {
    let beside: Vec<(&Slot, &Job<'_>)> = made
        .iter()
        .zip(jobs)
        .filter(|(s, _)| s.load_s < slot.done_s && slot.load_s < s.done_s)
        .collect();
    let begins = beside.iter().map(|(s, _)| s.load_s.max(slot.load_s));
    let scarce = begins.into_iter().any(|at| {
        let there = beside
            .iter()
            .filter(|(s, _)| s.load_s <= at && at < s.done_s);
        let all = there.fold(job.used.clone(), |sum, (_, j)| sum.with(j.used));
        !all.within(owned)
    });
    let back = beside.iter().map(|(s, _)| s.done_s);
    scarce.then(|| back.min()).flatten()
}

/// Whole seconds, up.
fn whole_s(span: glost_model::Span) -> i64 {
    span.to_s().ceil() as i64
}

/// A slot in the studio's zone.
pub fn times(slot: &Slot, zone: &TimeZone) -> Option<Times> {
    let at = |s: i64| {
        let moment = Timestamp::from_second(s).ok()?;
        Some(ZonedDateTime::new(moment, zone.clone()))
    };
    Some(Times {
        load: at(slot.load_s)?,
        start: at(slot.start_s)?,
        peak: at(slot.peak_s)?,
        attended: slot.attended,
        open: at(slot.open_s)?,
        done: at(slot.done_s)?,
    })
}

/// The day of a moment.
pub fn day(at_s: i64, zone: &TimeZone) -> Option<Date> {
    let moment = Timestamp::from_second(at_s).ok()?;
    Some(zone.to_datetime(moment).date())
}
