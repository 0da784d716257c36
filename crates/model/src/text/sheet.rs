//! `pieces.csv` as it is written: a header and a slip a line.

use csv::{ReaderBuilder, StringRecord};

use super::spot::{MOST_LETTERS, Page, short, unfit};

/// Columns; their order is free.
pub(super) const COLUMNS: [&str; 23] = [
    "id",
    "what",
    "maker",
    "shape",
    "size",
    "foot_size",
    "height",
    "mass",
    "wall",
    "clay",
    "glazes",
    "foot",
    "glaze_margin",
    "dryness",
    "delicacy",
    "stage",
    "cone",
    "due",
    "came_in",
    "priority",
    "group",
    "held",
    "inside",
];

/// Most characters of the name on a slip.
const MOST_ID: usize = 40;
/// Most characters of an outline, which may have many corners.
const MOST_CORNERS: usize = 4_000;
/// Most characters of a list of glazes.
const MOST_GLAZES: usize = 1_000;

/// Columns that a sheet may do without.
const SPARE: [&str; 11] = [
    "foot_size",
    "glazes",
    "glaze_margin",
    "delicacy",
    "cone",
    "due",
    "came_in",
    "priority",
    "group",
    "held",
    "inside",
];

/// One line of the sheet.
pub(super) struct Slip<'p, 't> {
    page: &'p Page<'t>,
    line: usize,
    cells: Vec<(&'static str, String)>,
}

impl<'p, 't> Slip<'p, 't> {
    pub(super) fn page(&self) -> &'p Page<'t> {
        self.page
    }

    pub(super) fn line(&self) -> usize {
        self.line
    }

    /// What stands in a column; nothing when the cell is empty.
    pub(super) fn find(&self, column: &str) -> Option<&str> {
        let cell = self.cells.iter().find(|(c, _)| *c == column);
        cell.map(|(_, text)| text.as_str())
            .filter(|t| !t.is_empty())
    }

