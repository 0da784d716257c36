//! The whole stack from the side, to scale.

mod margin;
mod silhouette;

pub(crate) use margin::post_name;

use glost_model::furniture::ShelfStock;
use glost_model::kiln::{Kiln, Opening};
use glost_model::load::{How, LoadPlan, Placed, StandingPost, Tier};
use glost_model::studio::Studio;
use glost_model::{Angle, Length};

use crate::outline;
use crate::paper::Paper;
use crate::svg::{Anchor, SMALL, Spot, Svg, width_of, wrapped};

/// Room on either side for names and heights, mm of paper: on a phone all stand on the right.
const SIDES: (f64, f64) = (37.0, 37.0);
const PHONE_SIDES: (f64, f64) = (7.0, 37.0);
/// Room above for the lid, mm of paper.
const ABOVE: f64 = 12.0;
/// Tallest chamber on paper, mm: the drawing shares the first page with the list of furniture.
const TALLEST: f64 = 112.0;

/// From metres across and up to millimetres of paper.
pub(super) struct View {
    scale: f64,
    middle: f64,
    floor: f64,
    /// −1 when the viewer stands at the door and so sees 3 o'clock on the left.
    hand: f64,
    /// Half of the chamber's width, mm of paper.
    pub half: f64,
    pub paper: Paper,
}

impl View {
    pub fn x(&self, x_m: f64) -> f64 {
        self.middle + self.hand * x_m * self.scale
    }
    pub fn z(&self, z: Length) -> f64 {
        self.floor - z.to_m() * self.scale
    }
    pub fn span(&self, ends: (f64, f64)) -> (f64, f64) {
        let (a, b) = (self.x(ends.0), self.x(ends.1));
        (a.min(b), a.max(b))
    }
    /// Farther from the viewer is less.
    fn nearness(&self, y: Length) -> f64 {
        -self.hand * y.to_m()
    }
    /// True when the note of a tier stands on the left of the drawing.
    pub fn on_left(&self, tier: &Tier) -> bool {
        use glost_model::load::Side;
        match tier.side {
            _ if self.paper == Paper::Phone => false,
            Side::Full => true,
            Side::Left => self.hand > 0.0,
            Side::Right => self.hand < 0.0,
        }
    }
}

/// Draws the stack from the side: floor, shelves, posts, ware as silhouettes, sensor, peepholes
/// and lid, with heights and posts in the margin. A kiln with a lid is seen from 6 o'clock, one
/// with a door from its door. One unit is 1 mm of paper.
pub fn stack_svg(studio: &Studio, kiln: &Kiln, plan: &LoadPlan, paper: Paper) -> String {
    let wall = outline::chamber(&kiln.chamber);
    let (left, right) = outline::range(&wall, |p| p.0);
    let across = (right - left).max(1e-3);
    let high = kiln.height.to_m().max(1e-3);
    let sides = paper.pick(SIDES, PHONE_SIDES);
    let width = paper.width();
    let scale = ((width - sides.0 - sides.1) / across).min(TALLEST / high);
    let mut view = View {
        scale,
        middle: sides.0 + (width - sides.0 - sides.1) / 2.0,
        floor: ABOVE + high * scale,
        hand: match kiln.opening {
            Opening::Lid => 1.0,
            Opening::Door => -1.0,
        },
        half: across * scale / 2.0,
        paper,
    };
    // Notes of many tiers need more height than the chamber: it moves down, and the paper grows.
    let (above, _) = margin::reach(studio.shown, kiln, plan, &view);
    view.floor += (1.0 - above).max(0.0);
    let (_, below) = margin::reach(studio.shown, kiln, plan, &view);
    let mut svg = Svg::new();
    let under = room(&mut svg, kiln, &view);
    contents(&mut svg, studio, plan, &view);
    for hole in &kiln.peepholes {
        mark(&mut svg, &view, &wall, (hole.angle, hole.height), "P");
    }
    mark(
        &mut svg,
        &view,
        &wall,
        (kiln.sensor.angle, kiln.sensor.height),
        "S",
    );
    margin::draw(&mut svg, studio, kiln, plan, &view);
    let mut y = under.max(below) + 3.0;
    let told = format!(
        "Beside each tier: height of its shelf; posts under it (number × length in {})",
        studio.shown.length_unit()
    );
    for line in wrapped(&told, SMALL, width - 4.0) {
        svg.text((width / 2.0, y + 3.0), SMALL, Anchor::Middle, &line);
        y += 5.0;
    }
    svg.finish(
        width,
        y + 1.0,
        &format!("Stack of kiln {} from the side", kiln.name),
    )
}

