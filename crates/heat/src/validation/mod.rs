//! Cases with a known answer, and how near to it Glost comes. Tests hold every one to its tolerance, and
//! [`markdown`] prints them for a reader.

mod bodies;
mod conduction;
mod facts;
mod halving;
pub mod kilns;
mod outside;
mod radiation;
mod report;
mod run;
mod views;
mod walls;

pub use facts::Fact;
pub use outside::small_equations;
pub use report::markdown;

/// One quantity with a known answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    /// Which quantity.
    pub name: String,
    /// Where the answer comes from.
    pub source: &'static str,
    /// Unit of all three numbers; empty for a plain number.
    pub unit: &'static str,
    /// The answer.
    pub answer: f64,
    /// What Glost says; not a number when it failed.
    pub ours: f64,
    /// How far off it may be.
    pub tolerance: f64,
}

impl Case {
    /// Ours less the answer.
    pub fn error(&self) -> f64 {
        self.ours - self.answer
    }

    /// Whether it is within its tolerance.
    pub fn holds(&self) -> bool {
        self.error().abs() <= self.tolerance
    }

    /// Error as a share of the tolerance.
    pub fn share(&self) -> f64 {
        self.error().abs() / self.tolerance
    }
}

/// Cases of one kind.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// Its name.
    pub name: &'static str,
    /// What it is, for a reader.
    pub what: &'static str,
    /// The cases.
    pub cases: Vec<Case>,
}

impl Group {
    /// The case that comes nearest to its tolerance, or is furthest beyond it.
    pub fn worst(&self) -> Option<&Case> {
        let bad = |c: &Case| {
            if c.ours.is_finite() {
                c.share()
            } else {
                f64::INFINITY
            }
        };
        self.cases.iter().max_by(|a, b| bad(a).total_cmp(&bad(b)))
    }
}

/// Cases of one source with one unit and one tolerance.
struct Of(&'static str, &'static str, f64);

impl Of {
    fn case(&self, name: impl Into<String>, ours: f64, answer: f64) -> Case {
        Case {
            name: name.into(),
            source: self.0,
            unit: self.1,
            answer,
            ours,
            tolerance: self.2,
        }
    }
}

/// Closed forms, series and published benchmarks: a second or less.
pub fn published() -> Vec<Group> {
    vec![
        conduction::group(),
        bodies::group(),
        walls::group(),
        radiation::group(),
        views::group(),
    ]
}

/// The whole kiln: against an outside solver of the same equations, and against itself with smaller cells and
/// steps.
pub fn whole_kiln() -> Vec<Group> {
    vec![outside::group(), halving::group(), halving::closure()]
}

/// What is known of studio kilns.
pub fn facts() -> Vec<Fact> {
    facts::all()
}
