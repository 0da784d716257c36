//! What there is to learn from of a kiln, and learning from it: long work, for a thread of its own.

use std::collections::{BTreeMap, BTreeSet};

use glost_heat::doubt::margin;
use glost_heat::kiln::from_plan;
use glost_heat::learn::{Learnt, Past, Weighed, learn_and_weigh, wear};

use glost_model::book::lessons::Weakens;
use glost_model::book::upkeep::{bands, last};
use glost_model::book::{BadStretch, Firing, FiringState, Stock, Upkeep, Wearing};
use glost_model::kiln::Kiln;
use glost_model::tariff::Tariff;
use glost_model::{Energy, Span};

use glost_store::ReadingSpan;

use super::super::{Desk, DeskError};

/// The latest firings that are learnt from: each takes seconds, and older ones hardly count by then.
pub const MOST: usize = 24;
/// Samples of a firing that are looked at.
const SAMPLES: usize = 1_500;
/// What somebody waits for.
pub const THREADS: usize = 2;
/// Controllers that switch relays do so about every twenty seconds, from memory; nobody's nameplate says it.
const CYCLE: Span = Span::s(20.0);

/// A firing that is over.
#[derive(Debug, Clone)]
pub struct Over {
    /// The firing.
    pub firing: Firing,
    /// What it lacks to be learnt from.
    pub lacks: Option<&'static str>,
    /// Stretches of its log that are not to be believed.
    pub bad: Vec<BadStretch>,
    /// All that is known of it by now: another text when its log, cones, meter or marks are otherwise.
    pub state: String,
}

impl Over {
    fn new(firing: Firing, span: Option<ReadingSpan>, bad: Vec<BadStretch>) -> Self {
        let mut state = span.map_or_else(String::new, |s| format!("{} to {}", s.rows, s.to));
        for c in &firing.cones {
            state.push_str(&format!("; {} {} {}", c.tier, c.cone, c.clock));
        }
        if let Some(energy) = firing.metered() {
            state.push_str(&format!("; {:.0} J", energy.to_j()));
        }
        for b in &bad {
            state.push_str(&format!("; not {} to {}", b.from, b.to));
        }
        let lacks = match (span, firing.short) {
            (None, _) => Some("no log was kept of it"),
            (_, true) => Some("it stopped short of its programme"),
            _ => None,
        };
        Self {
            lacks,
            firing,
            bad,
            state,
        }
    }

    /// Nothing more is to come: it was emptied, its log is there, and each witness cone that was set was read.
    pub fn complete(&self) -> bool {
        self.lacks.is_none() && self.firing.state == FiringState::Done && self.unread().is_empty()
    }

    /// Tiers whose witness cones nobody has read.
    pub fn unread(&self) -> Vec<&str> {
        let read = |tier: &str| self.firing.cones.iter().any(|c| c.tier == tier);
        let tiers = self.firing.cone_tiers.iter().map(String::as_str);
        tiers.filter(|t| !read(t)).collect()
    }
}

/// What there is to learn from.
#[derive(Debug, Clone)]
pub struct Gathered {
    /// The kiln.
    pub kiln: Stock<Kiln>,
    /// Firings with a log and a plan, in order of time.
    pub pasts: Vec<Past>,
    /// Firings without one or the other, each with what it lacks.
    pub lacking: Vec<(Firing, &'static str)>,
    /// Every firing that is looked at, with what is known of it.
    pub(super) seen: BTreeMap<String, String>,
    /// Those that the edition in force has seen as they are.
    pub(super) known: BTreeSet<String>,
    pub(super) upkeep: Vec<Upkeep>,
    pub(super) tariff: Tariff,
}

/// What came of it.
#[derive(Debug, Clone)]
pub struct WorkedOut {
    /// The kiln as it was found to be.
    pub learnt: Learnt,
    /// When its elements will be too weak.
    pub weakens: Option<Weakens>,
    /// How often a relay switches in a firing, the mean over logs that tell what the controller asked for.
    pub switchings: Option<f64>,
    /// What each new firing is worth to forecasts of others.
    pub weighed: Vec<Weighed>,
}

impl Desk {
    /// Firings of a kiln that are over, with what they lack to be learnt from.
    pub(super) async fn over_in(&self, kiln: &Stock<Kiln>) -> Result<Vec<Over>, DeskError> {
        let mut all = self.firings_in(kiln).await?;
        all.retain(|f| matches!(f.state, FiringState::Opened | FiringState::Done));
        all.sort_by(|a, b| (a.started, &a.id).cmp(&(b.started, &b.id)));
        let from = all.len().saturating_sub(MOST);
        let mut out = Vec::new();
        for firing in all.split_off(from) {
            let span = self.samples_kept(&firing.id).await?;
            let bad = self.bad_stretches(&firing.id).await?;
            out.push(Over::new(firing, span.filter(|s| s.rows > 0), bad));
        }
        Ok(out)
    }

