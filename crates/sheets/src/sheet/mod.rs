//! The printed load sheet: what to fetch, each tier in placing order, the firing, what stays out.

pub(crate) mod cautions;
pub(crate) mod fetch;
mod firing;
mod pictures;
mod tiers;
mod view;
mod world;

use glost_model::firing::FiringPlan;
use glost_model::forecast::Forecast;
use glost_model::load::LoadPlan;
use glost_model::studio::Studio;
use typst::diag::SourceDiagnostic;
use typst_layout::PagedDocument;

/// Why there is no sheet.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SheetError {
    /// The plan is for a kiln that the studio does not list.
    #[error("the plan is for kiln '{0}', which the studio no longer lists: plan the load again")]
    NoKiln(String),
    /// What stands on the sheet could not be handed to the typesetter.
    #[error("the sheet could not be put together: {0}")]
    Data(String),
    /// The typesetter refused, which is our mistake.
    #[error("the sheet could not be set: {0}")]
    Typeset(String),
}

/// The load sheet as a PDF, A4 or, for a studio that works in inches, US letter. Without a firing
/// plan or a forecast those parts are left out.
///
/// The same input gives the same pages.
///
/// # Errors
/// See [`SheetError`].
pub fn load_sheet_pdf(
    studio: &Studio,
    plan: &LoadPlan,
    firing: Option<&FiringPlan>,
    forecast: Option<&Forecast>,
) -> Result<Vec<u8>, SheetError> {
    let kiln = studio
        .kiln(&plan.kiln)
        .ok_or_else(|| SheetError::NoKiln(plan.kiln.clone()))?;
    let view = view::Sheet::new(studio, kiln, plan, firing, forecast);
    let data = serde_json::to_string(&view).map_err(|e| SheetError::Data(e.to_string()))?;
    let world = world::SheetWorld::new(include_str!("sheet.typ"), data);
    let document = typst::compile::<PagedDocument>(&world)
        .output
        .map_err(|faults| refused(&faults))?;
    let pdf = typst_pdf::pdf(&document, &typst_pdf::PdfOptions::default())
        .map_err(|faults| refused(&faults));
    // The typesetter remembers what it has set; a server must not grow with each sheet.
    typst::comemo::evict(0);
    pdf
}

fn refused(faults: &[SourceDiagnostic]) -> SheetError {
    let words: Vec<&str> = faults.iter().map(|f| f.message.as_str()).collect();
    SheetError::Typeset(words.join("; "))
}
