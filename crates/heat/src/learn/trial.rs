//! How well firings are foretold that were not learnt from, in kilns unlike the model.

use glost_model::cone::Cone;
use glost_model::firing::FiringPlan;
use glost_model::{Length, Rate, Span};
use jiff::{SignedDuration, Timestamp};
use rand::RngExt as _;
use rand::SeedableRng as _;
use rand_chacha::ChaCha8Rng;

use super::{Ahead, Learnt, Past, Told, foretell};
use crate::kiln::KilnInput;
use crate::spread::in_order;
use crate::strange::{Fired, StrangeKiln};
use crate::validation::kilns::{REFERENCE, SMALL, Sizes, kiln, plan};

/// How to try.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ask {
    /// How many kilns.
    pub kilns: usize,
    /// The same seed draws the same kilns and firings.
    pub seed: u64,
    /// Worked on at the same time; the answer is the same whatever it is.
    pub threads: usize,
    /// Firings of each that are learnt from, at most.
    pub firings: usize,
}

/// What a forecast is made by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Way {
    /// The priors alone.
    Prior,
    /// The priors, and how far they were off in the firing before, carried over: cones by height, minutes of the peak,
    /// energy in proportion.
    CarriedOver,
    /// What was learnt.
    Learnt,
}

/// One forecast against what happened.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    /// Which kiln.
    pub kiln: usize,
    /// How many firings were learnt from.
    pub after: usize,
    /// What it was made by.
    pub way: Way,
    /// Each tier, in cones.
    pub cones: Vec<Off>,
    /// End of the peak, s; nothing when it was never foretold or never came.
    pub peak: Option<Off>,
    /// Energy as a share.
    pub energy: Off,
}

/// How far off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Off {
    /// What happened less what was foretold.
    pub miss: f64,
    /// It lay within the band of eight in ten; nothing when no band was given.
    pub within: Option<bool>,
}

/// All of it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Trial {
    /// Every forecast.
    pub cases: Vec<Case>,
    /// Firings that were refused, with why.
    pub refused: Vec<String>,
    /// Firings that were not foretold since the kiln gave up in them.
    pub gave_up: usize,
    /// What was learnt of each kiln.
    pub learnt: Vec<Learnt>,
}

/// Tries it.
pub fn trial(ask: &Ask) -> Trial {
    let found = in_order(ask.kilns, ask.threads, |i| one(ask, i));
    let mut all = Trial::default();
    for t in found {
        all.cases.extend(t.cases);
        all.refused.extend(t.refused);
        all.gave_up += t.gave_up;
        all.learnt.extend(t.learnt);
    }
    all
}

/// Firings are so far apart.
const DAYS: i64 = 3;

/// A kiln and its firings for the given number: what somebody says of it, each load, each plan.
pub struct Draw {
    /// The kiln.
    pub kiln: StrangeKiln,
    rng: ChaCha8Rng,
    sizes: Sizes,
}

impl Draw {
    /// The same seed and number draw the same.
    pub fn new(seed: u64, number: usize) -> Self {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        rng.set_stream(1_000_000 + number as u64);
        let big = number % 3 != 2;
        let sizes = Sizes {
            kw: if big {
                rng.random_range(9.2..12.0)
            } else {
                rng.random_range(5.2..6.6)
            },
            brick_mm: if big { 76.0 } else { 90.0 },
            ..if big { REFERENCE } else { SMALL }
        };
        let own = seed.wrapping_mul(1000).wrapping_add(number as u64);
        Self {
            kiln: StrangeKiln::draw(own, &kiln(&sizes)),
            rng,
            sizes,
        }
    }

    /// The next load and plan.
    pub fn next_firing(&mut self) -> Option<(KilnInput, FiringPlan)> {
        let r = &mut self.rng;
        let levels = r.random_range(self.sizes.levels.saturating_sub(1)..=self.sizes.levels + 1);
        let filled = r.random_range(0.55..1.1);
        let mut load = kiln(&Sizes {
            levels: levels.max(2),
            shelves_kg: self.sizes.shelves_kg * levels as f64 / self.sizes.levels as f64,
            ware_kg: self.sizes.ware_kg * filled,
            ..self.sizes
        });
        let bisque = r.random_bool(0.3);
        let wall = r.random_range(4.0..8.0);
        for w in &mut load.ware {
            w.raw = bisque;
            w.water = if bisque { 0.02 } else { 0.01 };
            w.wall = Length::mm(wall);
        }
        let name = if bisque {
            "04"
        } else {
            ["5", "6", "6", "7"][r.random_range(0..4)]
        };
        let last = r.random_range(50.0..90.0);
        let cone = Cone::parse(name).ok()?;
        let end = crate::end_point(cone, Rate::c_per_h(last))?.to_c();
        let hold = [0.0, 5.0, 10.0, 15.0][r.random_range(0..4)];
        let end = (end - hold * 0.5).round();
        let dry = r.random_range(10.0..90.0);
        let rate = r.random_range(90.0..240.0);
        let plan = plan(
            name,
            &[
                (80.0, 110.0, dry),
                (rate, 600.0, 0.0),
                (rate * 1.1, end - 110.0, 0.0),
                (last, end, hold),
            ],
        )?;
        Some((load, plan))
    }

