//! All that stands on the sheet, as words and drawings. The typesetter decides nothing.

use std::collections::BTreeSet;

use glost_model::cone::Cone;
use glost_model::doubt::Doubt;
use glost_model::firing::FiringPlan;
use glost_model::forecast::Forecast;
use glost_model::kiln::{Kiln, Opening};
use glost_model::load::{FiringKind, LeftOut, LoadPlan, same_reason};
use glost_model::studio::Studio;
use serde::Serialize;

use super::cautions::{CAUTIONS, Cautions};
use super::fetch::Fetch;
use super::firing::{Expect, Firing};
use super::pictures::Pictures;
use super::tiers::{self, Page};
use crate::curve::{self, Curve};
use crate::paper::Paper;
use crate::stack;

/// Pieces that stay out for one reason.
#[derive(Serialize)]
struct Out {
    pieces: Vec<(String, String)>,
    why: String,
    remedy: String,
}

/// What stays out of one maker's ware.
#[derive(Serialize)]
struct Waiting {
    maker: String,
    groups: Vec<Out>,
}

/// The whole sheet.
#[derive(Serialize)]
pub(super) struct Sheet {
    paper: &'static str,
    studio: String,
    kiln: String,
    cone: String,
    range: &'static str,
    twin: Option<String>,
    kind: &'static str,
    load: String,
    inside: String,
    opening: &'static str,
    length_unit: &'static str,
    fetch: Fetch,
    stack: String,
    tiers: Vec<Page>,
    firing: Option<Firing>,
    expect: Option<Expect>,
    curve: Option<String>,
    pictures: Option<Pictures>,
    left_out: Vec<Waiting>,
    cautions: Cautions,
}

impl Sheet {
    pub fn new(
        studio: &Studio,
        kiln: &Kiln,
        plan: &LoadPlan,
        firing: Option<&FiringPlan>,
        forecast: Option<&Forecast>,
    ) -> Self {
        let (pieces, tiers) = (plan.placed().count(), plan.tiers.len());
        Self {
            paper: if studio.shown.inches {
                "us-letter"
            } else {
                "a4"
            },
            studio: studio.name.clone(),
            kiln: kiln.name.clone(),
            cone: plan.cone.to_string(),
            range: plan.cone.range_name(),
            twin: twin(plan.cone).map(|c| c.to_string()),
            kind: match plan.kind {
                FiringKind::Bisque => "Bisque firing",
                FiringKind::Glaze => "Glaze firing",
            },
            load: format!("{} on {}", many(pieces, "piece"), many(tiers, "tier")),
            inside: studio.shown.length(kiln.height),
            opening: match kiln.opening {
                Opening::Lid => "hinge",
                Opening::Door => "door",
            },
            length_unit: studio.shown.length_unit(),
            fetch: Fetch::new(studio, plan),
            stack: stack::stack_svg(studio, kiln, plan, Paper::Sheet),
            tiers: tiers::pages(studio, kiln, plan),
            firing: firing.map(|f| Firing::new(studio, f, forecast)),
            expect: forecast.map(|f| {
                let peak_over = firing.and_then(|plan| f.peak_over(plan));
                Expect::new(studio, f, peak_over)
            }),
            curve: firing
                .zip(forecast)
                .filter(|(_, forecast)| forecast.samples.len() > 1)
                .map(|(plan, forecast)| {
                    let band = forecast.doubt.as_ref().map(Doubt::sensor_band);
                    let curve = Curve {
                        forecast,
                        plan,
                        shown: studio.shown,
                        band: band.as_deref(),
                    };
                    curve::curve_svg(&curve, Paper::Sheet)
                }),
            pictures: forecast.and_then(|f| Pictures::new(studio, firing, f)),
            left_out: left_out(studio, plan),
            cautions: CAUTIONS,
        }
    }
}

fn many(count: usize, what: &str) -> String {
    let s = if count == 1 { "" } else { "s" };
    format!("{count} {what}{s}")
}

/// The cone that a hurried reader could take this one for: 06 and 6.
fn twin(cone: Cone) -> Option<Cone> {
    let name = cone.to_string();
    let other = name
        .strip_prefix('0')
        .map_or_else(|| format!("0{name}"), str::to_owned);
    Cone::parse(&other).ok()
}

fn left_out(studio: &Studio, plan: &LoadPlan) -> Vec<Waiting> {
    let maker = |o: &LeftOut| studio.piece(&o.piece).map_or("maker unknown", |p| &p.maker);
    let makers: BTreeSet<&str> = plan.left_out.iter().map(maker).collect();
    let out = |group: Vec<&LeftOut>| Out {
        why: group.first().map_or_else(String::new, |o| o.why.clone()),
        remedy: group.first().map_or_else(String::new, |o| o.remedy.clone()),
        pieces: group
            .into_iter()
            .map(|o| {
                let what = studio.piece(&o.piece).map(|p| p.what.clone());
                (o.piece.clone(), what.unwrap_or_default())
            })
            .collect(),
    };
    makers
        .into_iter()
        .map(|name| Waiting {
            maker: name.to_owned(),
            groups: same_reason(plan.left_out.iter().filter(|o| maker(o) == name))
                .into_iter()
                .map(out)
                .collect(),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cones_that_look_alike_are_twins() {
        let twin_of = |name| twin(Cone::parse(name).unwrap()).map(|c| c.to_string());
        assert_eq!(twin_of("06").as_deref(), Some("6"));
        assert_eq!(twin_of("6").as_deref(), Some("06"));
        assert_eq!(twin_of("5½").as_deref(), Some("05½"));
        assert_eq!(twin_of("018"), None);
    }
}
