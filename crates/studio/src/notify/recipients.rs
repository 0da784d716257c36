//! Who is told of a notice, by what way, and when.

use glost_model::book::ways::is_address;
use glost_model::book::{
    Errand, ErrandState, Firing, NoticeKind, Person, Raised, Settings, WayKind, Which, Wish,
};
use jiff::tz::TimeZone;
use jiff::{Timestamp, ToSpan};

/// The messages to send: one to each program of the studio, one to each person who wishes it.
pub fn errands(
    raised: &Raised,
    settings: &Settings,
    firing: Option<&Firing>,
    people: &[Person],
) -> Vec<Errand> {
    let at = raised.notice.at;
    let mut out = Vec::new();
    let mut add = |way, person: &str, next| {
        out.push(Errand {
            id: format!("{}-{:02}", raised.id, out.len() + 1),
            notice: raised.id.clone(),
            way,
            person: person.to_owned(),
            raised: at,
            state: ErrandState::Waiting,
            next,
            tried: 0,
            tries: Vec::new(),
        });
    };
    let ways = &settings.ways;
    if ways.webhook.is_some() {
        add(WayKind::Webhook, "", at);
    }
    if ways.mqtt.is_some() {
        add(WayKind::Mqtt, "", at);
    }
    if ways.mail.is_some() {
        let zone = zone(settings);
        for p in people.iter().filter(|p| wants(p, firing)) {
            // Who is to be at the kiln when its programme ends cannot be told in the morning.
            let at_once = raised.notice.urgent || raised.notice.kind == NoticeKind::End;
            let next = if at_once {
                at
            } else {
                after_quiet(p.wish, at, &zone)
            };
            add(WayKind::Mail, &p.id, next);
        }
    }
    out
}

/// The zone of the studio; that of the machine when none is set.
pub fn zone(settings: &Settings) -> TimeZone {
    let named = settings.hours.time_zone.as_deref();
    named
        .and_then(|z| TimeZone::get(z).ok())
        .unwrap_or_else(TimeZone::system)
}

fn wants(person: &Person, firing: Option<&Firing>) -> bool {
    is_address(person.reach.trim())
        && match person.wish.which {
            Which::All => true,
            Which::Mine => firing.is_some_and(|f| is_of(f, &person.id)),
            Which::No => false,
        }
}

/// Whether a firing is somebody's.
fn is_of(f: &Firing, person: &str) -> bool {
    let is = |who: &Option<String>| who.as_deref() == Some(person);
    f.by == person
        || is(&f.loaded_by)
        || is(&f.started_by)
        || f.may_stop.iter().any(|p| p == person)
}

/// The moment itself, or the end of the quiet hours that it falls into.
fn after_quiet(wish: Wish, at: Timestamp, zone: &TimeZone) -> Timestamp {
    let local = at.to_zoned_datetime(zone.clone());
    let Some((_, to)) = wish.quiet.filter(|_| wish.is_quiet(local.time())) else {
        return at;
    };
    let day = if local.time() < to {
        Ok(local.date())
    } else {
        local.date().checked_add(1.day())
    };
    day.and_then(|d| d.to_datetime(to).to_zoned_datetime(zone.clone()))
        .map_or(at, |z| z.timestamp())
}
