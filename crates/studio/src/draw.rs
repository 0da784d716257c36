//! Draw a plan: every picture and table that goes beside `plan.json`.

use glost_model::doubt::Doubt;
use glost_model::plan_file::PlanFile;

use glost_model::across::Telling;
use glost_sheets::{Curve, Paper, SheetError};

use crate::OutFile;

/// The load sheet and the pictures of a plan. Tiers are numbered in placing order, so that files sort
/// from the floor up.
///
/// # Errors
/// [`SheetError`] when the load sheet cannot be set.
pub fn draw(plan: &PlanFile) -> Result<Vec<OutFile>, SheetError> {
    let (studio, load) = (&plan.studio, &plan.load);
    let file = |name: String, text: String| OutFile {
        name,
        bytes: text.into_bytes(),
    };
    let mut files = vec![OutFile {
        name: LOAD_SHEET.to_owned(),
        bytes: load_sheet(plan)?,
    }];
    if let Some(kiln) = studio.kiln(&load.kiln) {
        files.push(file(
            "stack.svg".to_owned(),
            glost_sheets::stack_svg(studio, kiln, load, Paper::Sheet),
        ));
        for (i, t) in load.tiers.iter().enumerate() {
            let name = format!("tier-{:02}-{}.svg", i + 1, t.name);
            let drawn = glost_sheets::tier_svg(studio, kiln, load, t, Paper::Sheet);
            files.push(file(name, drawn));
        }
    }
    if let Some(forecast) = &plan.forecast {
        files.push(file(
            "forecast.csv".to_owned(),
            glost_sheets::forecast_csv(forecast),
        ));
        if let Some(firing) = &plan.firing {
            let band = forecast.doubt.as_ref().map(Doubt::sensor_band);
            let curve = Curve {
                forecast,
                plan: firing,
                shown: studio.shown,
                band: band.as_deref(),
            };
            let drawn = glost_sheets::forecast_svg(&curve, Paper::Sheet);
            files.push(file("forecast.svg".to_owned(), drawn));
            let reached = glost_sheets::reached_svg(forecast, firing.cone);
            files.push(file("cones.svg".to_owned(), reached));
        }
        let energy = glost_sheets::energy_svg(forecast);
        files.push(file("energy.svg".to_owned(), energy));
        if let Some(across) = &forecast.across {
            let dry = plan.firing.as_ref().and_then(|f| forecast.dry(f));
            for Telling { at, .. } in across.telling(dry) {
                let drawn = glost_sheets::across_svg(across, at, studio.shown);
                let hours = across.moments.get(at).map(|m| m.time_s.to_h());
                let name = format!("across-{:04.1}-h.svg", hours.unwrap_or_default());
                files.extend(drawn.map(|text| file(name, text)));
            }
        }
    }
    Ok(files)
}

/// File name of the printed load sheet.
pub const LOAD_SHEET: &str = "load-sheet.pdf";

/// The printed load sheet.
///
/// # Errors
/// [`SheetError`].
pub fn load_sheet(plan: &PlanFile) -> Result<Vec<u8>, SheetError> {
    glost_sheets::load_sheet_pdf(
        &plan.studio,
        &plan.load,
        plan.firing.as_ref(),
        plan.forecast.as_ref(),
    )
}
