//! The rate laws of all cones, fitted together to the published end points.

mod chart;
mod fit;
mod ladder;
mod law;
mod least;
#[cfg(test)]
mod tests;

use std::sync::LazyLock;

use glost_model::cone::Cone;
use glost_model::{Rate, TempDiff, Temperature};

pub(crate) use chart::{Cell, cells, published};
pub use chart::{Column, Confidence};
pub(crate) use law::Law;

/// The rate at which cones are compared, °C/h: the middle one of the chart.
pub(crate) const USUAL_C_PER_H: f64 = 60.0;
/// Rates at which the doubt of an end point is worked out, °C/h: those of the chart, and the ends of
/// the range in which no cone overtakes the next.
const RATES_C_PER_H: [f64; 5] = [5.0, 15.0, 60.0, 150.0, 300.0];

/// One cone of the ladder.
#[derive(Debug, Clone)]
pub(crate) struct Member {
    pub(crate) cone: Cone,
    pub(crate) law: Law,
    /// [`Law::usual_z`] of it, a sum that is asked for often.
    pub(crate) usual_z: f64,
    /// Standard deviation of a real cone's end point at each of the rates, K.
    deviation_k: [f64; RATES_C_PER_H.len()],
}

impl Member {
    fn new(cone: Cone, law: Law, deviation_k: [f64; RATES_C_PER_H.len()]) -> Self {
        Self {
            usual_z: law.usual_z(),
            cone,
            law,
            deviation_k,
        }
    }

    /// Standard deviation of a real cone's end point about the law, K: how cones are made, what
    /// the law misses, and how loosely the chart holds the law at that rate.
    pub(crate) fn deviation_k(&self, rate_c_per_h: f64) -> f64 {
        ladder::at_rate(&self.deviation_k, rate_c_per_h)
    }
}

/// The members of both columns.
pub(crate) struct Family {
    self_supporting: Vec<Member>,
    large: Vec<Member>,
}

impl Family {
    /// Fits to these cells.
    pub(crate) fn of(cells: &[Cell]) -> Self {
        let found = fit::joint(cells);
        let of = |column| ladder::whole(&found, column);
        Self {
            self_supporting: of(Column::SelfSupporting),
            large: of(Column::Large),
        }
    }

    /// Every cone of a column, coolest first.
    pub(crate) fn column(&self, column: Column) -> &[Member] {
        match column {
            Column::SelfSupporting => &self.self_supporting,
            Column::Large => &self.large,
        }
    }

    pub(crate) fn member(&self, column: Column, cone: Cone) -> Option<&Member> {
        self.column(column).iter().find(|m| m.cone == cone)
    }
}

static FAMILY: LazyLock<Family> = LazyLock::new(|| Family::of(&published()));

/// Every cone of a column, coolest first.
pub(crate) fn family(column: Column) -> &'static [Member] {
    FAMILY.column(column)
}

pub(crate) fn member(column: Column, cone: Cone) -> Option<&'static Member> {
    FAMILY.member(column, cone)
}

/// The law of any place on the ladder, 5.3 as well as 5; see [`Cone::position`].
pub(crate) fn law_at(column: Column, position: f64) -> Option<Law> {
    family(column).windows(2).find_map(|pair| {
        let [a, b] = pair else { return None };
        let (from, to) = (a.cone.position(), b.cone.position());
        (from..=to)
            .contains(&position)
            .then(|| a.law.towards(&b.law, (position - from) / (to - from)))
    })
}

fn sane(rate: Rate) -> Option<f64> {
    let r = rate.to_c_per_h();
    (r.is_finite() && r > 0.0).then_some(r)
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
    let (member, r) = (member(column, cone)?, sane(rate)?);
    Some(Temperature::k(member.law.end_k(r)))
}

/// Where a decimal of a cone (5.3; −4.5 is 05½) would be down when heated at this rate: between its
/// neighbours. `None` off the ladder, see [`Cone::position`], or for a rate that is not positive.
pub fn end_point_at(column: Column, position: f64, rate: Rate) -> Option<Temperature> {
    let (law, r) = (law_at(column, position)?, sane(rate)?);
    Some(Temperature::k(law.end_k(r)))
}

/// How far from [`end_point_in`] a real cone may be down at this rate, either way: 95 of 100 are
/// nearer. It joins the ±2 °C to which cones are made, what the laws miss, and how loosely the
/// chart holds the law at a rate far from the cone's own cells.
pub fn end_point_doubt(column: Column, cone: Cone, rate: Rate) -> Option<TempDiff> {
    let (member, r) = (member(column, cone)?, sane(rate)?);
    Some(TempDiff::k(2.0 * member.deviation_k(r)))
}
