//! Draw a plan: every picture and table that goes beside `plan.json`.

use glost_model::plan_file::PlanFile;

use crate::OutFile;

/// The pictures of a plan. Tiers are numbered in placing order, so that files sort from the floor up.
pub fn draw(plan: &PlanFile) -> Vec<OutFile> {
    let (studio, load) = (&plan.studio, &plan.load);
    let file = |name: String, text: String| OutFile {
        name,
        bytes: text.into_bytes(),
    };
    let mut files = Vec::new();
    if let Some(kiln) = studio.kiln(&load.kiln) {
        files.push(file(
            "stack.svg".to_owned(),
            glost_sheets::stack_svg(studio, kiln, load),
        ));
        for (i, t) in load.tiers.iter().enumerate() {
            let name = format!("tier-{:02}-{}.svg", i + 1, t.name);
            files.push(file(name, glost_sheets::tier_svg(studio, kiln, load, t)));
        }
    }
    if let Some(forecast) = &plan.forecast {
        files.push(file(
            "forecast.csv".to_owned(),
            glost_sheets::forecast_csv(forecast),
        ));
        if let Some(firing) = &plan.firing {
            files.push(file(
                "forecast.svg".to_owned(),
                glost_sheets::forecast_svg(forecast, firing, studio),
            ));
        }
    }
    files
}
