//! Single records from forms, read by the readers of the files.

use std::collections::{BTreeMap, BTreeSet};

use super::fields::{Fields, Record, Value};
use super::row::Row;
use super::sheet::{COLUMNS, Slip, split};
use super::spot::{Page, Seen, short};
use super::units::Units;
use super::{CLAYS, FURNITURE, GLAZES, KILNS, PIECES, furniture, kilns, materials, pieces};
use crate::clay::{Clay, Glaze};
use crate::fault::Fault;
use crate::furniture::{PostStock, ShelfStock, SupportStock};
use crate::kiln::Kiln;
use crate::piece::Piece;
use crate::shown::Shown;

/// Tables and lists within a record.
struct Nest {
    tables: &'static [&'static str],
    lists: &'static [&'static str],
}

const FLAT: Nest = Nest {
    tables: &[],
    lists: &[],
};

const KILN: Nest = Nest {
    tables: &["sensor", "controller"],
    lists: &["bands", "peepholes", "wall", "floor", "lid"],
};

/// Reads a piece. Whether another has its id is for the caller to see.
///
/// # Errors
/// Every fault, each with the name of its field, by the checks of `pieces.csv`.
pub fn read_piece(fields: &Fields, shown: Shown) -> Result<Piece, Vec<Fault>> {
    let page = Page::form(PIECES, "", BTreeMap::new());
    told_twice(&page, fields);
    let mut cells = Vec::new();
    for (name, text) in filled(fields) {
        match COLUMNS.iter().find(|c| *c == name) {
            Some(column) => {
                split(&page, 1, column, text.trim());
                cells.push((*column, text.trim().to_owned()));
            }
            None => page.stranger(None, &short(name), &COLUMNS),
        }
    }
    let slip = Slip::new(&page, 1, cells);
    let piece = pieces::piece(&slip, Units::of(shown), &mut Seen::default());
    whole(page, piece)
}

/// Reads a clay. Whether another has its name is for the caller to see.
///
/// # Errors
/// Every fault, each with the name of its field, by the checks of `clays.toml`.
pub fn read_clay(fields: &Fields) -> Result<Clay, Vec<Fault>> {
    named(CLAYS, fields, &FLAT, materials::clay)
}

/// Reads a glaze. Whether another has its name is for the caller to see.
///
/// # Errors
/// Every fault, each with the name of its field, by the checks of `glazes.toml`.
pub fn read_glaze(fields: &Fields) -> Result<Glaze, Vec<Fault>> {
    named(GLAZES, fields, &FLAT, materials::glaze)
}

/// Reads shelves of one kind. Whether others have their name is for the caller to see.
///
/// # Errors
/// Every fault, each with the name of its field, by the checks of `furniture.toml`.
pub fn read_shelf(fields: &Fields, shown: Shown) -> Result<ShelfStock, Vec<Fault>> {
    named(FURNITURE, fields, &FLAT, |row, name| {
        furniture::shelf(row, Units::of(shown), name)
    })
}

/// Reads posts of one length. Whether others have that length is for the caller to see.
///
/// # Errors
/// Every fault, each with the name of its field, by the checks of `furniture.toml`.
pub fn read_post(fields: &Fields, shown: Shown) -> Result<PostStock, Vec<Fault>> {
    record(FURNITURE, fields, &FLAT, |row| {
        furniture::post(row, Units::of(shown), &mut Seen::default())
    })
}

/// Reads supports of one kind. Whether others have their name is for the caller to see.
///
/// # Errors
/// Every fault, each with the name of its field, by the checks of `furniture.toml`.
pub fn read_support(fields: &Fields, shown: Shown) -> Result<SupportStock, Vec<Fault>> {
    named(FURNITURE, fields, &FLAT, |row, name| {
        furniture::support(row, Units::of(shown), name)
    })
}

/// Reads a kiln. Fields of its lists are named `bands.0.from`, those of its tables `sensor.clock`;
/// rows of a list whose fields are all empty are passed over. Whether another kiln has its name is
/// for the caller to see.
///
/// # Errors
/// Every fault, each with the name of its field, by the checks of `kilns.toml`.
pub fn read_kiln(fields: &Fields, shown: Shown) -> Result<Kiln, Vec<Fault>> {
    named(KILNS, fields, &KILN, |row, name| {
        kilns::kiln(row, Units::of(shown), name)
    })
}

