//! From a cone that somebody reads back to the place on the ladder that its tier reached.

use glost_model::cone::Cone;

use super::clock::{Clock, share_of_hours};
use crate::family::{Column, Member, family};

impl Clock {
    /// A reading by eye: hours past 12, from 0 (upright) to 6 (down). `None` when it is not a number; beyond its ends
    /// it is at them.
    pub fn read(past_twelve: f64) -> Option<Self> {
        past_twelve
            .is_finite()
            .then(|| Self::at(past_twelve.clamp(0.0, 6.0)))
    }

    /// Where on the ladder a kiln is in which this cone points so, heated at 60 °C/h; a cone that is just down gives its
    /// own place. An upright or a flat cone only says that it is no more, or no less. `None` for a cone without a law.
    pub fn place(self, cone: Cone) -> Option<f64> {
        let members = family(Column::SelfSupporting);
        let member = members.iter().find(|m| m.cone == cone)?;
        let first = Self::first(member);
        let done = first + share_of_hours(self.past_twelve()) * (1.0 - first);
        let at_k = member.law.usual_k() - short_k(member, done);
        // Decimals are linear in end points; below 022 as between the lowest two.
        let above = members.iter().position(|m| m.law.usual_k() > at_k)?.max(1);
        let (a, b) = (members.get(above - 1)?, members.get(above)?);
        let (from_k, to_k) = (a.law.usual_k(), b.law.usual_k());
        let (from, to) = (a.cone.position(), b.cone.position());
        Some(from + (to - from) * (at_k - from_k) / (to_k - from_k))
    }
}

/// How far short of its end, heated at 60 °C/h, a cone has this share of its heat-work: halved down to a hundredth of a K.
fn short_k(member: &Member, done: f64) -> f64 {
    let (mut near, mut far) = (0.0, 40.0);
    for _ in 0..12 {
        let middle = (near + far) / 2.0;
        if member.law.share_at(middle) > done {
            near = middle;
        } else {
            far = middle;
        }
    }
    (near + far) / 2.0
}
