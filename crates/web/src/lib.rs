//! The studio's pages, and pages of a single planned load. They need no outside network; those that only show
//! need no script.

mod api;
mod app;
pub mod bench;
mod bench_files;
mod demo_bench;
mod help;
mod page;
mod room;
mod show;

pub use api::document as api_document;
pub use app::{App, AppError, routes, serve_app};
pub use room::draft::begin_demo;
pub use show::{ServeError, Shown, serve};
