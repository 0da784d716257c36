//! The only place that asks what time it is.

/// Now, in the machine's time zone.
#[expect(
    clippy::disallowed_methods,
    reason = "plans get the time from here, or from an option to repeat one"
)]
pub fn now() -> jiff::ZonedDateTime {
    jiff::ZonedDateTime::now()
}

/// Today, in the machine's time zone.
pub fn today() -> jiff::civil::Date {
    now().date()
}
