//! The studio's pages, and pages of a single planned load. No page needs an outside network.

mod app;
mod page;
mod room;
mod show;

pub use app::{App, AppError, routes, serve_app};
pub use show::{ServeError, Shown, serve};
