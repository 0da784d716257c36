//! When a crack came about, told by its edges.

use serde::{Deserialize, Serialize};

/// How glaze lies at the edges of a crack. Glaze that melted after the crack was there rounds its edges or runs into it;
/// glaze that was hard by then is cut through. Seen and told by potters (community.ceramicartsdaily.org 21034), who also
/// tell of cracks that were there before and opened again in cooling.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Edges {
    /// Rounded, or glaze ran into it.
    Rounded,
    /// Sharp, glaze cut through like glass.
    Sharp,
    /// Rounded in part, and sharp in part.
    Both,
    /// Looked at, and it cannot be told.
    Unclear,
}

impl Edges {
    /// All, in the order in which they are asked for.
    pub const ALL: [Self; 4] = [Self::Rounded, Self::Sharp, Self::Both, Self::Unclear];

    /// Key in forms and files.
    pub fn key(self) -> &'static str {
        match self {
            Self::Rounded => "rounded",
            Self::Sharp => "sharp",
            Self::Both => "both",
            Self::Unclear => "unclear",
        }
    }

    /// The answer of that key.
    pub fn of_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|e| e.key() == key)
    }

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Rounded => "rounded, or glaze ran into it",
            Self::Sharp => "sharp, cut through the glaze",
            Self::Both => "both",
            Self::Unclear => "cannot tell",
        }
    }
}
