//! Secrets: kept by whoever starts Glost, in variables of its environment; the book holds only their names.

use std::fmt;

use glost_model::book::ways::SECRET;

use super::NotTold;

/// Finds the value of a variable.
pub type Secrets = fn(&str) -> Option<String>;

/// In the environment of the program.
pub fn from_environment(name: &str) -> Option<String> {
    std::env::var(name).ok()
}

/// A secret, which no log and no page shows.
#[derive(Clone, PartialEq, Eq)]
pub struct Secret(String);

impl Secret {
    /// One that is known.
    pub fn new(value: impl Into<String>) -> Self {
        Self(value.into())
    }

    /// The value of the variable of that name.
    ///
    /// # Errors
    /// When there is none, or it is not one for secrets.
    pub fn find(name: &str, secrets: Secrets) -> Result<Self, NotTold> {
        // The name came from a form once; it is looked at again where it matters.
        let value = name.starts_with(SECRET).then(|| secrets(name)).flatten();
        value.filter(|v| !v.is_empty()).map(Self).ok_or_else(|| {
            NotTold::new(
                format!("the environment variable {name} is not set"),
                "Set it where Glost is started, and start Glost again",
            )
        })
    }

    /// The same for a name that may be missing.
    ///
    /// # Errors
    /// As [`Self::find`].
    pub fn maybe(name: Option<&str>, secrets: Secrets) -> Result<Option<Self>, NotTold> {
        name.map(|n| Self::find(n, secrets)).transpose()
    }

    /// Its value.
    pub fn value(&self) -> &str {
        &self.0
    }
}

impl fmt::Debug for Secret {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Secret(…)")
    }
}
