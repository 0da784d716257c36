//! Pages that show a planned load. They need no script, no outside network and no store.

mod page;
mod serve;

pub use serve::{ServeError, Shown, serve};
