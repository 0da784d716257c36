//! Checked data of a studio: quantities, ware, kilns, furniture, loads, firings. No input or output.
//!
//! Frame of every position: metres, origin in the middle of the chamber on its floor, x to the
//! right, y toward the hinge (lid) or the door, z up. Angles run counter-clockwise from +x.
//! A clock position is what a loader says: 12 o'clock is toward +y, 3 o'clock toward +x.

pub mod across;
pub mod book;
pub mod charge;
pub mod clay;
pub mod cone;
pub mod doubt;
pub mod fault;
pub mod firing;
pub mod forecast;
pub mod furniture;
pub mod hours;
pub mod kiln;
pub mod load;
pub mod piece;
pub mod plan_file;
pub mod quantity;
pub mod readings;
pub mod shape;
pub mod shown;
pub mod studio;
pub mod tariff;
pub mod taught;
pub mod text;

pub use quantity::{
    Angle, Area, Energy, Length, Mass, Money, Power, Rate, Span, TempDiff, Temperature,
};
