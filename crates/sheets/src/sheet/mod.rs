//! The printed load sheet: what to fetch, each tier in placing order, the firing, what stays out.

pub(crate) mod cautions;
pub(crate) mod fetch;
mod firing;
mod pictures;
mod tiers;
mod view;

use glost_model::firing::FiringPlan;
use glost_model::forecast::Forecast;
use glost_model::load::LoadPlan;
use glost_model::studio::Studio;

use crate::typeset::{self, SheetError};

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
    typeset::pdf(include_str!("sheet.typ"), &view)
}
