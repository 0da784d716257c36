//! Screens of the studio, a file each.

pub mod accounts;
pub mod at_kiln;
pub mod back;
pub mod bench;
pub mod calendar;
pub mod draft;
pub mod enter;
pub mod export;
pub mod fire_day;
pub mod firing;
pub mod firings;
pub mod help;
pub mod labels;
pub mod me;
pub mod opening;
pub mod photo;
pub mod plan_pages;
pub mod set_up;
pub mod sheet;
pub mod take_in;
pub mod today;
pub mod tokens;
pub mod undo;
pub mod ware;
pub mod ware_one;
