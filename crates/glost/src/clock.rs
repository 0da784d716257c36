//! The only place that asks what day it is.

/// Today, in the machine's time zone.
#[expect(
    clippy::disallowed_methods,
    reason = "plans get the day from here, or from --today to repeat one"
)]
pub fn today() -> jiff::civil::Date {
    jiff::ZonedDateTime::now().date()
}
