//! When a waiting piece will probably be back: an honest band from the firings of the past weeks and
//! the ware that waits before it. There is no clock here: the caller says what day it is.
//!
//! Firings of one sort (bisque; glaze by the family of the cone) form a row, those of one day
//! together. Between two days of it lie so many days on average, and on each so much ware goes on
//! average; ware that waited longer goes first. A gap that is not over yet counts as soon as it is
//! longer than the mean. A piece behind one load of ware goes in the second load from now. The band
//! is the interval in which a sum of that many gaps falls in four of five cases, when gaps are as they were
//! and nearly normal: mean of k gaps ± t·s·√(k + k²/n), with the mean and spread s of n gaps and t
//! of Student's table (from memory). Loads are made by fit, so a piece may be lucky or not: that is
//! in the words and not in the band.

mod pace;

use glost_model::cone::Cone;
use glost_model::load::FiringKind;
use glost_model::piece::PieceId;
use glost_model::{Area, Span};
use jiff::civil::Date;
use jiff::{SpanRelativeTo, ToSpan as _};

use pace::{FEWEST, Pace};

/// Firings longer ago than this say nothing of today, days.
const WEEKS: i64 = 12;
/// From the day a firing starts to the day its ware is out: it fires over night and cools for a day
/// (common practice, no source).
const OUT_AFTER: f64 = 2.0;
/// A band that ends later than this is no date any more, days.
const FURTHEST: f64 = 365.0;

/// A piece that waits.
#[derive(Debug, Clone, PartialEq)]
pub struct Waiting {
    /// Which piece.
    pub id: PieceId,
    /// Its next firing.
    pub kind: FiringKind,
    /// Cone of that firing.
    pub cone: Cone,
    /// When it came in; without a day it stands last.
    pub came_in: Option<Date>,
    /// Shelf that it covers.
    pub area: Area,
}

/// A firing that was done.
#[derive(Debug, Clone, PartialEq)]
pub struct PastFiring {
    /// The day it was started.
    pub on: Date,
    /// Kiln's name.
    pub kiln: String,
    /// Bisque or glaze.
    pub kind: FiringKind,
    /// Its cone.
    pub cone: Cone,
    /// How many pieces were in it.
    pub pieces: usize,
    /// Shelf that these covered.
    pub area: Area,
}

/// A firing that is planned, or burns, or cools.
#[derive(Debug, Clone, PartialEq)]
pub struct OpenFiring {
    /// The day it starts.
    pub on: Date,
    /// Kiln's name.
    pub kiln: String,
    /// Bisque or glaze.
    pub kind: FiringKind,
    /// Its cone.
    pub cone: Cone,
    /// From its start until its ware may come out.
    pub out_after: Span,
    /// Its pieces.
    pub pieces: Vec<PieceId>,
}

/// When a piece is expected back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Expected {
    /// First and last day; nothing when the past says too little.
    pub band: Option<(Date, Date)>,
    /// Why these days, or why none.
    pub words: String,
}

impl Expected {
    fn none(why: &str) -> Self {
        Self {
            band: None,
            words: format!("no date yet: {why}"),
        }
    }
}

/// The days on which waiting pieces are expected back, in the order of the queue. Pieces of an open
/// firing get its day and its cooling; the others a band, counted from `today` and from the last
/// firing of their sort, done or planned. More ware before a piece never makes its days earlier.
pub fn expected(
    today: Date,
    queue: &[Waiting],
    past: &[PastFiring],
    open: &[OpenFiring],
) -> Vec<(PieceId, Expected)> {
    let planned = |w: &Waiting| open.iter().find(|f| f.pieces.contains(&w.id));
    let waits: Vec<&Waiting> = queue.iter().filter(|w| planned(w).is_none()).collect();
    queue
        .iter()
        .map(|w| {
            let said = match planned(w) {
                Some(firing) => in_firing(firing),
                None => in_queue(today, w, &waits, past, open),
            };
            (w.id.clone(), said)
        })
        .collect()
}

