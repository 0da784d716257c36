//! Who does something, and when.

use glost_model::book::{Act, Person};
use glost_store::By;
use jiff::Timestamp;

use super::DeskError;

/// A person at work.
#[derive(Debug, Clone, Copy)]
pub struct Actor<'a> {
    /// Who.
    pub person: &'a Person,
    /// When.
    pub at: Timestamp,
}

impl Actor<'_> {
    /// Refuses what the person's role may not do.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`].
    pub fn must(&self, act: Act) -> Result<(), DeskError> {
        if self.person.role.may(act) {
            Ok(())
        } else {
            Err(DeskError::NotAllowed(self.person.role))
        }
    }

    /// As the store wants it.
    pub fn by(&self) -> By<'_> {
        By {
            who: &self.person.id,
            at: self.at,
        }
    }
}
