//! Moments as people write them, in the studio's time zone.

use glost_model::Span;
use jiff::civil::{DateTime, Time};
use jiff::tz::{AmbiguousOffset, TimeZone};
use jiff::{SignedDuration, Timestamp, ToSpan as _, ZonedDateTime};

use super::AskError;

/// A moment as it is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Moment {
    /// `22:00`: the next time that clocks show this.
    Clock(Time),
    /// `2026-12-01T22:00`.
    Day(DateTime),
    /// `2026-10-25T01:30+01:00`: tells twice the same hour apart.
    Exact(Timestamp),
}

/// Days looked ahead for a time of day.
const AHEAD: usize = 14;

impl Moment {
    /// Reads it.
    ///
    /// # Errors
    /// A sentence that says how to write it.
    pub fn read(text: &str) -> Result<Self, String> {
        let text = text.trim();
        let clock = || Time::strptime("%H:%M", text).ok().map(Self::Clock);
        let exact = || text.parse::<Timestamp>().ok().map(Self::Exact);
        // A date alone is midnight to the parser, which nobody means.
        let long = text.contains([':', 'T', 't']);
        let day = || text.parse::<DateTime>().ok().filter(|_| long);
        clock()
            .or_else(exact)
            .or_else(|| day().map(Self::Day))
            .ok_or_else(|| {
                format!("'{text}' is no moment: write a time of day as 22:00, or a day with it as 2026-12-01T22:00")
            })
    }

    /// When it is, at or after `now` if only a time of day is given.
    ///
    /// # Errors
    /// [`AskError::NoSuchTime`] for a time that clocks skip.
    pub fn at(&self, now: &ZonedDateTime) -> Result<ZonedDateTime, AskError> {
        let first = self.all(now).into_iter().next();
        first.unwrap_or(Err(AskError::NoTime))
    }

    /// All moments that it may be: one, or the same time on one day after the other.
    pub(super) fn all(&self, now: &ZonedDateTime) -> Vec<Result<ZonedDateTime, AskError>> {
        let zone = now.time_zone();
        let time = match self {
            Self::Day(day) => return vec![on(*day, zone)],
            Self::Exact(at) => return vec![Ok(ZonedDateTime::new(*at, zone.clone()))],
            Self::Clock(time) => *time,
        };
        let days = now.date().series(1.day()).take(AHEAD);
        days.filter_map(|day| {
            let day = day.to_datetime(time);
            let at = on(day, zone);
            if at.as_ref().is_ok_and(|at| at < now) {
                // The second of two may still come.
                let second = zone.to_ambiguous_zoned_datetime(day).later().ok();
                return second.filter(|at| at >= now).map(Ok);
            }
            Some(at)
        })
        .collect()
    }
}

/// Twice the same hour: the first. An hour that is skipped: none.
fn on(day: DateTime, zone: &TimeZone) -> Result<ZonedDateTime, AskError> {
    let moment = zone.to_ambiguous_zoned_datetime(day);
    if let AmbiguousOffset::Gap { .. } = moment.offset() {
        let after = zone.to_ambiguous_zoned_datetime(day).later();
        return Err(AskError::NoSuchTime {
            asked: day,
            instead: after.map_err(|_e| AskError::NoTime)?.datetime(),
        });
    }
    moment.earlier().map_err(|_e| AskError::NoTime)
}

/// True when clocks show this moment's time twice.
pub fn comes_twice(at: &ZonedDateTime) -> bool {
    let zone = at.time_zone();
    matches!(
        zone.to_ambiguous_timestamp(at.datetime()).offset(),
        AmbiguousOffset::Fold { .. }
    )
}

/// So much later, whatever clocks do meanwhile; to the second.
pub fn later(start: &ZonedDateTime, by: Span) -> Option<ZonedDateTime> {
    let by = SignedDuration::try_from_secs_f64(by.to_s().round()).ok()?;
    start.checked_add(by).ok()
}

/// So much earlier.
pub fn earlier(end: &ZonedDateTime, by: Span) -> Option<ZonedDateTime> {
    later(end, -by)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn zoned(text: &str) -> ZonedDateTime {
        text.parse().unwrap()
    }

    fn at(text: &str, now: &str) -> Result<String, AskError> {
        let moment = Moment::read(text).unwrap();
        moment.at(&zoned(now)).map(|m| m.to_string())
    }

    #[test]
    fn a_time_of_day_is_the_next_one() {
        let now = "2026-11-25T18:30[Europe/Dublin]";
        let told = |text| at(text, now).unwrap();
        assert_eq!(told("22:00"), "2026-11-25T22:00:00+00:00[Europe/Dublin]");
        assert_eq!(told("18:30"), "2026-11-25T18:30:00+00:00[Europe/Dublin]");
        assert_eq!(told("07:15"), "2026-11-26T07:15:00+00:00[Europe/Dublin]");
        assert_eq!(
            told("2026-12-01T22:00"),
            "2026-12-01T22:00:00+00:00[Europe/Dublin]"
        );
        assert_eq!(
            told("2026-12-01 22:00"),
            "2026-12-01T22:00:00+00:00[Europe/Dublin]"
        );
        assert_eq!(
            told("2026-07-01T22:00+02:00"),
            "2026-07-01T21:00:00+01:00[Europe/Dublin]"
        );
    }

    /// Dublin, 2026: clocks go forward on 29 March at 01:00 and back on 25 October at 02:00.
    #[test]
    fn hours_that_are_skipped_or_come_twice() {
        let skipped = at("01:30", "2026-03-28T20:00[Europe/Dublin]").unwrap_err();
        let words = skipped.to_string();
        assert!(
            words.contains("01:30") && words.contains("02:30"),
            "{words}"
        );
        let first = at("01:30", "2026-10-24T20:00[Europe/Dublin]").unwrap();
        assert_eq!(first, "2026-10-25T01:30:00+01:00[Europe/Dublin]");
        assert!(comes_twice(&zoned(&first)));
        let second = at("2026-10-25T01:30+00:00", "2026-10-24T20:00[Europe/Dublin]").unwrap();
        assert_eq!(second, "2026-10-25T01:30:00+00:00[Europe/Dublin]");
        // Between the two, the second is the next.
        let next = at("01:30", "2026-10-25T01:45+01:00[Europe/Dublin]").unwrap();
        assert_eq!(next, second);
        assert!(!comes_twice(&zoned("2026-10-25T03:30[Europe/Dublin]")));
    }

    #[test]
    fn elapsed_time_counts_over_both_changes() {
        let ten = Span::h(10.0);
        let spring = later(&zoned("2026-03-28T20:00[Europe/Dublin]"), ten).unwrap();
        assert_eq!(
            spring.to_string(),
            "2026-03-29T07:00:00+01:00[Europe/Dublin]"
        );
        let autumn = later(&zoned("2026-10-24T20:00[Europe/Dublin]"), ten).unwrap();
        assert_eq!(
            autumn.to_string(),
            "2026-10-25T05:00:00+00:00[Europe/Dublin]"
        );
        assert_eq!(
            earlier(&spring, ten).unwrap(),
            zoned("2026-03-28T20:00[Europe/Dublin]")
        );
        assert_eq!(
            earlier(&autumn, ten).unwrap(),
            zoned("2026-10-24T20:00[Europe/Dublin]")
        );
    }

    #[test]
    fn what_is_no_moment_is_refused() {
        for bad in ["", "25:00", "noon", "2026-12-01", "22", "2026-13-01T10:00"] {
            let words = Moment::read(bad).unwrap_err();
            assert!(words.contains(bad) && words.contains("22:00"), "{words}");
        }
    }
}
