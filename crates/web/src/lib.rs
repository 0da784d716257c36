//! Pages that show a planned load. They need no outside network and no store; those that only show need
//! no script.

pub mod bench;
mod bench_files;
mod demo_bench;
mod page;
mod serve;

pub use bench_files::routes as bench_files;
pub use page::{bench as bench_page, compare as compare_page, kiln_view as kiln_view_page};
pub use serve::{ServeError, Shown, serve};
