//! One shelf, beside what other programs did with it.

use glost_check::{Laid, layout_fault};
use glost_model::shape::{Chamber, Outline};
use glost_placing::bare::{Effort, Stand, densest, most, narrowest};

use super::instances::{Instance, Task, instance};
use super::peers::{Peer, kept_peers};
use super::{Ask, Row};

/// Ahead of a greedy by at least this.
const OVER_GREEDY: f64 = 1.05;

/// Density, width in m, or area in m².
fn figure(i: &Instance, ask: &Ask) -> Result<f64, String> {
    let effort = Effort {
        seconds: ask.seconds,
        seed: ask.seed,
        rounds: u32::MAX,
    };
    match i.task {
        Task::Densest => {
            let s = densest(&i.shelf, &i.shapes, effort).map_err(|e| e.to_string())?;
            let grown: Vec<Outline> = i.shapes.iter().map(|o| o.scaled(s.scale)).collect();
            judged(i, i.shelf.form, grown.iter().zip(s.poses.iter().copied()))?;
            Ok(s.density)
        }
        Task::Narrowest => {
            let Chamber::Rectangle { depth, .. } = i.shelf.form else {
                return Err("only a rectangle is made narrower".to_owned());
            };
            let s = narrowest(depth, &i.shapes, i.shelf.gap, effort).map_err(|e| e.to_string())?;
            let form = Chamber::Rectangle {
                width: s.width,
                depth,
            };
            judged(i, form, i.shapes.iter().zip(s.poses.iter().copied()))?;
            Ok(s.width.to_m())
        }
        Task::Most => {
            let c = most(&i.shelf, &i.shapes, effort).map_err(|e| e.to_string())?;
            let on = i.shapes.iter().zip(&c.poses);
            judged(i, i.shelf.form, on.filter_map(|(o, p)| p.map(|p| (o, p))))?;
            Ok(c.area.to_m2())
        }
    }
}

fn judged<'a>(
    i: &Instance,
    form: Chamber,
    on: impl Iterator<Item = (&'a Outline, Stand)>,
) -> Result<(), String> {
    let laid: Vec<Laid<'_>> = on
        .map(|(outline, p)| Laid {
            outline,
            at: [p.x.to_m(), p.y.to_m(), p.turn.to_rad()],
        })
        .collect();
    let posts: Vec<[f64; 3]> = i
        .shelf
        .posts
        .iter()
        .map(|p| [p.x.to_m(), p.y.to_m(), p.radius.to_m()])
        .collect();
    match layout_fault(&form, &posts, i.shelf.gap, i.shelf.edge_gap, &laid) {
        None => Ok(()),
        Some(fault) => Err(format!("refused: {fault}")),
    }
}

/// How much better ours is than a peer's figure: above 1 it is.
fn ratio(task: Task, ours: f64, peer: f64) -> f64 {
    match task {
        Task::Narrowest => peer / ours,
        Task::Densest | Task::Most => ours / peer,
    }
}

fn shown(task: Task, figure: f64) -> String {
    match task {
        Task::Densest => format!("density {figure:.4}"),
        Task::Narrowest => format!("width {:.1} mm", figure * 1e3),
        Task::Most => format!("area {figure:.5} m²"),
    }
}

/// Ours on some instances beside the peers kept for them.
fn beside(ask: &Ask, name: &'static str, what: &str, wanted: &str, instances: &[&str]) -> Row {
    let mut lines = Vec::new();
    let mut found = Vec::new();
    let mut values = Vec::new();
    let mut all_ahead = true;
    let mut comparable = true;
    for i in instances.iter().filter_map(|n| instance(n)) {
        let ours = match figure(&i, ask) {
            Ok(f) => f,
            Err(e) => {
                all_ahead = false;
                found.push(format!("{}: {e}", i.name));
                continue;
            }
        };
        values.push((i.name.to_owned(), ours));
        found.push(format!("{}: {}", i.name, shown(i.task, ours)));
        let line = |who: &str, figure: f64, seconds: f64, where_: &str| {
            vec![
                i.name.to_owned(),
                who.to_owned(),
                shown(i.task, figure),
                format!("{:.3}", ratio(i.task, ours, figure)),
                format!("{seconds}"),
                where_.to_owned(),
            ]
        };
        lines.push(line("Glost", ours, ask.seconds, "here"));
        let peers = kept_peers(i.name);
        comparable &= !peers.is_empty();
        for p in peers {
            lines.push(line(&p.peer, p.figure, p.seconds, &p.machine));
            all_ahead &= ahead(i.task, ours, &p);
            // A peer that had less time proves nothing.
            comparable &= p.seconds >= ask.seconds;
        }
    }
    Row {
        name,
        what: what.to_owned(),
        wanted: wanted.to_owned(),
        found: found.join("; "),
        reached: (comparable || !all_ahead).then_some(all_ahead),
        values,
        head: vec!["instance", "who", "figure", "ours to it", "s", "machine"],
        lines,
    }
}

fn ahead(task: Task, ours: f64, p: &Peer) -> bool {
    let least = if p.is_greedy() { OVER_GREEDY } else { 1.0 };
    ratio(task, ours, p.figure) >= least
}

/// Round shelves.
pub fn round(ask: &Ask) -> Row {
    beside(
        ask,
        "round-shelf",
        "30 pieces on a round shelf of 711 mm with posts and 6 mm gaps: all round, and mixed with ellipses and rectangles",
        "denser than every peer in the same time, by 5 % or more than a greedy on collision queries",
        &["discs-30", "mixed-30"],
    )
}

/// A rectangle as narrow as it gets.
pub fn strip(ask: &Ask) -> Row {
    beside(
        ask,
        "strip",
        "30 round pieces in the narrowest rectangle 705 mm deep, 6 mm gaps",
        "not wider than any peer in the same time",
        &["strip-30"],
    )
}

/// Rectangles on a rectangle.
pub fn rectangle(ask: &Ask) -> Row {
    beside(
        ask,
        "rectangle-shelf",
        "the most area of rectangles on a rectangular shelf, 6 mm gaps",
        "not worse than any peer in the same time",
        &["rectangles-36"],
    )
}
