//! Measure the load planner: against published records, against its own bound, and beside what other
//! programs did on the same shelves. Every layout is judged by `glost_check` before it counts. And measure the heat
//! model, in [`measure_heat`], and learning and watching, in [`measure_learn`].

mod alarms;
mod book;
mod circles;
mod firings;
mod heat;
mod instances;
mod learn;
mod loads;
mod made;
mod peers;
mod shelves;

pub use book::{Size, fill};
pub use circles::least;
pub use heat::{FIRING, heat_row_names, measure_heat, timed_equations};
pub use instances::{INSTANCES, Instance, Task, instance};
pub use learn::{LearnAsk, learn_names, measure_learn};
pub use made::made_up;
pub use peers::{Peer, kept_peers};

/// How long to measure, and what.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ask {
    /// For each shelf or load, s; small things get a share of it.
    pub seconds: f64,
    /// Seed of every search.
    pub seed: u64,
    /// A few samples of each row in place of all: shows that it works, measures nothing.
    pub quick: bool,
}

/// One thing that was measured.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Its name for `--only`.
    pub name: &'static str,
    /// What it is.
    pub what: String,
    /// What is wanted of it.
    pub wanted: String,
    /// What came out, in one sentence.
    pub found: String,
    /// Whether it is what was wanted; nothing when it cannot be told.
    pub reached: Option<bool>,
    /// Figures by name, for programs.
    pub values: Vec<(String, f64)>,
    /// Heads of the columns.
    pub head: Vec<&'static str>,
    /// Cells line by line.
    pub lines: Vec<Vec<String>>,
}

type Measure = fn(&Ask) -> Row;

/// Every row with how many times [`Ask::seconds`] it takes at most, quick or whole.
const ROWS: [(&str, Measure, [f64; 2]); 8] = [
    ("equal-circles", circles::equal, [0.6, 11.4]),
    ("rising-circles", circles::rising, [1.0, 2.0]),
    ("round-shelf", shelves::round, [2.0, 2.0]),
    ("strip", shelves::strip, [1.0, 1.0]),
    ("rectangle-shelf", shelves::rectangle, [1.0, 1.0]),
    ("loads", loads::against_bound, [3.0, 22.0]),
    ("bins", circles::five_copies, [1.0, 5.0]),
    ("growth", loads::growth, [2.0, 10.0]),
];

/// Names of all rows, in order.
pub fn row_names() -> impl Iterator<Item = &'static str> {
    ROWS.iter().map(|r| r.0)
}

/// How long a row takes at most, s, but for the last step of a search, which is finished. 0 for an unknown name.
pub fn at_most_s(ask: &Ask, name: &str) -> f64 {
    ROWS.iter()
        .find(|r| r.0 == name)
        .map_or(0.0, |r| ask.seconds * r.2[usize::from(!ask.quick)])
}

/// Measures one row; nothing for an unknown name.
pub fn measure(ask: &Ask, name: &str) -> Option<Row> {
    ROWS.iter().find(|r| r.0 == name).map(|r| r.1(ask))
}
