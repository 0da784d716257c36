//! Puts ware that found no room on or in ware that stands in the kiln already. Nothing moves, as
//! each guest lies within the outline of what carries it: only height, load and balance count.

use glost_model::Length;
use glost_model::kiln::Kiln;
use glost_model::load::{LoadPlan, Placed, Side, Tier};
use glost_rules::value::{gap_above, gap_lid, gap_sensor, tip_margin};

use super::limits::{Limits, Link, WAYS};
use super::over;
use crate::RESERVE_M;
use crate::plan::PlanAsk;
use crate::region::Region;
use crate::stand::inside;
use crate::ware::Ware;

/// A place for a guest: tier, number in it after which it comes, and how it stands there.
struct Spot<'a> {
    tier: usize,
    after: usize,
    host: Link<'a>,
    link: Link<'a>,
    rise_m: f64,
}

/// Adds what finds a place, the most valuable first.
pub fn top_up(ask: &PlanAsk<'_>, ware: &[Ware<'_>], load: &mut LoadPlan) {
    let Some(kiln) = ask.studio.kiln(&load.kiln) else {
        return;
    };
    let limits = Limits::of(ask.book);
    let waits = |load: &LoadPlan, w: &Ware<'_>| {
        let out = load.left_out.iter().find(|l| l.piece == w.piece.id);
        out.is_some_and(|l| l.rule == "no-room")
            && w.piece.group.is_none()
            && limits.may_join(ask.studio, w)
    };
    // A guest may carry one that found no place before it.
    loop {
        let found = ware
            .iter()
            .filter(|w| waits(load, w))
            .find_map(|w| Some((w, spot(ask, kiln, ware, &limits, load, w)?)));
        let Some((w, spot)) = found else { break };
        let tier = &mut load.tiers[spot.tier];
        let host = tier.pieces[spot.after].clone();
        let over = over(&spot.host, &spot.link, &w.mind);
        tier.pieces.insert(
            spot.after + 1,
            Placed {
                piece: w.piece.id.clone(),
                on: Some(over.on),
                raised_m: Length::m(over.raised_m),
                mind: over.mind,
                ..host
            },
        );
        load.left_out.retain(|l| l.piece != w.piece.id);
        load.worth.value += w.value;
    }
}

/// The place that adds least height, on the lowest tier among equals.
fn spot<'a>(
    ask: &PlanAsk<'_>,
    kiln: &Kiln,
    ware: &[Ware<'a>],
    limits: &Limits,
    load: &LoadPlan,
    guest: &Ware<'a>,
) -> Option<Spot<'a>> {
    let by_id = |id: &str| ware.iter().find(|w| w.piece.id == id);
    let mut best: Option<Spot<'a>> = None;
    for (t, tier) in load.tiers.iter().enumerate() {
        for (n, lowest) in tier.pieces.iter().enumerate() {
            let Some(base) = by_id(&lowest.piece) else {
                continue;
            };
            if lowest.on.is_some() || !limits.may_join(ask.studio, base) {
                continue;
            }
            let mut pile = vec![Link::lowest(base.piece)];
            for p in &tier.pieces[n + 1..] {
                let (Some(on), Some(w)) = (&p.on, by_id(&p.piece)) else {
                    break;
                };
                pile.push(Link {
                    piece: w.piece,
                    how: Some(on.how),
                    raised_m: p.raised_m.to_m(),
                });
            }
            let height = |p: &[Link<'_>]| p.iter().map(Link::top_m).fold(0.0, f64::max);
            let links = WAYS
                .into_iter()
                .filter_map(|how| limits.joins(&pile, guest.piece, how));
            for link in links {
                let (now_m, top_m) = (height(&pile), height(&pile).max(link.top_m()));
                let rise_m = top_m - now_m;
                if best.as_ref().is_none_or(|b| rise_m < b.rise_m)
                    && has_room(ask, kiln, load, tier, (lowest, base), top_m, guest.mass_kg)
                {
                    best = Some(Spot {
                        tier: t,
                        after: n + pile.len() - 1,
                        host: pile[pile.len() - 1],
                        link,
                        rise_m,
                    });
                }
            }
        }
    }
    best
}

