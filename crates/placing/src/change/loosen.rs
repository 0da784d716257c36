//! Ware that is crowded where it stands, as a hand may have put it, finds room.

use std::collections::BTreeMap;

use super::asked::Asked;
use super::give_way::drop_out;
use super::seats::Seats;
use crate::engine::Pose;

/// Stands crowded ware near where it was, the largest first; else on another tier, or it goes out.
pub fn loosen(asked: &Asked, seats: &mut Seats<'_, '_, '_>) {
    let found = asked.loose.iter().filter_map(|id| seats.number(id));
    let there: BTreeMap<usize, (usize, Pose)> = found
        .filter_map(|i| seats.was[i].map(|was| (i, was)))
        .filter(|(i, (k, _))| seats.tier_of(*i) == Some(*k))
        .collect();
    let mut loose: Vec<(usize, (usize, Pose))> = there.into_iter().collect();
    let area = |i: usize| seats.task.ware[i].area_m2;
    loose.sort_by(|a, b| area(b.0).total_cmp(&area(a.0)));
    for (i, _) in &loose {
        seats.lift(*i);
    }
    for (i, (k, at)) in loose {
        let housed = [false, true]
            .into_iter()
            .any(|give_way| seats.seat(k, i, Some(at), give_way))
            || seats.house(i);
        if !housed {
            drop_out(seats, i, "no tier has room for it");
        }
    }
}
