//! The rate law of every cone, fitted once to the published end points.

mod chart;
mod fit;
mod law;
#[cfg(test)]
mod tests;

use std::sync::LazyLock;

use glost_model::cone::Cone;
use glost_model::{Rate, TempDiff, Temperature};

pub use chart::Column;
pub(crate) use law::Law;

/// The rate at which cones are compared, °C/h: the middle one of the chart.
pub(crate) const USUAL_C_PER_H: f64 = 60.0;

/// One cone of the ladder.
#[derive(Debug, Clone)]
pub(crate) struct Member {
    pub(crate) cone: Cone,
    pub(crate) law: Law,
    /// End point at 60 °C/h, K.
    pub(crate) end_k: f64,
    /// How far from there a real cone may be down, K; 95 of 100 are nearer.
    pub(crate) doubt_k: f64,
    /// From its neighbours, without a published end point of its own.
    guessed: bool,
}

impl Member {
    fn new(cone: Cone, law: Law, doubt_k: f64, guessed: bool) -> Self {
        Self {
            cone,
            end_k: law.end_k(USUAL_C_PER_H),
            law,
            doubt_k,
            guessed,
        }
    }
}

static SELF_SUPPORTING: LazyLock<Vec<Member>> = LazyLock::new(fit::self_supporting);
static LARGE: LazyLock<Vec<Member>> = LazyLock::new(|| fit::large(&SELF_SUPPORTING));

/// Every cone of a column, coolest first.
pub(crate) fn family(column: Column) -> &'static [Member] {
    match column {
        Column::SelfSupporting => &SELF_SUPPORTING,
        Column::Large => &LARGE,
    }
}

pub(crate) fn member(column: Column, cone: Cone) -> Option<&'static Member> {
    family(column).iter().find(|m| m.cone == cone)
}

/// Where a self-supporting cone is down when heated at this rate; see [`end_point_in`].
pub fn end_point(cone: Cone, rate: Rate) -> Option<Temperature> {
    end_point_in(Column::SelfSupporting, cone, rate)
}

/// Where a cone is down when heated at this rate. `None` for a rate that is not positive.
///
/// Cone 14 is led on from the cones below it, because none of its end points was retrieved:
/// its [`end_point_doubt`] is 20 °C, where most others have 3.
pub fn end_point_in(column: Column, cone: Cone, rate: Rate) -> Option<Temperature> {
    let member = member(column, cone)?;
    let r = rate.to_c_per_h();
    (r.is_finite() && r > 0.0).then(|| Temperature::k(member.law.end_k(r)))
}

/// How far from [`end_point_in`] a real cone may be down, either way: the ±2 °C to which cones
/// are made, and twice the root mean square of what the law misses. It holds near the rates that
/// were retrieved for the cone; slower than all of them the law leans on its neighbours' and may
/// miss by more.
pub fn end_point_doubt(column: Column, cone: Cone) -> Option<TempDiff> {
    member(column, cone).map(|m| TempDiff::k(m.doubt_k))
}
