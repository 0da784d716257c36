//! A record as it is written: by field names, for files and for forms.

mod kilns;
mod stock;
mod ware;

pub use kilns::kiln_fields;
pub use stock::{clay_fields, glaze_fields, post_fields, shelf_fields, support_fields};
pub use ware::piece_fields;

pub(super) use kilns::kiln;
pub(super) use stock::{clay, glaze, post, shelf, support};
pub(super) use ware::piece;

/// The fields of one record: each the name that it has in the file, and its text as typed. Fields
/// of a table within the record are named `sensor.clock`, those of a list's rows `bands.0.from`,
/// counted from 0. An empty text is a field that is not filled in.
pub type Fields = Vec<(String, String)>;

/// What is written in a field.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Value {
    /// Words, which stand in quotes in a file.
    Text(String),
    /// A number, already written out.
    Number(String),
    /// True or false.
    Flag(bool),
    /// True or false, left out of a file when false.
    Spare(bool),
    /// Words in a list; in a form with a space between two.
    Words(Vec<String>),
    /// A record within the record.
    Table(Record),
    /// Records in a row.
    List(Vec<Record>),
}

/// Fields in the order of the file.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Record(Vec<(String, Value)>);

impl Record {
    pub(super) fn put(&mut self, key: &str, value: Value) {
        self.0.push((key.to_owned(), value));
    }
    pub(super) fn text(&mut self, key: &str, text: &str) {
        self.put(key, Value::Text(text.to_owned()));
    }
    pub(super) fn number(&mut self, key: &str, number: String) {
        self.put(key, Value::Number(number));
    }
    pub(super) fn flag(&mut self, key: &str, flag: bool) {
        self.put(key, Value::Flag(flag));
    }
    pub(super) fn spare(&mut self, key: &str, flag: bool) {
        self.put(key, Value::Spare(flag));
    }

    /// Flat, for a form.
    pub(super) fn fields(&self) -> Fields {
        let mut fields = Fields::new();
        self.flatten("", &mut fields);
        fields
    }

    fn flatten(&self, path: &str, out: &mut Fields) {
        for (key, value) in &self.0 {
            let name = format!("{path}{key}");
            match value {
                Value::Text(text) | Value::Number(text) => out.push((name, text.clone())),
                Value::Flag(flag) | Value::Spare(flag) => out.push((name, flag.to_string())),
                Value::Words(words) => out.push((name, words.join(" "))),
                Value::Table(table) => table.flatten(&format!("{name}."), out),
                Value::List(rows) => {
                    for (at, row) in rows.iter().enumerate() {
                        row.flatten(&format!("{name}.{at}."), out);
                    }
                }
            }
        }
    }

    /// As lines of TOML.
    pub(super) fn toml(&self) -> String {
        let mut text = String::new();
        for (key, value) in &self.0 {
            if *value != Value::Spare(false) {
                let written = match value {
                    Value::List(rows) if rows.len() > 1 => {
                        let rows = rows.iter().map(|r| format!("  {},\n", r.braced()));
                        format!("[\n{}]", rows.collect::<String>())
                    }
                    value => value.toml(),
                };
                text += &format!("{} = {written}\n", toml_key(key));
            }
        }
        text
    }

    fn braced(&self) -> String {
        let pairs: Vec<String> = self
            .0
            .iter()
            .map(|(key, value)| format!("{} = {}", toml_key(key), value.toml()))
            .collect();
        if pairs.is_empty() {
            return "{}".to_owned();
        }
        format!("{{ {} }}", pairs.join(", "))
    }
}

impl Value {
    fn toml(&self) -> String {
        match self {
            Self::Text(text) => quoted(text),
            Self::Number(number) => number.clone(),
            Self::Flag(flag) | Self::Spare(flag) => flag.to_string(),
            Self::Words(words) => {
                let words: Vec<String> = words.iter().map(|w| quoted(w)).collect();
                format!("[{}]", words.join(", "))
            }
            Self::Table(table) => table.braced(),
            Self::List(rows) => {
                let rows: Vec<String> = rows.iter().map(Record::braced).collect();
                format!("[{}]", rows.join(", "))
            }
        }
    }
}

/// A text in quotes, as TOML wants it.
pub(super) fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            c if c.is_control() => out += &format!("\\u{:04X}", u32::from(c)),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

/// A key, in quotes where TOML wants them.
pub(super) fn toml_key(key: &str) -> String {
    let bare = |b: u8| b.is_ascii_alphanumeric() || b == b'_' || b == b'-';
    if !key.is_empty() && key.bytes().all(bare) {
        key.to_owned()
    } else {
        quoted(key)
    }
}
