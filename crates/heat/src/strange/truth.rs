//! What really happened in a strange kiln.

use glost_model::book::fired::ConeRead;
use glost_model::cone::Cone;
use glost_model::readings::Sample;
use glost_model::{Energy, Span, TempDiff, Temperature};
use jiff::{SignedDuration, Timestamp};

use super::chance::Chance;
use crate::HeatWork;

/// A firing with all that its instruments told, and the truth beside it.
#[derive(Debug, Clone, PartialEq)]
pub struct Fired {
    /// The log.
    pub samples: Vec<Sample>,
    /// The truth.
    pub truth: Truth,
}

/// What really happened.
#[derive(Debug, Clone, PartialEq)]
pub struct Truth {
    /// Tiers in the order of the load's shelves.
    pub tiers: Vec<TierTruth>,
    /// Witness cones as somebody read them: the planned one with those below and above, on each tier. Readings are
    /// off by up to a quarter of an hour on the clock face.
    pub cones: Vec<ConeRead>,
    /// Energy drawn.
    pub energy: Energy,
    /// When the hold at the peak was over; nothing when it never was.
    pub peak_over: Option<Span>,
    /// When the programme was over.
    pub over: Option<Span>,
    /// When sensor and ware were below what the load allows for opening.
    pub open: Option<Span>,
    /// The controller gave up.
    pub gave_up: bool,
    /// Where the energy went.
    pub ledger: Ledger,
}

/// One tier.
#[derive(Debug, Clone, PartialEq)]
pub struct TierTruth {
    /// Name, as in the load.
    pub tiers: String,
    /// Place of its cone on the ladder; nothing below 022.
    pub cone: Option<f64>,
    /// Hottest that its cone got.
    pub peak: Temperature,
    /// Its cone's temperature over time, as often as the log.
    pub curve: Vec<(Span, Temperature)>,
}

/// Energy, J.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Ledger {
    /// Drawn by the elements.
    pub drawn_j: f64,
    /// Through the lining and open lid.
    pub lost_j: f64,
    /// With air.
    pub leaked_j: f64,
    /// Taken up by water.
    pub reacted_j: f64,
    /// In lining and load at the end.
    pub stored_j: f64,
}

impl Ledger {
    pub(super) fn add(&mut self, dt: f64, drawn: f64, lost: f64, leaked: f64) {
        self.drawn_j += drawn * dt;
        self.lost_j += lost * dt;
        self.leaked_j += leaked * dt;
    }

    /// What is not accounted for.
    pub fn open_j(&self) -> f64 {
        self.drawn_j - self.lost_j - self.leaked_j - self.reacted_j - self.stored_j
    }
}

/// Below this no cone moves, K.
const COUNTS_K: f64 = 750.0;
/// A cone trails what it sees by this, s.
const TRAILS_S: f64 = 45.0;
/// Heat-work is gathered in pieces of this, s.
const PIECE_S: f64 = 60.0;
/// Cones are made to ±2 °C of the reference cone, read as two deviations, K.
const MADE_K: f64 = 1.0;

/// A witness on its tier.
#[derive(Debug, Clone)]
pub(super) struct Witness {
    pub name: String,
    pub slice: usize,
    temp_k: f64,
    peak_k: f64,
    work: HeatWork,
    piece: (f64, f64),
    pub curve: Vec<(Span, Temperature)>,
}

impl Witness {
    pub fn new(name: String, slice: usize, start_k: f64) -> Self {
        Self {
            name,
            slice,
            temp_k: start_k,
            peak_k: start_k,
            work: HeatWork::new(),
            piece: (0.0, start_k),
            curve: Vec::new(),
        }
    }

    pub fn follow(&mut self, around_k: f64, dt: f64) {
        self.temp_k += (around_k - self.temp_k) * (1.0 - (-dt / TRAILS_S).exp());
        self.peak_k = self.peak_k.max(self.temp_k);
        self.piece.0 += dt;
        if self.piece.0 >= PIECE_S {
            let (took, from) = self.piece;
            self.piece = (0.0, self.temp_k);
            if self.temp_k.max(from) > COUNTS_K {
                let temps = [from, self.temp_k].map(Temperature::k);
                // Finite and in order: nothing to refuse.
                if self.work.push(Span::s(took), temps[0], temps[1]).is_err() {
                    self.work = HeatWork::new();
                }
            }
        }
    }

    pub fn write(&mut self, time: Span) {
        self.curve.push((time, Temperature::k(self.temp_k)));
    }

    pub fn truth(&self) -> TierTruth {
        TierTruth {
            tiers: self.name.clone(),
            cone: self.work.position(),
            peak: Temperature::k(self.peak_k),
            curve: self.curve.clone(),
        }
    }

    /// Three cones, read by eye when the kiln is opened.
    pub fn read(&self, wanted: Cone, at: Timestamp, chance: &mut Chance) -> Vec<ConeRead> {
        let place = wanted.position();
        let cones = [place - 1.0, place, place + 1.0];
        let cones = cones.into_iter().filter_map(Cone::from_position);
        cones
            .filter_map(|cone| {
                let made = self.made(cone, TempDiff::k(chance.normal(MADE_K)))?;
                let hour = (made + chance.between(-0.25, 0.25)).clamp(0.0, 6.0);
                Some(ConeRead {
                    tier: self.name.clone(),
                    cone,
                    clock: if hour < 1e-9 { 12.0 } else { hour },
                    who: "by eye".into(),
                    at,
                })
            })
            .collect()
    }

    /// Hours past twelve of a cone that is so much softer than the reference cone.
    fn made(&self, cone: Cone, softer: TempDiff) -> Option<f64> {
        let mut own = HeatWork::new();
        let mut before: Option<(Span, Temperature)> = None;
        for (time, temp) in &self.curve {
            if let Some((from_time, from)) = before
                && from.max(*temp) > Temperature::k(COUNTS_K)
            {
                own.push(*time - from_time, from + softer, *temp + softer)
                    .ok()?;
            }
            before = Some((*time, *temp));
        }
        own.bend_clock(cone).map(crate::Clock::past_twelve)
    }
}

/// A moment so long after another.
pub(super) fn later(start: Timestamp, by: Span) -> Timestamp {
    let ms = (by.to_s() * 1000.0).round() as i64;
    let by = SignedDuration::from_millis(ms);
    start.saturating_add(by).unwrap_or(start)
}
