//! Ware that may go, with what it stands on and what it is worth.

use std::collections::{BTreeMap, BTreeSet};

use glost_model::furniture::{SupportKind, SupportStock};
use glost_model::load::{FiringKind, LeftOut};
use glost_model::piece::{Delicacy, Piece};
use glost_rules::value::{gap_bisque, gap_runny, gap_ware};
use glost_rules::{Case, Level, Need, fit, mix};

use crate::RESERVE_M;
use crate::cover::cover;
use crate::engine::{Body, Part};
use crate::pile::Over;
use crate::plan::PlanAsk;

/// One piece that may go.
#[derive(Debug, Clone)]
pub struct Ware<'a> {
    /// The piece.
    pub piece: &'a Piece,
    /// Its discs.
    pub body: Body,
    /// What the loader should mind about it.
    pub mind: Vec<String>,
    /// Numbers of the ware that it may not share a tier with.
    pub shuns: Vec<usize>,
    /// Names of supports, lowest first.
    pub supports: Vec<String>,
    /// Sum of their heights, m.
    pub raised_m: f64,
    /// It must be back soon.
    pub urgent: bool,
    /// What it is worth to have it in.
    pub value: f64,
    /// Plan area with half the gap around it, never too large, m².
    pub area_m2: f64,
    /// Mass with all that stands on it, kg.
    pub mass_kg: f64,
    /// What stands on and in it, in placing order.
    pub over: Vec<Over<'a>>,
}

impl<'a> Ware<'a> {
    /// It and all that stands on it.
    pub fn pieces(&self) -> impl Iterator<Item = &'a Piece> {
        [self.piece]
            .into_iter()
            .chain(self.over.iter().map(|o| o.piece))
    }
}

/// Days before its due date within which a piece counts as urgent. Proposed here.
const URGENT_DAYS: i32 = 14;

/// Whether a piece must be back with its maker soon.
pub fn urgent(piece: &Piece, today: jiff::civil::Date) -> bool {
    piece.due.is_some_and(|d| days_to(d, today) <= URGENT_DAYS)
}

fn days_to(d: jiff::civil::Date, today: jiff::civil::Date) -> i32 {
    today.until(d).map_or(i32::MAX, |s| s.get_days())
}

/// What a piece is worth: its priority, ten times over when it is due soon (such ware goes in
/// before all other), and a little for each week of waiting so that nobody is passed over for
/// ever. Proposed here.
pub fn value(piece: &Piece, today: jiff::civil::Date) -> f64 {
    let due = if urgent(piece, today) { 10.0 } else { 1.0 };
    let waited = piece.came_in.map_or(0, |d| -days_to(d, today)).clamp(0, 70);
    f64::from(piece.priority.clamp(1, 5)) * due + f64::from(waited) / 70.0
}

/// What a piece is worth here: as asked, else by [`value`].
pub fn worth(ask: &PlanAsk<'_>, piece: &Piece) -> f64 {
    let asked = ask.worth.and_then(|w| w.get(&piece.id)).copied();
    asked.unwrap_or_else(|| value(piece, ask.today))
}

fn left_out(piece: &Piece, rule: &str, why: &str, remedy: &str) -> LeftOut {
    LeftOut {
        piece: piece.id.clone(),
        rule: rule.to_owned(),
        why: why.to_owned(),
        remedy: remedy.to_owned(),
    }
}

/// What is settled about ware before it is sorted out.
#[derive(Debug, Default)]
pub struct Settled<'p> {
    /// Pieces that stay out whatever the rules say of them.
    pub out: Vec<LeftOut>,
    /// Names of the supports that pieces have already, lowest first.
    pub supports: BTreeMap<&'p str, &'p [String]>,
}

/// Splits the studio's ware into what may go and what may not, with reasons.
pub fn sort_out<'a>(ask: &PlanAsk<'a>) -> (Vec<Ware<'a>>, Vec<LeftOut>) {
    sort_out_after(ask, Settled::default())
}

