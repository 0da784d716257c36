//! One tier from above, to scale.

mod key;
mod room;
mod small;
mod ware;

use glost_model::kiln::Kiln;
use glost_model::load::{LoadPlan, StandingPost, Tier};
use glost_model::studio::Studio;
use glost_model::{Length, load::Side};

pub use small::tier_small_svg;

use crate::outline;
use crate::paper::Paper;
use crate::svg::{Spot, Svg};

/// Room beside, and above and below the chamber, for clock marks, sensor and peepholes, mm of paper.
const RIM: (f64, f64) = (18.0, 18.0);
const PHONE_RIM: (f64, f64) = (15.5, 17.0);
/// Tallest chamber on paper, mm.
const TALLEST: f64 = 165.0;

/// From metres in plan to millimetres of paper.
pub(super) struct Frame {
    pub scale: f64,
    pub middle: Spot,
}

impl Frame {
    pub fn at(&self, p: Spot) -> Spot {
        (
            self.middle.0 + p.0 * self.scale,
            self.middle.1 - p.1 * self.scale,
        )
    }
    pub fn spot(&self, x: Length, y: Length) -> Spot {
        self.at((x.to_m(), y.to_m()))
    }
    pub fn all(&self, corners: &[Spot]) -> Vec<Spot> {
        corners.iter().map(|&p| self.at(p)).collect()
    }
    pub fn size(&self, l: Length) -> f64 {
        l.to_m() * self.scale
    }
}

/// What every layer of the drawing needs.
pub(super) struct Scene<'a> {
    pub studio: &'a Studio,
    pub kiln: &'a Kiln,
    pub plan: &'a LoadPlan,
    pub tier: &'a Tier,
    pub wall: Vec<Spot>,
    pub frame: Frame,
    pub paper: Paper,
}

/// Draws a tier from above: wall, shelf, posts, sensor, peepholes, cone packs and each piece with
/// its number in placing order. The side of hinge or door is at the top. One unit is 1 mm of paper.
pub fn tier_svg(
    studio: &Studio,
    kiln: &Kiln,
    plan: &LoadPlan,
    tier: &Tier,
    paper: Paper,
) -> String {
    let width = paper.width();
    let rim = paper.pick(RIM, PHONE_RIM);
    let wall = outline::chamber(&kiln.chamber);
    let (left, right) = outline::range(&wall, |p| p.0);
    let (low, high) = outline::range(&wall, |p| p.1);
    let (across, deep) = ((right - left).max(1e-3), (high - low).max(1e-3));
    let scale = ((width - 2.0 * rim.0) / across)
        .min(TALLEST / deep)
        .min(500.0);
    let scene = Scene {
        studio,
        kiln,
        plan,
        tier,
        frame: Frame {
            scale,
            middle: (
                width / 2.0 - (left + right) / 2.0 * scale,
                rim.1 + high * scale,
            ),
        },
        wall,
        paper,
    };
    let mut svg = Svg::new();
    room::draw(&mut svg, &scene);
    ware::draw(&mut svg, &scene);
    let foot = 2.0 * rim.1 + deep * scale;
    let height = key::draw(&mut svg, &scene, foot);
    svg.finish(
        width,
        height,
        &format!("Tier {} of kiln {} from above", tier.name, kiln.name),
    )
}

/// Posts of higher tiers that stand on this one.
pub(crate) fn standing_on<'a>(
    plan: &'a LoadPlan,
    tier: &'a Tier,
) -> impl Iterator<Item = &'a StandingPost> {
    plan.tiers
        .iter()
        .flat_map(|t| &t.posts)
        .filter(move |p| stands_on(p, tier))
}

/// True when the post's foot is on the tier's shelf.
pub(crate) fn stands_on(post: &StandingPost, tier: &Tier) -> bool {
    let on_side = match tier.side {
        Side::Full => true,
        Side::Left => post.x_m < Length::ZERO,
        Side::Right => post.x_m > Length::ZERO,
    };
    on_side && (post.base_m - tier.top_m).abs() < Length::mm(1.0)
}
