//! `pieces.csv` as it is written: a header and a slip a line.

use csv::{ReaderBuilder, StringRecord};

use super::spot::{Page, short};

/// Columns, all of them needed; their order is free.
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

/// Columns that a sheet may do without.
const SPARE: [&str; 2] = ["held", "inside"];

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

    /// Notes a fault in a column.
    pub(super) fn fault(&self, column: &str, what: String, remedy: &str) {
        self.page.fault(Some(self.line), column, what, remedy);
    }

    /// What stands in a column that may not be empty.
    pub(super) fn need(&self, column: &str, remedy: &str) -> Option<&str> {
        let found = self.find(column);
        if found.is_none() {
            self.fault(column, "the cell is empty".to_owned(), remedy);
        }
        found
    }
}

/// Reads the sheet. A line that cannot be split into cells has its fault and is left out;
/// nothing at all when the header is broken.
pub(super) fn slips<'p, 't>(page: &'p Page<'t>) -> Option<Vec<Slip<'p, 't>>> {
    if page.is_empty() {
        return None;
    }
    let mut reader = ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .from_reader(page.text().as_bytes());
    let mut record = StringRecord::new();
    let mut columns = None;
    let mut slips = Vec::new();
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
        let Some(columns) = &columns else {
            columns = Some(header(page, line, &record)?);
            continue;
        };
        // Spreadsheets leave lines of nothing but commas below the last row.
        if record.iter().any(|cell| !cell.trim().is_empty()) {
            slips.extend(slip(page, line, columns, &record));
        }
    }
    Some(slips)
}

fn skip_blank(text: &str, byte: u64) -> usize {
    let from = usize::try_from(byte).unwrap_or(usize::MAX).min(text.len());
    let rest = text.as_bytes().get(from..).unwrap_or_default();
    from + rest
        .iter()
        .take_while(|b| matches!(b, b'\r' | b'\n'))
        .count()
}

fn header(page: &Page<'_>, line: usize, record: &StringRecord) -> Option<Vec<&'static str>> {
    let mut found = Vec::new();
    let mut whole = true;
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
        whole = false;
        page.fault(Some(line), field, what, remedy);
    };
    for name in record.iter().map(str::trim) {
        match COLUMNS.iter().find(|c| **c == name) {
            Some(column) if found.contains(column) => fault(
                column,
                "the column is there twice".to_owned(),
                "Take out one of the two",
            ),
            Some(column) => found.push(*column),
            None => fault(
                &short(name),
                format!("'{}' is not a column of this sheet", short(name)),
                &format!("Take it out, or use one of {}", COLUMNS.join(", ")),
            ),
        }
    }
    let wanted = COLUMNS.iter().filter(|c| !SPARE.contains(c));
    for column in wanted.filter(|c| !found.contains(c)) {
        fault(
            column,
            "the column is missing".to_owned(),
            &format!(
                "Add '{column}' to the first line; a cell below it may be empty where the handbook says so"
            ),
        );
    }
    whole.then_some(found)
}

fn slip<'p, 't>(
    page: &'p Page<'t>,
    line: usize,
    columns: &[&'static str],
    record: &StringRecord,
) -> Option<Slip<'p, 't>> {
    let split = record.iter().zip(columns).find(|(c, _)| c.contains('\n'));
    if let Some((cell, column)) = split {
        page.fault(
            Some(line),
            column,
            format!("'{}' runs over several lines", short(cell)),
            "Close the quote on the same line; a quote within a cell is written twice",
        );
        return None;
    }
    if record.len() != columns.len() {
        page.fault(
            Some(line),
            "",
            format!("the line has {} cells, the first line {}", record.len(), columns.len()),
            "Put cells that hold a comma in quotes, write decimals with a point, and keep a comma for each empty cell",
        );
        return None;
    }
    let cells = columns
        .iter()
        .zip(record)
        .map(|(c, t)| (*c, t.trim().to_owned()));
    Some(Slip {
        page,
        line,
        cells: cells.collect(),
    })
}
