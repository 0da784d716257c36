//! Things that the studio has: each kept under an id that lasts when its name changes.

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

use crate::clay::{Clay, Glaze};
use crate::furniture::{PostStock, ShelfStock, SupportStock};
use crate::kiln::Kiln;

/// A kind of thing that the studio has.
pub trait Thing: Serialize + DeserializeOwned + Send + Sync + Clone {
    /// Word for the kind, as in the book.
    const KIND: &'static str;
    /// What people call it.
    fn name(&self) -> String;
}

/// A thing under its id.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Stock<T> {
    /// Id.
    pub id: String,
    /// The thing.
    pub thing: T,
}

macro_rules! things {
    ($($type:ty, $kind:literal, |$t:ident| $name:expr;)+) => { $(
        impl Thing for $type {
            const KIND: &'static str = $kind;
            fn name(&self) -> String { let $t = self; $name }
        }
    )+ };
}

things! {
    Clay, "clay", |t| t.name.clone();
    Glaze, "glaze", |t| t.name.clone();
    Kiln, "kiln", |t| t.name.clone();
    ShelfStock, "shelf", |t| t.name.clone();
    PostStock, "post", |t| format!("{:06.1} mm", t.length.to_mm());
    SupportStock, "support", |t| t.name.clone();
}

/// A thing of which there are many alike, that break and get lost.
pub trait Counted: Thing {
    /// How many there are.
    fn count(&self) -> u16;
    /// Writes down how many there are.
    fn set_count(&mut self, count: u16);
}

macro_rules! counted {
    ($($type:ty),+) => { $(
        impl Counted for $type {
            fn count(&self) -> u16 { self.count }
            fn set_count(&mut self, count: u16) { self.count = count; }
        }
    )+ };
}

counted!(ShelfStock, PostStock, SupportStock);
