//! Rows of figures as text and as JSON.

use glost_studio::figures::Row;
use serde_json::{Value, json};

pub fn known(
    name: &str,
    mut names: impl Iterator<Item = &'static str> + Clone,
) -> Result<&'static str, String> {
    let all = names.clone();
    names
        .find(|n| *n == name)
        .ok_or_else(|| format!("there are: {}", all.collect::<Vec<_>>().join(", ")))
}

pub fn span(seconds: f64) -> String {
    if seconds < 10.0 {
        format!("{seconds:.1} s")
    } else if seconds < 100.0 {
        format!("{seconds:.0} s")
    } else {
        format!("{:.0} min", (seconds / 60.0).ceil())
    }
}

fn verdict(row: &Row) -> &'static str {
    match row.reached {
        Some(true) => "reached",
        Some(false) => "NOT REACHED",
        None => "-",
    }
}

/// One row with its lines, as a table of text.
pub fn table(row: &Row) -> String {
    let mut lines = vec![
        format!("## {}: {}", row.name, row.what),
        format!("Wanted: {}", row.wanted),
        format!("Found: {}. {}", row.found, verdict(row)),
        String::new(),
        format!("| {} |", row.head.join(" | ")),
        format!("|{}", " - |".repeat(row.head.len())),
    ];
    lines.extend(row.lines.iter().map(|l| format!("| {} |", l.join(" | "))));
    lines.push(String::new());
    lines.join("\n")
}

pub fn summary(rows: &[Row]) -> String {
    let mut lines = vec![
        "## All".to_owned(),
        String::new(),
        "| what | wanted | found | |".to_owned(),
        "| - | - | - | - |".to_owned(),
    ];
    lines.extend(rows.iter().map(|r| {
        format!(
            "| {} | {} | {} | {} |",
            r.what,
            r.wanted,
            r.found,
            verdict(r)
        )
    }));
    lines.join("\n")
}

pub fn row_json(row: &Row) -> Value {
    let values: serde_json::Map<String, Value> = row
        .values
        .iter()
        .map(|(name, v)| (name.clone(), json!(v)))
        .collect();
    json!({
        "name": row.name,
        "what": row.what,
        "wanted": row.wanted,
        "found": row.found,
        "reached": row.reached,
        "values": values,
        "head": row.head,
        "lines": row.lines,
    })
}
