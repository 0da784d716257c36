//! A greedy on collision queries: large outlines first, each where random samples and a short descent find the
//! most outward place (or the lowest in a random direction), started over until the time is up. Reads an instance
//! as `glost figures placing --instance NAME` writes it; prints the largest common scale reached.
//!
//! Collision queries: `jagua-rs`. Everything is grown by half the gap, and the shelf's rim drawn in to match. Round
//! outlines become 32-gons inside the true outline and the rim a 128-gon outside it, and the time in which outlines are
//! imported does not count: this program has the slightly easier task.

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
/// The scale grows by this share after a success; half of it when it fails too often.
const RAISE: f64 = 0.04;
/// Starts that may fail at one scale.
const FAILURES: u32 = 12;
/// The raise is not made finer than this.
const FINEST: f64 = 0.002;

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
    edge_gap_m: f64,
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

/// Corners in mm of an outline blown up and then grown by `by_m` all around.
fn grown(form: &Form, scale: f64, by_m: f64) -> ExtSPolygon {
    let mm = |x: f64, y: f64| ((1e3 * x) as f32, (1e3 * y) as f32);
    let corners = match *form {
        Form::Circle { diameter } => {
            let r = scale * diameter / 2.0 + by_m;
            return oval(0.0, 0.0, r, r, 32, 1.0);
        }
        Form::Ellipse { length, width } => {
            let (a, b) = (scale * length / 2.0, scale * width / 2.0);
            let at = |i: u32| {
                let (s, c) = (f64::from(i) / 32.0 * std::f64::consts::TAU).sin_cos();
                let out = (b * c).hypot(a * s);
                mm(a * c + by_m * b * c / out, b * s + by_m * a * s / out)
            };
            (0..32).map(at).collect()
        }
        Form::Rectangle { length, width } => {
            let (a, b) = (scale * length / 2.0, scale * width / 2.0);
            let signs = [(1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)];
            let at = |i: usize| {
                // Four points to each rounded corner.
                let turn = (i / 4) as f64 + (i % 4) as f64 / 3.0;
                let (s, c) = (turn * std::f64::consts::FRAC_PI_2).sin_cos();
                let (sx, sy) = signs[i / 4];
                mm(sx * a + by_m * c, sy * b + by_m * s)
            };
            (0..16).map(at).collect()
        }
    };
    ExtSPolygon(corners)
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
    placing: f64,
    seconds: f64,
    since: Instant,
    rng: ChaCha8Rng,
}

impl Greedy<'_> {
    fn over(&self) -> bool {
        self.placing + self.since.elapsed().as_secs_f64() >= self.seconds
    }

    /// Imported once for a scale; starts share them.
    fn items(&mut self, scale: f64) -> Result<Vec<Arc<Item>>, Box<dyn Error>> {
        self.placing += self.since.elapsed().as_secs_f64();
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
                shape: ExtShape::SimplePolygon(grown(form, scale, self.instance.gap_m / 2.0)),
                min_quality: None,
            };
            items.push(self.importer.import_item(&item, i)?);
        }
        self.since = Instant::now();
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
    let mut next = |what: &str| {
        args.next().ok_or(format!(
            "usage: queries INSTANCE.json SECONDS SEED: no {what}"
        ))
    };
    let path = next("instance")?;
    let seconds: f64 = next("seconds")?.parse()?;
    let seed: u64 = next("seed")?.parse()?;
    let instance: Instance = serde_json::from_str(&std::fs::read_to_string(path)?)?;
    let Form::Circle { diameter } = instance.container else {
        return Err("only round shelves".into());
    };
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
    );
    let half = instance.gap_m / 2.0;
    let inner = diameter / 2.0 - instance.edge_gap_m + half;
    let rim = 1.0 / (std::f64::consts::PI / 128.0).cos();
    let container = importer.import_container(&ExtContainer {
        id: 0,
        shape: ExtShape::Polygon(ExtPolygon {
            outer: oval(0.0, 0.0, inner, inner, 128, rim),
            inner: instance
                .posts
                .iter()
                .map(|p| {
                    let r = p.radius_m + half;
                    oval(p.x_m, p.y_m, r, r, 32, 1.0)
                })
                .collect(),
        }),
        zones: Vec::new(),
    })?;
    let own: f64 = instance.shapes.iter().map(area_m2).sum();
    let shelf = std::f64::consts::FRAC_PI_4 * diameter * diameter;
    let mut scale = (0.45 * shelf / own).sqrt();
    let (mut best, mut raise, mut failures, mut starts) = (None, RAISE, 0, 0);
    let mut greedy = Greedy {
        instance: &instance,
        importer,
        container,
        radius_mm: (diameter * 500.0) as f32,
        placing: 0.0,
        seconds,
        since: Instant::now(),
        rng: ChaCha8Rng::seed_from_u64(seed),
    };
    let mut items = greedy.items(scale)?;
    while !greedy.over() {
        starts += 1;
        if greedy.attempt(&items) {
            best = Some(scale);
            failures = 0;
            scale *= 1.0 + raise;
            items = greedy.items(scale)?;
            continue;
        }
        failures += 1;
        if failures % FAILURES == 0 && (best.is_none() || raise > FINEST) {
            raise = (raise / 2.0).max(FINEST);
            scale = best.map_or(scale * 0.95, |b| b * (1.0 + raise));
            items = greedy.items(scale)?;
        }
    }
    let scale: f64 = best.ok_or("nothing was placed")?;
    println!(
        "{}",
        serde_json::json!({
            "scale": scale,
            "density": own * scale * scale / shelf,
            "starts": starts,
            "seconds": seconds,
        })
    );
    Ok(())
}
