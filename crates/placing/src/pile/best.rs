//! Whether piles help: the same load without them and with piles of several heights.

use glost_model::load::{FiringKind, LoadPlan};

use super::piled;
use super::top_up::top_up;
use crate::plan::{PlanAsk, Watcher};
use crate::ware::Ware;

/// Heights that piles are kept to, m, a load tried for each: three plates, a mug, a jug. Proposed
/// here: on made-up loads one of the first two was mostly best, and piles without a limit never.
const TALLEST_M: [f64; 3] = [0.08, 0.12, 0.2];
/// Share of the work that choosing among them takes; the rest is for single ware and for the best piles.
const CHOOSING: f64 = 0.3;

/// Fills a kiln: the question, the ware as bodies, and who watches.
type Fill<'f, 'a> = dyn Fn(&PlanAsk<'_>, &[Ware<'a>], &mut Watcher<'_>) -> Option<LoadPlan> + 'f;

/// The load worth most, of single pieces as of piles; nothing when `fill` finds none. Ware goes
/// singly when all of it goes so, and where it is no bisque.
pub fn best<'a>(
    ask: &PlanAsk<'_>,
    ware: &[Ware<'a>],
    fill: &Fill<'_, 'a>,
    watch: &mut Watcher<'_>,
) -> Option<LoadPlan> {
    if ask.kind != FiringKind::Bisque {
        return fill(ask, ware, watch);
    }
    let mut go_on = true;
    let mut value = 0.0_f64;
    // Fills, tops up, and tells of the work between two shares of it.
    let mut load = |ask: &PlanAsk<'_>, bodies: &[Ware<'a>], from: f64, to: f64| {
        let mut load = fill(ask, bodies, &mut |done, so_far, load| {
            let load = load.filter(|_| so_far >= value);
            go_on &= watch(from + (to - from) * done, value.max(so_far), load);
            go_on
        })?;
        top_up(ask, ware, &mut load);
        value = value.max(load.worth.value);
        Some((load, go_on))
    };
    let quick = PlanAsk { rounds: 0, ..*ask };
    let share = CHOOSING / (TALLEST_M.len() + 1) as f64;
    let (single, mut go_on) = load(&quick, ware, 0.0, share)?;
    if single.left_out.iter().all(|l| l.rule != "no-room")
        && single.placed().all(|(_, p)| p.on.is_none())
    {
        return Some(single);
    }
    let mut found = vec![single];
    let mut piles: Option<(f64, Vec<Ware<'a>>)> = None;
    for (n, tallest_m) in TALLEST_M.into_iter().enumerate() {
        let bodies = piled(ask, ware, tallest_m);
        if !go_on || bodies.len() == ware.len() {
            break;
        }
        let from = share * (n + 1) as f64;
        let tried;
        (tried, go_on) = load(&quick, &bodies, from, from + share)?;
        if piles.as_ref().is_none_or(|p| tried.worth.value > p.0) {
            piles = Some((tried.worth.value, bodies));
        }
        found.push(tried);
    }
    let half = f64::midpoint(CHOOSING, 1.0);
    let last = [
        (Some(ware), CHOOSING, half),
        (piles.as_ref().map(|p| p.1.as_slice()), half, 1.0),
    ];
    for (bodies, from, to) in last {
        if let (Some(bodies), true) = (bodies, go_on && ask.rounds > 0) {
            let tried;
            (tried, go_on) = load(ask, bodies, from, to)?;
            found.push(tried);
        }
    }
    // Single ware rather than piles worth the same.
    let over = |l: &LoadPlan| l.placed().filter(|(_, p)| p.on.is_some()).count();
    found.into_iter().reduce(|a, b| {
        let more = b.worth.value.total_cmp(&a.worth.value);
        if more.then_with(|| over(&a).cmp(&over(&b))).is_gt() {
            b
        } else {
            a
        }
    })
}
