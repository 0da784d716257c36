//! Firings as the book has them.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use super::Wished;
use crate::cone::Cone;
use crate::load::FiringKind;
use crate::{Energy, Money, Span};

/// How far a firing has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum FiringState {
    /// Being planned; ware is not bound to it.
    Draft,
    /// Accepted: its ware is kept for it.
    Accepted,
    /// Somebody is at the kiln.
    Loading,
    /// The kiln is on.
    Firing,
    /// Switched off, still hot.
    Cooling,
    /// Open, being emptied.
    Opened,
    /// Emptied and written up.
    Done,
    /// Called off.
    CalledOff,
}

impl FiringState {
    /// All, in order.
    pub const ALL: [Self; 8] = [
        Self::Draft,
        Self::Accepted,
        Self::Loading,
        Self::Firing,
        Self::Cooling,
        Self::Opened,
        Self::Done,
        Self::CalledOff,
    ];
    /// Key in lists and files.
    pub fn key(self) -> &'static str {
        match self {
            Self::Draft => "draft",
            Self::Accepted => "accepted",
            Self::Loading => "loading",
            Self::Firing => "firing",
            Self::Cooling => "cooling",
            Self::Opened => "opened",
            Self::Done => "done",
            Self::CalledOff => "called-off",
        }
    }
    /// The state of that key.
    pub fn of_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|s| s.key() == key)
    }
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Draft => "being planned",
            Self::Accepted => "accepted, to be loaded",
            Self::Loading => "being loaded",
            Self::Firing => "firing",
            Self::Cooling => "cooling",
            Self::Opened => "open, being emptied",
            Self::Done => "done",
            Self::CalledOff => "called off",
        }
    }
}

/// What a firing is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Purpose {
    /// To fire ware.
    #[default]
    Ware,
    /// To try the kiln, or glazes in it.
    Test,
    /// The first firing of new elements.
    Elements,
}

impl Purpose {
    /// All.
    pub const ALL: [Self; 3] = [Self::Ware, Self::Test, Self::Elements];
    /// Key in forms and files.
    pub fn key(self) -> &'static str {
        match self {
            Self::Ware => "ware",
            Self::Test => "test",
            Self::Elements => "elements",
        }
    }
    /// The purpose of that key.
    pub fn of_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|p| p.key() == key)
    }
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Ware => "ware",
            Self::Test => "a test",
            Self::Elements => "first firing of new elements",
        }
    }
    fn is_ware(&self) -> bool {
        *self == Self::Ware
    }
}

/// A witness cone as it was read.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ConeRead {
    /// Tier.
    pub tier: String,
    /// Cone.
    pub cone: Cone,
    /// Where its tip points on a clock face: 12 is upright, 6 is down.
    pub clock: f64,
    /// Who read it.
    pub who: String,
    /// When.
    pub at: Timestamp,
}

impl ConeRead {
    /// Share of its bend: 12 o'clock is 0, 3 is a half, 6 is 1. A convention of this program.
    pub fn bent(&self) -> f64 {
        ((self.clock % 12.0) / 6.0).clamp(0.0, 1.0)
    }
}

/// Something that was noted during a firing.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Note {
    /// When.
    pub at: Timestamp,
    /// Who.
    pub who: String,
    /// What.
    pub words: String,
}

/// The plan in a few numbers, so that lists need not read it.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Summary {
    /// Pieces in the load.
    pub pieces: u32,
    /// Tiers.
    pub tiers: u32,
    /// Value of the load.
    pub value: f64,
    /// Most that any load could be worth.
    pub at_most: f64,
    /// Share of shelf area that ware covers.
    pub fill: f64,
    /// Shelf that ware covers.
    #[serde(default)]
    pub covered_m2: crate::Area,
    /// Programme's length.
    pub takes_s: Option<Span>,
    /// Until it may be opened.
    pub open_after_s: Option<Span>,
    /// Energy foreseen.
    pub energy_j: Option<Energy>,
    /// Cost foreseen.
    pub cost_cents: Option<Money>,
    /// Time above 1100 °C foreseen, for the counters of upkeep.
    #[serde(default)]
    pub hot_s: Option<Span>,
}

