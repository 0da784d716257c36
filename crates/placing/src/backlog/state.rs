//! Firings while they are sought: how one is planned, and how good some are together.

use std::collections::BTreeMap;

use glost_model::furniture::Furniture;
use glost_model::kiln::Kiln;
use glost_model::load::LeftOut;
use glost_model::studio::Studio;
use glost_model::{Money, Span};
use jiff::civil::Date;
use jiff::tz::TimeZone;

use super::cones::Sort;
use super::lots::Lot;
use super::stock::Used;
use super::when::{Days, Job, Slot, day, slots};
use super::{Aim, BacklogAsk, Care, Course, Foresee};
use crate::plan::{PlanAsk, PlanError, plan_unproved};
use crate::region::Region;

/// Share done of a load plan once its first shelves are filled.
const FILLED: f64 = 0.2;

/// A firing while it is sought.
#[derive(Debug, Clone)]
pub struct Held {
    /// What is fired.
    pub sort: Sort,
    /// In which kiln.
    pub kiln: String,
    /// Numbers of its lots, in order.
    pub lots: Vec<usize>,
    /// Its load.
    pub load: glost_model::load::LoadPlan,
    /// Furniture of the load.
    pub used: Used,
    /// About what it takes.
    pub course: Course,
}

/// What a firing takes before any is foreseen: two days from start to unloading (gooddirt.net).
const USUAL: Course = Course {
    peak: Span::h(12.0),
    open: Span::h(44.0),
    cost: Money::cents(0),
    fit: true,
};

fn job(held: &Held) -> Job<'_> {
    Job {
        kiln: &held.kiln,
        course: held.course,
        used: &held.used,
    }
}

/// What a firing is to be made of.
pub struct Try<'t> {
    /// What is fired.
    pub sort: Sort,
    /// In which kiln.
    pub kiln: &'t str,
    /// Lots that may go.
    pub lots: &'t [usize],
    /// How dear the room of a lot is: 1 as a rule, more where it has to go.
    pub dear: &'t dyn Fn(usize) -> f64,
    /// Furniture to be had, when it is not all.
    pub furniture: Option<&'t Furniture>,
    /// Improvements of the load.
    pub rounds: u32,
    /// Share of the ware without which, once shelves are first filled, it is not worth going on.
    pub hope: f64,
}

/// What came of it.
pub struct Made {
    /// The firing, if anything is in it.
    pub held: Option<Held>,
    /// Lots that stayed out.
    pub out: Vec<usize>,
    /// Why.
    pub why: Vec<LeftOut>,
}

/// How bad some firings are together; the first number that differs decides.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Score([i64; 7]);

/// Plans firings and judges them.
pub struct Maker<'a, 'c> {
    /// What is asked.
    pub ask: &'c BacklogAsk<'a>,
    /// The ware.
    pub lots: &'c [Lot<'a>],
    /// The studio without ware.
    pub bare: Studio,
    /// The zone of all times.
    pub zone: TimeZone,
    /// Foresees firings.
    pub foresee: &'c mut Foresee<'c>,
    /// Hears the share done and the number of firings; answers false to stop.
    pub watch: &'c mut dyn FnMut(f64, usize) -> bool,
    /// Share done.
    pub done: f64,
    /// Firings so far.
    pub found: usize,
    /// Told to stop: what is left is done without effort.
    pub tired: bool,
    /// Kiln, sort and lots that did not go into one firing.
    pub failed: Vec<(String, Sort, Vec<usize>)>,
    /// Counts plans, so that each has a seed of its own.
    pub plans: u64,
    /// What kept a kiln from being planned for.
    pub trouble: Option<PlanError>,
}

impl Maker<'_, '_> {
    /// Kilns that may be fired to a cone.
    pub fn kilns(&self, sort: &Sort) -> Vec<String> {
        let hot = |k: &&Kiln| k.max_cone >= sort.cone && self.ask.kilns.contains(&k.name);
        let kilns = self.ask.studio.kilns.iter().filter(hot);
        kilns.map(|k| k.name.clone()).collect()
    }

