//! Packs of witness cones: which shelves get one, and where it stands.

use glost_model::Length;
use glost_model::kiln::Kiln;
use glost_model::load::{CONE_PACK_HEIGHT, CONE_PACK_RADIUS, ConePack, Tier};
use glost_rules::value::{gap_pack, witness_packs};

use crate::RESERVE_M;
use crate::plan::PlanAsk;
use crate::region::Region;
use crate::skeleton::Level;
use crate::write::stands_on;

/// A shelf as packs see it.
#[derive(Debug, Clone, Copy)]
pub struct Spot {
    /// Height of its top, mm.
    pub top_mm: f64,
    /// Clear height over it, mm.
    pub clear_mm: f64,
    /// Whether a pack stands there.
    pub has: bool,
}

/// Numbers of the shelves that still want a pack: the lowest, the highest, then those nearest the middle.
pub fn wanted(ask: &PlanAsk<'_>, kiln: &Kiln, shelves: &[Spot]) -> Vec<usize> {
    let count = ask.book.count(&witness_packs::RULE);
    let high = kiln.height.to_mm();
    let mut able: Vec<usize> = (0..shelves.len())
        .filter(|i| shelves[*i].clear_mm > CONE_PACK_HEIGHT.to_mm())
        .collect();
    let mut chosen = Vec::new();
    let aims = match count {
        0 | 1 => vec![high / 2.0; count],
        more => [vec![0.0, high], vec![high / 2.0; more - 2]].concat(),
    };
    for aim in aims {
        let off = |i: &usize| (shelves[*i].top_mm - aim).abs();
        // Of shelves as near, that which has one.
        let near = |a: &usize, b: &usize| {
            let has = |i: &usize| !shelves[*i].has;
            off(a).total_cmp(&off(b)).then(has(a).cmp(&has(b)))
        };
        let nearest = able.iter().copied().min_by(near);
        chosen.extend(nearest);
        able.retain(|i| Some(*i) != nearest);
    }
    chosen.retain(|i| !shelves[*i].has);
    chosen
}

/// A place for a pack on a bare shelf, in sight of a peephole where there is one.
pub fn on_bare(ask: &PlanAsk<'_>, kiln: &Kiln, level: &Level<'_>) -> Option<[f64; 2]> {
    let bearing = bearing(kiln, level.top_mm + level.clear_mm / 2.0);
    let region = Region::shelf(&level.shelf.shape, level.side);
    let hole = Region::chamber(&kiln.chamber).reach([0.0, 0.0], unit(bearing), 0.0);
    let hole = unit(bearing).map(|v| v * hole);
    let post_r = post_r_m(ask);
    // Where no place can be seen, cones still tell when the kiln is opened.
    (!kiln.peepholes.is_empty())
        .then(|| near_edge(&region, level, bearing, post_r, Some(hole)))
        .flatten()
        .or_else(|| near_edge(&region, level, bearing, post_r, None))
}

/// Adds the packs that tiers with ware want; false if one finds no place.
pub fn complete(ask: &PlanAsk<'_>, kiln: &Kiln, tiers: &mut [Tier]) -> bool {
    let spots: Vec<Spot> = tiers
        .iter()
        .map(|t| Spot {
            top_mm: t.top_m.to_mm(),
            clear_mm: t.clear_m.to_mm(),
            has: !t.cone_packs.is_empty(),
        })
        .collect();
    wanted(ask, kiln, &spots).into_iter().all(|i| {
        let at = amid(ask, kiln, tiers, i);
        tiers[i].cone_packs.extend(at.map(|p| ConePack {
            x_m: Length::m(p[0]),
            y_m: Length::m(p[1]),
        }));
        at.is_some()
    })
}

