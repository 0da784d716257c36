//! Facts about a faulty piece, put together from the book for [`glost_rules::cause`]. Pure functions.

mod curve;
mod heat;
mod others;
mod place;

use glost_heat::firing::{OneWall, Passing};
use glost_model::Length;
use glost_model::Rate;
use glost_model::book::ware::Fault;
use glost_model::book::{BadStretch, Firing, Ware};
use glost_model::clay::{Clay, Glaze};
use glost_model::piece::{Piece, Stage};
use glost_model::plan_file::PlanFile;
use glost_model::readings::Sample;
use glost_model::shown::Shown;
use glost_rules::RuleBook;
use glost_rules::cause::{Earlier, Facts, Opened, Paces, PieceFacts, Step};
use jiff::SignedDuration;

pub use curve::{logged, planned};
pub use heat::{TierHeat, heats};
pub use others::Stood;

/// What is known of one firing.
#[derive(Debug)]
pub struct OneFiring<'a> {
    /// The firing.
    pub firing: &'a Firing,
    /// Its plan, with the studio as it was then.
    pub plan: Option<&'a PlanFile>,
    /// Its log, thinned out, without what is not to be believed.
    pub log: &'a [Sample],
    /// Stretches that are not.
    pub bad: &'a [BadStretch],
    /// Clays that the studio knows now.
    pub clays: &'a [Clay],
    /// Glazes that the studio knows now.
    pub glazes: &'a [Glaze],
    /// Rules in force.
    pub rules: &'a RuleBook,
    /// Units of whoever reads it.
    pub shown: Shown,
}

/// What all pieces of a firing have in common, worked out once.
#[derive(Debug)]
pub struct Common<'a> {
    one: OneFiring<'a>,
    heats: Vec<TierHeat>,
    planned: Option<Paces>,
    logged: Option<Paces>,
    opened: Option<Opened>,
    steps: Vec<Step>,
}

impl<'a> Common<'a> {
    /// Of a firing.
    pub fn of(one: OneFiring<'a>) -> Self {
        let forecast = one.plan.and_then(|p| p.forecast.as_ref());
        let log = logged(one.firing, one.log);
        let by_log = log.as_deref().map(Paces::of);
        let by_plan = one.plan.and_then(planned).as_deref().map(Paces::of);
        let since = one.firing.started.or_else(|| one.log.first().map(|s| s.at));
        let bad = since.map(|since| curve::spans(one.bad, since));
        let bad = bad.unwrap_or_default();
        let heats = heats(one.firing, forecast, log.as_deref(), &bad);
        let below = forecast.and_then(|f| f.may_open()).map(|c| c.below_c);
        let opened = opened_at(one.firing, one.log).map(|at| Opened { at, below });
        let steps = steps(&one);
        Self {
            one,
            heats,
            planned: by_plan,
            logged: by_log,
            opened,
            steps,
        }
    }

    /// Whether the firing has a log that tells anything.
    pub fn has_log(&self) -> bool {
        self.logged.is_some()
    }

    /// What each tier reached.
    pub fn heats(&self) -> &[TierHeat] {
        &self.heats
    }