/// Whether a pile may be so high and so much heavier where it stands.
fn has_room(
    ask: &PlanAsk<'_>,
    kiln: &Kiln,
    load: &LoadPlan,
    tier: &Tier,
    (lowest, base): (&Placed, &Ware<'_>),
    top_m: f64,
    more_kg: f64,
) -> bool {
    let at_lid = (tier.top_m + tier.clear_m - kiln.height).abs() < Length::mm(0.1);
    let head = ask.book.length(if at_lid {
        &gap_lid::RULE
    } else {
        &gap_above::RULE
    });
    top_m + head.to_m() <= tier.clear_m.to_m() - 5e-5
        && clear_of_sensor(ask, kiln, tier, (lowest, base), top_m)
        && bears(ask, load, tier, lowest, more_kg)
}

/// The pile ends under the sensor's room, or stands beside it.
fn clear_of_sensor(
    ask: &PlanAsk<'_>,
    kiln: &Kiln,
    tier: &Tier,
    (lowest, base): (&Placed, &Ware<'_>),
    top_m: f64,
) -> bool {
    let keep_m = ask.book.length(&gap_sensor::RULE).to_m() + RESERVE_M;
    let above_m = (kiln.sensor.height - tier.top_m).to_m();
    if above_m + keep_m < 0.0 || top_m < above_m - keep_m {
        return true;
    }
    let (sin, cos) = kiln.sensor.angle.to_rad().sin_cos();
    let wall_m = Region::chamber(&kiln.chamber).reach([0.0, 0.0], [cos, sin], 0.0);
    let (x, y) = (lowest.x_m.to_m(), lowest.y_m.to_m());
    let along_m = (x * cos + y * sin).clamp(wall_m - kiln.sensor.reach.to_m(), wall_m);
    let apart_m = (x - along_m * cos).hypot(y - along_m * sin);
    let (w, h) = base.piece.widest.extent();
    // A circle about the middle that holds any outline but a polygon, which carries nothing.
    apart_m >= keep_m + w.to_m().hypot(h.to_m()) / 2.0
}

/// The shelf bears it, and its weight stays inside the posts.
fn bears(ask: &PlanAsk<'_>, load: &LoadPlan, tier: &Tier, at: &Placed, more_kg: f64) -> bool {
    let shelves = &ask.studio.furniture.shelves;
    let Some(shelf) = shelves.iter().find(|s| s.name == tier.shelf) else {
        return false;
    };
    let own_kg = shelf.mass.to_kg();
    let middle_m = match tier.side {
        Side::Full => 0.0,
        Side::Left | Side::Right => {
            Region::shelf(&shelf.shape, tier.side)
                .measure()
                .centroid_x_m
        }
    };
    let here = load.tiers.iter().filter(|t| t.name == tier.name);
    let ware = here.flat_map(|t| &t.pieces).filter_map(|p| {
        let kg = ask.studio.piece(&p.piece)?.mass.to_kg();
        Some((kg, p.x_m.to_m(), p.y_m.to_m()))
    });
    let more = (more_kg, at.x_m.to_m(), at.y_m.to_m());
    let all = ware.chain([more]).fold(
        (0.0, own_kg * middle_m, 0.0),
        |(kg, x, y), (m, at_x, at_y)| (kg + m, x + m * at_x, y + m * at_y),
    );
    let whole_kg = own_kg + all.0;
    let posts: Vec<[f64; 2]> = tier
        .posts
        .iter()
        .map(|p| [p.x_m.to_m(), p.y_m.to_m()])
        .collect();
    let margin_m = ask.book.length(&tip_margin::RULE).to_m() + 0.003;
    all.0 <= shelf.load_limit.to_kg()
        && inside(&posts, [all.1 / whole_kg, all.2 / whole_kg]) > margin_m
}
