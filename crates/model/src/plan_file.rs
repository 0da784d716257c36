//! The file `plan.json`: a load plan with everything that is needed to judge it again.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::fault::Fault;
use crate::firing::FiringPlan;
use crate::forecast::Forecast;
use crate::load::LoadPlan;
use crate::studio::Studio;

/// What the field `format` holds.
pub const FORMAT: &str = "glost-plan";
/// Version written, and the only one read.
pub const VERSION: u32 = 1;

/// A plan as it is written to disk. All numbers are SI: metres, kilograms, seconds, watts, joules,
/// radians (counter-clockwise from +x); temperatures are degrees Celsius. Positions start in the middle
/// of the chamber floor: x to the right, y toward hinge or door, z up.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanFile {
    /// Always `glost-plan`.
    pub format: String,
    /// Always 1.
    pub version: u32,
    /// The studio as it was when the plan was made.
    pub studio: Studio,
    /// The load.
    pub load: LoadPlan,
    /// What to set on the controller, once it is planned.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub firing: Option<FiringPlan>,
    /// What to expect, once it is foreseen.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub forecast: Option<Forecast>,
}

impl PlanFile {
    /// Wraps a load plan with its studio.
    pub fn new(studio: Studio, load: LoadPlan) -> Self {
        Self {
            format: FORMAT.to_owned(),
            version: VERSION,
            studio,
            load,
            firing: None,
            forecast: None,
        }
    }

    /// The text of `plan.json`.
    ///
    /// # Errors
    /// Only when a number in it is not finite.
    pub fn to_json(&self) -> Result<String, serde_json::Error> {
        serde_json::to_string_pretty(self)
    }

    /// Reads the text of a `plan.json`.
    ///
    /// # Errors
    /// One fault with the line where reading stopped, or for a format or version that is not known.
    pub fn read(text: &str, file: &str) -> Result<Self, Fault> {
        let fault = |line, field: &str, what: String, remedy: &str| Fault {
            file: file.to_owned(),
            line,
            field: field.to_owned(),
            what,
            remedy: remedy.to_owned(),
        };
        let plan: Self = serde_json::from_str(text).map_err(|e| {
            let line = (e.line() > 0).then(|| e.line());
            fault(
                line,
                "",
                format!("is not a plan: {e}"),
                "Make it again with glost plan; do not edit it by hand",
            )
        })?;
        if plan.format != FORMAT || plan.version != VERSION {
            let what = format!(
                "is {} version {}; this reads {FORMAT} version {VERSION}",
                plan.format, plan.version
            );
            return Err(fault(
                None,
                "format",
                what,
                "Make the plan again with this version of Glost",
            ));
        }
        Ok(plan)
    }

    /// The JSON Schema of the file.
    pub fn schema() -> serde_json::Value {
        let mut schema = schemars::schema_for!(Self);
        schema.insert("$id".to_owned(), format!("urn:glost:plan:{VERSION}").into());
        schema.to_value()
    }
}
