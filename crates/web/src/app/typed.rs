//! What was typed into a form.

use glost_model::fault::Fault;

/// Fields in the order in which they were sent.
#[derive(Debug, Clone, Default)]
pub struct Typed(pub Vec<(String, String)>);

impl Typed {
    /// The text of a field; empty when it was not sent.
    pub fn get(&self, name: &str) -> &str {
        self.0
            .iter()
            .find(|f| f.0 == name)
            .map_or("", |f| f.1.as_str())
    }
    /// Whether a box was ticked.
    pub fn on(&self, name: &str) -> bool {
        !self.get(name).is_empty()
    }
    /// All values of a field that may be sent many times.
    pub fn all(&self, name: &str) -> Vec<String> {
        self.0
            .iter()
            .filter(|f| f.0 == name)
            .map(|f| f.1.clone())
            .collect()
    }
    /// The version that a change is based on.
    pub fn version(&self) -> i64 {
        self.get("version").parse().unwrap_or(0)
    }
    /// Sets a field.
    pub fn set(&mut self, name: &str, value: impl Into<String>) {
        let value = value.into();
        match self.0.iter_mut().find(|f| f.0 == name) {
            Some(field) => field.1 = value,
            None => self.0.push((name.to_owned(), value)),
        }
    }
    /// Fields but these.
    pub fn but(&self, names: &[&str]) -> Vec<(String, String)> {
        let other = |f: &&(String, String)| !names.contains(&f.0.as_str());
        self.0.iter().filter(other).cloned().collect()
    }
}

/// The faults of one field.
pub fn of_field<'a>(faults: &'a [Fault], name: &str) -> Vec<&'a Fault> {
    faults.iter().filter(|f| f.field == name).collect()
}
