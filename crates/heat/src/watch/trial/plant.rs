//! Faults that are planted, and which alarm is the right one.

use glost_model::Span;
use glost_model::firing::{FiringPlan, Segment};
use rand::RngExt as _;
use rand_chacha::ChaCha8Rng;

use super::super::AlarmKind;
use crate::strange::{Fault, Planted};

/// A fault with what ought to ring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plant {
    /// Short name.
    pub id: &'static str,
    /// In words.
    pub words: &'static str,
    /// What goes wrong; the band of it is drawn.
    pub fault: Fault,
    /// How much of it, where not as much as usual.
    pub how_much: Option<f64>,
    /// Alarms that say what it is. None: no rule looks for it.
    pub right: &'static [AlarmKind],
}

/// What is planted: every fault that there is, and half of a ring of elements.
pub const PLANTS: [Plant; 12] = {
    use AlarmKind::{
        ElementOut, LidOpen, MainsLow, PowerCut, SensorOpen, SensorReversed, SensorSlipped,
        Stalled, StuckOn,
    };
    [
        plant(
            "element-out",
            "one of three rings of elements out",
            Fault::ElementOut(0),
            &[ElementOut],
        ),
        Plant {
            how_much: Some(0.5),
            ..plant(
                "half-ring-out",
                "half a ring out",
                Fault::ElementOut(0),
                &[ElementOut, MainsLow],
            )
        },
        plant(
            "relay-stuck",
            "relay of one ring welded shut",
            Fault::RelayStuck(0),
            &[StuckOn],
        ),
        plant(
            "sensor-slips",
            "sensor slips half way into the wall",
            Fault::SensorSlips,
            &[SensorSlipped],
        ),
        plant(
            "sensor-open",
            "sensor broken",
            Fault::SensorOpen,
            &[SensorOpen],
        ),
        plant(
            "sensor-reversed",
            "leads of the sensor crossed, from the start",
            Fault::SensorReversed,
            &[SensorReversed],
        ),
        plant(
            "sensor-drifts",
            "sensor drifts by 8 K an hour",
            Fault::SensorDrifts,
            &[],
        ),
        plant("lid-open", "lid open by 15 %", Fault::LidOpen, &[LidOpen]),
        plant("plug-open", "two plugs out", Fault::PlugOpen, &[LidOpen]),
        plant("mains-sag", "mains 12 % low", Fault::MainsSag, &[MainsLow]),
        plant(
            "power-cut",
            "no power for 45 min",
            Fault::PowerCut,
            &[PowerCut],
        ),
        plant(
            "stall",
            "45 % of the power gone",
            Fault::Stall,
            &[Stalled, ElementOut],
        ),
    ]
};

const fn plant(
    id: &'static str,
    words: &'static str,
    fault: Fault,
    right: &'static [AlarmKind],
) -> Plant {
    Plant {
        id,
        words,
        fault,
        how_much: None,
        right,
    }
}

impl Plant {
    /// Draws one for a firing: which band, and when.
    pub(super) fn draw(&self, plan: &FiringPlan, bands: usize, r: &mut ChaCha8Rng) -> Planted {
        let band = r.random_range(0..bands.max(1));
        let share = r.random_range(0.1..0.9);
        let fault = match self.fault {
            Fault::ElementOut(_) => Fault::ElementOut(band),
            Fault::RelayStuck(_) => Fault::RelayStuck(band),
            other => other,
        };
        // Leads are crossed by whoever changed the sensor, not in the middle of a firing.
        let at = if fault == Fault::SensorReversed {
            Span::ZERO
        } else {
            climbs_for(plan) * share
        };
        let planted = Planted::new(fault, at);
        Planted {
            how_much: self.how_much.unwrap_or(planted.how_much),
            ..planted
        }
    }
}

/// How long the plan takes to the end of its peak where the kiln keeps up.
fn climbs_for(plan: &FiringPlan) -> Span {
    let last = plan.peak().unwrap_or_default();
    let mut from_k = plan_start_k();
    let mut long_s = 0.0;
    for s in plan.segments.iter().take(last + 1) {
        let way = (s.target.to_k() - from_k).abs();
        long_s += s.rate.map_or(0.0, |r| way / r.to_k_per_s().abs()) + s.hold.to_s();
        from_k = s.target.to_k();
    }
    Span::s(long_s)
}

/// About how warm a kiln is before, K.
const fn plan_start_k() -> f64 {
    293.15
}

/// Some plans cool under control after their peak, some hold on the way down, some let go for a while.
pub(super) fn cooling(plan: &mut FiringPlan, r: &mut ChaCha8Rng) {
    let Some(peak) = plan.segments.last().map(|s| s.target) else {
        return;
    };
    if !r.random_bool(0.3) {
        return;
    }
    let drop = r.random_range(90.0..260.0);
    let rate = r.random_range(40.0..160.0);
    let freely = r.random_bool(0.4);
    let hold = [0.0, 20.0, 60.0][r.random_range(0..3)];
    plan.segments.push(Segment {
        rate: (!freely).then(|| glost_model::Rate::c_per_h(rate)),
        target: peak - glost_model::TempDiff::k(drop),
        hold: Span::minutes(hold),
        reason: String::new(),
    });
}
