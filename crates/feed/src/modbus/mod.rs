//! Readings from a controller by Modbus TCP. Glost only asks for registers: [`Bank`] names the two functions that read,
//! and no other can be sent.

mod frame;
mod link;
mod map;

pub use frame::{Answer, Ask, HEAD, Unanswered, length_after_head};
pub use link::listen;
pub use map::{Bank, Controller, Kind, Register};
