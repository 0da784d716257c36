//! Readings of a firing: sent by a program beside the kiln, read back by any.

use axum::Json;
use axum::http::StatusCode;
use glost_model::book::Act;
use glost_model::readings::Sample;
use glost_model::{Energy, Temperature};
use glost_studio::desk::DeskError;
use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use utoipa::{IntoParams, ToSchema};

use super::parts::{Asked, Named, Sent};
use super::problem::{AnyProblem, NoSuchThing, NotChanged};
use super::{Caller, Problem};

/// What was read at one moment. Leave out what a broken sensor tells.
#[derive(Debug, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = Sample)]
pub struct SampleBody {
    /// When.
    #[schema(format = DateTime)]
    at: String,
    /// The controller's sensor, °C.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(minimum = -50, maximum = 2000)]
    sensor_c: Option<f64>,
    /// What the controller wants the sensor to show, °C.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(minimum = -50, maximum = 2000)]
    set_point_c: Option<f64>,
    /// Share of full power since the sample before.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0, maximum = 1)]
    duty: Option<f64>,
    /// What the energy meter shows, J.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0)]
    meter_j: Option<f64>,
}

/// Samples, at most 500.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = NewSamples)]
pub struct SamplesBody {
    /// In any order. A moment that is kept already stays as it is.
    #[schema(max_items = 500)]
    samples: Vec<SampleBody>,
}

/// What was kept.
#[derive(Debug, Serialize, ToSchema)]
#[schema(as = KeptSamples)]
pub struct KeptOut {
    /// So many were new. They are on the disk.
    new: u64,
}

/// Sends readings of a firing that is under way, or was. They are on the disk when the answer comes, and may be sent again
/// when it does not.
#[utoipa::path(post, path = "/firings/{id}/readings", tag = "firings", params(("id" = String, Path, description = "Its number")), request_body = SamplesBody,
    responses((status = 201, description = "They are kept", body = KeptOut), AnyProblem, NoSuchThing, NotChanged))]
pub async fn take(
    c: Caller,
    Named(id): Named,
    Sent(body): Sent<SamplesBody>,
) -> Result<(StatusCode, Json<KeptOut>), Problem> {
    let mut samples = Vec::with_capacity(body.samples.len());
    for (i, s) in body.samples.into_iter().enumerate() {
        let at: Timestamp = s.at.parse().map_err(|_not_a_moment| {
            let remedy = "Write it in RFC 3339 with its offset, such as 2026-11-26T18:00:00Z";
            DeskError::field(&format!("samples[{i}].at"), "is no moment", remedy)
        })?;
        samples.push(Sample {
            at,
            sensor: s.sensor_c.map(Temperature::c),
            set_point: s.set_point_c.map(Temperature::c),
            duty: s.duty,
            meter: s.meter_j.map(Energy::j),
            others: Vec::new(),
        });
    }
    let new = c.app.desk.take_samples(c.actor(), &id, &samples).await?;
    Ok((StatusCode::CREATED, Json(KeptOut { new })))
}

/// From where on.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct After {
    /// Only later than this moment: the last one that you have.
    #[param(format = DateTime)]
    after: Option<String>,
}

/// The next samples, in the order of time.
#[derive(Debug, Serialize, ToSchema)]
#[schema(as = Samples)]
pub struct SamplesOut {
    /// At most 5,000. When there are any, there may be more after the last.
    samples: Vec<SampleBody>,
}

/// Readings of a firing, page by page.
#[utoipa::path(get, path = "/firings/{id}/readings", tag = "firings", params(("id" = String, Path, description = "Its number"), After),
    responses((status = 200, description = "The next of them", body = SamplesOut), AnyProblem, NoSuchThing))]
pub async fn list(
    c: Caller,
    Named(id): Named,
    Asked(asked): Asked<After>,
) -> Result<Json<SamplesOut>, Problem> {
    c.must(Act::Plan)?;
    c.app.desk.firing(&id).await?;
    let after = asked
        .after
        .map(|a| {
            a.parse::<Timestamp>().map_err(|_not_a_moment| {
                Problem::bad(
                    "after",
                    "is no moment",
                    "Write it in RFC 3339 with its offset",
                )
            })
        })
        .transpose()?;
    let all = c.app.desk.samples_after(&id, after).await?;
    let out = |s: Sample| SampleBody {
        at: s.at.to_string(),
        sensor_c: s.sensor.map(Temperature::to_c),
        set_point_c: s.set_point.map(Temperature::to_c),
        duty: s.duty,
        meter_j: s.meter.map(Energy::to_j),
    };
    Ok(Json(SamplesOut {
        samples: all.into_iter().map(out).collect(),
    }))
}
