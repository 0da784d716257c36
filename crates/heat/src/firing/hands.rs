//! Steps for hands: vent, plugs, lid, looking at cones, opening.

use glost_model::Length;
use glost_model::Span;
use glost_model::TempDiff;
use glost_model::Temperature;
use glost_model::firing::{FiringPlan, HandStep, Segment};
use glost_model::kiln::{Kiln, Opening};
use glost_model::load::FiringKind;
use glost_model::shown::hours;

use super::facts::Facts;
use super::whole_c;

/// Common practice: the last two to three hours are attended.
const ATTENDED: Span = Span::h(2.0);

/// Steps in the order in which they come.
pub fn steps(
    facts: &Facts,
    kiln: &Kiln,
    plan: &FiringPlan,
    peak: usize,
    by_hand: &[Segment],
) -> Vec<HandStep> {
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
                    format!(
                        "Top plug out, lid shut, so that the damp can leave. If the maker would have the lid \
                         propped: {} at most, set with the isolator off, and no hand or tool inside while it is on.",
                        facts.shown.length(Length::mm(25.0))
                    )
                }
                Opening::Door => "Top plug out, door shut, so that the damp can leave.".into(),
            },
        );
        let shut = if bisque { 300.0 } else { 120.0 };
        if kiln.opening == Opening::Lid {
            up(shut, "If the lid was propped, shut it with heat gloves, from the side; top plug stays out.".into());
        }
        up(
            if bisque { 900.0 } else { 600.0 },
            "All plugs in once smell and smoke are gone.".into(),
        );
    }
    all.push(HandStep {
        at: attended_from(plan, peak),
        cooling: false,
        step: "About two hours are left to the peak: be there from now on until it is past. Look at the witness \
               cones through shaded glasses made for it."
            .into(),
    });
    for hold in by_hand {
        all.push(HandStep {
            at: hold.target,
            cooling: false,
            step: format!(
                "Hold here for {}: the controller has no segment left for it. {}",
                hours(hold.hold),
                hold.reason
            ),
        });
    }
    all.sort_by(|a, b| a.at.to_k().total_cmp(&b.at.to_k()));
    let mut down = |at: Temperature, step: String| {
        all.push(HandStep {
            at,
            cooling: true,
            step,
        });
    };
    down(
        whole_c(end) - TempDiff::k(10.0),
        format!(
            "Everything stays shut. An open {door} does not speed a hot kiln up, it cracks ware."
        ),
    );
    if let Some(last) = plan.segments.last().map(target) {
        down(
            whole_c(last) - TempDiff::k(20.0),
            "The programme is over: see that the kiln has switched off.".into(),
        );
    }
    let limits = facts.opening;
    down(limits.plugs, "Plugs may come out.".into());
    down(
        limits.ajar,
        format!(
            "Power off at the isolator. Then {door} ajar by {}, no more.",
            facts.shown.length(Length::mm(25.0))
        ),
    );
    down(limits.open, format!("Open the {door}."));
    down(
        limits.unload,
        "Ware may be unloaded with bare hands; before, with heat gloves.".into(),
    );
    all
}

/// Where the plan stands two hours before its peak is over: the hours that studios keep staffed.
fn attended_from(plan: &FiringPlan, peak: usize) -> Temperature {
    let mut left_h = ATTENDED.to_h();
    let mut at = plan
        .segments
        .get(peak)
        .map_or(Temperature::c(0.0), |s| s.target);
    for i in (0..=peak).rev() {
        let Some(segment) = plan.segments.get(i) else {
            break;
        };
        left_h -= segment.hold.to_h();
        if left_h <= 0.0 {
            return whole_c(segment.target);
        }
        let from = match i.checked_sub(1).and_then(|b| plan.segments.get(b)) {
            Some(before) => before.target,
            None => Temperature::c(20.0),
        };
        // A segment at full power has no known length: be there for all of it.
        let Some(rate) = segment.rate.map(|r| r.to_c_per_h().abs()) else {
            return whole_c(from);
        };
        let rise = rate * left_h;
        if rise <= (segment.target - from).to_k() {
            return whole_c(segment.target - TempDiff::k(rise));
        }
        left_h -= (segment.target - from).to_k() / rate;
        at = from;
    }
    whole_c(at)
}
