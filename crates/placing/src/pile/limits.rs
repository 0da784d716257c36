//! Which greenware may stand on or in which, from what is recorded of it: foot, widest part,
//! height, wall. Insides are not, so they are taken as narrow as they can be.

use glost_model::load::How;
use glost_model::piece::{Delicacy, Dryness, Inside, Piece, Stage};
use glost_model::shape::Outline;
use glost_model::studio::Studio;
use glost_rules::RuleBook;
use glost_rules::value::{
    hollow_bears, nest_clear, nest_floor, pile_bears, pile_flat, pile_mass, pile_most,
    pile_slender, pile_wall, pile_wide, rim_match,
};

use crate::ware::Ware;

/// Ways to stand on another, those that add least height first.
pub const WAYS: [How; 4] = [How::Nested, How::Piled, How::RimToRim, How::FootToFoot];

/// The studio's limits.
pub struct Limits {
    /// Most pieces in one pile.
    pub most: usize,
    mass_kg: f64,
    wide_m: f64,
    wall_m: f64,
    flat: f64,
    flat_bears: f64,
    hollow_bears: f64,
    slender: f64,
    clear_m: f64,
    floor_m: f64,
    match_m: f64,
}

/// A piece of a pile with its height in it.
#[derive(Debug, Clone, Copy)]
pub struct Link<'a> {
    /// The piece.
    pub piece: &'a Piece,
    /// How it stands on the one before; nothing for the lowest.
    pub how: Option<How>,
    /// Height of its lowest part, m.
    pub raised_m: f64,
}

impl<'a> Link<'a> {
    /// The lowest piece.
    pub fn lowest(piece: &'a Piece) -> Self {
        Self {
            piece,
            how: None,
            raised_m: 0.0,
        }
    }

    /// Height of its highest part, m.
    pub fn top_m(&self) -> f64 {
        self.raised_m + self.piece.height.to_m()
    }
}

impl Limits {
    /// Those of a rule book.
    pub fn of(book: &RuleBook) -> Self {
        Self {
            most: book.count(&pile_most::RULE),
            mass_kg: book.mass(&pile_mass::RULE).to_kg(),
            wide_m: book.length(&pile_wide::RULE).to_m(),
            wall_m: book.length(&pile_wall::RULE).to_m(),
            flat: book.times(&pile_flat::RULE),
            flat_bears: book.times(&pile_bears::RULE),
            hollow_bears: book.times(&hollow_bears::RULE),
            slender: book.times(&pile_slender::RULE),
            clear_m: book.length(&nest_clear::RULE).to_m(),
            floor_m: book.length(&nest_floor::RULE).to_m(),
            match_m: book.length(&rim_match::RULE).to_m(),
        }
    }

    /// Whether a piece may be part of a pile at all: bone-dry, nothing on it that sticks, thin, on
    /// no supports, and of a clay that needs no air to burn out.
    pub fn may_join(&self, studio: &Studio, w: &Ware<'_>) -> bool {
        let p = w.piece;
        p.stage == Stage::Greenware
            && p.dryness == Dryness::BoneDry
            && p.glazes.is_empty()
            && p.wall.to_m() <= self.wall_m
            && w.supports.is_empty()
            && w.over.is_empty()
            && studio.clay(&p.clay).is_some_and(|c| !c.slow_burn_out)
    }