    /// A line of cells by the names of their columns. Cells that are too long for what they hold are faults.
    pub(super) fn new(page: &'p Page<'t>, line: usize, cells: Vec<(&'static str, String)>) -> Self {
        let slip = Self { page, line, cells };
        for (column, text) in &slip.cells {
            let most = match *column {
                "id" => MOST_ID,
                "size" | "foot_size" => MOST_CORNERS,
                "glazes" => MOST_GLAZES,
                _ => MOST_LETTERS,
            };
            if let Some((what, remedy)) = unfit(text, most) {
                slip.fault(column, what, &remedy);
            }
        }
        slip
    }

    /// Notes a fault in a column.
    pub(super) fn fault(&self, column: &str, what: String, remedy: &str) {
        self.page.fault(Some(self.line), column, what, remedy);
    }

    /// What stands in a column that may not be empty.
    pub(super) fn need(&self, column: &str, remedy: &str) -> Option<&str> {
        let found = self.find(column);
        if found.is_none() {
            let what = self.page.says("the cell is empty", "it is not filled in");
            self.fault(column, what.to_owned(), remedy);
        }
        found
    }
}

/// One line of a sheet, split into cells.
pub(super) struct Line {
    pub(super) line: usize,
    pub(super) cells: Vec<String>,
}

/// A sheet whose header was read, and the lines below it.
pub(super) struct Sheet {
    /// What parts the columns.
    sign: u8,
    /// Columns as the header names them; empty for one that does not belong here.
    pub(super) columns: Vec<&'static str>,
    /// Columns that the header lacks.
    pub(super) missing: Vec<&'static str>,
    /// The header has faults: lines can be looked through, and none can be taken.
    pub(super) broken: bool,
    pub(super) lines: Vec<Line>,
}

/// Reads the sheet. A line that cannot be split into cells has its fault and is left out;
/// nothing at all when the header is broken.
pub(super) fn slips<'p, 't>(page: &'p Page<'t>) -> Option<Vec<Slip<'p, 't>>> {
    if page.is_empty() {
        return None;
    }
    let sheet = lines(page, b',').filter(|s| !s.broken)?;
    let slips = sheet.lines.iter();
    Some(slips.filter_map(|line| slip(page, &sheet, line)).collect())
}

/// Splits the sheet where this sign stands; nothing when hardly a column of the header is one of ours.
pub(super) fn lines(page: &Page<'_>, sign: u8) -> Option<Sheet> {
    let mut reader = ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(sign)
        .from_reader(page.text().as_bytes());
    let mut record = StringRecord::new();
    let mut columns = None;
    let mut lines = Vec::new();
    loop {
        let start = skip_blank(page.text(), reader.position().byte());
        let line = page.line(start);
        match reader.read_record(&mut record) {
            Ok(false) => break,
            Ok(true) => {}
            Err(e) => {
                page.fault(
                    Some(line),
                    "",
                    e.to_string(),
                    "Save the sheet as CSV in UTF-8",
                );
                return None;
            }
        }
        if columns.is_none() {
            columns = Some(header(page, line, &record)?);
        } else if record.iter().any(|cell| !cell.trim().is_empty()) {
            // Spreadsheets leave lines of nothing but commas below the last row.
            let cells = record.iter().map(str::to_owned).collect();
            lines.push(Line { line, cells });
        }
    }
    let Header {
        columns,
        missing,
        broken,
    } = columns?;
    Some(Sheet {
        sign,
        columns,
        missing,
        broken,
        lines,
    })
}

fn skip_blank(text: &str, byte: u64) -> usize {
    let from = usize::try_from(byte).unwrap_or(usize::MAX).min(text.len());
    let rest = text.as_bytes().get(from..).unwrap_or_default();
    from + rest
        .iter()
        .take_while(|b| matches!(b, b'\r' | b'\n'))
        .count()
}

/// With fewer columns of ours than this below a broken header, lines say nothing worth telling.
const KNOWN: usize = 6;

struct Header {
    columns: Vec<&'static str>,
    missing: Vec<&'static str>,
    broken: bool,
}

fn header(page: &Page<'_>, line: usize, record: &StringRecord) -> Option<Header> {
    let mut found = Vec::new();
    let mut broken = false;
    let alone = record.get(0).filter(|_| record.len() == 1);
    if let Some(sign) = alone.and_then(|cell| [';', '\t'].into_iter().find(|s| cell.contains(*s))) {
        let sign = if sign == ';' { "semicolons" } else { "tabs" };
        page.fault(
            Some(line),
            "first line",
            format!("the columns are parted by {sign}"),
            "Save the sheet as CSV with commas",
        );
        return None;
    }
    let mut fault = |field: &str, what: String, remedy: &str| {
        broken = true;
        page.fault(Some(line), field, what, remedy);
    };
    for name in record.iter().map(str::trim) {
        match COLUMNS.iter().find(|c| **c == name) {
            Some(column) if found.contains(column) => {
                found.push("");
                fault(
                    column,
                    "the column is there twice".to_owned(),
                    "Take out one of the two",
                );
            }
            Some(column) => found.push(*column),
            None => {
                found.push("");
                fault(
                    &short(name),
                    format!("'{}' is not a column of this sheet", short(name)),
                    &format!("Take it out, or use one of {}", COLUMNS.join(", ")),
                );
            }
        }
    }
    let wanted = COLUMNS.into_iter().filter(|c| !SPARE.contains(c));
    let missing: Vec<&'static str> = wanted.filter(|c| !found.contains(c)).collect();
    for column in &missing {
        fault(
            column,
            "the column is missing".to_owned(),
            &format!(
                "Add '{column}' to the first line; a cell below it may be empty where the handbook says so"
            ),
        );
    }
    let known = found.iter().filter(|c| !c.is_empty()).count();
    (!broken || known >= KNOWN).then_some(Header {
        columns: found,
        missing,
        broken,
    })
}

/// One line by its columns; nothing, with its fault, when its cells do not fit them.
pub(super) fn slip<'p, 't>(page: &'p Page<'t>, sheet: &Sheet, line: &Line) -> Option<Slip<'p, 't>> {
    let (Sheet { columns, .. }, Line { line, cells }) = (sheet, line);
    let ours = |(column, _): &(&str, &String)| !column.is_empty();
    let named = || columns.iter().copied().zip(cells).filter(ours);
    if named().any(|(column, cell)| split(page, *line, column, cell)) {
        return None;
    }
    if cells.len() != columns.len() {
        page.fault(
            Some(*line),
            "",
            format!("the line has {} cells, the first line {}", cells.len(), columns.len()),
            &format!(
                "Put cells that hold a {sign} in quotes, write decimals with a point, and keep a {sign} for each empty cell",
                sign = match sheet.sign {
                    b';' => "semicolon",
                    b'\t' => "tab",
                    _ => "comma",
                }
            ),
        );
        return None;
    }
    let cells = named().map(|(c, t)| (c, t.trim().to_owned())).collect();
    Some(Slip::new(page, *line, cells))
}

/// True, with its fault, when a cell has more than one line.
pub(super) fn split(page: &Page<'_>, line: usize, column: &str, cell: &str) -> bool {
    let split = cell.contains('\n');
    if split {
        page.fault(
            Some(line),
            column,
            format!("'{}' runs over several lines", short(cell)),
            page.says(
                "Close the quote on the same line; a quote within a cell is written twice",
                "Write it on one line",
            ),
        );
    }
    split
}
