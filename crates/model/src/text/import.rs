//! A sheet of pieces from elsewhere, line by line, for a look before it is taken over.

use super::fields::Fields;
use super::pieces;
use super::sheet::{COLUMNS, Line, lines, slip};
use super::spot::{Page, Seen};
use super::units::Units;
use super::{CLAYS, FURNITURE, GLAZES, KILNS, furniture, kilns, materials};
use crate::clay::{Clay, Glaze};
use crate::fault::Fault;
use crate::furniture::Furniture;
use crate::kiln::Kiln;
use crate::piece::Piece;
use crate::shown::Shown;

/// Reads the text of a `clays.toml`.
///
/// # Errors
/// Every fault, each with its line and the name of its field.
pub fn read_clays(toml: &str) -> Result<Vec<Clay>, Vec<Fault>> {
    whole(Page::new(CLAYS, toml), materials::clays)
}

/// Reads the text of a `glazes.toml`.
///
/// # Errors
/// As [`read_clays`].
pub fn read_glazes(toml: &str) -> Result<Vec<Glaze>, Vec<Fault>> {
    whole(Page::new(GLAZES, toml), materials::glazes)
}

/// Reads the text of a `furniture.toml` that is written in these units.
///
/// # Errors
/// As [`read_clays`].
pub fn read_furniture(toml: &str, shown: Shown) -> Result<Furniture, Vec<Fault>> {
    whole(Page::new(FURNITURE, toml), |page| {
        furniture::read(page, Units::of(shown))
    })
}

/// Reads the text of a `kilns.toml` that is written in these units.
///
/// # Errors
/// As [`read_clays`].
pub fn read_kilns(toml: &str, shown: Shown) -> Result<Vec<Kiln>, Vec<Fault>> {
    whole(Page::new(KILNS, toml), |page| {
        kilns::read(page, Units::of(shown))
    })
}

fn whole<T>(page: Page<'_>, read: impl Fn(&Page<'_>) -> Option<T>) -> Result<T, Vec<Fault>> {
    let read = read(&page);
    let faults = page.into_faults();
    match read {
        Some(all) if faults.is_empty() => Ok(all),
        _ => Err(faults),
    }
}

/// A sheet of pieces as it was read.
#[derive(Debug, Clone, PartialEq)]
pub struct PiecesRead {
    /// Every line below the header that is not empty, in its order. Below a broken header each line has what else is
    /// wrong with it, and no piece; there are none when hardly a column is known.
    pub rows: Vec<PieceRow>,
    /// Faults of the whole sheet: nothing in it, or a broken header.
    pub faults: Vec<Fault>,
}

/// One line of a sheet of pieces.
#[derive(Debug, Clone, PartialEq)]
pub struct PieceRow {
    /// Its line in the file, from 1.
    pub line: usize,
    /// What stands in each column, in the order of the sheet.
    pub fields: Fields,
    /// The piece, or every fault of the line; none of its own when only the header has faults.
    pub piece: Result<Piece, Vec<Fault>>,
}

/// Reads a sheet with the columns of `pieces.csv` in any order, parted by commas, semicolons or
/// tabs, with or without a mark of byte order, with either end of line. Sizes are in the studio's
/// units. A line whose id stands on an earlier line is a fault; ids that the studio has already are
/// for the caller to see. `file` is the name that faults give the sheet.
pub fn read_pieces(csv: &str, file: &str, shown: Shown) -> PiecesRead {
    let page = Page::new(file, csv);
    if page.text().trim().is_empty() {
        page.fault(
            None,
            "",
            "there is nothing in it".to_owned(),
            &format!(
                "Write {} in its first line and a piece on each line below",
                COLUMNS.join(",")
            ),
        );
        return PiecesRead {
            rows: Vec::new(),
            faults: page.into_faults(),
        };
    }
    let rows = rows(&page, Units::of(shown)).unwrap_or_default();
    PiecesRead {
        rows,
        faults: page.into_faults(),
    }
}

fn rows(page: &Page<'_>, units: Units) -> Option<Vec<PieceRow>> {
    let sheet = lines(page, sign(page.text()))?;
    if sheet.lines.is_empty() {
        page.fault(
            None,
            "",
            "there is no piece below its first line".to_owned(),
            "Write a piece on each line below the names of the columns",
        );
    }
    let mut seen = Seen::default();
    let mut rows = Vec::new();
    for line in &sheet.lines {
        let before = page.count();
        let piece = slip(page, &sheet, line).and_then(|s| pieces::piece(&s, units, &mut seen));
        let mut faults = page.take_since(before);
        // What the header lacks is told once, not line by line.
        faults.retain(|f| !sheet.missing.contains(&f.field.as_str()));
        rows.push(PieceRow {
            line: line.line,
            fields: fields(&sheet.columns, line),
            piece: piece
                .filter(|_| faults.is_empty() && !sheet.broken)
                .ok_or(faults),
        });
    }
    Some(rows)
}

/// What parts the columns: of comma, semicolon and tab the one that the first line has most of.
fn sign(text: &str) -> u8 {
    let first = text.lines().find(|l| !l.trim().is_empty()).unwrap_or("");
    let count = |sign: u8| first.bytes().filter(|b| *b == sign).count();
    // Of equals the last is taken: with no sign at all that is the comma.
    [b'\t', b';', b',']
        .into_iter()
        .max_by_key(|s| count(*s))
        .unwrap_or(b',')
}

/// What was found, cells without a column with their number.
fn fields(columns: &[&'static str], line: &Line) -> Fields {
    let named = line.cells.iter().enumerate().map(|(at, cell)| {
        let name = columns
            .get(at)
            .filter(|c| !c.is_empty())
            .map_or_else(|| (at + 1).to_string(), |c| (*c).to_owned());
        (name, cell.trim().to_owned())
    });
    named.collect()
}
