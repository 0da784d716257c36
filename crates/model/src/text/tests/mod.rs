//! Tests of the reader: a valid sample in two systems of units, broken inputs, any input, folders;
//! and of the way back, of forms and of imported sheets.

mod any;
mod back;
mod broken;
mod folders;
mod forms;
mod imported;
mod sample;
mod settings;
mod whole;
