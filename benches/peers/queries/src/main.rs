//! A greedy on collision queries: large outlines first, each where random samples and a short descent find the
//! most outward place (or the lowest in a random direction), started over until the time is up. Reads an instance
//! as `glost figures placing --instance NAME` writes it; prints the largest common scale reached.
//!
//! Collision queries: `jagua-rs`. Round outlines become 32-gons inside the true outline and the shelf's rim a
//! 128-gon outside it, so that this program has the slightly easier task.

use std::error::Error;
use std::sync::Arc;
use std::time::Instant;

use jagua_rs::collision_detection::CDEConfig;
use jagua_rs::collision_detection::hazards::filter::NoFilter;
use jagua_rs::entities::{Container, Item, Layout};
use jagua_rs::geometry::DTransformation;
use jagua_rs::geometry::fail_fast::SPSurrogateConfig;
use jagua_rs::geometry::geo_traits::TransformableFrom as _;
use jagua_rs::io::ext_repr::{
    ExtContainer, ExtItem, ExtOrientation, ExtPolygon, ExtRotation, ExtSPolygon, ExtShape,
};
use jagua_rs::io::import::Importer;
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use serde::Deserialize;

/// Random samples for each outline.
const SAMPLES: usize = 600;
/// Of these, descents from the best ones found.
const REFINED: usize = 3;
/// Steps of one descent.
const STEPS: usize = 40;
/// The scale grows by this share after a success.
const RAISE: f32 = 0.005;

#[derive(Deserialize)]
#[serde(tag = "form", rename_all = "kebab-case")]
enum Form {
    Circle { diameter: f64 },
    Ellipse { length: f64, width: f64 },
    Rectangle { length: f64, width: f64 },
}

#[derive(Deserialize)]
struct Post {
    x_m: f64,
    y_m: f64,
    radius_m: f64,
}

#[derive(Deserialize)]
struct Instance {
    container: Form,
    posts: Vec<Post>,
    gap_m: f64,
    shapes: Vec<Form>,
}

/// Corners in mm.
fn oval(cx: f64, cy: f64, a: f64, b: f64, corners: usize, grow: f64) -> ExtSPolygon {
    let at = |i: usize| {
        let t = i as f64 / corners as f64 * std::f64::consts::TAU;
        (
            (1e3 * (cx + grow * a * t.cos())) as f32,
            (1e3 * (cy + grow * b * t.sin())) as f32,
        )
    };
    ExtSPolygon((0..corners).map(at).collect())
}

fn polygon(form: &Form, scale: f64) -> ExtSPolygon {
    match *form {
        Form::Circle { diameter } => {
            let r = scale * diameter / 2.0;
            oval(0.0, 0.0, r, r, 32, 1.0)
        }
        Form::Ellipse { length, width } => {
            oval(0.0, 0.0, scale * length / 2.0, scale * width / 2.0, 32, 1.0)
        }
        Form::Rectangle { length, width } => {
            let (a, b) = (
                (scale * length * 500.0) as f32,
                (scale * width * 500.0) as f32,
            );
            ExtSPolygon(vec![(-a, -b), (a, -b), (a, b), (-a, b)])
        }
    }
}

fn area_m2(form: &Form) -> f64 {
    let quarter = std::f64::consts::FRAC_PI_4;
    match *form {
        Form::Circle { diameter } => quarter * diameter * diameter,
        Form::Ellipse { length, width } => quarter * length * width,
        Form::Rectangle { length, width } => length * width,
    }
}

struct Greedy<'a> {
    instance: &'a Instance,
    importer: Importer,
    container: Container,
    radius_mm: f32,
    start: Instant,
    seconds: f64,
    rng: ChaCha8Rng,
}

