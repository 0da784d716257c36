//! The only place that asks what time it is.

use glost_model::studio::Studio;
use jiff::ZonedDateTime;
use jiff::tz::TimeZone;

use crate::say::Trouble;

/// Now, in the machine's time zone.
#[expect(
    clippy::disallowed_methods,
    reason = "plans get the time from here, or from an option to repeat one"
)]
pub fn now() -> ZonedDateTime {
    ZonedDateTime::now()
}

/// Today, in the machine's time zone.
pub fn today() -> jiff::civil::Date {
    now().date()
}

/// Now, in the studio's time zone; in the machine's where the studio names none.
pub fn now_at(studio: &Studio) -> Result<ZonedDateTime, Trouble> {
    let Some(name) = &studio.hours.time_zone else {
        return Ok(now());
    };
    let zone = TimeZone::get(name)
        .map_err(|e| Trouble::Words(format!("the studio's time zone {name}: {e}")))?;
    Ok(now().with_time_zone(zone))
}

/// This moment.
pub fn instant() -> jiff::Timestamp {
    now().timestamp()
}
