//! Shelves and outlines that ours and other programs are given alike. All sizes are whole millimetres, and
//! all are invented: spread evenly by multiples of an irrational number.

use glost_model::Length;
use glost_model::shape::{Chamber, Outline};
use glost_placing::bare::{BareShelf, Post};

/// What is sought.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Task {
    /// The largest common scale of all outlines.
    Densest,
    /// The least width of a rectangle as deep as the shelf.
    Narrowest,
    /// The most area from more outlines than fit.
    Most,
}

/// A shelf with outlines.
#[derive(Debug, Clone, PartialEq)]
pub struct Instance {
    /// Its name for `--instance`.
    pub name: &'static str,
    /// In words.
    pub what: &'static str,
    /// What is sought.
    pub task: Task,
    /// The shelf.
    pub shelf: BareShelf,
    /// The outlines.
    pub shapes: Vec<Outline>,
}

/// Names of all instances.
pub const INSTANCES: [&str; 4] = ["discs-30", "mixed-30", "strip-30", "rectangles-36"];

/// One by its name.
pub fn instance(name: &str) -> Option<Instance> {
    let round = Chamber::Circle {
        diameter: Length::mm(711.0),
    };
    let made = |name, what, task, shelf, shapes| Instance {
        name,
        what,
        task,
        shelf,
        shapes,
    };
    Some(match name {
        "discs-30" => made(
            "discs-30",
            "30 round pieces of radius 30 to 80 mm on a round shelf of 711 mm with three posts, 6 mm gaps",
            Task::Densest,
            shelf(round, posts()),
            (0..30).map(|i| disc(radius_mm(i))).collect(),
        ),
        "mixed-30" => made(
            "mixed-30",
            "the same with every other piece an ellipse or a rectangle of much the same area",
            Task::Densest,
            shelf(round, posts()),
            (0..30).map(mixed).collect(),
        ),
        "strip-30" => made(
            "strip-30",
            "the 30 round pieces in a rectangle 705 mm deep without posts, 6 mm gaps",
            Task::Narrowest,
            shelf(rectangle(2000.0, 705.0), Vec::new()),
            (0..30).map(|i| disc(radius_mm(i))).collect(),
        ),
        "rectangles-36" => made(
            "rectangles-36",
            "36 rectangles of 70 to 200 by 50 to 140 mm for a shelf of 540 by 490 mm without posts, 6 mm gaps",
            Task::Most,
            shelf(rectangle(540.0, 490.0), Vec::new()),
            (0..36).map(tile).collect(),
        ),
        _ => return None,
    })
}

fn shelf(form: Chamber, posts: Vec<Post>) -> BareShelf {
    let gap = Length::mm(6.0);
    BareShelf {
        form,
        posts,
        gap,
        edge_gap: gap,
    }
}

fn rectangle(width: f64, depth: f64) -> Chamber {
    Chamber::Rectangle {
        width: Length::mm(width),
        depth: Length::mm(depth),
    }
}

/// Three of 38 mm near the rim, one toward the hinge.
fn posts() -> Vec<Post> {
    [(0.0, 325.0), (-281.0, -163.0), (281.0, -163.0)]
        .into_iter()
        .map(|(x, y)| Post {
            x: Length::mm(x),
            y: Length::mm(y),
            radius: Length::mm(19.0),
        })
        .collect()
}

/// Parts of multiples of the golden ratio and of the plastic number's square root: evenly spread in 0 to 1.
fn spread(i: usize, by: f64) -> f64 {
    ((i + 1) as f64 * by).fract()
}
const GOLDEN: f64 = 0.618_033_988_749_894_9;
const PLASTIC: f64 = 0.754_877_666_246_692_8;

fn radius_mm(i: usize) -> f64 {
    (30.0 + 50.0 * spread(i, GOLDEN)).round()
}

fn disc(r: f64) -> Outline {
    Outline::Circle {
        diameter: Length::mm(2.0 * r),
    }
}

fn mixed(i: usize) -> Outline {
    let r = radius_mm(i);
    let long = 1.1 + 0.5 * spread(i, PLASTIC);
    let side = std::f64::consts::PI.sqrt() / 2.0;
    let (length, width) = (2.0 * r * long, 2.0 * r / long);
    match i % 4 {
        1 => Outline::Ellipse {
            length: Length::mm(length.round()),
            width: Length::mm(width.round()),
        },
        3 => Outline::Rectangle {
            length: Length::mm((length * side).round()),
            width: Length::mm((width * side).round()),
        },
        _ => disc(r),
    }
}

fn tile(i: usize) -> Outline {
    Outline::Rectangle {
        length: Length::mm((70.0 + 130.0 * spread(i, GOLDEN)).round()),
        width: Length::mm((50.0 + 90.0 * spread(i, PLASTIC)).round()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_name_has_its_instance_and_each_asks_for_more_than_is_easy() {
        for name in INSTANCES {
            let i = instance(name).unwrap();
            assert_eq!(i.name, name);
            let area: f64 = i.shapes.iter().map(|s| s.area().to_m2()).sum();
            println!(
                "{name}: {} outlines of {area:.4} m² together",
                i.shapes.len()
            );
            assert!(area > 0.27, "{name}: {area}");
        }
        assert_eq!(instance("none"), None);
    }
}
