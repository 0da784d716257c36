//! Sources as fields of a form, and back.

mod broker;
mod controller;
mod file;
mod role;

use glost_model::book::SourceKind;
use glost_model::fault::Fault;

use super::{Logs, Way};

pub use role::{ROLES, UNITS};

/// Rows of a broker's values or a controller's registers that a form has.
pub const ROWS: usize = 8;
/// Columns of a file that a form has.
pub const COLUMNS: usize = 24;
/// Fastest rehearsal.
const FASTEST: u32 = 100_000;

/// Names and values.
pub type Written = Vec<(String, String)>;

/// What was typed, and what is wrong with it.
struct Asked<'a> {
    typed: &'a [(String, String)],
    faults: Vec<Fault>,
}

impl<'a> Asked<'a> {
    fn get(&self, name: &str) -> &'a str {
        let found = self.typed.iter().find(|f| f.0 == name);
        found.map_or("", |f| f.1.trim())
    }

    fn row(&self, name: &str, n: usize) -> &'a str {
        self.get(&format!("{name}.{n}"))
    }

    fn fault(&mut self, field: &str, what: impl Into<String>, remedy: impl Into<String>) {
        self.faults.push(Fault {
            file: String::new(),
            line: None,
            field: field.to_owned(),
            what: what.into(),
            remedy: remedy.into(),
        });
    }

    /// A name or address, and a port behind a colon if it is not the usual one.
    fn host(&mut self, field: &str, usual: u16) -> (String, u16) {
        let text = self.get(field);
        let (host, port) = match text.rsplit_once(':') {
            Some((host, port)) if !host.contains(':') => (host, port.parse().ok()),
            _ => (text, Some(usual)),
        };
        let Some(port) = port.filter(|p| *p > 0 && glost_model::book::ways::is_host(host)) else {
            self.fault(
                field,
                if text.is_empty() {
                    "nothing is written".to_owned()
                } else {
                    format!("'{}' is no machine in a network", short(text))
                },
                format!("Write its name or number, as 192.168.1.20:{usual}"),
            );
            return (String::new(), usual);
        };
        (host.to_owned(), port)
    }

    fn number<T: std::str::FromStr>(&mut self, field: &str, usual: T, remedy: &str) -> T {
        let text = self.get(field);
        if text.is_empty() {
            return usual;
        }
        if let Ok(value) = text.parse() {
            return value;
        }
        self.fault(
            field,
            format!("'{}' is no number that fits", short(text)),
            remedy,
        );
        usual
    }
}

fn short(text: &str) -> String {
    text.chars().take(40).collect()
}

/// Reads a form for a kind of source: the source, and how many times as fast as a kiln a rehearsal goes.
///
/// # Errors
/// Every fault, each at its field.
pub fn read(
    kind: SourceKind,
    typed: &[(String, String)],
    logs: Option<&Logs>,
) -> Result<(Way, Option<u32>), Vec<Fault>> {
    let mut asked = Asked {
        typed,
        faults: Vec::new(),
    };
    let way = match kind {
        SourceKind::Hand => Some(Way::Hand),
        SourceKind::File => file::read(&mut asked, logs).map(Way::File),
        SourceKind::Broker => broker::read(&mut asked).map(Way::Broker),
        SourceKind::Controller => controller::read(&mut asked).map(Way::Controller),
    };
    let rehearsal = match asked.get("rehearsal") {
        "" => None,
        text => match text.parse::<u32>() {
            Ok(n) if (1..=FASTEST).contains(&n) && kind != SourceKind::Hand => Some(n),
            _ => {
                asked.fault(
                    "rehearsal",
                    format!("'{}' times as fast is no rehearsal", short(text)),
                    "Leave it empty for a kiln; for a rehearsal write its pace, as 600",
                );
                None
            }
        },
    };
    match way {
        Some(way) if asked.faults.is_empty() => Ok((way, rehearsal)),
        _ => Err(asked.faults),
    }
}

/// Reads how a file is written, from the same fields.
///
/// # Errors
/// Every fault, each at its field.
pub fn read_layout(typed: &[(String, String)]) -> Result<glost_feed::Layout, Vec<Fault>> {
    let mut asked = Asked {
        typed,
        faults: Vec::new(),
    };
    match file::layout(&mut asked) {
        Some(layout) if asked.faults.is_empty() => Ok(layout),
        _ => Err(asked.faults),
    }
}

/// The name of the file that was typed, where it is one.
///
/// # Errors
/// The fault of its field.
pub fn file_name(typed: &[(String, String)], logs: &Logs) -> Result<String, Vec<Fault>> {
    let mut asked = Asked {
        typed,
        faults: Vec::new(),
    };
    file::name(&mut asked, logs).ok_or(asked.faults)
}

/// A source as its form has it.
pub fn written(way: &Way, rehearsal: Option<u32>) -> Written {
    let mut all = match way {
        Way::Hand => Written::new(),
        Way::File(way) => {
            let mut all = file::written(&way.layout);
            all.push(("file".to_owned(), way.file.clone()));
            all
        }
        Way::Broker(way) => broker::written(way),
        Way::Controller(way) => controller::written(way),
    };
    all.push((
        "rehearsal".to_owned(),
        rehearsal.map_or_else(String::new, |n| n.to_string()),
    ));
    all
}

/// A proposed layout as the form has it.
pub fn proposed(layout: &glost_feed::Layout) -> Written {
    file::written(layout)
}