fn named<T>(
    file: &'static str,
    fields: &Fields,
    nest: &Nest,
    make: impl Fn(&Row<'_, '_>, Option<String>) -> Option<T>,
) -> Result<T, Vec<Fault>> {
    record(file, fields, nest, |row| make(row, row.text("name")))
}

fn record<T>(
    file: &'static str,
    fields: &Fields,
    nest: &Nest,
    make: impl Fn(&Row<'_, '_>) -> Option<T>,
) -> Result<T, Vec<Fault>> {
    let gathered = gather(fields, nest);
    // A record of nothing is still a record, with every field missing.
    let text = format!("# form\n{}", gathered.record.toml());
    let page = Page::form(file, &text, gathered.rows);
    told_twice(&page, fields);
    for name in gathered.strangers {
        let inner = format!("fields within it, as {name}.0.from or {name}.clock");
        page.stranger(None, name, &[&inner]);
    }
    let made = page.table().and_then(|t| make(&Row::whole(&page, &t)));
    whole(page, made)
}

fn whole<T>(page: Page<'_>, made: Option<T>) -> Result<T, Vec<Fault>> {
    let faults = page.into_faults();
    match made {
        Some(made) if faults.is_empty() => Ok(made),
        _ => Err(faults),
    }
}

fn told_twice(page: &Page<'_>, fields: &Fields) {
    let mut seen = BTreeSet::new();
    for (name, _) in fields {
        if !seen.insert(name) {
            page.fault(
                None,
                &short(name),
                "the field is there twice".to_owned(),
                "Take out one of the two",
            );
        }
    }
}

/// A field without text is one that is not filled in.
fn filled(fields: &Fields) -> impl Iterator<Item = &(String, String)> {
    fields.iter().filter(|(_, text)| !text.trim().is_empty())
}

#[derive(Default)]
struct Gathered<'f> {
    record: Record,
    /// The numbers that the rows of lists have in the form.
    rows: BTreeMap<String, Vec<usize>>,
    /// Tables and lists that were sent as if they were fields.
    strangers: Vec<&'f str>,
}

type Leaves<'f> = BTreeMap<&'f str, &'f str>;

/// The record with its tables and lists. These are always there, so that only their own fields can
/// be missing.
fn gather<'f>(fields: &'f Fields, nest: &Nest) -> Gathered<'f> {
    let mut own = Leaves::new();
    let mut tables = BTreeMap::<&str, Leaves<'_>>::new();
    let mut lists = BTreeMap::<&str, BTreeMap<usize, Leaves<'_>>>::new();
    let mut out = Gathered::default();
    for (name, text) in filled(fields) {
        let parts: Vec<&str> = name.split('.').collect();
        match parts[..] {
            [one] if nest.tables.contains(&one) || nest.lists.contains(&one) => {
                out.strangers.push(one);
            }
            [table, key] if nest.tables.contains(&table) => {
                tables.entry(table).or_default().insert(key, text);
            }
            [list, at, key] if nest.lists.contains(&list) && number(at).is_some() => {
                let rows = lists.entry(list).or_default();
                let row = rows.entry(number(at).unwrap_or_default()).or_default();
                row.insert(key, text);
            }
            // What belongs nowhere is told by the reader.
            _ => {
                own.insert(name, text);
            }
        }
    }
    out.record = put_all(own);
    for name in nest.tables {
        let table = put_all(tables.remove(name).unwrap_or_default());
        out.record.put(name, Value::Table(table));
    }
    for name in nest.lists {
        let rows = lists.remove(name).unwrap_or_default();
        let numbers = rows.keys().copied().collect();
        out.rows.insert((*name).to_owned(), numbers);
        let rows = rows.into_values().map(put_all).collect();
        out.record.put(name, Value::List(rows));
    }
    out
}

/// A row's number, written in one way only.
fn number(text: &str) -> Option<usize> {
    text.parse().ok().filter(|n: &usize| n.to_string() == text)
}

fn put_all(leaves: Leaves<'_>) -> Record {
    let mut record = Record::default();
    for (key, text) in leaves {
        record.text(key, text.trim());
    }
    record
}