/// One firing.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Firing {
    /// Id, also shown: its number in four digits.
    pub id: String,
    /// Kiln's name.
    pub kiln: String,
    /// Cone.
    pub cone: Cone,
    /// Bisque or glaze.
    pub kind: FiringKind,
    /// How far it has come.
    pub state: FiringState,
    /// The plan in a few numbers.
    pub summary: Summary,
    /// Tiers that have witness cones.
    #[serde(default)]
    pub cone_tiers: Vec<String>,
    /// When it is to start.
    #[serde(default)]
    pub starts: Option<Timestamp>,
    /// What is wished of it.
    #[serde(default, skip_serializing_if = "Wished::is_plain")]
    pub wished: Wished,
    /// Who planned it.
    pub by: String,
    /// Who loaded it.
    #[serde(default)]
    pub loaded_by: Option<String>,
    /// Who read the programme back, and when.
    #[serde(default)]
    pub read_back: Option<Note>,
    /// Who read it back had set it, too.
    #[serde(default, skip_serializing_if = "is_not")]
    pub read_alone: bool,
    /// How often another programme was set than was planned: who follows it begins anew each time.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub programmes: u32,
    /// Who started it.
    #[serde(default)]
    pub started_by: Option<String>,
    /// When it was started: for a controller that begins later, when it begins.
    #[serde(default)]
    pub started: Option<Timestamp>,
    /// When such a controller was set going.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub set_going: Option<Timestamp>,
    /// Who may stop it besides a technician.
    #[serde(default)]
    pub may_stop: Vec<String>,
    /// When the kiln was off.
    #[serde(default)]
    pub ended: Option<Timestamp>,
    /// Who saw it end.
    #[serde(default)]
    pub ended_by: Option<String>,
    /// When it was opened.
    #[serde(default)]
    pub opened: Option<Timestamp>,
    /// Meter at the start.
    #[serde(default)]
    pub meter_start: Option<Energy>,
    /// Meter at the end.
    #[serde(default)]
    pub meter_end: Option<Energy>,
    /// Hottest that the display showed, °C.
    #[serde(default)]
    pub hottest_c: Option<f64>,
    /// What the display showed when it was opened, °C.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub opened_c: Option<f64>,
    /// Steps by hand that were done: number of the step and who did it when.
    #[serde(default)]
    pub done_steps: Vec<(usize, Note)>,
    /// Cones as read.
    #[serde(default)]
    pub cones: Vec<ConeRead>,
    /// Notes.
    #[serde(default)]
    pub notes: Vec<Note>,
    /// What to do otherwise next time.
    #[serde(default)]
    pub next_time: String,
    /// What it was for.
    #[serde(default, skip_serializing_if = "Purpose::is_ware")]
    pub purpose: Purpose,
    /// It did not reach its cone: its ware waits again.
    #[serde(default, skip_serializing_if = "is_not")]
    pub short: bool,
}

fn is_zero(n: &u32) -> bool {
    *n == 0
}

fn is_not(yes: &bool) -> bool {
    !yes
}

impl Firing {
    /// A draft of which nothing is known yet.
    pub fn new(id: String, kiln: String, cone: Cone, kind: FiringKind, by: String) -> Self {
        Self {
            id,
            kiln,
            cone,
            kind,
            state: FiringState::Draft,
            summary: Summary::default(),
            cone_tiers: Vec::new(),
            starts: None,
            wished: Wished::default(),
            by,
            loaded_by: None,
            read_back: None,
            read_alone: false,
            programmes: 0,
            started_by: None,
            started: None,
            set_going: None,
            may_stop: Vec::new(),
            ended: None,
            ended_by: None,
            opened: None,
            meter_start: None,
            meter_end: None,
            hottest_c: None,
            opened_c: None,
            done_steps: Vec::new(),
            cones: Vec::new(),
            notes: Vec::new(),
            next_time: String::new(),
            purpose: Purpose::default(),
            short: false,
        }
    }

    /// When somebody was last at its controller to start it.
    pub fn switched_on(&self) -> Option<Timestamp> {
        self.set_going.or(self.started)
    }

    /// From when on it may be opened, by the plan.
    pub fn open_from(&self) -> Option<Timestamp> {
        let after = self.summary.open_after_s?;
        let after = jiff::SignedDuration::try_from_secs_f64(after.to_s()).ok()?;
        self.started?.checked_add(after).ok()
    }

    /// Tiers of which cones are known: those that have some by the plan, then those on which some were read.
    pub fn tiers_with_cones(&self) -> Vec<&str> {
        let read = self.cones.iter().map(|c| &c.tier);
        let mut all: Vec<&str> = Vec::new();
        for tier in self.cone_tiers.iter().chain(read) {
            if !all.contains(&tier.as_str()) {
                all.push(tier);
            }
        }
        all
    }

    /// Energy by the meter.
    pub fn metered(&self) -> Option<Energy> {
        match (self.meter_start, self.meter_end) {
            (Some(a), Some(b)) if b >= a => Some(b - a),
            _ => None,
        }
    }
}