/// The same when some of it is settled: supports that pieces have are not given to others.
pub fn sort_out_after<'a>(
    ask: &PlanAsk<'a>,
    settled: Settled<'_>,
) -> (Vec<Ware<'a>>, Vec<LeftOut>) {
    let Settled {
        mut out,
        supports: has,
    } = settled;
    let stays_out: BTreeSet<String> = out.iter().map(|l| l.piece.clone()).collect();
    let mut stock: BTreeMap<&str, u16> = ask
        .studio
        .furniture
        .supports
        .iter()
        .map(|s| (s.name.as_str(), s.count))
        .collect();
    for name in has.values().flat_map(|names| names.iter()) {
        if let Some(n) = stock.get_mut(name.as_str()) {
            *n = n.saturating_sub(1);
        }
    }
    let mut order: Vec<&Piece> = ask.studio.pieces.iter().collect();
    order.sort_by(|a, b| {
        value(b, ask.today)
            .total_cmp(&value(a, ask.today))
            .then_with(|| a.id.cmp(&b.id))
    });
    let mut ware = Vec::new();
    for piece in order {
        if stays_out.contains(&piece.id) {
            continue;
        }
        let case = Case {
            studio: ask.studio,
            book: ask.book,
            piece,
            cone: ask.cone,
            kind: ask.kind,
        };
        let findings = fit::findings(&case);
        if let Some(no) = findings.iter().find(|f| f.level == Level::Block) {
            out.push(left_out(piece, no.rule, &no.why, &no.remedy));
            continue;
        }
        let needs: BTreeSet<Need> = findings.iter().filter_map(|f| f.need).collect();
        let owned = &ask.studio.furniture.supports;
        let known = |names: &&[String]| -> Option<Vec<&'a SupportStock>> {
            let mut names = names.iter();
            names.try_fold(Vec::new(), |mut list, name| {
                list.push(owned.iter().find(|s| &s.name == name)?);
                Some(list)
            })
        };
        let list = match has.get(piece.id.as_str()).and_then(known) {
            Some(list) => Ok(list),
            None => supports(ask, piece, &needs, &mut stock),
        };
        match list {
            Ok(list) => {
                let warned = findings.iter().filter(|f| f.level == Level::Warn);
                let mind = warned.map(|f| format!("{}. {}", f.why, f.remedy)).collect();
                ware.push(make(ask, &case, piece, &list, mind));
            }
            Err(missing) => out.push(left_out(
                piece,
                "no-support",
                &format!(
                    "needs a {missing} that fits its foot and mass and stands cone {}, and none is left in stock",
                    ask.cone
                ),
                "Add such supports to the furniture, or change what makes it need one",
            )),
        }
    }
    part_leaded(ask, &mut ware, &mut out);
    keep_groups(&ask.studio.pieces, &mut ware, &mut out);
    part_flashing(ask, &mut ware);
    (ware, out)
}

/// Glazes that mark one another stand on different tiers.
fn part_flashing(ask: &PlanAsk<'_>, ware: &mut [Ware<'_>]) {
    let glazes = |w: &Ware<'_>| {
        let names = w.piece.glazes.iter();
        names
            .filter_map(|g| ask.studio.glaze(g))
            .collect::<Vec<_>>()
    };
    let all: Vec<_> = ware.iter().map(glazes).collect();
    for (i, w) in ware.iter_mut().enumerate() {
        let marks = |k: &usize| {
            let pairs = all[i]
                .iter()
                .flat_map(|a| all[*k].iter().map(move |b| (a, b)));
            *k != i
                && pairs
                    .flat_map(|(a, b)| mix::findings(a, b))
                    .any(|f| f.level == Level::Warn)
        };
        if ask.kind == FiringKind::Glaze {
            w.shuns = (0..all.len()).filter(marks).collect();
        }
    }
}