/// Draws walls, floor and lid with the clock below; answers with the lower edge of it all.
fn room(svg: &mut Svg, kiln: &Kiln, view: &View) -> f64 {
    let (left, right) = (view.middle - view.half, view.middle + view.half);
    let top = view.z(kiln.height);
    let line = r#"stroke="black" stroke-width="1.4" stroke-linecap="square""#;
    svg.line((left, top), (left, view.floor), line);
    svg.line((right, top), (right, view.floor), line);
    let solid = r#"fill="rgb(190,190,190)" stroke="black" stroke-width="0.6""#;
    let wide = right - left + 6.0;
    svg.rect((left - 3.0, view.floor), (wide, 3.5), solid);
    svg.rect((left - 3.0, top - 4.5), (wide, 3.5), solid);
    let (first, last, from) = match kiln.opening {
        Opening::Lid => ("9 o'clock", "3 o'clock", "seen from 6 o'clock"),
        Opening::Door => ("3 o'clock", "9 o'clock", "seen from the door"),
    };
    let y = view.floor + 8.0;
    // Side by side where there is room; in a slender kiln they lean on its middle, and the third stands below.
    let [one, two, three] = [first, last, from].map(|t| width_of(t, SMALL) + 1.0);
    let (wide, narrow) = (one + two + three <= right - left, one + two > right - left);
    let ends = if narrow {
        [
            (view.middle - 1.0, Anchor::End),
            (view.middle + 1.0, Anchor::Start),
        ]
    } else {
        [(left, Anchor::Start), (right, Anchor::End)]
    };
    for ((x, anchor), name) in ends.into_iter().zip([first, last]) {
        svg.text((x, y), SMALL, anchor, name);
    }
    let down = if wide { 0.0 } else { 4.8 };
    svg.text((view.middle, y + down), SMALL, Anchor::Middle, from);
    y + down + 1.0
}

/// Something to draw, with its nearness to the viewer.
enum Thing<'a> {
    Post(&'a StandingPost),
    Ware(&'a Tier, &'a Placed),
}

fn contents(svg: &mut Svg, studio: &Studio, plan: &LoadPlan, view: &View) {
    let posts = plan.tiers.iter().flat_map(|t| &t.posts);
    let mut things: Vec<(f64, Thing<'_>)> = posts
        .map(|p| (view.nearness(p.y_m), Thing::Post(p)))
        .chain(
            plan.placed()
                .map(|(t, p)| (view.nearness(p.y_m), Thing::Ware(t, p))),
        )
        .collect();
    // What stands inside other ware is drawn before it, the innermost first.
    let inside = |t: &Thing<'_>| match t {
        Thing::Ware(_, p) if p.on.as_ref().is_some_and(|on| on.how == How::Nested) => {
            p.raised_m.to_m()
        }
        _ => -1.0,
    };
    things.sort_by(|a, b| {
        let near = a.0.total_cmp(&b.0);
        near.then_with(|| inside(&b.1).total_cmp(&inside(&a.1)))
    });
    for (near, thing) in &things {
        match thing {
            Thing::Post(p) => post(svg, p, studio.furniture.post_section, view),
            Thing::Ware(t, p) => silhouette::draw(svg, studio, t, p, view, *near >= 0.0),
        }
    }
    let stocks = &studio.furniture.shelves;
    for tier in &plan.tiers {
        if let Some(stock) = stocks.iter().find(|s| s.name == tier.shelf) {
            shelf(svg, stock, tier, view);
        }
    }
}

fn post(svg: &mut Svg, post: &StandingPost, section: Length, view: &View) {
    let half = section.to_m().max(0.004) / 2.0;
    let (left, right) = view.span((post.x_m.to_m() - half, post.x_m.to_m() + half));
    let mut base = post.base_m;
    for &length in &post.lengths_m {
        let (low, high) = (view.z(base), view.z(base + length));
        let size = (right - left, low - high);
        let look = r#"fill="rgb(70,70,70)" stroke="black" stroke-width="0.5""#;
        svg.rect((left, high), size, look);
        base += length;
    }
}

fn shelf(svg: &mut Svg, stock: &ShelfStock, tier: &Tier, view: &View) {
    let corners = outline::shelf(stock, tier.side);
    let (left, right) = view.span(outline::range(&corners, |p| p.0));
    let size = (right - left, stock.thickness.to_m() * view.scale);
    let look = r#"fill="rgb(215,215,215)" stroke="black" stroke-width="0.6""#;
    svg.rect((left, view.z(tier.top_m)), size, look);
}

/// Sensor or peephole: a ring with its letter where it comes through the wall.
fn mark(svg: &mut Svg, view: &View, wall: &[Spot], at: (Angle, Length), name: &str) {
    let spot = (view.x(outline::on_wall(wall, at.0).0), view.z(at.1));
    svg.circle(
        spot,
        3.0,
        r#"fill="white" stroke="black" stroke-width="0.6""#,
    );
    svg.bold((spot.0, spot.1 + SMALL * 0.36), SMALL, Anchor::Middle, name);
}
