//! Labels for ware: a code for the phone, a short code for the eye, and what a loader must know.

mod sheets;
mod view;

use glost_model::cone::Cone;
use jiff::civil::Date;

use crate::typeset::{self, SheetError};
pub use sheets::{Across, LABEL_SHEETS, LabelSheet};

/// What stands on a label. Texts that are too long for it are cut with an ellipsis; the cone never is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Label {
    /// Short code, such as `K7Q2`.
    pub code: String,
    /// What the piece is.
    pub what: String,
    /// Who made it.
    pub maker: String,
    /// Its clay; may be empty.
    pub clay: String,
    /// Its glazes; may be empty.
    pub glazes: Vec<String>,
    /// The cone that was asked for. Without one the label leaves a place to write it.
    pub cone: Option<Cone>,
    /// What firing it waits for, in words; may be empty.
    pub kind: String,
    /// When it came in.
    pub came_in: Option<Date>,
    /// Address of its page, for the square code; when empty, the square code holds the short code.
    pub url: String,
}

/// Labels as a PDF of the sheet's own size, along the rows. The first `skip` places of the first sheet stay empty,
/// as their labels are used. Print it at 100 %, not fitted to the page.
///
/// The same labels give the same pages.
///
/// # Errors
/// [`SheetError::Empty`] without labels, [`SheetError::Skip`] when no place is left on the first sheet,
/// [`SheetError::Code`] when an address is too long to be read by a phone at the label's size.
pub fn label_sheet_pdf(
    sheet: &LabelSheet,
    skip: usize,
    labels: &[Label],
) -> Result<Vec<u8>, SheetError> {
    let places = sheet.places();
    if labels.is_empty() {
        return Err(SheetError::Empty);
    }
    if skip >= places {
        return Err(SheetError::Skip {
            sheet: sheet.name,
            places,
            skip,
        });
    }
    let view = view::Pages::new(sheet, skip, labels)?;
    typeset::pdf(include_str!("label.typ"), &view)
}
