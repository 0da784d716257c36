//! Firings and other dates of the studio as a calendar that calendar programs subscribe to (RFC 5545, RFC 7986).

mod lines;

use glost_model::Span;
use jiff::Timestamp;

use lines::{Lines, escaped};

/// Who made the calendar, by the rules of RFC 5545.
const MADE_BY: &str = "-//Glost//Firings of a studio//EN";

/// A calendar to subscribe to.
#[derive(Debug, Clone, PartialEq)]
pub struct CalendarFeed {
    /// Its name in the list of calendars.
    pub name: String,
    /// When it is made, as calendar programs compare it. The caller says, so that the same feed is the same text.
    pub stamp: Timestamp,
    /// How often programs should look again, if that matters.
    pub refresh: Option<Span>,
    /// Its events, in any order.
    pub events: Vec<CalendarEvent>,
}

/// One event.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CalendarEvent {
    /// Name that stays with the event for good and is nobody else's, such as `firing-17@clay.example`. A program that
    /// finds it again changes its entry instead of adding one.
    pub uid: String,
    /// When it starts.
    pub starts: Timestamp,
    /// When it ends. At or before its start it is a moment.
    pub ends: Timestamp,
    /// Its title, one line.
    pub title: String,
    /// More about it; may be empty or have many lines.
    pub words: String,
    /// Where it is; may be empty.
    pub place: String,
    /// Minutes before its start at which programs remind.
    pub alarms: Vec<u32>,
    /// How often its times were changed.
    pub sequence: u32,
    /// When anything in it was last changed.
    pub last_modified: Timestamp,
    /// Called off. It stays in the feed, so that programs strike it out, and reminds nobody.
    pub cancelled: bool,
}

/// The feed as text of type `text/calendar; charset=utf-8`. Times are in UTC, so that a change of clocks moves nothing;
/// seconds are whole. The same feed gives the same text.
pub fn calendar_ics(feed: &CalendarFeed) -> String {
    let mut lines = Lines::default();
    lines.put("BEGIN", "VCALENDAR");
    lines.put("VERSION", "2.0");
    lines.put("PRODID", MADE_BY);
    lines.put("CALSCALE", "GREGORIAN");
    lines.put_some("NAME", &escaped(&feed.name));
    if let Some(minutes) = feed.refresh.map(whole_minutes) {
        lines.put("REFRESH-INTERVAL;VALUE=DURATION", &format!("PT{minutes}M"));
    }
    for event in &feed.events {
        put_event(&mut lines, feed.stamp, event);
    }
    lines.put("END", "VCALENDAR");
    lines.text()
}

/// At least one: programs must not ask without a pause.
fn whole_minutes(span: Span) -> u32 {
    span.to_minutes().round().max(1.0) as u32
}

fn put_event(lines: &mut Lines, stamp: Timestamp, event: &CalendarEvent) {
    lines.put("BEGIN", "VEVENT");
    lines.put("UID", &escaped(&event.uid));
    lines.put("DTSTAMP", &utc(stamp));
    lines.put("DTSTART", &utc(event.starts));
    // An end that is not after the start is against the standard; without one the event is a moment.
    if event.ends.as_second() > event.starts.as_second() {
        lines.put("DTEND", &utc(event.ends));
    }
    lines.put("SUMMARY", &escaped(&event.title));
    lines.put_some("DESCRIPTION", &escaped(&event.words));
    lines.put_some("LOCATION", &escaped(&event.place));
    lines.put("SEQUENCE", &event.sequence.to_string());
    lines.put("LAST-MODIFIED", &utc(event.last_modified));
    let status = if event.cancelled {
        "CANCELLED"
    } else {
        "CONFIRMED"
    };
    lines.put("STATUS", status);
    let alarms = if event.cancelled {
        &[]
    } else {
        event.alarms.as_slice()
    };
    for minutes in alarms {
        lines.put("BEGIN", "VALARM");
        lines.put("ACTION", "DISPLAY");
        lines.put("DESCRIPTION", &escaped(&event.title));
        lines.put("TRIGGER", &format!("-PT{minutes}M"));
        lines.put("END", "VALARM");
    }
    lines.put("END", "VEVENT");
}

/// A time in UTC, RFC 5545 section 3.3.5. `strftime` rounds nothing: parts of a second are dropped.
fn utc(at: Timestamp) -> String {
    at.strftime("%Y%m%dT%H%M%SZ").to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_utc_to_the_second() {
        let at: Timestamp = "2026-10-25T00:30:00.9+02:00".parse().unwrap();
        assert_eq!(utc(at), "20261024T223000Z");
    }

    #[test]
    fn programs_are_never_told_to_ask_without_a_pause() {
        assert_eq!(whole_minutes(Span::ZERO), 1);
        assert_eq!(whole_minutes(Span::h(-3.0)), 1);
        assert_eq!(whole_minutes(Span::h(2.0)), 120);
    }
}
