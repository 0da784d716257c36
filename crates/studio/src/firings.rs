//! Many firings: deal a backlog out over kilns and days, foresee each firing, and let the independent
//! judge decide about each load.

use std::collections::{BTreeMap, BTreeSet};

use glost_check::{Breach, judge};
use glost_heat::firing::{Planned, plan};
use glost_model::cone::Cone;
use glost_model::load::{FiringKind, LeftOut, LoadPlan};
use glost_model::piece::{Dryness, Piece};
use glost_model::plan_file::PlanFile;
use glost_model::studio::Studio;
use glost_model::{Length, Span};
use glost_placing::backlog::{self, BacklogAsk, BacklogError, Care, Course, Late, Least, Times};

/// Counted on when a forecast ends before the kiln is cool enough to be opened (trade practice: two days
/// from start to unloading).
const LONG_COOLING: Span = Span::h(48.0);
/// Walls from which a firing is slower, in steps (trade practice: 6 and 13 mm; whole drying nights beyond).
const WALLS: [Length; 4] = [
    Length::mm(6.0),
    Length::mm(9.0),
    Length::mm(13.0),
    Length::mm(18.0),
];
/// Place of "may be opened" among the steps of cooling.
const OPEN: usize = 2;

/// One firing, ready to be written down.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadyFiring {
    /// Its load, firing and forecast, with the studio as far as it concerns them.
    pub file: PlanFile,
    /// What it takes.
    pub course: Course,
    /// When.
    pub times: Times,
}

/// Firings for a backlog.
#[derive(Debug, Clone, PartialEq)]
pub struct Firings {
    /// By the time of loading.
    pub firings: Vec<ReadyFiring>,
    /// Proof of how many are needed at least.
    pub least: Least,
    /// Ware that comes late.
    pub late: Vec<Late>,
    /// Ware that no firing can take.
    pub stay: Vec<LeftOut>,
}

/// Why there are no firings.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum FiringsError {
    /// Nothing can be planned.
    #[error(transparent)]
    NoBacklog(#[from] BacklogError),
    /// The planner made a mistake, which the judge saw.
    #[error("firing {number} breaks {} rules and nothing is shown; the first: {}", .breaches.len(), .breaches.first().map_or_else(String::new, ToString::to_string))]
    Refused {
        /// Which firing, from 1.
        number: usize,
        /// What the judge says.
        breaches: Vec<Breach>,
    },
    /// The planner lost ware, or has it twice.
    #[error(
        "piece {0} is not in exactly one firing or on the list of those that stay; report this"
    )]
    Miscounted(String),
}

/// Deals the backlog out and has each load judged. `watch` hears the share done and the firings so far,
/// and stops the search by answering false.
///
/// # Errors
/// See [`FiringsError`].
pub fn propose_firings(
    ask: &BacklogAsk<'_>,
    watch: &mut dyn FnMut(f64, usize) -> bool,
) -> Result<Firings, FiringsError> {
    let mut oracle = Oracle {
        studio: ask.studio,
        about: BTreeMap::new(),
        exact: Vec::new(),
    };
    let found = backlog::firings(ask, &mut |load, care| oracle.foresee(load, care), watch)?;
    let mut ready = Vec::new();
    for (i, firing) in found.firings.into_iter().enumerate() {
        let studio = only(ask.studio, &firing.load);
        let breaches = judge(&studio, ask.book, &firing.load);
        if !breaches.is_empty() {
            let number = i + 1;
            return Err(FiringsError::Refused { number, breaches });
        }
        let planned = oracle.exact.iter().find(|(load, _)| *load == firing.load);
        let mut file = PlanFile::new(studio, firing.load);
        if let Some((_, planned)) = planned {
            file.firing = Some(planned.plan.clone());
            file.forecast = Some(planned.forecast.clone());
        }
        ready.push(ReadyFiring {
            file,
            course: firing.course,
            times: firing.times,
        });
    }
    once(ask.studio, &ready, &found.stay)?;
    Ok(Firings {
        firings: ready,
        least: found.least,
        late: found.late,
        stay: found.stay,
    })
}

/// The studio with the ware of one load only.
fn only(studio: &Studio, load: &LoadPlan) -> Studio {
    let ids: BTreeSet<&str> = load.placed().map(|(_, p)| p.piece.as_str()).collect();
    let mut studio = studio.clone();
    studio.pieces.retain(|p| ids.contains(p.id.as_str()));
    studio
}

fn once(studio: &Studio, ready: &[ReadyFiring], stay: &[LeftOut]) -> Result<(), FiringsError> {
    let mut times: BTreeMap<&str, usize> = BTreeMap::new();
    let fired = ready.iter().flat_map(|f| f.file.load.placed());
    let fired = fired.map(|(_, p)| p.piece.as_str());
    for id in fired.chain(stay.iter().map(|l| l.piece.as_str())) {
        *times.entry(id).or_default() += 1;
    }
    let wrong = studio
        .pieces
        .iter()
        .find(|p| times.get(p.id.as_str()) != Some(&1));
    wrong.map_or(Ok(()), |p| Err(FiringsError::Miscounted(p.id.clone())))
}

/// What makes two loads take about as long: kiln, cone, bisque or not, thickness class of the thickest
/// wall, and whether the longer preheat of doubtful ware is wanted.
type Alike = (String, Cone, bool, usize, bool);

/// Foresees firings: for the search, the first load of those that are alike speaks for all.
struct Oracle<'s> {
    studio: &'s Studio,
    about: BTreeMap<Alike, Result<Course, String>>,
    exact: Vec<(LoadPlan, Planned)>,
}

impl Oracle<'_> {
    fn foresee(&mut self, load: &LoadPlan, care: Care) -> Result<Course, String> {
        let key = self.alike(load);
        if care == Care::About
            && let Some(known) = self.about.get(&key)
        {
            return known.clone();
        }
        let planned = self.plan(load);
        let course = planned.as_ref().map(course).map_err(Clone::clone);
        if care == Care::About {
            self.about.insert(key, course.clone());
        } else if let Ok(planned) = planned {
            self.exact.push((load.clone(), planned));
        }
        course
    }

    fn alike(&self, load: &LoadPlan) -> Alike {
        let pieces = load
            .placed()
            .filter_map(|(_, p)| self.studio.piece(&p.piece));
        let pieces: Vec<&Piece> = pieces.collect();
        let wall = pieces
            .iter()
            .map(|p| p.wall)
            .fold(Length::ZERO, Length::max);
        let pace = WALLS.iter().filter(|w| wall >= **w).count();
        let doubtful = pieces.iter().any(|p| p.dryness != Dryness::BoneDry);
        let bisque = load.kind == FiringKind::Bisque;
        (load.kiln.clone(), load.cone, bisque, pace, doubtful)
    }

    fn plan(&self, load: &LoadPlan) -> Result<Planned, String> {
        let kiln = self.studio.kiln(&load.kiln);
        let kiln = kiln.ok_or_else(|| format!("there is no kiln {}", load.kiln))?;
        plan(self.studio, kiln, load).map_err(|e| e.to_string())
    }
}

fn course(planned: &Planned) -> Course {
    let forecast = &planned.forecast;
    let open = forecast.cooled.get(OPEN).and_then(|c| c.time_s);
    Course {
        peak: forecast
            .peak_over(&planned.plan)
            .unwrap_or(forecast.firing_s),
        open: open.unwrap_or(forecast.firing_s + LONG_COOLING),
        cost: forecast.cost_cents,
        fit: forecast.feasible,
    }
}
