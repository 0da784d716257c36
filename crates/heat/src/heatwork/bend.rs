//! From a cone that somebody reads back to the place on the ladder that its tier reached.

use glost_model::cone::Cone;

use super::clock::{Clock, share_of_hours};
use super::steepness;
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
        let at = members.iter().position(|m| m.cone == cone)?;
        let member = members.get(at)?;
        let first = Self::first(member);
        let share = share_of_hours(self.past_twelve());
        let done = first + share * (1.0 - first);
        let short_k = -done.ln() / steepness(member);
        let here = member.cone.position();
        // The ladder between this cone and the one below; below 022 as between the lowest two.
        let pair = match at.checked_sub(1) {
            Some(below) => (members.get(below)?, member),
            None => (member, members.get(1)?),
        };
        let end = |m: &Member| m.law.usual_k();
        let gap_k = end(pair.1) - end(pair.0);
        let step = pair.1.cone.position() - pair.0.cone.position();
        Some(here - short_k / gap_k * step)
    }
}
