//! What is wrong with something that was typed in, where, and what to do about it.

use std::fmt;

use serde::{Deserialize, Serialize};

/// One fault of an input. Readers collect all of them before they give up.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Fault {
    /// File name as the person knows it.
    pub file: String,
    /// Line in that file, from 1; `None` when the whole file is meant.
    pub line: Option<usize>,
    /// Column, key or field; empty when the whole line is meant.
    pub field: String,
    /// What is wrong, with the value that was found.
    pub what: String,
    /// What to do.
    pub remedy: String,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.file)?;
        if let Some(line) = self.line {
            write!(f, ", line {line}")?;
        }
        if !self.field.is_empty() {
            write!(f, ", {}", self.field)?;
        }
        write!(f, ": {}. {}", self.what, self.remedy)
    }
}