/// The supports that a piece needs, taken from the stock; or the kind of which there is none.
pub fn supports<'a>(
    ask: &PlanAsk<'a>,
    piece: &Piece,
    needs: &BTreeSet<Need>,
    stock: &mut BTreeMap<&'a str, u16>,
) -> Result<Vec<&'a SupportStock>, &'static str> {
    let (l, w) = piece.foot_outline.extent();
    let (narrow, wide) = (l.min(w), cover_radius(piece) * 2.0);
    let mut list: Vec<&SupportStock> = Vec::new();
    for (need, kind, word) in [
        (Need::WasterSlab, SupportKind::WasterSlab, "waster slab"),
        (Need::Stilt, SupportKind::Stilt, "stilt"),
        (Need::PinSupport, SupportKind::PinSupport, "pin support"),
    ] {
        if !needs.contains(&need) {
            continue;
        }
        let slab = kind == SupportKind::WasterSlab;
        let fits = |s: &&SupportStock| {
            let size = if slab {
                s.diameter.to_m() >= wide
            } else {
                s.diameter <= narrow
            };
            s.kind == kind
                && s.max_cone >= ask.cone
                && size
                && s.load_limit >= piece.mass
                && stock.get(s.name.as_str()).is_some_and(|n| *n > 0)
        };
        let sizes = ask.studio.furniture.supports.iter().filter(fits);
        let best = if slab {
            sizes.min_by(|a, b| a.diameter.total_cmp(&b.diameter))
        } else {
            sizes.max_by(|a, b| a.diameter.total_cmp(&b.diameter))
        };
        list.push(best.ok_or(word)?);
    }
    for s in &list {
        if let Some(n) = stock.get_mut(s.name.as_str()) {
            *n -= 1;
        }
    }
    Ok(list)
}

/// Radius of the smallest circle about the piece's middle that holds its foot, m; errs large.
fn cover_radius(piece: &Piece) -> f64 {
    use glost_model::shape::Outline;
    match &piece.foot_outline {
        Outline::Circle { diameter } => diameter.to_m() / 2.0,
        Outline::Ellipse { length, width } => length.max(*width).to_m() / 2.0,
        Outline::Rectangle { length, width } => length.to_m().hypot(width.to_m()) / 2.0,
        Outline::Polygon { points } => points
            .iter()
            .map(|p| p.x.to_m().hypot(p.y.to_m()))
            .fold(0.0, f64::max),
    }
}

/// Whether one part surely lies inside another; errs toward no.
fn within(inner: &Part, outer: &Part) -> bool {
    inner
        .corners
        .iter()
        .all(|p| outer.distance_m(*p) + inner.r_m <= 1e-9)
}

/// A piece on its supports as the search sees it.
pub fn make<'a>(
    ask: &PlanAsk<'a>,
    case: &Case<'a>,
    piece: &'a Piece,
    list: &[&SupportStock],
    mind: Vec<String>,
) -> Ware<'a> {
    let raised_m: f64 = list.iter().map(|s| s.height.to_m()).sum();
    let slab = list
        .iter()
        .find(|s| s.kind == SupportKind::WasterSlab)
        .map(|s| s.diameter.to_m() / 2.0);
    let mut parts = cover(&piece.widest);
    let foot = slab.map_or_else(
        || cover(&piece.foot_outline),
        |r_m| vec![Part::disc([0.0, 0.0], r_m)],
    );
    parts.retain(|p| !foot.iter().any(|f| within(p, f)));
    let outside = foot
        .into_iter()
        .filter(|f| !parts.iter().any(|p| within(f, p)))
        .collect::<Vec<_>>();
    parts.extend(outside);
    let gap = match ask.kind {
        FiringKind::Bisque => ask.book.length(&gap_bisque::RULE),
        FiringKind::Glaze if case.glazes().any(|g| g.runny) => ask
            .book
            .length(&gap_runny::RULE)
            .max(ask.book.length(&gap_ware::RULE)),
        FiringKind::Glaze => ask.book.length(&gap_ware::RULE),
    };
    // Brunn-Minkowski: a shape grown by t covers at least (√A + √π t)².
    let least = match ask.kind {
        FiringKind::Bisque => ask.book.length(&gap_bisque::RULE),
        FiringKind::Glaze => ask.book.length(&gap_ware::RULE),
    };
    let grown =
        piece.widest.area().to_m2().sqrt() + std::f64::consts::PI.sqrt() * least.to_m() / 2.0;
    Ware {
        mind,
        shuns: Vec::new(),
        piece,
        body: Body::new(
            parts,
            gap.to_m() + RESERVE_M,
            raised_m + piece.height.to_m(),
        ),
        supports: list.iter().map(|s| s.name.clone()).collect(),
        raised_m,
        urgent: urgent(piece, ask.today),
        value: worth(ask, piece),
        area_m2: grown * grown,
        mass_kg: piece.mass.to_kg(),
        over: Vec::new(),
    }
}

