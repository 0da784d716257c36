//! The `glost` command.
fn main() {}
