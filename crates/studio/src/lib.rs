//! What people do with Glost, a file a verb. The only place that joins planner, judge and disk.

pub mod ask;
pub mod causes;
mod change;
pub mod charge;
mod compare;
mod demo;
pub mod desk;
mod draw;
pub mod edit;
mod even_out;
pub mod expected;
pub mod figures;
mod firings;
pub mod follow;
mod foresee;
pub mod hear;
pub mod keep;
pub mod notify;
mod open_folder;
pub mod photo;
pub mod programme;
mod propose;
pub mod rehearse;
pub mod report;
mod write_out;

pub use change::{ChangeTrouble, change};
pub use compare::{Comparison, OtherTier, Side, compare};
pub use demo::{DEMO_KILN, demo_texts};
pub use draw::{draw, load_sheet};
pub use even_out::{Evened, even_out};
pub use firings::{Firings, FiringsError, ReadyFiring, propose_firings};
pub use foresee::{foresee, foresee_for};
pub use open_folder::{open_folder, open_texts};
pub use propose::{Growing, Proposal, ProposeError, propose, propose_shown};
pub use write_out::{OutFile, WriteError, can_write, write_out};
