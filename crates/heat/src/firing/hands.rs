//! Steps for hands: vent, plugs, lid, looking at cones, opening.

use glost_model::TempDiff;
use glost_model::Temperature;
use glost_model::firing::{FiringPlan, HandStep, Segment};
use glost_model::kiln::{Kiln, Opening};
use glost_model::load::FiringKind;

use super::facts::Facts;
use super::whole_c;

/// Steps in the order in which they come. Temperatures from school notes and suppliers' advice:
/// plugs 200, prop 120, open 90, unload 50 °C; cooler for porcelain and large flatware.
pub fn steps(facts: &Facts, kiln: &Kiln, plan: &FiringPlan, peak: usize) -> Vec<HandStep> {
    let target = |s: &Segment| s.target;
    let end = plan.segments.get(peak).map_or(Temperature::c(0.0), target);
    let door = match kiln.opening {
        Opening::Lid => "lid",
        Opening::Door => "door",
    };
    let bisque = facts.kind == FiringKind::Bisque;
    let mut all = Vec::new();
    let mut up = |c: f64, step: String| {
        if Temperature::c(c) < end {
            all.push(HandStep {
                at: Temperature::c(c),
                cooling: false,
                step,
            });
        }
    };
    up(
        20.0,
        "Stay for the first half hour. Nothing that burns within the clearance that the maker asks for; room aired."
            .into(),
    );
    if kiln.vent_fan {
        up(
            20.0,
            format!(
                "Vent fan on, {door} shut, plugs in. The fan stays on until the kiln is cool enough to open."
            ),
        );
    } else {
        up(
            20.0,
            match kiln.opening {
                Opening::Lid => {
                    "Lid propped 25 mm if the maker allows it, else top plug out, so that the damp can leave."
                        .into()
                }
                Opening::Door => "Top plug out, door shut, so that the damp can leave.".into(),
            },
        );
        let shut = if bisque { 300.0 } else { 120.0 };
        if kiln.opening == Opening::Lid {
            up(shut, "Shut the lid; top plug stays out.".into());
        }
        up(
            if bisque { 900.0 } else { 600.0 },
            "All plugs in once smell and smoke are gone.".into(),
        );
    }
    let look = whole_c(end - TempDiff::k(30.0));
    all.push(HandStep {
        at: look,
        cooling: false,
        step: "Be there from now on until the peak is past. Look at the witness cones through shaded glasses made \
               for it."
            .into(),
    });
    let (plugs, prop, open, unload) = if facts.tender {
        (150.0, 90.0, 60.0, 40.0)
    } else {
        (200.0, 120.0, 90.0, 50.0)
    };
    let mut down = |c: f64, step: String| {
        all.push(HandStep {
            at: Temperature::c(c),
            cooling: true,
            step,
        });
    };
    down(
        whole_c(end).to_c() - 10.0,
        format!(
            "Everything stays shut. An open {door} does not speed a hot kiln up, it cracks ware."
        ),
    );
    if let Some(last) = plan.segments.last().map(target) {
        down(
            whole_c(last).to_c() - 20.0,
            "The programme is over: see that the kiln has switched off.".into(),
        );
    }
    down(plugs, "Plugs may come out.".into());
    down(
        prop,
        format!("Power off at the isolator. Then {door} ajar by 25 mm, no more."),
    );
    down(open, format!("Open the {door}."));
    down(unload, "Unload with bare hands; wear gloves before.".into());
    all
}
