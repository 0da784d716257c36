//! Screens of the studio, a file each.

pub mod enter;
pub mod me;
pub mod photo;
pub mod set_up;
pub mod sheet;
pub mod take_in;
pub mod today;
pub mod undo;
pub mod ware;
pub mod ware_one;
