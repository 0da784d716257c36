//! Records as a flat table: a column a field, the unit in its head.

use glost_sheets::{csv_row, harmless};
use glost_store::Body;
use serde_json::Value;

/// Fields whose names do not say their unit; all are in SI, temperatures in °C.
const UNITS: [(&str, &str); 18] = [
    ("thickness", "m"),
    ("diameter", "m"),
    ("height", "m"),
    ("length", "m"),
    ("width", "m"),
    ("from", "m"),
    ("to", "m"),
    ("reach", "m"),
    ("x", "m"),
    ("y", "m"),
    ("post_section", "m"),
    ("mass", "kg"),
    ("load_limit", "kg"),
    ("power", "w"),
    ("hold_step", "s"),
    ("meter_start", "j"),
    ("meter_end", "j"),
    ("max_temperature", "c"),
];

/// Records of one kind as CSV. Fields inside others are joined by a point, lists of words by semicolons; other lists
/// stand as JSON. A text that a spreadsheet would take for a formula gets an apostrophe before it.
pub fn flat_csv(all: &[Body]) -> String {
    let mut columns: Vec<String> = Vec::new();
    let mut rows: Vec<Vec<(String, String)>> = Vec::new();
    for record in all {
        let mut cells = Vec::new();
        let value: Value = serde_json::from_str(&record.body).unwrap_or(Value::Null);
        flatten("", &value, &mut cells);
        cells.retain(|c| c.0 != "id");
        for (name, _) in &cells {
            if !columns.contains(name) {
                columns.push(name.clone());
            }
        }
        rows.push(cells);
    }
    let mut head: Vec<String> = ["id", "version", "put_away", "changed"]
        .map(str::to_owned)
        .into();
    head.extend(columns.iter().cloned());
    let mut out = csv_row(&head);
    for (record, cells) in all.iter().zip(&rows) {
        let mut row = vec![
            harmless(&record.id),
            record.version.to_string(),
            record.archived.map_or_else(String::new, |t| t.to_string()),
            record.changed.to_string(),
        ];
        let cell = |name: &String| cells.iter().find(|c| c.0 == *name).map(|c| c.1.clone());
        row.extend(columns.iter().map(|name| cell(name).unwrap_or_default()));
        out.push_str(&csv_row(&row));
    }
    out
}

fn flatten(path: &str, value: &Value, cells: &mut Vec<(String, String)>) {
    if let Value::Object(fields) = value {
        for (name, field) in fields {
            let joint = if path.is_empty() { "" } else { "." };
            flatten(&format!("{path}{joint}{name}"), field, cells);
        }
        return;
    }
    cells.push((with_unit(path, value), cell(value)));
}

fn with_unit(path: &str, value: &Value) -> String {
    let leaf = path.rsplit('.').next().unwrap_or(path);
    let unit = UNITS.iter().find(|u| u.0 == leaf);
    match unit {
        // A date from which something counts is no length.
        Some((_, unit)) if value.is_number() || value.is_null() => format!("{path}_{unit}"),
        _ => path.to_owned(),
    }
}

fn cell(value: &Value) -> String {
    match value {
        Value::Null => String::new(),
        Value::String(text) => harmless(text),
        Value::Array(all) if all.iter().all(Value::is_string) => {
            let words: Vec<&str> = all.iter().filter_map(Value::as_str).collect();
            harmless(&words.join("; "))
        }
        other => other.to_string(),
    }
}
