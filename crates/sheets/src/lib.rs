//! Drawings of a load and its firing, the printed load sheet, labels, lists to hand ware back by, the calendar.
//!
//! Drawings are SVG with one unit to the millimetre of paper. Nothing in them is told by colour
//! alone, and no type is smaller than 4 mm, so that they can be read at the kiln in poor light. Those
//! that a phone shows are drawn for its width, see [`Paper`].

mod accounts;
mod across;
mod calendar;
mod clock;
mod curve;
mod energy;
mod hand_back;
mod kiln;
mod label;
mod outline;
mod paper;
mod pile;
mod qr;
mod reached;
mod scene;
mod sheet;
mod spread;
mod stack;
mod support;
mod svg;
mod table;
mod tier;
mod typeset;

pub use accounts::{AccountLine, accounts_csv, harmless};
pub use across::{
    Part, STEP_C, Tone, across_svg, moment_words, number, palette, parts, sensor, when,
};
pub use calendar::{CalendarEvent, CalendarFeed, calendar_ics};
pub use clock::{clock, place};
pub use curve::{Curve, Line, curve_svg, forecast_svg, over_marked_svg, over_svg, step_letter};
pub use energy::{Share, energy_svg, shares};
pub use hand_back::{HandBack, Ready, hand_back_pdf, notice};
pub use kiln::{Known, kiln_svg};
pub use label::{Across, LABEL_SHEETS, Label, LabelSheet, label_sheet_pdf};
pub use paper::Paper;
pub use qr::qr_svg;
pub use reached::{beside, reached_svg};
pub use scene::{
    Corners, KilnScene, PieceScene, TierScene, WareScene, kiln_scene, out_scene, tier_scene,
};
pub use sheet::cautions::{CAUTIONS, Cautions};
pub use sheet::fetch::{Fetch, Item};
pub use sheet::load_sheet_pdf;
pub use stack::stack_svg;
pub use table::{forecast_csv, row as csv_row};
pub use tier::{tier_small_svg, tier_svg};
pub use typeset::SheetError;
