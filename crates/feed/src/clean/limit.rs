//! Limits of what instruments of a kiln can tell.

use glost_model::{Energy, Power, Span, TempDiff, Temperature};

/// One limit of the guard.
#[derive(Debug, Clone, Copy)]
pub struct Limit<Q> {
    /// Name.
    pub id: &'static str,
    /// Value.
    pub default: Q,
    /// Why.
    pub reason: &'static str,
    /// Where it is from.
    pub source: &'static str,
}

const PRACTICE: &str = "common practice, no source";

const fn limit<Q>(id: &'static str, default: Q, reason: &'static str) -> Limit<Q> {
    Limit {
        id,
        default,
        reason,
        source: PRACTICE,
    }
}

/// Coldest reading.
pub const COLDEST: Limit<Temperature> = limit(
    "feed-coldest",
    Temperature::c(-50.0),
    "no kiln room is colder; loggers write a number far below where a sensor is missing",
);
/// Hottest reading.
pub const HOTTEST: Limit<Temperature> = limit(
    "feed-hottest",
    Temperature::c(1800.0),
    "beyond every studio kiln and nearly every thermocouple",
);
/// Shortest silence that is a gap.
pub const GAP: Limit<Span> = limit(
    "feed-gap",
    Span::minutes(5.0),
    "a fast kiln climbs tens of degrees meanwhile",
);
/// A gap is also this many times the usual distance of samples.
pub const GAP_TIMES: Limit<f64> = limit(
    "feed-gap-times",
    4.0,
    "a log with a row each ten minutes has no gaps by that alone",
);
/// Longest step forward that is believed at once.
pub const LEAP: Limit<Span> = limit(
    "feed-clock-leap",
    Span::h(12.0),
    "a firing is not left unread for half a day; a clock that was set leaps by days or years",
);
/// Change of a reading that needs no time.
pub const STEP: Limit<TempDiff> = limit(
    "feed-step",
    TempDiff::k(20.0),
    "noise and the swing of relays stay below it",
);
/// Fastest change of a reading, a second.
pub const PACE: Limit<TempDiff> = limit(
    "feed-pace",
    TempDiff::k(0.5),
    "30 °C a minute is twice what the fastest studio kilns climb",
);
/// Samples after which a new level is believed.
pub const AGREE: Limit<u32> = limit(
    "feed-agree",
    3,
    "one odd reading is a spike, three that agree are what the sensor shows",
);
/// Level at which a reading that leapt there is that of an open sensor.
pub const OPEN: Limit<Temperature> = limit(
    "feed-open",
    Temperature::c(1290.0),
    "instruments show the end of their range when the sensor is open: from memory 1300 °C for type N, 1372 K, 1768 R and S, 1820 B",
);
/// Warmest room.
pub const ROOM: Limit<Temperature> = limit(
    "feed-room",
    Temperature::c(45.0),
    "the first reading of a cold kiln is that of its room",
);
/// Change elsewhere while the sensor shows the same.
pub const STUCK: Limit<TempDiff> = limit(
    "feed-stuck",
    TempDiff::k(50.0),
    "a sensor that shows the same to the last digit while the set point moves so far is not measuring, or the kiln does not heat",
);
/// Silence of one sensor beside others.
pub const ABSENT: Limit<Span> = limit(
    "feed-absent",
    Span::minutes(5.0),
    "sources that tell one thing in each message leave the others out of it",
);
/// Most power of a kiln.
pub const POWER: Limit<Power> = limit(
    "feed-power",
    Power::kw(200.0),
    "no shared studio kiln draws more, by far",
);
/// Least jump of a meter that is remarked on.
pub const METER_STEP: Limit<Energy> = limit(
    "feed-meter-step",
    Energy::kwh(2.0),
    "meters that count whole kWh step at once",
);
