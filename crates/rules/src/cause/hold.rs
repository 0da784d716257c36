//! The top of a firing: how long, how fast, and how near to the elements.

use glost_model::book::FaultKind::{Blisters, Crack, Overfired, Pinholes, Running, Warping};
use glost_model::{Rate, Span};

use super::weigh::{CLEAR, Reasons, SELDOM, SOME, USUAL};
use super::{Born, Cause, Facts, Group, PRACTICE};

pub const ALL: &[Cause] = &[
    Cause {
        id: "long-hold",
        title: "Held too long at the top",
        faults: &[
            (Running, SELDOM),
            (Blisters, SELDOM),
            (Overfired, SELDOM),
            (Warping, SELDOM),
        ],
        born: Born::Hot,
        shared: &[Group::Firing],
        change: "Shorten the hold; a hold of 1 to 2 h is worth a cone",
        source: "hold rules of the cone charts; common practice, no source",
        look: |f, _, r| held(f, r, true),
    },
    Cause {
        id: "no-soak",
        title: "Bubbles had no time to heal",
        faults: &[(Pinholes, USUAL), (Blisters, USUAL)],
        born: Born::Hot,
        shared: &[Group::Firing, Group::Glaze],
        change: "Slow down over the last {~100}, hold 10 to 20 min, or drop {~30} to {~100} after the peak and hold there 20 to 45 min; lower the peak for it",
        source: "ceramicartsdaily.org glossary, blistering (Clay: A Studio Handbook); drop and hold: common practice, no source",
        look: |f, _, r| held(f, r, false),
    },
    Cause {
        id: "one-sided",
        title: "One side stood close to the elements",
        faults: &[(Warping, SELDOM), (Crack, SELDOM), (Overfired, SELDOM)],
        born: Born::Heating,
        shared: &[],
        change: "Keep wide and thin ware off the wall, or turn its stronger side there",
        source: PRACTICE,
        look: |f, _, r| match &f.place {
            Some(p) if p.gap < glost_model::Length::mm(20.0) => {
                r.speaks(
                    SOME,
                    format!(
                        "its nearest wall, post or neighbour was {} away",
                        f.shown.length(p.gap)
                    ),
                );
                r.unknown("which side it faced: say so with the fault");
            }
            Some(p) => r.speaks(
                -SOME,
                format!("nothing was nearer to it than {}", f.shown.length(p.gap)),
            ),
            None => r.unknown("where it stood: there is no plan of this firing"),
        },
    },
];

/// How long it was hot: too long, or too short for bubbles.
fn held(f: &Facts, r: &mut Reasons, long: bool) {
    let Some((hold, logged)) = f.pace(|p| p.hold) else {
        r.unknown("how long it was held: a log of the peak would tell");
        return;
    };
    let by = if logged { "by its log" } else { "as planned" };
    let said = format!(
        "{} within {} of the peak {by}",
        glost_model::shown::hours(hold),
        f.shown.difference(glost_model::TempDiff::k(10.0))
    );
    let worth = if logged { 1.0 } else { 0.5 };
    if long {
        let weight = match hold {
            h if h >= Span::minutes(75.0) => CLEAR,
            h if h >= Span::minutes(40.0) => SOME,
            _ => -CLEAR,
        };
        r.speaks(worth * weight, said);
        return;
    }
    // The last ten degrees alone take ten minutes at 60 °C/h.
    r.speaks(
        worth
            * if hold < Span::minutes(20.0) {
                SOME
            } else {
                -SOME
            },
        said,
    );
    if let Some((last, _)) = f.pace(|p| p.last) {
        let fast = last > Rate::c_per_h(100.0);
        let words = format!(
            "{} over the last {}",
            f.shown.rate(last),
            f.shown.difference(glost_model::TempDiff::k(100.0))
        );
        r.speaks(worth * if fast { SOME } else { -0.3 }, words);
    }
    if let Some((soak, _)) = f.pace(|p| p.soak)
        && soak >= Span::minutes(45.0)
    {
        r.speaks(
            -SOME,
            format!(
                "it stayed {} a little below the peak afterwards",
                glost_model::shown::hours(soak)
            ),
        );
    }
}
