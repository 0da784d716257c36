//! What is known of a firing at a moment.

use glost_model::cone::Cone;
use glost_model::doubt::{Band, TimeBand};
use glost_model::{Energy, Span, Temperature};
use jiff::Timestamp;

use super::alarm::Alarm;

/// What the kiln is doing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stage {
    /// Nothing was read yet.
    Waiting,
    /// On its way up to the target of a segment, counted from 0.
    Climbing {
        /// Which.
        segment: usize,
    },
    /// It holds.
    Holding {
        /// Which segment.
        segment: usize,
        /// For so long still.
        left: Span,
    },
    /// On its way down under power.
    Falling {
        /// Which segment.
        segment: usize,
    },
    /// The programme is over, or no power comes; it cools.
    Cooling,
    /// Cool enough to be opened.
    MayBeOpened,
}

impl Stage {
    /// In a word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Waiting => "waiting",
            Self::Climbing { .. } => "climbing",
            Self::Holding { .. } => "holding",
            Self::Falling { .. } => "falling",
            Self::Cooling => "cooling",
            Self::MayBeOpened => "cool",
        }
    }
}

/// One zone of the kiln.
#[derive(Debug, Clone, PartialEq)]
pub struct TierNow {
    /// Names of the tiers in it, as in a forecast.
    pub tiers: String,
    /// Its ware.
    pub ware: Band<Temperature>,
    /// Cone that its heat-work so far is worth, on the ladder: 022 is −21, 01 is 0, 6 is 6; −22 while 022 stands.
    pub cone: Band<f64>,
    /// Cone that it will have reached when nothing bends any more.
    pub cone_foreseen: Band<f64>,
}

/// What to do about the end of the firing.
#[derive(Debug, Clone, PartialEq)]
pub struct Advice {
    /// What.
    pub what: AdviceKind,
    /// In words.
    pub words: String,
}

/// See [`Advice`]. Times are from now.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AdviceKind {
    /// Let it run: the programme brings the middle of the kiln to its cone.
    AsPlanned,
    /// End the hold in this time, sooner than the programme does.
    EndHoldIn(Span),
    /// Hold for this much longer than the programme does.
    HoldLonger(Span),
    /// End the firing, without a hold, when the sensor shows this.
    EndAt(Temperature),
    /// Let it climb to this, higher than the programme does.
    RaiseTo(Temperature),
    /// It does not get there.
    OutOfReach,
}

/// An instant of what is foreseen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Foreseen {
    /// From now.
    pub after: Span,
    /// What the sensor will show.
    pub sensor: Temperature,
    /// Ware in the middle of the kiln.
    pub ware: Temperature,
}

/// All of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Estimate {
    /// The last sample that counts.
    pub at: Timestamp,
    /// Since the kiln was switched on.
    pub since_on: Span,
    /// What the sensor showed last.
    pub sensor_told: Option<Temperature>,
    /// How hot it is at the sensor.
    pub sensor_believed: Band<Temperature>,
    /// Set point, told or worked out; nothing once the programme is over.
    pub set_point: Option<Temperature>,
    /// The set point was told.
    pub set_point_told: bool,
    /// Zones from the floor up.
    pub tiers: Vec<TierNow>,
    /// Number of the coldest and the hottest of them, by its ware now.
    pub coldest: usize,
    /// See `coldest`.
    pub hottest: usize,
    /// Number of the zone in the middle, whose cone is wanted.
    pub middle: usize,
    /// The cone wanted.
    pub cone: Cone,
    /// What the kiln is doing.
    pub stage: Stage,
    /// The programme ends in this time; nothing where it never does.
    pub ends_in: TimeBand,
    /// The closed kiln may be opened in this time, when sensor and ware are below `open_below`.
    pub may_open_in: TimeBand,
    /// See `may_open_in`.
    pub open_below: Temperature,
    /// Energy drawn so far.
    pub energy_so_far: Band<Energy>,
    /// Energy still to be drawn.
    pub energy_left: Band<Energy>,
    /// Share of its full power that the kiln takes to do what it does.
    pub power_share: Band<f64>,
    /// Full power of the kiln over that of its description.
    pub power_of_kiln: Band<f64>,
    /// What to do about its end; nothing while that is far off or past.
    pub advice: Option<Advice>,
    /// What is foreseen, at most some 200 instants.
    pub curve: Vec<Foreseen>,
    /// Alarms that are on, the gravest first.
    pub alarms: Vec<Alarm>,
}

impl Estimate {
    /// When it ends, most likely.
    pub fn ends_at(&self) -> Option<Timestamp> {
        self.after(self.ends_in.middle?)
    }

    /// When it may be opened, most likely.
    pub fn may_open_at(&self) -> Option<Timestamp> {
        self.after(self.may_open_in.middle?)
    }

    /// A time from now on the clock.
    pub fn after(&self, span: Span) -> Option<Timestamp> {
        let s = jiff::SignedDuration::try_from_secs_f64(span.to_s()).ok()?;
        self.at.checked_add(s).ok()
    }
}
