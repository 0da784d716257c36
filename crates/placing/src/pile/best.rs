//! Whether piles help: the same load without them and with piles of several heights.

use glost_model::load::{FiringKind, LoadPlan};

use super::piled;
use super::top_up::top_up;
use crate::plan::PlanAsk;
use crate::ware::Ware;

/// Heights that piles are kept to, m, one load for each. Proposed here: below a mug, a mug, a jug,
/// and none.
const TALLEST_M: [f64; 4] = [0.08, 0.13, 0.2, f64::INFINITY];
/// Share of the work that choosing among them takes.
const CHOOSING: f64 = 0.3;

/// Fills a kiln: the question, the ware as bodies, and who watches.
type Fill<'f, 'a> = dyn Fn(&PlanAsk<'_>, &[Ware<'a>], &mut dyn FnMut(f64, f64) -> bool) -> Option<LoadPlan>
    + 'f;

/// The load worth most, of single pieces as of piles; nothing when `fill` finds none. Ware goes
/// singly when all of it goes so, and where it is no glaze firing.
pub fn best<'a>(
    ask: &PlanAsk<'_>,
    ware: &[Ware<'a>],
    fill: &Fill<'_, 'a>,
    watch: &mut dyn FnMut(f64, f64) -> bool,
) -> Option<LoadPlan> {
    if ask.kind != FiringKind::Bisque {
        return fill(ask, ware, watch);
    }
    let quick = PlanAsk { rounds: 0, ..*ask };
    let mut first: Option<(LoadPlan, Vec<Ware<'a>>)> = None;
    let mut go_on = true;
    for n in 0..=TALLEST_M.len() {
        let bodies = n
            .checked_sub(1)
            .map_or_else(|| ware.to_vec(), |k| piled(ask, ware, TALLEST_M[k]));
        let value = first.as_ref().map_or(0.0, |f| f.0.worth.value);
        let from = n as f64;
        let mut load = fill(&quick, &bodies, &mut |done, so_far| {
            let done = CHOOSING * (from + done) / (TALLEST_M.len() + 1) as f64;
            go_on &= watch(done, value.max(so_far));
            go_on
        })?;
        if n == 0 && load.left_out.iter().all(|l| l.rule != "no-room") {
            return Some(load);
        }
        top_up(ask, ware, &mut load);
        if load.worth.value > value || first.is_none() {
            first = Some((load, bodies));
        }
        if !go_on {
            break;
        }
    }
    let (first, bodies) = first?;
    if !go_on || ask.rounds == 0 {
        return Some(first);
    }
    let value = first.worth.value;
    let mut load = fill(ask, &bodies, &mut |done, so_far| {
        watch(CHOOSING + (1.0 - CHOOSING) * done, value.max(so_far))
    })?;
    top_up(ask, ware, &mut load);
    Some(if load.worth.value < value { first } else { load })
}
