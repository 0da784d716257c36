//! A firing as it goes: where the kiln is, how it will end, and what is wrong, from samples as they come.
//!
//! The kiln model is led by what the sensor shows; the power that this takes, beside the power that was asked for, tells
//! of the kiln what nobody has measured, and of faults. A few kilns that differ by one unknown each are led along,
//! so that everything asked of the firing has slopes by the unknowns, and with them a band. Samples that are
//! replayed give the same watch again.

mod advice;
mod ahead;
mod alarm;
mod asked;
mod believed;
mod estimate;
mod evidence;
mod follow;
mod intake;
mod kilns;
mod near;
mod normal;
mod now;
mod stretch;
#[cfg(test)]
mod tests;
mod track;
pub mod trial;

use std::sync::Mutex;

use glost_model::firing::FiringPlan;
use glost_model::readings::Sample;
use glost_model::{Span, Temperature};
use jiff::{SignedDuration, Timestamp};

use crate::doubt::{Belief, PRIORS};
use crate::kiln::{KilnInput, NotAKiln, NotSimulated};
pub use alarm::{Alarm, AlarmKind, Rule, rules};
pub use estimate::{Advice, AdviceKind, Estimate, Foreseen, Stage, TierNow};

/// What to watch.
#[derive(Debug, Clone)]
pub struct WatchAsk {
    /// The kiln as the load makes it.
    pub kiln: KilnInput,
    /// The programme, and the cone wanted.
    pub plan: FiringPlan,
    /// What is believed of this kiln; [`PRIORS`] or what was learnt.
    pub believed: Belief,
    /// When it was switched on.
    pub on: Timestamp,
    /// Seed of the kilns that bands of what is ahead are drawn from.
    pub seed: u64,
}

impl WatchAsk {
    /// A kiln of which nothing was learnt yet.
    pub fn new(kiln: KilnInput, plan: FiringPlan, on: Timestamp) -> Self {
        Self {
            kiln,
            plan,
            believed: Belief::of(&PRIORS),
            on,
            seed: 1,
        }
    }
}

/// A firing that cannot be watched.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NotWatched {
    /// The kiln cannot be modelled.
    #[error(transparent)]
    Kiln(#[from] NotAKiln),
    /// The programme cannot be simulated.
    #[error(transparent)]
    Simulation(#[from] NotSimulated),
    /// Nothing to fire by.
    #[error("the firing plan has no segments: enter at least one")]
    NoProgramme,
    /// What is believed of the kiln is no belief.
    #[error("what is believed of the kiln is no normal law over anything")]
    Belief,
}

/// What a sample brought.
#[derive(Debug, Clone, PartialEq)]
pub enum Event {
    /// An alarm is on.
    Began(Alarm),
    /// What it was about no longer shows.
    Ended(AlarmKind),
    /// A segment of the programme with its hold is over, counted from 0.
    Reached {
        /// Which.
        segment: usize,
        /// When.
        at: Timestamp,
    },
}

/// A firing under watch.
pub struct Watch {
    ask: WatchAsk,
    kilns: kilns::Kilns,
    intake: intake::Intake,
    asked: asked::Asked,
    track: track::Track,
    evidence: evidence::Evidence,
    /// Likeliest faults, by how they show.
    faults: Vec<Option<evidence::Fault>>,
    off: evidence::Off,
    /// Share of its power that the kiln lost by a fault.
    lost: f64,
    /// Power by the meter, as a share, led through the lag of the kiln.
    metered: Option<f64>,
    past: Vec<alarm::Stretch>,
    bell: alarm::Bell,
    near: Option<alarm::Near>,
    near_s: f64,
    /// Cone of the middle that the plan leads to, once it was needed.
    planned: Option<f64>,
    first_k: Option<f64>,
    /// What was asked for does not count before this, s: the log had a hole.
    settles_s: f64,
    told: Option<(Timestamp, Temperature)>,
    /// Somebody said that it is off.
    told_off: bool,
    ahead: Mutex<Option<now::Ahead>>,
}

impl Watch {
    /// Begins to watch a firing.
    ///
    /// # Errors
    /// [`NotWatched`].
    pub fn new(ask: &WatchAsk) -> Result<Self, NotWatched> {
        if ask.plan.segments.is_empty() {
            return Err(NotWatched::NoProgramme);
        }
        let sane = |s: &glost_model::firing::Segment| {
            let rate = s.rate.map_or(1.0, |r| r.to_k_per_s());
            let (target, hold) = (s.target.to_k(), s.hold.to_s());
            rate.is_finite()
                && rate != 0.0
                && target.is_finite()
                && target > 0.0
                && hold >= 0.0
                && hold.is_finite()
        };
        if let Some(bad) = ask.plan.segments.iter().position(|s| !sane(s)) {
            return Err(NotSimulated::Segment(bad + 1).into());
        }
        let belief = believed::Belief::of(&ask.believed)?;
        let evidence = evidence::Evidence::new(&belief);
        let kilns = kilns::Kilns::new(&ask.kiln, belief)?;
        Ok(Self {
            track: track::Track::new(&ask.plan, ask.kiln.room.to_k()),
            off: evidence.off(None),
            ask: ask.clone(),
            kilns,
            intake: intake::Intake::default(),
            asked: asked::Asked::default(),
            evidence,
            faults: Vec::new(),
            lost: 0.0,
            metered: None,
            past: Vec::new(),
            bell: alarm::Bell::default(),
            near: None,
            near_s: 0.0,
            planned: None,
            first_k: None,
            settles_s: 0.0,
            told: None,
            told_off: false,
            ahead: Mutex::new(None),
        })
    }

    /// Takes a sample. Those that come late or twice, or show what cannot be, change nothing of the estimate.
    pub fn take(&mut self, sample: &Sample) -> Vec<Event> {
        let batch = self.intake.take(self.ask.on, sample);
        if let (Some(t), true) = (sample.sensor, self.intake.newest(self.ask.on, sample.at))
            && intake::may_be(t.to_k())
        {
            self.told = Some((sample.at, t));
        }
        match batch {
            Some(batch) => self.stretch(&batch),
            None => Vec::new(),
        }
    }

    /// Takes it that the kiln is off from now on, however far its programme was: somebody said so.
    pub fn switched_off(&mut self) {
        self.told_off = true;
        self.track.segment = self.ask.plan.segments.len();
        self.track.phase = track::Phase::Over;
    }

    /// What is known at the last sample that counts. What is ahead is worked out anew every few minutes of the log.
    pub fn now(&self) -> Estimate {
        now::estimate(self)
    }

    fn at(&self, since_on_s: f64) -> Timestamp {
        let span = SignedDuration::try_from_secs_f64(since_on_s).unwrap_or_default();
        self.ask.on.checked_add(span).unwrap_or(self.ask.on)
    }

    fn now_s(&self) -> f64 {
        self.kilns.middle().time_s()
    }

    /// Where the futures of this firing start.
    fn from(&self) -> ahead::From<'_> {
        ahead::From {
            kilns: &self.kilns,
            input: &self.ask.kiln,
            plan: &self.ask.plan,
            track: &self.track,
            lost: self.lost,
        }
    }

    /// Since the kiln was switched on.
    pub fn since_on(&self) -> Span {
        Span::s(self.now_s().max(0.0))
    }
}
