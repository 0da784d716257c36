//! All that stands on the sheet, as words and drawings. The typesetter decides nothing.

use std::collections::BTreeMap;

use glost_model::cone::Cone;
use glost_model::firing::FiringPlan;
use glost_model::forecast::Forecast;
use glost_model::kiln::{Kiln, Opening};
use glost_model::load::{FiringKind, LoadPlan};
use glost_model::studio::Studio;
use serde::Serialize;

use super::cautions::{CAUTIONS, Cautions};
use super::fetch::Fetch;
use super::firing::{Expect, Firing};
use super::tiers::{self, Page};
use crate::{curve, stack};

/// A piece that stays out.
#[derive(Serialize)]
struct Out {
    id: String,
    what: String,
    why: String,
    remedy: String,
}

/// What stays out of one maker's ware.
#[derive(Serialize)]
struct Waiting {
    maker: String,
    pieces: Vec<Out>,
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
            stack: stack::stack_svg(studio, kiln, plan),
            tiers: tiers::pages(studio, kiln, plan),
            firing: firing.map(|f| Firing::new(studio, f)),
            expect: forecast.map(|f| Expect::new(studio, f)),
            curve: firing
                .zip(forecast)
                .filter(|(_, forecast)| forecast.samples.len() > 1)
                .map(|(firing, forecast)| curve::bare_svg(forecast, firing, studio)),
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
    let mut by_maker: BTreeMap<&str, Vec<Out>> = BTreeMap::new();
    for out in &plan.left_out {
        let piece = studio.piece(&out.piece);
        let maker = piece.map_or("maker unknown", |p| &p.maker);
        by_maker.entry(maker).or_default().push(Out {
            id: out.piece.clone(),
            what: piece.map_or_else(String::new, |p| p.what.clone()),
            why: out.why.clone(),
            remedy: out.remedy.clone(),
        });
    }
    by_maker
        .into_iter()
        .map(|(maker, pieces)| Waiting {
            maker: maker.to_owned(),
            pieces,
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
