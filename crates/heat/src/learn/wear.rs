//! What the fits say of upkeep.
