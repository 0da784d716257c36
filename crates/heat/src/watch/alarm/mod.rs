//! What goes wrong in a firing, as far as a log shows it: each with its limit, its reason and what to look at first.

mod bell;
mod cooling;
mod element;
mod lid;
mod mains;
mod over;
mod power_cut;
mod programme;
mod sensor_erratic;
mod sensor_frozen;
mod sensor_open;
mod sensor_reversed;
mod sensor_slipped;
mod stalled;
mod stuck_on;
mod view;

use jiff::Timestamp;

pub(super) use bell::Bell;
pub(super) use over::OVER;
pub(super) use view::{Near, Stretch, View, fell};

/// Kinds of alarm.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum AlarmKind {
    /// Elements are on that ought not to be.
    StuckOn,
    /// It will get more heat-work than its cone asks for.
    OverFiring,
    /// The controller runs another programme than the plan.
    WrongProgramme,
    /// The sensor shows nothing.
    SensorOpen,
    /// The sensor's wires are swapped.
    SensorReversed,
    /// The sensor shows the same, whatever happens.
    SensorFrozen,
    /// The sensor jumps about.
    SensorErratic,
    /// The sensor has slipped out of the kiln, or part of the way.
    SensorSlipped,
    /// Lid, door or a plug is open.
    LidOpen,
    /// No power comes.
    PowerCut,
    /// An element or its relay is out.
    ElementOut,
    /// The mains voltage sags, or the elements are worn.
    MainsLow,
    /// At full power it gains nothing.
    Stalled,
    /// It cools faster than the ware stands.
    CoolingFast,
}

/// What is known of a kind of alarm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rule {
    /// Which.
    pub kind: AlarmKind,
    /// Short name.
    pub id: &'static str,
    /// In a few words.
    pub title: &'static str,
    /// When it rings.
    pub limit: &'static str,
    /// Why so.
    pub reason: &'static str,
    /// Where that comes from.
    pub source: &'static str,
    /// What to look at, first things first.
    pub look_at: &'static [&'static str],
    /// What to do.
    pub remedy: &'static str,
    /// Once it rang it stays on until the end: what happened does not mend itself.
    pub stays: bool,
}

/// An alarm that is on.
#[derive(Debug, Clone, PartialEq)]
pub struct Alarm {
    /// Which.
    pub kind: AlarmKind,
    /// Since when it shows in the log.
    pub since: Timestamp,
    /// Chance that something is wrong at all, as far as the log tells, 0 to 1.
    pub how_sure: f64,
    /// What is seen.
    pub words: String,
    /// What to look at, first things first.
    pub look_at: &'static [&'static str],
    /// What to do.
    pub remedy: &'static str,
}

impl AlarmKind {
    /// What is known of it.
    pub fn rule(self) -> &'static Rule {
        rules().find(|r| r.kind == self).unwrap_or(&programme::RULE)
    }
}

/// What a rule finds.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Finding {
    /// Since the start, s.
    pub since_s: f64,
    pub how_sure: f64,
    pub words: String,
}

type Judge = fn(&View<'_>) -> Option<Finding>;

/// Every alarm, the gravest first.
const ALL: [(&Rule, Judge); 14] = [
    (&stuck_on::RULE, stuck_on::judge),
    (&over::RULE, over::judge),
    (&sensor_open::RULE, sensor_open::judge),
    (&sensor_reversed::RULE, sensor_reversed::judge),
    (&sensor_frozen::RULE, sensor_frozen::judge),
    (&sensor_erratic::RULE, sensor_erratic::judge),
    (&sensor_slipped::RULE, sensor_slipped::judge),
    (&lid::RULE, lid::judge),
    (&power_cut::RULE, power_cut::judge),
    (&programme::RULE, programme::judge),
    (&element::RULE, element::judge),
    (&mains::RULE, mains::judge),
    (&stalled::RULE, stalled::judge),
    (&cooling::RULE, cooling::judge),
];

/// Every rule, the gravest first.
pub fn rules() -> impl Iterator<Item = &'static Rule> {
    ALL.into_iter().map(|(rule, _)| rule)
}

/// While the first is on, the others are not to be told from it.
const HIDES: [(AlarmKind, &[AlarmKind]); 10] = {
    use AlarmKind::{
        ElementOut, LidOpen, MainsLow, OverFiring, PowerCut, SensorErratic, SensorFrozen,
        SensorOpen, SensorReversed, SensorSlipped, Stalled, StuckOn, WrongProgramme,
    };
    const POWER: &[AlarmKind] = &[
        ElementOut,
        MainsLow,
        Stalled,
        PowerCut,
        LidOpen,
        StuckOn,
        SensorSlipped,
        WrongProgramme,
        OverFiring,
    ];
    [
        (SensorOpen, POWER),
        (SensorReversed, POWER),
        (SensorFrozen, POWER),
        (SensorErratic, POWER),
        (
            PowerCut,
            &[ElementOut, MainsLow, Stalled, LidOpen, WrongProgramme],
        ),
        (
            WrongProgramme,
            &[ElementOut, MainsLow, Stalled, PowerCut, LidOpen, StuckOn],
        ),
        (SensorSlipped, &[ElementOut, MainsLow, LidOpen, PowerCut]),
        (LidOpen, &[ElementOut, MainsLow, SensorSlipped, PowerCut]),
        (ElementOut, &[MainsLow, LidOpen]),
        (StuckOn, &[WrongProgramme]),
    ]
};

/// Normal law's chance that what was seen so many deviations off is no chance.
fn sure(gain: f64) -> f64 {
    // Odds of a fault before: one firing in thirty. Proposed here.
    let odds = gain.min(60.0).exp() / 30.0;
    odds / (1.0 + odds)
}
