//! A stored thing in words: its fields as forms have them, names in place of ids, moments on the studio's clock.

use std::collections::BTreeMap;

use glost_model::book::{Settings, State, Stock, Thing, Ware};
use glost_model::clay::{Clay, Glaze};
use glost_model::furniture::{PostStock, ShelfStock, SupportStock};
use glost_model::kiln::Kiln;
use glost_model::shown::{Shown, hours, trimmed};
use glost_model::text::{self, Fields};
use glost_model::{Energy, Span, Temperature};
use jiff::Timestamp;
use jiff::tz::TimeZone;
use serde_json::Value;

/// Most characters of a value.
const LONG: usize = 160;

/// For whom it is told.
#[derive(Debug, Clone, Copy)]
pub struct Words<'a> {
    /// Units.
    pub shown: Shown,
    /// The studio's clock.
    pub zone: &'a TimeZone,
    /// Id → name of people.
    pub names: &'a BTreeMap<String, String>,
}

impl Words<'_> {
    /// Fields of a stored body that are filled in, by their names there; pages know what those are called.
    pub fn fields(&self, kind: &str, body: &str) -> Fields {
        let shown = self.shown;
        let written = match kind {
            "clay" => stock::<Clay>(body).map(|t| text::clay_fields(&t)),
            "glaze" => stock::<Glaze>(body).map(|t| text::glaze_fields(&t)),
            "kiln" => stock::<Kiln>(body).map(|t| text::kiln_fields(&t, shown)),
            "shelf" => stock::<ShelfStock>(body).map(|t| text::shelf_fields(&t, shown)),
            "post" => stock::<PostStock>(body).map(|t| text::post_fields(&t, shown)),
            "support" => stock::<SupportStock>(body).map(|t| text::support_fields(&t, shown)),
            "settings" => serde_json::from_str::<Settings>(body)
                .ok()
                .map(|s| text::settings_fields(&s, shown)),
            "ware" => serde_json::from_str::<Ware>(body)
                .ok()
                .map(|w| self.ware(&w, body)),
            _ => None,
        };
        // What an entry hangs on is named by its turn; its id says nothing to people.
        let but: &[&str] = match kind {
            "loss" => &["id", "thing"],
            "upkeep" => &["id", "kiln"],
            // Numbers for the heat model; its page tells them in words.
            "lessons" => &["id", "kiln", "whole", "taught", "weakens", "seen", "held"],
            "source" | "learning" => &["kiln"],
            _ => &["id"],
        };
        let mut all = written.unwrap_or_else(|| self.flat(body, but));
        all.retain(|f| !f.1.trim().is_empty() && f.1 != "false");
        for (_, value) in &mut all {
            *value = cut(value);
        }
        all
    }

    /// What people call the thing.
    pub fn name(&self, kind: &str, id: &str, body: &str) -> String {
        let value: Value = serde_json::from_str(body).unwrap_or_default();
        let at = |path: &str| value.pointer(path).and_then(Value::as_str);
        let named = match kind {
            "post" => stock::<PostStock>(body).map(|p| self.shown.length(p.length)),
            "ware" => at("/piece/what").map(|what| format!("{id} {what}")),
            "firing" => Some(id.to_owned()),
            "settings" => Some(String::new()),
            "entry" => at("/words").map(str::to_owned),
            "upkeep" => at("/what").map(str::to_owned),
            "lessons" => at("/kiln").map(str::to_owned),
            "source" => at("/kind").map(str::to_owned),
            "notice" => at("/notice/words").map(str::to_owned),
            "stretch" => at("/firing").map(|id| format!("of firing {id}")),
            _ => at("/name").or_else(|| at("/thing/name")).map(str::to_owned),
        };
        cut(&named.unwrap_or_else(|| id.to_owned()))
    }

    fn ware(&self, ware: &Ware, body: &str) -> Fields {
        let mut all = text::piece_fields(&ware.piece, self.shown);
        all.push(("state".to_owned(), ware.state.words().to_owned()));
        all.extend(self.flat(body, &["piece", "state", "since"]));
        all
    }

    /// Fields of a body of any kind.
    fn flat(&self, body: &str, but: &[&str]) -> Fields {
        let value: Value = serde_json::from_str(body).unwrap_or_default();
        let mut all = Fields::new();
        if let Value::Object(fields) = &value {
            for (name, field) in fields {
                if !but.contains(&name.as_str()) {
                    self.flatten(name, field, &mut all);
                }
            }
        }
        all
    }

    fn flatten(&self, path: &str, value: &Value, all: &mut Fields) {
        match value {
            Value::Object(fields) => {
                for (name, field) in fields {
                    self.flatten(&format!("{path}.{name}"), field, all);
                }
            }
            Value::Array(rows) if rows.iter().any(|r| r.is_object() || r.is_array()) => {
                for (at, row) in rows.iter().enumerate() {
                    self.flatten(&format!("{path}.{at}"), row, all);
                }
            }
            Value::Array(rows) => {
                let rows: Vec<String> = rows.iter().map(|r| self.value(path, r)).collect();
                all.push((path.to_owned(), rows.join(", ")));
            }
            _ => all.push((path.to_owned(), self.value(path, value))),
        }
    }

    fn value(&self, path: &str, value: &Value) -> String {
        match value {
            Value::Null => String::new(),
            Value::String(text) => self.text(path, text),
            Value::Number(n) => n
                .as_f64()
                .map_or_else(|| n.to_string(), |n| self.number(path, n)),
            other => other.to_string(),
        }
    }

    fn text(&self, path: &str, text: &str) -> String {
        if let Some(name) = self.names.get(text) {
            return name.clone();
        }
        if path == "state" {
            let of_ware = State::of_key(text).map(State::words);
            let of_firing = glost_model::book::FiringState::of_key(text);
            let words = of_firing.map(glost_model::book::FiringState::words);
            return words.or(of_ware).unwrap_or(text).to_owned();
        }
        // Only a whole timestamp is one; a day alone stays a day.
        match text.parse::<Timestamp>() {
            Ok(at) => at
                .to_zoned_datetime(self.zone.clone())
                .strftime("%-d %b %Y, %H:%M")
                .to_string(),
            Err(_) => text.to_owned(),
        }
    }

    /// The end of a stored number's name is its unit.
    fn number(&self, path: &str, n: f64) -> String {
        let leaf = path.rsplit('.').next().unwrap_or(path);
        match leaf {
            "meter_start" | "meter_end" | "energy_j" => {
                format!("{} kWh", trimmed(Energy::j(n).to_kwh(), 2))
            }
            "hottest_c" | "opened_c" => self.shown.temperature(Temperature::c(n)),
            _ if leaf.ends_with("_s") => hours(Span::s(n)),
            _ if leaf.ends_with("_cents") => format!("{:.2}", n / 100.0),
            _ if leaf.ends_with("_m2") => format!("{} m²", trimmed(n, 3)),
            _ => trimmed(n, 3),
        }
    }
}

fn stock<T: Thing>(body: &str) -> Option<T> {
    serde_json::from_str::<Stock<T>>(body).ok().map(|s| s.thing)
}

fn cut(text: &str) -> String {
    let mut chars = text.chars();
    let mut head: String = chars.by_ref().take(LONG).collect();
    if chars.next().is_some() {
        head.push('…');
    }
    head
}