/// Leaded and lead-free ware never share a firing: the side worth less waits.
fn part_leaded(ask: &PlanAsk<'_>, ware: &mut Vec<Ware<'_>>, out: &mut Vec<LeftOut>) {
    let glazes = |w: &Ware<'_>| {
        w.piece
            .glazes
            .iter()
            .filter_map(|g| ask.studio.glaze(g))
            .collect::<Vec<_>>()
    };
    let leaded = |w: &Ware<'_>| glazes(w).iter().any(|g| g.lead);
    let clash = |a: &Ware<'_>, b: &Ware<'_>| {
        glazes(a).iter().any(|x| {
            glazes(b)
                .iter()
                .any(|y| mix::findings(x, y).iter().any(|f| f.level == Level::Block))
        })
    };
    if !ware
        .iter()
        .any(|a| leaded(a) && ware.iter().any(|b| clash(a, b)))
    {
        return;
    }
    let (with, without) = ware.iter().fold((0.0, 0.0), |(a, b), w| {
        if leaded(w) {
            (a + w.value, b)
        } else {
            (a, b + w.value)
        }
    });
    let drop_leaded = with <= without;
    ware.retain(|w| {
        let keep = glazes(w).is_empty() || leaded(w) != drop_leaded;
        if !keep {
            out.push(left_out(
                w.piece,
                "lead-mix",
                "leaded and lead-free glazes may not share a firing",
                "Fire leaded ware by itself",
            ));
        }
        keep
    });
}

/// A set of which one piece cannot go waits as a whole.
fn keep_groups(all: &[Piece], ware: &mut Vec<Ware<'_>>, out: &mut Vec<LeftOut>) {
    let group_of = |id: &str| {
        all.iter()
            .find(|p| p.id == id)
            .and_then(|p| p.group.as_deref())
    };
    let broken: BTreeMap<String, String> = out
        .iter()
        .filter_map(|o| group_of(&o.piece).map(|g| (g.to_owned(), o.piece.clone())))
        .collect();
    ware.retain(|w| {
        let other = w.piece.group.as_ref().and_then(|g| broken.get(g));
        if let Some(other) = other {
            out.push(waits_for_set(w.piece, other));
        }
        other.is_none()
    });
}

/// Says that a piece waits because another of its set does.
pub fn waits_for_set(piece: &Piece, other: &str) -> LeftOut {
    left_out(
        piece,
        "kept-together",
        &format!("its set goes together, and {other} cannot go"),
        "Help the other piece in, or part the set",
    )
}

/// Urgent ware first, then what is worth most for the room it takes.
pub fn by_worth(a: &Ware<'_>, b: &Ware<'_>) -> std::cmp::Ordering {
    let dense = |w: &Ware<'_>| w.value / w.area_m2;
    b.urgent
        .cmp(&a.urgent)
        .then_with(|| dense(b).total_cmp(&dense(a)))
}

/// Whether a tier high in the kiln suits it.
pub fn delicate(w: &Ware<'_>) -> bool {
    w.pieces().any(|p| p.delicacy == Delicacy::Delicate)
}