    /// All that is known about one fault of one piece. `bisque` is its firing before, and `stood` all ware that stood
    /// in any firing of this kind.
    pub fn facts(
        &self,
        ware: &Ware,
        fault: &Fault,
        bisque: Option<Earlier>,
        stood: &[Stood<'_>],
    ) -> Facts {
        let one = &self.one;
        let piece = self.piece(ware);
        let clay = self.clay(&piece.clay).cloned();
        let glazes = piece.glazes.iter().filter_map(|g| self.glaze(g).cloned());
        let glazes: Vec<Glaze> = glazes.collect();
        let place = place::place(one, piece, &glazes);
        let tier = place.as_ref().map(|p| p.tier.clone()).or_else(|| {
            let at = ware.stood.iter().rfind(|s| s.firing == one.firing.id);
            at.map(|s| s.tier.clone())
        });
        let (heat, elsewhere) = heat::of_tier(&self.heats, tier.as_deref());
        let raised = place.as_ref().is_some_and(|p| p.raised > Length::mm(1.0));
        let wanted = wanted(piece, clay.as_ref(), raised);
        let others = others::shared(one.firing, ware, fault.kind, tier.as_deref(), stood);
        Facts {
            shown: one.shown,
            kind: one.firing.kind,
            cone: one.firing.cone,
            piece: PieceFacts {
                piece: piece.clone(),
                clay,
                glazes,
            },
            place,
            heat,
            elsewhere,
            planned: self.planned,
            logged: self.logged,
            wanted,
            bisque,
            opened: self.opened,
            steps: self.steps.clone(),
            edges: fault.told_edges(),
            others,
        }
    }

    /// The piece as it went in: it may have been glazed since.
    fn piece<'b>(&'b self, ware: &'b Ware) -> &'b Piece {
        let then = self.one.plan.and_then(|p| p.studio.piece(ware.code()));
        then.unwrap_or(&ware.piece)
    }

    fn clay(&self, name: &str) -> Option<&Clay> {
        let then = self.one.plan.and_then(|p| p.studio.clay(name));
        then.or_else(|| self.one.clays.iter().find(|c| c.name == name))
    }

    fn glaze(&self, name: &str) -> Option<&Glaze> {
        let then = self.one.plan.and_then(|p| p.studio.glaze(name));
        then.or_else(|| self.one.glazes.iter().find(|g| g.name == name))
    }
}

/// The fastest that a piece bears.
fn wanted(piece: &Piece, clay: Option<&Clay>, raised: bool) -> Paces {
    let wall = OneWall {
        wall: piece.wall,
        raised,
        raw: piece.stage == Stage::Greenware,
        slow_burn_out: clay.is_some_and(|c| c.slow_burn_out),
    };
    let fastest = |p: Passing| Some(p.fastest(wall));
    Paces {
        damp: fastest(Passing::DampGlaze),
        steam: fastest(Passing::Steam),
        quartz_up: fastest(Passing::QuartzUp),
        burn_out: fastest(Passing::BurnOut),
        quartz_down: fastest(Passing::QuartzDown),
        cristobalite_down: fastest(Passing::CristobaliteDown),
        ..Paces::default()
    }
}

/// The pace of an earlier firing while carbon burns out, and its cone.
pub fn earlier(firing: &Firing, plan: Option<&PlanFile>, log: &[Sample]) -> Earlier {
    let pace = |p: Paces| -> Option<Rate> { p.burn_out };
    let by_log = logged(firing, log).as_deref().map(Paces::of).and_then(pace);
    let by_plan = || {
        plan.and_then(planned)
            .as_deref()
            .map(Paces::of)
            .and_then(pace)
    };
    Earlier {
        cone: firing.cone,
        burn_out: by_log.or_else(by_plan),
        logged: by_log.is_some(),
    }
}

/// A reading counts for a moment when it is no further from it.
const NEAR: SignedDuration = SignedDuration::from_mins(30);

/// What it showed when it was opened: as somebody wrote, or else by the log.
fn opened_at(firing: &Firing, log: &[Sample]) -> Option<glost_model::Temperature> {
    if let Some(c) = firing.opened_c {
        return Some(glost_model::Temperature::c(c));
    }
    let at = firing.opened?;
    let near = log
        .iter()
        .filter(|s| s.at <= at && at.duration_since(s.at) <= NEAR);
    near.filter_map(|s| s.sensor).next_back()
}

/// Steps with vent, plugs or lid on the way up. Where nobody ticks steps off, none tells anything.
fn steps(one: &OneFiring<'_>) -> Vec<Step> {
    let Some(plan) = one.plan.and_then(|p| p.firing.as_ref()) else {
        return Vec::new();
    };
    if one.firing.done_steps.is_empty() {
        return Vec::new();
    }
    let airs = |text: &str| ["Vent", "plug", "lid"].iter().any(|w| text.contains(w));
    plan.hand_steps
        .iter()
        .enumerate()
        .filter(|(_, s)| !s.cooling && airs(&s.step))
        .map(|(i, s)| Step {
            words: s.when(one.shown),
            done: one.firing.done_steps.iter().any(|(n, _)| *n == i),
        })
        .collect()
}