    /// A studio with only these lots waiting.
    pub fn view(&self, lots: &[usize]) -> Studio {
        let mut studio = self.bare.clone();
        let pieces = lots.iter().flat_map(|i| &self.lots[*i].pieces);
        studio.pieces = pieces.map(|p| (*p).clone()).collect();
        studio
    }

    /// Room of a kiln's chamber, m³: about what shelves, posts and gaps leave of it is filled.
    pub fn chamber_m3(&self, kiln: &str) -> f64 {
        self.ask.studio.kiln(kiln).map_or(0.0, |k| {
            Region::chamber(&k.chamber).measure().area_m2 * k.height.to_m()
        })
    }

    /// Room of some lots, m³.
    pub fn room_m3(&self, lots: &[usize]) -> f64 {
        lots.iter().map(|i| self.lots[*i].room_m3).sum()
    }

    /// Plans one firing.
    pub fn make(&mut self, t: &Try<'_>) -> Made {
        let mut studio = self.view(t.lots);
        if let Some(left) = t.furniture {
            studio.furniture = left.clone();
        }
        let mut worth = BTreeMap::new();
        for i in t.lots {
            let lot = &self.lots[*i];
            // Litres and a little for each, so that nothing is worth nothing.
            let each = (0.1 + 1000.0 * lot.room_m3) * (t.dear)(*i) / lot.pieces.len() as f64;
            worth.extend(lot.pieces.iter().map(|p| (p.id.clone(), each)));
        }
        self.plans += 1;
        let ask = PlanAsk {
            studio: &studio,
            book: self.ask.book,
            kiln: t.kiln,
            cone: t.sort.cone,
            kind: t.sort.kind,
            today: self.ask.from.date(),
            seed: self.ask.seed.wrapping_add(self.plans),
            rounds: if self.tired { 0 } else { t.rounds },
            worth: Some(&worth),
        };
        let (done, found) = (self.done, self.found);
        let (watch, tired) = (&mut *self.watch, &mut self.tired);
        let enough = t.hope * worth.values().sum::<f64>();
        let planned = plan_unproved(&ask, &mut |share, value| {
            *tired |= !watch(done, found);
            !*tired && (share < FILLED || value >= enough)
        });
        let load = match planned {
            Ok(load) => load,
            Err(e) => {
                self.trouble.get_or_insert(e);
                return Made {
                    held: None,
                    out: t.lots.to_vec(),
                    why: Vec::new(),
                };
            }
        };
        let is_in = |i: &usize| {
            let first = self.lots[*i].pieces.first();
            first.is_some_and(|p| load.placed().any(|(_, q)| q.piece == p.id))
        };
        let (mut lots, out): (Vec<usize>, Vec<usize>) = t.lots.iter().partition(|i| is_in(i));
        lots.sort_unstable();
        let mut why = load.left_out.clone();
        if lots.is_empty() {
            let held = None;
            return Made { held, out, why };
        }
        match (self.foresee)(&load, Care::About) {
            Ok(course) => Made {
                held: Some(Held {
                    sort: t.sort,
                    kiln: t.kiln.to_owned(),
                    used: Used::by(&load),
                    lots,
                    load,
                    course,
                }),
                out,
                why,
            },
            Err(words) => {
                let pieces = lots.iter().flat_map(|i| &self.lots[*i].pieces);
                why.extend(pieces.map(|p| LeftOut {
                    piece: p.id.clone(),
                    rule: "not-foreseen".to_owned(),
                    why: words.clone(),
                    remedy: "Fire it by hand, by what is known of such ware".to_owned(),
                }));
                Made {
                    held: None,
                    out: t.lots.to_vec(),
                    why,
                }
            }
        }
    }