impl Greedy<'_> {
    fn over(&self) -> bool {
        self.start.elapsed().as_secs_f64() >= self.seconds
    }

    /// Imported once for a scale; starts share them.
    fn items(&self, scale: f64) -> Result<Vec<Arc<Item>>, Box<dyn Error>> {
        let mut items = Vec::new();
        for (i, form) in self.instance.shapes.iter().enumerate() {
            let rotation = match form {
                Form::Circle { .. } => ExtRotation::Discrete { angles: vec![0.0] },
                _ => ExtRotation::Continuous {},
            };
            let item = ExtItem {
                id: i as u64,
                orientation: ExtOrientation {
                    rotation,
                    reflection_axes: Vec::new(),
                },
                shape: ExtShape::SimplePolygon(polygon(form, scale)),
                min_quality: None,
            };
            items.push(self.importer.import_item(&item, i)?);
        }
        Ok(items)
    }

    /// One start; true when all stand.
    fn attempt(&mut self, items: &[Arc<Item>]) -> bool {
        let mut order: Vec<usize> = (0..items.len()).collect();
        // Large first, a little mixed so that starts differ.
        let mut key: Vec<f32> = Vec::new();
        for item in items {
            key.push(item.area() * self.rng.random_range(0.85..1.15f32));
        }
        order.sort_by(|a, b| key[*b].total_cmp(&key[*a]));
        let downward = self.rng.random_range(0.0..std::f32::consts::TAU);
        let outward = self.rng.random_bool(0.7);
        let cost = move |x: f32, y: f32| {
            if outward {
                -x.hypot(y)
            } else {
                x * downward.cos() + y * downward.sin()
            }
        };
        let mut layout = Layout::new(self.container.clone());
        for i in order {
            if self.over() {
                return false;
            }
            match self.best_place(&layout, &items[i], i, &cost) {
                Some(pose) => {
                    layout.place_item(&items[i], pose);
                }
                None => return false,
            }
        }
        true
    }

    fn best_place(
        &mut self,
        layout: &Layout,
        item: &Item,
        i: usize,
        cost: &dyn Fn(f32, f32) -> f32,
    ) -> Option<DTransformation> {
        let turns = !matches!(self.instance.shapes[i], Form::Circle { .. });
        let mut drawn = item.shape_cd().as_ref().clone();
        let mut free = |[x, y, turn]: [f32; 3]| {
            let pose = DTransformation::new(turn, (x, y)).compose();
            drawn.transform_from(item.shape_cd(), &pose);
            let surrogate = item.shape_cd().surrogate();
            !layout
                .cde()
                .detect_surrogate_collision(surrogate, &pose, &NoFilter)
                && !layout.cde().detect_poly_collision(&drawn, &NoFilter)
        };
        let r = self.radius_mm;
        let mut found: Vec<(f32, [f32; 3])> = Vec::new();
        for _ in 0..SAMPLES {
            let turn = if turns {
                self.rng.random_range(0.0..std::f32::consts::TAU)
            } else {
                0.0
            };
            let p = [
                self.rng.random_range(-r..r),
                self.rng.random_range(-r..r),
                turn,
            ];
            if p[0].hypot(p[1]) < r && free(p) {
                found.push((cost(p[0], p[1]), p));
            }
        }
        found.sort_by(|a, b| a.0.total_cmp(&b.0));
        found.truncate(REFINED);
        for (c, p) in &mut found {
            let mut step = 20.0f32;
            for _ in 0..STEPS {
                let a = self.rng.random_range(0.0..std::f32::consts::TAU);
                let turn = if turns {
                    p[2] + self.rng.random_range(-0.01..0.01) * step
                } else {
                    0.0
                };
                let q = [p[0] + step * a.cos(), p[1] + step * a.sin(), turn];
                if cost(q[0], q[1]) < *c && free(q) {
                    (*c, *p) = (cost(q[0], q[1]), q);
                } else {
                    step = (step * 0.85).max(0.2);
                }
            }
        }
        found
            .into_iter()
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .map(|(_, [x, y, turn])| DTransformation::new(turn, (x, y)))
    }
}

fn main() -> Result<(), Box<dyn Error>> {
    let mut args = std::env::args().skip(1);
    let mut next = |what: &str| args.next().ok_or(format!("usage: queries INSTANCE.json SECONDS SEED: no {what}"));
    let path = next("instance")?;
    let seconds: f64 = next("seconds")?.parse()?;
    let seed: u64 = next("seed")?.parse()?;
    let instance: Instance = serde_json::from_str(&std::fs::read_to_string(path)?)?;
    let Form::Circle { diameter } = instance.container else {
        return Err("only round shelves".into());
    };
    let start = Instant::now();
    let importer = Importer::new(
        CDEConfig {
            quadtree_depth: 5,
            cd_threshold: 96,
            item_surrogate_config: SPSurrogateConfig {
                n_pole_limits: [(4, 0.0), (1, 0.9), (1, 0.95)],
                n_ff_piers: 0,
                ff_pole_area_ratio: 0.9,
            },
        },
        None,
        None,
    )
    .with_min_item_separation((instance.gap_m * 1e3) as f32)?;
    let rim = 1.0 / (std::f64::consts::PI / 128.0).cos();
    let container = importer.import_container(&ExtContainer {
        id: 0,
        shape: ExtShape::Polygon(ExtPolygon {
            outer: oval(0.0, 0.0, diameter / 2.0, diameter / 2.0, 128, rim),
            inner: instance
                .posts
                .iter()
                .map(|p| oval(p.x_m, p.y_m, p.radius_m, p.radius_m, 32, 1.0))
                .collect(),
        }),
        zones: Vec::new(),
    })?;
    let own: f64 = instance.shapes.iter().map(area_m2).sum();
    let shelf = std::f64::consts::FRAC_PI_4 * diameter * diameter;
    let mut scale = (0.45 * shelf / own).sqrt() as f32;
    let mut best = None;
    let mut starts = 0;
    let mut greedy = Greedy {
        instance: &instance,
        importer,
        container,
        radius_mm: (diameter * 500.0) as f32,
        start,
        seconds,
        rng: ChaCha8Rng::seed_from_u64(seed),
    };
    let mut items = greedy.items(f64::from(scale))?;
    while !greedy.over() {
        starts += 1;
        if greedy.attempt(&items) {
            best = Some(scale);
            scale *= 1.0 + RAISE;
            items = greedy.items(f64::from(scale))?;
        } else if best.is_none() && starts % 20 == 0 {
            scale *= 0.97;
            items = greedy.items(f64::from(scale))?;
        }
    }
    let scale = f64::from(best.ok_or("nothing was placed")?);
    println!(
        "{}",
        serde_json::json!({
            "scale": scale,
            "density": own * scale * scale / shelf,
            "starts": starts,
            "seconds": start.elapsed().as_secs_f64(),
        })
    );
    Ok(())
}