fn in_firing(firing: &OpenFiring) -> Expected {
    let days = firing.out_after.to_h().max(0.0) / 24.0;
    let out = later(firing.on, days.ceil());
    Expected {
        band: Some((out, out)),
        words: format!(
            "it is in the firing of {} on {}, cold and out by {out}",
            firing.kiln, firing.on
        ),
    }
}

/// Firings that can stand for one another.
fn same_sort(a: (FiringKind, Cone), b: (FiringKind, Cone)) -> bool {
    a.0 == b.0 && (a.0 == FiringKind::Bisque || a.1.range_name() == b.1.range_name())
}

fn in_queue(
    today: Date,
    piece: &Waiting,
    waits: &[&Waiting],
    past: &[PastFiring],
    open: &[OpenFiring],
) -> Expected {
    let sort = (piece.kind, piece.cone);
    let name = match piece.kind {
        FiringKind::Bisque => "bisque firings".to_owned(),
        FiringKind::Glaze => format!("glaze firings ({})", piece.cone.range_name()),
    };
    let recent = |on: Date| (0..=WEEKS * 7).contains(&days_between(on, today));
    let fired = past
        .iter()
        .filter(|f| same_sort((f.kind, f.cone), sort) && recent(f.on));
    let fired: Vec<&PastFiring> = fired.collect();
    // Planned firings of the sort come first; then the row goes on from the last of all.
    let next = open.iter().filter(|f| same_sort((f.kind, f.cone), sort));
    let next = next.map(|f| f.on).max();
    let pace = match Pace::of(&fired, next.unwrap_or(today)) {
        Ok(pace) => pace,
        Err(found) => {
            let there = match found.as_str() {
                "1" => format!("was 1 {}", name.replacen("firings", "firing", 1)),
                _ => format!("were {found} {name}"),
            };
            return Expected::none(&format!(
                "there {there} in the past {WEEKS} weeks, and it takes {FEWEST} to tell how often they come"
            ));
        }
    };
    let before: Vec<&&Waiting> = waits
        .iter()
        .filter(|w| same_sort((w.kind, w.cone), sort) && goes_before(w, piece))
        .collect();
    let Some((sooner, later_load)) = pace.loads(&before, piece) else {
        return Expected::none(&format!("the past {name} do not say how much was in them"));
    };
    let last = next.map_or(pace.last, |next| next.max(pace.last));
    let since = days_between(last, today) as f64;
    let from = pace.soonest(sooner, since) + OUT_AFTER;
    let to = pace.latest(later_load, since) + OUT_AFTER;
    if to > FURTHEST {
        return Expected::none(&format!(
            "so much waits before it that {name} at the pace of the past {WEEKS} weeks would take a year"
        ));
    }
    let (from, to) = (later(today, from.floor()), later(today, to.ceil()));
    let ahead = match before.len() {
        0 => "nothing waits before it".to_owned(),
        1 => "one piece waits before it".to_owned(),
        n => format!("{n} pieces wait before it"),
    };
    Expected {
        band: Some((from, to)),
        words: format!(
            "{ahead}: back between {from} and {to} if {name} go on coming about every {} days ({} in the past {WEEKS} weeks) and it fits",
            glost_model::shown::trimmed(pace.mean, 1),
            fired.len()
        ),
    }
}

/// True when `a` has waited longer; equals by their names, so that the order never depends on chance.
fn goes_before(a: &Waiting, b: &Waiting) -> bool {
    let key = |w: &Waiting| (w.came_in.unwrap_or(Date::MAX), w.id.clone());
    key(a) < key(b)
}

fn days_between(from: Date, to: Date) -> i64 {
    let relative = SpanRelativeTo::days_are_24_hours();
    (to - from)
        .total((jiff::Unit::Day, relative))
        .map_or(0, |d| d as i64)
}

fn later(day: Date, days: f64) -> Date {
    day.saturating_add((days as i64).days())
}