    /// Reads what a kiln can be learnt from, but for the firings that somebody left out.
    ///
    /// # Errors
    /// Of the store, or a plan that cannot be read.
    pub async fn gather_lessons(
        &self,
        kiln: &Stock<Kiln>,
        left_out: &BTreeSet<String>,
    ) -> Result<Gathered, DeskError> {
        let mut found = Gathered {
            kiln: kiln.clone(),
            pasts: Vec::new(),
            lacking: Vec::new(),
            upkeep: self.upkeep_of(&kiln.id).await?,
            tariff: self.given().await?.studio.tariff.clone(),
            seen: BTreeMap::new(),
            known: BTreeSet::new(),
        };
        let in_force = self.lessons_kept(&kiln.id).await?.map(|k| k.body);
        for over in self.over_in(kiln).await? {
            if left_out.contains(&over.firing.id) {
                continue;
            }
            if let Some(lacks) = over.lacks {
                found.lacking.push((over.firing, lacks));
                continue;
            }
            let id = over.firing.id.clone();
            if in_force.as_ref().is_some_and(|l| super::has_seen(l, &over)) {
                found.known.insert(id.clone());
            }
            match self.past(&over).await? {
                Ok(past) => found.pasts.push(past),
                Err(lacks) => found.lacking.push((over.firing, lacks)),
            }
            found.seen.insert(id, over.state);
        }
        Ok(found)
    }

    async fn past(&self, over: &Over) -> Result<Result<Past, &'static str>, DeskError> {
        let firing = &over.firing;
        let Some(at) = firing.started else {
            return Ok(Err("nobody wrote down when it was switched on"));
        };
        let Some(plan) = self.plan(&firing.id).await? else {
            return Ok(Err("it has no plan"));
        };
        let Some(programme) = plan.firing else {
            return Ok(Err("its plan has no programme"));
        };
        let Some(kiln) = plan.studio.kiln(&plan.load.kiln) else {
            return Ok(Err("its plan does not know the kiln"));
        };
        // What was taught by then would be learnt twice.
        let bare = Kiln {
            taught: None,
            ..kiln.clone()
        };
        let drawn = firing.meter_start.zip(firing.meter_end);
        Ok(Ok(Past {
            id: firing.id.clone(),
            at,
            input: from_plan(&plan.studio, &bare, &plan.load),
            plan: programme,
            log: self.samples_thinned(&firing.id, SAMPLES).await?,
            bad: over.bad.iter().map(|b| (b.from, b.to)).collect(),
            cones: firing.cones.clone(),
            energy: drawn.map(|(a, b)| b - a).filter(|e| *e > Energy::ZERO),
        }))
    }
}

impl Gathered {
    /// Learns from all of it on so many threads. `watch` hears how many firings were looked at, and ends it there by
    /// answering false.
    pub fn work_out(&self, threads: usize, watch: &mut dyn FnMut(usize) -> bool) -> WorkedOut {
        let all = (self.pasts.as_slice(), self.upkeep.as_slice());
        let (learnt, weighed) = learn_and_weigh(all.0, all.1, &self.known, threads, watch);
        WorkedOut {
            weakens: self.weakens(&learnt),
            switchings: self.switchings(),
            learnt,
            weighed,
        }
    }

    fn switchings(&self) -> Option<f64> {
        let each = self.pasts.iter().map(|p| wear::relay_cycles(&p.log, CYCLE));
        let told: Vec<u64> = each.filter(|n| *n > 0).collect();
        (!told.is_empty()).then(|| told.iter().sum::<u64>() as f64 / told.len() as f64)
    }

    fn weakens(&self, learnt: &Learnt) -> Option<Weakens> {
        let used = |p: &&Past| {
            let of = learnt.firings.iter().find(|f| f.id == p.id);
            of.is_some_and(|f| f.refused.is_none())
        };
        let last_one = self.pasts.iter().rev().find(used)?;
        let mut kiln = last_one.input.clone();
        learnt.apply(&mut kiln);
        let margin = margin(&kiln, &last_one.plan, &self.tariff).ok()?;
        let since = last(&self.upkeep, Wearing::Elements).map(|e| e.at);
        let seen = wear::powers(learnt, since);
        let firings = seen.iter().map(|p| p.firing + 1).max()?;
        let ohms = wear::Ohms::of(&bands(&self.upkeep), firings);
        let trend = wear::trend(&seen, ohms, firings);
        Some(Weakens {
            cone: last_one.plan.cone,
            late: wear::firings_left(&trend, &margin.keeps),
            short: wear::firings_left(&trend, &margin.reaches),
            each: trend.each,
            firings: u32::try_from(trend.firings).unwrap_or(u32::MAX),
        })
    }
}
