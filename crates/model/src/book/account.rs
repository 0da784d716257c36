//! What people owe and have paid.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use crate::Money;

/// One line of a person's account.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Entry {
    /// Id.
    pub id: String,
    /// Whose account.
    pub person: String,
    /// Owed when positive, paid when negative.
    pub amount_cents: Money,
    /// What for, with the numbers that it was worked out from.
    pub words: String,
    /// The piece that it is for.
    #[serde(default)]
    pub ware: Option<String>,
    /// The firing that it is for.
    #[serde(default)]
    pub firing: Option<String>,
    /// Who wrote it.
    pub by: String,
    /// When.
    pub at: Timestamp,
}