    /// When the firing of that number begins.
    pub fn start(number: usize) -> Timestamp {
        let first =
            Timestamp::UNIX_EPOCH.saturating_add(SignedDuration::from_hours(24 * 20_000 + 9));
        let by = SignedDuration::from_hours(24 * DAYS * number as i64 + (number as i64 * 5) % 11);
        first
            .and_then(|f| f.saturating_add(by))
            .unwrap_or(Timestamp::UNIX_EPOCH)
    }
}

/// What a studio keeps of a firing of a strange kiln.
pub fn past(number: usize, load: &KilnInput, plan: &FiringPlan, fired: &Fired) -> Past {
    Past {
        id: format!("{}", number + 1),
        at: Draw::start(number),
        input: load.clone(),
        plan: plan.clone(),
        log: fired.samples.clone(),
        bad: Vec::new(),
        cones: fired.truth.cones.clone(),
        energy: None,
    }
}

fn one(ask: &Ask, number: usize) -> Trial {
    let mut all = Trial::default();
    let mut draw = Draw::new(ask.seed, number);
    let mut learnt = Learnt::nothing();
    let mut before: Option<(Ahead, Fired)> = None;
    for i in 0..=ask.firings {
        let Some((load, plan)) = draw.next_firing() else {
            continue;
        };
        let fired = draw
            .kiln
            .fire(&plan, &load, &[], Draw::start(i), Span::minutes(1.0));
        let prior = foretell(&Learnt::nothing(), &load, &plan, 1);
        let by = foretell(&learnt, &load, &plan, 1);
        if fired.truth.gave_up {
            all.gave_up += 1;
        } else if let (Ok(prior), Ok(by)) = (&prior, &by) {
            let carried = carried_over(prior, before.as_ref());
            for (way, told) in [
                (Way::Prior, prior),
                (Way::CarriedOver, &carried),
                (Way::Learnt, by),
            ] {
                all.cases.push(case(number, i, way, told, &fired));
            }
        }
        learnt.take(&past(i, &load, &plan, &fired), 1);
        if let Some(why) = learnt.firings.last().and_then(|f| f.refused.as_ref()) {
            all.refused
                .push(format!("kiln {number}, firing {}: {why}", i + 1));
        }
        if let Ok(prior) = prior {
            before = Some((prior, fired));
        }
    }
    all.learnt.push(learnt);
    all
}

fn case(kiln: usize, after: usize, way: Way, told: &Ahead, fired: &Fired) -> Case {
    let truth = &fired.truth;
    let off = |told: &Told, real: f64, unit: f64| {
        let (low, high) = told.band();
        Off {
            miss: (real - told.value) / unit,
            within: (way != Way::CarriedOver).then_some((low..=high).contains(&real)),
        }
    };
    let cones = told.cones.iter().zip(&truth.tiers);
    Case {
        kiln,
        after,
        way,
        cones: cones
            .filter_map(|((_, t), tier)| Some(off(t, tier.cone?, 1.0)))
            .collect(),
        peak: told
            .peak
            .as_ref()
            .zip(truth.peak_over)
            .map(|(t, real)| off(t, real.to_s(), 1.0)),
        energy: off(&told.energy, truth.energy.to_j(), told.energy.value),
    }
}

/// The forecast by the priors, mended by how far they were off the last time.
fn carried_over(prior: &Ahead, before: Option<&(Ahead, Fired)>) -> Ahead {
    let mut out = prior.clone();
    let Some((told, fired)) = before else {
        return out;
    };
    let truth = &fired.truth;
    if let (Some(peak), Some(was), Some(real)) = (&mut out.peak, &told.peak, truth.peak_over) {
        peak.value += real.to_s() - was.value;
    }
    out.energy.value *= truth.energy.to_j() / told.energy.value;
    let errors: Vec<f64> = told
        .cones
        .iter()
        .zip(&truth.tiers)
        .map(|((_, t), tier)| tier.cone.map_or(0.0, |c| c - t.value))
        .collect();
    let count = out.cones.len();
    for (i, (_, told)) in out.cones.iter_mut().enumerate() {
        // Tiers by their height, on the line between two of the firing before.
        let at = i as f64 / (count.max(2) - 1) as f64 * errors.len().saturating_sub(1) as f64;
        let (low, part) = (at.floor() as usize, at.fract());
        let pick = |k: usize| errors.get(k).copied().unwrap_or(0.0);
        told.value +=
            pick(low) * (1.0 - part) + pick((low + 1).min(errors.len().saturating_sub(1))) * part;
    }
    out
}

/// A column of figures over many cases.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figures {
    /// How many.
    pub count: usize,
    /// Root of the mean square.
    pub root: f64,
    /// Furthest off.
    pub worst: f64,
    /// Share that lay within the band of eight in ten.
    pub within: Option<f64>,
}

/// Sums up.
pub fn figures<'o>(all: impl Iterator<Item = &'o Off>) -> Figures {
    let (mut count, mut squares, mut worst) = (0usize, 0.0, 0.0f64);
    let (mut asked, mut inside) = (0usize, 0usize);
    for off in all {
        count += 1;
        squares += off.miss * off.miss;
        worst = worst.max(off.miss.abs());
        asked += usize::from(off.within.is_some());
        inside += usize::from(off.within == Some(true));
    }
    Figures {
        count,
        root: (squares / count as f64).sqrt(),
        worst,
        within: (asked > 0).then(|| inside as f64 / asked as f64),
    }
}
