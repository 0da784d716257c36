//! From words and drawings to a PDF.

mod world;

use serde::Serialize;
use typst::diag::SourceDiagnostic;
use typst_layout::PagedDocument;

/// Why there is no sheet.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SheetError {
    /// The plan is for a kiln that the studio does not list.
    #[error("the plan is for kiln '{0}', which the studio no longer lists: plan the load again")]
    NoKiln(String),
    /// A sheet of labels without a label, or a list without a piece.
    #[error("there is nothing to print: choose at least one piece first")]
    Empty,
    /// More places used than a sheet has.
    #[error(
        "a sheet '{sheet}' has {places} places, so {skip} cannot be used already: say {most} at most, \
         or take a fresh sheet",
        most = places.saturating_sub(1)
    )]
    Skip {
        /// Name of the sheet.
        sheet: &'static str,
        /// Places that it has.
        places: usize,
        /// Places said to be used.
        skip: usize,
    },
    /// A text that no square code of its size can hold.
    #[error(
        "the square code of '{what}' would have to hold {bytes} bytes, too many for its size: take a larger label \
         or a shorter address"
    )]
    Code {
        /// What the code is on.
        what: String,
        /// Length of its text, bytes.
        bytes: usize,
    },
    /// What stands on the sheet could not be handed to the typesetter.
    #[error("the sheet could not be put together: {0}")]
    Data(String),
    /// The typesetter refused, which is our mistake.
    #[error("the sheet could not be set: {0}")]
    Typeset(String),
}

/// Sets `source`, which finds `data` as JSON in `sys.inputs.data`. The same input gives the same pages.
pub(crate) fn pdf(source: &str, data: &impl Serialize) -> Result<Vec<u8>, SheetError> {
    let data = serde_json::to_string(data).map_err(|e| SheetError::Data(e.to_string()))?;
    let world = world::SheetWorld::new(source, data);
    let document = typst::compile::<PagedDocument>(&world)
        .output
        .map_err(|faults| refused(&faults))?;
    let pdf = typst_pdf::pdf(&document, &typst_pdf::PdfOptions::default())
        .map_err(|faults| refused(&faults));
    // The typesetter remembers what it has set; a server must not grow with each sheet.
    typst::comemo::evict(0);
    pdf
}

/// Words for one line of print: white space of any kind is one space, and what cannot be printed is gone.
pub(crate) fn one_line(words: &str) -> String {
    let words = words.split(|c: char| c.is_whitespace() || c.is_control());
    let words: Vec<&str> = words.filter(|w| !w.is_empty()).collect();
    words.join(" ")
}

fn refused(faults: &[SourceDiagnostic]) -> SheetError {
    let words: Vec<&str> = faults.iter().map(|f| f.message.as_str()).collect();
    SheetError::Typeset(words.join("; "))
}
