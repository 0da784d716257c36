//! The kiln model against the few figures there are of electric studio kilns.

#[cfg(test)]
#[path = "validation_kiln/any.rs"]
mod any;
#[cfg(test)]
#[path = "validation_kiln/reference.rs"]
mod reference;
