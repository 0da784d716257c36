//! The independent judge of a load.
