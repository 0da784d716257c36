//! A table of TOML as a person wrote it, and the tables within it.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::spot::{Page, written};

/// A table of a file. A missing or unreadable field notes its fault and gives nothing.
pub(super) struct Row<'p, 't> {
    page: &'p Page<'t>,
    table: &'p DeTable<'t>,
    line: usize,
    /// Path of the table within its row, as `sensor.`.
    path: String,
}

impl<'p, 't> Row<'p, 't> {
    /// The whole file.
    pub(super) fn whole(page: &'p Page<'t>, table: &'p DeTable<'t>) -> Self {
        Self {
            page,
            table,
            line: 1,
            path: String::new(),
        }
    }

    pub(super) fn page(&self) -> &'p Page<'t> {
        self.page
    }

    /// The line of a field, or of the row when it is not written.
    pub(super) fn line(&self, key: &str) -> usize {
        self.table.get(key).map_or(self.line, |v| self.line_of(v))
    }

    pub(super) fn field(&self, key: &str) -> String {
        format!("{}{key}", self.path)
    }

    /// Notes a fault for every field that is none of these.
    pub(super) fn only(&self, known: &[&str]) {
        for key in self.table.keys() {
            let name = key.get_ref();
            if !known.contains(&name.as_ref()) {
                let line = Some(self.page.line(key.span().start));
                self.page.stranger(line, &self.field(name), known);
            }
        }
    }

    /// A fault at a field that is there, or at the row.
    pub(super) fn fault(&self, key: &str, what: String, remedy: &str) {
        let line = Some(self.line(key));
        self.page.fault(line, &self.field(key), what, remedy);
    }

    fn line_of(&self, value: &Spanned<DeValue<'t>>) -> usize {
        self.page.line(value.span().start)
    }

    /// The field, if it is written.
    pub(super) fn find(&self, key: &str) -> Option<&'p DeValue<'t>> {
        self.table.get(key).map(Spanned::get_ref)
    }

    /// The field, which must be written.
    pub(super) fn need(&self, key: &str, remedy: &str) -> Option<&'p DeValue<'t>> {
        let found = self.find(key);
        if found.is_none() {
            let what = if self.page.is_form() {
                "it is not filled in".to_owned()
            } else {
                format!("{} is missing", self.field(key))
            };
            self.fault(key, what, remedy);
        }
        found
    }

    /// Notes that a field holds something of another kind.
    pub(super) fn misfit(&self, key: &str, value: &DeValue<'_>, remedy: &str) {
        self.fault(
            key,
            format!("{} cannot be its value", written(value)),
            remedy,
        );
    }

    /// A table within this one, in braces or under its own heading.
    pub(super) fn inner(&self, key: &str, remedy: &str) -> Option<Self> {
        let value = self.table.get(key);
        let Some(value) = value else {
            self.need(key, remedy);
            return None;
        };
        match value.get_ref() {
            DeValue::Table(table) => Some(self.below(key, table, self.line_of(value))),
            other => {
                self.misfit(key, other, remedy);
                None
            }
        }
    }

    fn below(&self, key: &str, table: &'p DeTable<'t>, line: usize) -> Self {
        Self {
            page: self.page,
            table,
            line,
            path: format!("{}{key}.", self.path),
        }
    }

    /// The tables of a list within this one; nothing when it holds anything else.
    pub(super) fn inners(&self, key: &str, remedy: &str) -> Option<Vec<Self>> {
        let DeValue::Array(list) = self.need(key, remedy)? else {
            self.misfit(key, self.find(key)?, remedy);
            return None;
        };
        let mut whole = true;
        let rows = list.iter().enumerate().filter_map(|(at, value)| {
            if let DeValue::Table(table) = value.get_ref() {
                let name = self.page.row_name(key, at);
                return Some(self.below(&name, table, self.line_of(value)));
            }
            whole = false;
            self.page.fault(
                Some(self.line_of(value)),
                &self.field(key),
                format!("{} cannot stand in this list", written(value.get_ref())),
                remedy,
            );
            None
        });
        let rows: Vec<_> = rows.collect();
        whole.then_some(rows)
    }

    /// The rows of a file under headings like `[[clay]]`, at least one, each with its own path.
    pub(super) fn records(&self, key: &str) -> Option<Vec<Self>> {
        let remedy = format!("Write [[{key}]] on a line of its own and its fields below it");
        let mut rows = self.inners(key, &remedy)?;
        for row in &mut rows {
            row.path.clear();
        }
        if rows.is_empty() {
            self.fault(key, format!("no {key} is listed"), &remedy);
            return None;
        }
        Some(rows)
    }
}

/// Makes one thing of each row; nothing when any could not be made, once all were tried.
pub(super) fn each<R, T>(
    rows: Option<Vec<R>>,
    mut make: impl FnMut(&R) -> Option<T>,
) -> Option<Vec<T>> {
    let made: Vec<Option<T>> = rows?.iter().map(&mut make).collect();
    made.into_iter().collect()
}