    /// The piece as the next of a pile, if all limits allow it.
    pub fn joins<'a>(&self, pile: &[Link<'a>], guest: &'a Piece, how: How) -> Option<Link<'a>> {
        let (lowest, host) = (pile.first()?, pile.last()?);
        let upside_down = host.how == Some(How::RimToRim);
        if upside_down != (how == How::FootToFoot) || pile.len() >= self.most {
            return None;
        }
        let lift_m = self.pair(host.piece, guest, how)?;
        let link = Link {
            piece: guest,
            how: Some(how),
            raised_m: host.raised_m + lift_m,
        };
        let mut over_kg = guest.mass.to_kg();
        let mut on_it = how;
        for l in pile.iter().rev() {
            let bears = if on_it == How::Piled {
                self.flat_bears
            } else {
                self.hollow_bears
            };
            if over_kg > bears * l.piece.mass.to_kg() + 1e-9 {
                return None;
            }
            over_kg += l.piece.mass.to_kg();
            on_it = l.how.unwrap_or(how);
        }
        let tops = pile.iter().chain([&link]).map(Link::top_m);
        let top_m = tops.fold(0.0, f64::max);
        let (x, y) = lowest.piece.foot_outline.extent();
        let steady = top_m <= lowest.top_m() || top_m <= self.slender * x.min(y).to_m();
        (steady && over_kg <= self.mass_kg).then_some(link)
    }

    /// How much higher than its host's lowest part a guest's lies, if the two suit one another.
    pub fn pair(&self, host: &Piece, guest: &Piece, how: How) -> Option<f64> {
        let (x, y) = guest.widest.extent();
        let sound = host.delicacy != Delicacy::Delicate
            && guest.mass <= host.mass
            && x.max(y).to_m() <= self.wide_m
            && holds(&host.widest, 0.0, &guest.widest);
        let suits = sound
            && match how {
                How::Piled => {
                    self.flat(host) && self.flat(guest) && host.inside != Some(Inside::Closed)
                }
                How::Nested => hollow(host) && self.clears(host, guest),
                How::RimToRim => {
                    hollow(host)
                        && hollow(guest)
                        && alike(&host.widest, &guest.widest, self.match_m)
                }
                How::FootToFoot => {
                    hollow(host) && alike(&host.foot_outline, &guest.foot_outline, self.match_m)
                }
            };
        let height_m = host.height.to_m();
        let lift_m = if how == How::Nested {
            host.wall.to_m() + self.floor_m
        } else {
            height_m
        };
        // A floor as high as the rim is no hollow.
        (suits && (how != How::Nested || lift_m < height_m)).then_some(lift_m)
    }

    fn flat(&self, p: &Piece) -> bool {
        let (x, y) = p.widest.extent();
        p.height.to_m() <= self.flat * x.min(y).to_m()
    }

    /// Whether a nested piece keeps clear of the wall around it. An open piece is nowhere narrower
    /// than its foot; of two straight ones the walls are known all the way up.
    fn clears(&self, host: &Piece, guest: &Piece) -> bool {
        let off_m = host.wall.to_m() + self.clear_m;
        if holds(&host.foot_outline, off_m, &guest.widest) {
            return true;
        }
        let (Some(h), Some(g)) = (Cone::of(host), Cone::of(guest)) else {
            return false;
        };
        // Across, for the flatter of the two walls; the guest taken as low as it can stand.
        let across_m = off_m * (1.0 + h.slope().max(g.slope()).powi(2)).sqrt();
        let low = h.height_m.min(g.height_m);
        [0.0, low]
            .into_iter()
            .all(|z| g.radius_m(z) + across_m <= h.radius_m(z))
    }
}

/// A round piece with a straight wall.
struct Cone {
    foot_m: f64,
    rim_m: f64,
    height_m: f64,
}

impl Cone {
    fn of(p: &Piece) -> Option<Self> {
        let (
            Some(Inside::Straight),
            Outline::Circle { diameter: foot },
            Outline::Circle { diameter: rim },
        ) = (p.inside, &p.foot_outline, &p.widest)
        else {
            return None;
        };
        Some(Self {
            foot_m: foot.to_m() / 2.0,
            rim_m: rim.to_m() / 2.0,
            height_m: p.height.to_m(),
        })
    }

    fn slope(&self) -> f64 {
        (self.rim_m - self.foot_m) / self.height_m
    }

    fn radius_m(&self, z_m: f64) -> f64 {
        self.foot_m + self.slope() * z_m
    }
}

fn hollow(p: &Piece) -> bool {
    matches!(p.inside, Some(Inside::Open | Inside::Straight))
}

/// Whether an outline, drawn in by `inset_m` all round, surely holds another with the same middle
/// and turn.
fn holds(outer: &Outline, inset_m: f64, inner: &Outline) -> bool {
    let fits = |o: glost_model::Length, i: glost_model::Length| {
        i.to_m() / 2.0 <= o.to_m() / 2.0 - inset_m + 1e-9
    };
    let same = match (outer, inner) {
        (
            Outline::Rectangle { length, width },
            Outline::Rectangle {
                length: l,
                width: w,
            },
        ) => fits(*length, *l) && fits(*width, *w),
        (
            Outline::Ellipse { length, width },
            Outline::Ellipse {
                length: l,
                width: w,
            },
        ) => inset_m <= 0.0 && fits(*length, *l) && fits(*width, *w),
        _ => false,
    };
    same || within_m(outer).is_some_and(|r| around_m(inner) <= r - inset_m + 1e-9)
}

/// Radius of the largest circle about the middle that lies in an outline, m; none is sought in a
/// polygon.
fn within_m(outline: &Outline) -> Option<f64> {
    let (x, y) = outline.extent();
    (!matches!(outline, Outline::Polygon { .. })).then(|| x.min(y).to_m() / 2.0)
}

/// Radius of a circle about the middle that holds an outline, m.
fn around_m(outline: &Outline) -> f64 {
    match outline {
        Outline::Circle { diameter } => diameter.to_m() / 2.0,
        Outline::Ellipse { length, width } => length.max(*width).to_m() / 2.0,
        Outline::Rectangle { length, width } => length.to_m().hypot(width.to_m()) / 2.0,
        Outline::Polygon { points } => points
            .iter()
            .map(|p| p.x.to_m().hypot(p.y.to_m()))
            .fold(0.0, f64::max),
    }
}

/// Whether two outlines have one form and the same size, to within `by_m`.
fn alike(a: &Outline, b: &Outline, by_m: f64) -> bool {
    let same_form = std::mem::discriminant(a) == std::mem::discriminant(b);
    let ((ax, ay), (bx, by)) = (a.extent(), b.extent());
    let near = |p: glost_model::Length, q: glost_model::Length| (p - q).to_m().abs() <= by_m + 1e-9;
    same_form && !matches!(a, Outline::Polygon { .. }) && near(ax, bx) && near(ay, by)
}
