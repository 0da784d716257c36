//! What is done with any bytes, and what has to hold of them. The tests of `glost-feed` put the bytes in `seeds` through
//! the same.

mod readers;

pub use readers::{layout, log, wire};
