//! Where something stands in a file, and the faults found there.

use std::cell::RefCell;
use std::collections::BTreeMap;

use toml::de::{DeTable, DeValue};

use crate::fault::Fault;

/// Most characters of a found value that a fault repeats.
const SHOWN: usize = 60;

/// One file or form while it is read, with the faults found so far.
pub(super) struct Page<'t> {
    file: &'t str,
    text: &'t str,
    /// Where each line ends, bytes.
    ends: Vec<usize>,
    /// For a form: the numbers that its lists' rows have there, by the list's name.
    form: Option<BTreeMap<String, Vec<usize>>>,
    faults: RefCell<Vec<Fault>>,
}

impl<'t> Page<'t> {
    pub(super) fn new(file: &'t str, text: &'t str) -> Self {
        // Some editors put a byte order mark first; it is no part of the text.
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        Self {
            file,
            text,
            ends: text.match_indices('\n').map(|(at, _)| at).collect(),
            form: None,
            faults: RefCell::default(),
        }
    }

    /// A form for one record of a file: every value is text, no fault has a line, and the rows of
    /// lists keep the numbers that they have in the form.
    pub(super) fn form(file: &'t str, text: &'t str, rows: BTreeMap<String, Vec<usize>>) -> Self {
        Self {
            form: Some(rows),
            ..Self::new(file, text)
        }
    }

    /// True while a form is read.
    pub(super) fn is_form(&self) -> bool {
        self.form.is_some()
    }

    /// The words for whoever writes a file, or for whoever fills in a form.
    pub(super) fn says<'a>(&self, file: &'a str, form: &'a str) -> &'a str {
        if self.is_form() { form } else { file }
    }

    /// The name of a list's row: files have lines, forms have numbers.
    pub(super) fn row_name(&self, list: &str, at: usize) -> String {
        let number = self.form.as_ref().map(|rows| rows.get(list)?.get(at));
        match number {
            Some(number) => format!("{list}.{}", number.copied().unwrap_or(at)),
            None => list.to_owned(),
        }
    }

    pub(super) fn text(&self) -> &'t str {
        self.text
    }

    /// The line that holds this byte, from 1.
    pub(super) fn line(&self, byte: usize) -> usize {
        1 + self.ends.partition_point(|end| *end < byte)
    }

    /// Notes a fault.
    pub(super) fn fault(&self, line: Option<usize>, field: &str, what: String, remedy: &str) {
        self.faults.borrow_mut().push(Fault {
            file: self.file.to_owned(),
            line: line.filter(|_| !self.is_form()),
            field: field.to_owned(),
            what,
            remedy: remedy.to_owned(),
        });
    }

    /// Notes a field that nobody asked for.
    pub(super) fn stranger(&self, line: Option<usize>, field: &str, known: &[&str]) {
        self.fault(
            line,
            field,
            "no such field belongs here".to_owned(),
            &format!("Take it out, or use one of {}", known.join(", ")),
        );
    }

    /// True, with its fault, when nothing is written in the file.
    pub(super) fn is_empty(&self) -> bool {
        let empty = self.text.trim().is_empty();
        if empty {
            self.fault(
                None,
                "",
                "the file is empty".to_owned(),
                "Fill it in as the handbook shows, or put back an earlier copy",
            );
        }
        empty
    }

    /// The file as a table of TOML; nothing when it is empty or breaks the grammar.
    pub(super) fn table(&self) -> Option<DeTable<'t>> {
        if self.is_empty() {
            return None;
        }
        let (table, errors) = DeTable::parse_recoverable(self.text);
        if errors.is_empty() {
            return Some(table.into_inner());
        }
        for e in &errors {
            let line = e.span().map(|s| self.line(s.start));
            let found = line
                .and_then(|n| self.text.lines().nth(n - 1))
                .unwrap_or("");
            let key = found.split_once('=').map_or("", |(k, _)| k.trim());
            let message = e.message().lines().next().unwrap_or("it cannot be read");
            self.fault(
                line,
                key,
                format!("'{}' cannot be read: {message}", short(found.trim())),
                "Write name = value: words and cones in quotes as \"06\", numbers without a leading zero, each name once",
            );
        }
        None
    }

    /// How many faults were found so far.
    pub(super) fn count(&self) -> usize {
        self.faults.borrow().len()
    }

    /// Takes out the faults found since there were this many.
    pub(super) fn take_since(&self, count: usize) -> Vec<Fault> {
        let mut faults = self.faults.borrow_mut();
        let at = count.min(faults.len());
        faults.split_off(at)
    }

    /// Faults by line.
    pub(super) fn into_faults(self) -> Vec<Fault> {
        let mut faults = self.faults.into_inner();
        faults.sort_by_key(|f| f.line);
        faults
    }
}

/// Most characters of a name or of words on one line; longer ones are slips of the hand. A convention of this program.
pub(super) const MOST_LETTERS: usize = 200;

/// What is wrong with words of at most `most` characters, and what to do; nothing for words that can be kept.
pub(super) fn unfit(text: &str, most: usize) -> Option<(String, String)> {
    if text.contains('\0') {
        return Some((
            format!("'{}' holds a zero character", short(text)),
            "Type it anew".to_owned(),
        ));
    }
    // Bytes first: they are counted already, and there are never fewer.
    if text.len() <= most {
        return None;
    }
    let letters = text.chars().count();
    (letters > most).then(|| {
        (
            format!("'{}' has {letters} characters", short(text)),
            format!("Write at most {most}"),
        )
    })
}

/// A found value, cut to what fits a sentence, without characters that spoil a terminal.
pub(super) fn short(found: &str) -> String {
    let mut chars = found.chars().map(|c| if c.is_control() { ' ' } else { c });
    let mut head: String = chars.by_ref().take(SHOWN).collect();
    if chars.next().is_some() {
        head.push('…');
    }
    head
}

/// A value of TOML as it was written, near enough to be recognised.
pub(super) fn written(value: &DeValue<'_>) -> String {
    match value {
        DeValue::String(s) => format!("\"{}\"", short(s)),
        DeValue::Integer(i) => short(i.as_str()),
        DeValue::Float(f) => short(f.as_str()),
        DeValue::Boolean(b) => b.to_string(),
        DeValue::Datetime(d) => d.to_string(),
        DeValue::Array(_) => "a list".to_owned(),
        DeValue::Table(_) => "a table".to_owned(),
    }
}

/// Names seen so far, each with the line where it stood first.
#[derive(Default)]
pub(super) struct Seen(BTreeMap<String, usize>);

impl Seen {
    /// Notes a fault when the name was seen before.
    pub(super) fn note(&mut self, page: &Page<'_>, line: usize, field: &str, name: &str) {
        match self.0.get(name) {
            Some(first) => page.fault(
                Some(line),
                field,
                format!("'{}' stands on line {first} already", short(name)),
                "Give each its own, or take out the one that is there twice",
            ),
            None => {
                self.0.insert(name.to_owned(), line);
            }
        }
    }
}
