//! Tests of the reader: a valid sample in two systems of units, broken inputs, any input, folders.

mod any;
mod broken;
mod folders;
mod sample;
mod whole;