/// The free place nearest the peephole amid the ware of a tier.
fn amid(ask: &PlanAsk<'_>, kiln: &Kiln, tiers: &[Tier], i: usize) -> Option<[f64; 2]> {
    const STEP_M: f64 = 0.01;
    let tier = &tiers[i];
    let furniture = &ask.studio.furniture;
    let shelf = furniture.shelves.iter().find(|s| s.name == tier.shelf)?;
    let region = Region::shelf(&shelf.shape, tier.side);
    let r = CONE_PACK_RADIUS.to_m() + RESERVE_M;
    let gap = ask.book.length(&gap_pack::RULE).to_m();
    let mut keep: Vec<([f64; 2], f64)> = Vec::new();
    for p in &tier.pieces {
        let wide = |id: &str| {
            let (x, y) = ask.studio.piece(id)?.widest.extent();
            Some(x.to_m().hypot(y.to_m()) / 2.0)
        };
        let own = furniture
            .supports
            .iter()
            .filter(|s| p.supports.contains(&s.name));
        let slabs = own.map(|s| s.diameter.to_m() / 2.0);
        let reach = slabs.fold(wide(&p.piece)?, f64::max);
        keep.push(([p.x_m.to_m(), p.y_m.to_m()], reach + gap));
    }
    let posts = tiers.iter().flat_map(|t| &t.posts);
    keep.extend(
        posts
            .filter(|p| stands_on(p, tier))
            .map(|p| ([p.x_m.to_m(), p.y_m.to_m()], post_r_m(ask) + 0.003)),
    );
    let bearing = bearing(kiln, (tier.top_m + tier.clear_m * 0.5).to_mm());
    let toward = unit(bearing);
    let [lo, hi] = region.bounds();
    let steps = |k: usize| ((hi[k] - lo[k]) / STEP_M) as usize;
    let grid = (0..=steps(0)).flat_map(|a| {
        (0..=steps(1)).map(move |b| [lo[0] + a as f64 * STEP_M, lo[1] + b as f64 * STEP_M])
    });
    let free = |at: &[f64; 2]| {
        region.excess(*at, r).0 <= 0.0
            && keep
                .iter()
                .all(|(p, d)| (p[0] - at[0]).hypot(p[1] - at[1]) > r + d)
    };
    let seen = |p: &[f64; 2]| p[0] * toward[0] + p[1] * toward[1];
    grid.filter(free).max_by(|a, b| seen(a).total_cmp(&seen(b)))
}

/// Bearing of the peephole nearest a height.
fn bearing(kiln: &Kiln, mm: f64) -> f64 {
    let off = |h: Length| (h.to_mm() - mm).abs();
    kiln.peepholes
        .iter()
        .min_by(|a, b| off(a.height).total_cmp(&off(b.height)))
        .map_or(0.0, |p| p.angle.to_rad())
}

/// Radius of the circle about a post, m.
pub fn post_r_m(ask: &PlanAsk<'_>) -> f64 {
    ask.studio.furniture.post_section.to_m() * std::f64::consts::FRAC_1_SQRT_2
}

fn unit(bearing: f64) -> [f64; 2] {
    let (s, c) = bearing.sin_cos();
    [c, s]
}

/// Distance of a point from a stretch of line, m.
fn off_line(p: [f64; 2], [a, b]: [[f64; 2]; 2]) -> f64 {
    let [d, v] = [b, p].map(|q| [q[0] - a[0], q[1] - a[1]]);
    let t = (d[0] * v[0] + d[1] * v[1]) / (d[0] * d[0] + d[1] * d[1]).max(1e-12);
    let t = t.clamp(0.0, 1.0);
    (v[0] - t * d[0]).hypot(v[1] - t * d[1])
}

/// A place for witness cones near the edge, as close to the peephole's bearing as posts allow, in
/// sight of the `hole` where one is given.
fn near_edge(
    region: &Region,
    level: &Level<'_>,
    bearing: f64,
    post_r: f64,
    hole: Option<[f64; 2]>,
) -> Option<[f64; 2]> {
    let r = CONE_PACK_RADIUS.to_m() + RESERVE_M;
    let mut turns: Vec<f64> = (-35..=36)
        .map(|i| f64::from(i) * 5f64.to_radians())
        .collect();
    turns.sort_by(|a, b| a.abs().total_cmp(&b.abs()));
    turns.into_iter().find_map(|t| {
        let (sin, cos) = (bearing + t).sin_cos();
        (0..8).find_map(|step| {
            let d = region.reach([0.0, 0.0], [cos, sin], r) - f64::from(step) * 0.02;
            let at = [d * cos, d * sin];
            let ok = d > 0.0
                && region.excess(at, r).0 <= 0.0
                && level
                    .carries
                    .iter()
                    .all(|p| (p[0] - at[0]).hypot(p[1] - at[1]) > r + post_r + 0.003)
                && hole.is_none_or(|h| {
                    let mut posts = level.carries.iter();
                    posts.all(|p| off_line(*p, [h, at]) > post_r + r / 2.0)
                });
            ok.then_some(at)
        })
    })
}