    /// The order of loading, with the time of each: earliest due date first, then what brings the
    /// fewest late. `None`: nobody is ever there.
    pub fn timed(&self, firings: &[Held]) -> Option<Vec<(usize, Slot)>> {
        let due = |i: usize| {
            let dues = firings[i].lots.iter().filter_map(|l| self.lots[*l].due);
            dues.min()
        };
        let mut order: Vec<usize> = (0..firings.len()).collect();
        order.sort_by_key(|i| (due(*i).is_none(), due(*i)));
        let mut slots = self.slots(firings, &order)?;
        let mut late = self.late(firings, &order, &slots);
        let mut moved = late.0 > 0;
        while moved {
            moved = false;
            for from in 1..order.len() {
                for to in 0..from {
                    let mut other = order.clone();
                    let taken = other.remove(from);
                    other.insert(to, taken);
                    let tried = self.slots(firings, &other)?;
                    let now = self.late(firings, &other, &tried);
                    if now < late {
                        (order, slots, late, moved) = (other, tried, now, true);
                    }
                }
            }
        }
        Some(order.into_iter().zip(slots).collect())
    }

    fn slots(&self, firings: &[Held], order: &[usize]) -> Option<Vec<Slot>> {
        let jobs: Vec<Job<'_>> = order.iter().map(|i| job(&firings[*i])).collect();
        self.given(&jobs)
    }

    fn given(&self, jobs: &[Job<'_>]) -> Option<Vec<Slot>> {
        let days = Days::new(&self.ask.studio.hours, &self.zone);
        let from_s = self.ask.from.timestamp().as_second();
        slots(&days, from_s, &self.ask.studio.furniture, jobs)
    }

    /// The day on which ware that misses the next firing of a kiln can be had: what is due by then is
    /// pressing.
    pub fn next_but_one(&self, firings: &[Held], kiln: &str) -> Option<Date> {
        let none = Used::default();
        let usual = Job {
            kiln,
            course: USUAL,
            used: &none,
        };
        let jobs: Vec<Job<'_>> = firings.iter().map(job).chain([usual, usual]).collect();
        let last = self.given(&jobs)?.last()?.done_s;
        day(last, &self.zone)
    }

    /// Pieces that come late, and their days of delay summed.
    fn late(&self, firings: &[Held], order: &[usize], slots: &[Slot]) -> (i64, i64) {
        let (mut count, mut days) = (0, 0);
        for (i, slot) in order.iter().zip(slots) {
            for lot in &firings[*i].lots {
                let delay = self.delay(*lot, slot).unwrap_or(0);
                if delay > 0 {
                    count += self.lots[*lot].pieces.len() as i64;
                    days += delay;
                }
            }
        }
        (count, days)
    }

    /// Days by which a lot misses the day before its due date, if it has one.
    pub fn delay(&self, lot: usize, slot: &Slot) -> Option<i64> {
        let due = self.lots[lot].due?;
        let done = day(slot.done_s, &self.zone)?;
        Some(i64::from(due.until(done).ok()?.get_days()) + 1)
    }

    /// How bad the firings are together; worst of all when nobody is ever there.
    pub fn score(&self, firings: &[Held]) -> Score {
        let Some(timed) = self.timed(firings) else {
            return Score([i64::MAX; 7]);
        };
        let (order, slots): (Vec<usize>, Vec<Slot>) = timed.into_iter().unzip();
        let (late, days) = self.late(firings, &order, &slots);
        let unfit = firings.iter().filter(|f| !f.course.fit).count() as i64;
        let cost = firings.iter().map(|f| f.course.cost.to_cents()).sum();
        let count = firings.len() as i64;
        let [first, second] = match self.ask.aim {
            Aim::Fewest => [count, cost],
            Aim::Cheapest => [cost, count],
        };
        // Ware heaped into some firings leaves others nearer to being none.
        let litres = firings.iter().map(|f| self.room_m3(&f.lots) * 1000.0);
        let heaped = litres.map(|l| l * l).sum::<f64>().round() as i64;
        let end = slots.iter().map(|s| s.done_s).max().unwrap_or(0);
        Score([late, days, unfit, first, -heaped, second, end])
    }
}
