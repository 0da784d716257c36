//! Carbon, sulphur and gas that had no time or air to leave.

use glost_model::Length;
use glost_model::book::FaultKind::{self, BlackCore, Blisters, Bloating, Pinholes};
use glost_model::cone::Cone;
use glost_model::load::FiringKind;

use super::quartz::{Stretch, passed};
use super::weigh::{CLEAR, OFTEN, Reasons, SELDOM, SOME, USUAL};
use super::{Born, Cause, Facts, Group, PRACTICE};

pub const ALL: &[Cause] = &[
    Cause {
        id: "fast-burn-out",
        title: "Its bisque went too fast from {650} to {950}",
        faults: &[
            (BlackCore, OFTEN),
            (Bloating, USUAL),
            (Pinholes, USUAL),
            (Blisters, SELDOM),
        ],
        born: Born::Heating,
        shared: &[Group::Clay],
        change: "Bisque slower from {650} to {950} with a plug out; dark clays slowest",
        source: "bisque notes of a university and a studio (sitawong.com 4.4; community.ceramicartsdaily.org 4889); causes of glaze defects (The Spruce Crafts copy)",
        look: burn_out,
    },
    Cause {
        id: "no-air",
        title: "Too little air reached it",
        faults: &[(BlackCore, USUAL), (Bloating, SELDOM), (Pinholes, SELDOM)],
        born: Born::Heating,
        shared: &[Group::Tier],
        change: "Vent on or top plug out until smell and smoke are gone, and more room around and inside it",
        source: PRACTICE,
        look: no_air,
    },
    Cause {
        id: "low-bisque",
        title: "Its bisque was too low",
        faults: &[(Pinholes, USUAL), (Blisters, SELDOM)],
        born: Born::Before,
        shared: &[Group::Clay],
        change: "Bisque to cone 04, so that gas is out before the glaze seals",
        source: "causes of glaze defects (The Spruce Crafts copy); otherwise common practice, no source",
        look: low_bisque,
    },
];

fn burn_out(f: &Facts, kind: FaultKind, r: &mut Reasons) {
    if f.piece.clay.as_ref().is_some_and(|c| c.slow_burn_out) {
        r.speaks(
            SOME,
            "its clay is dark or full of carbon: it burns out slowly",
        );
    }
    if f.kind == FiringKind::Bisque {
        passed(
            f,
            r,
            &Stretch {
                of: |p| p.burn_out,
                did: "heated",
                through: "from {650} to {950}",
                tells: "a log of the way up",
            },
        );
        return;
    }
    let pace = f
        .bisque
        .as_ref()
        .and_then(|b| Some((b.burn_out?, b.logged)));
    let (Some((was, logged)), Some(wanted)) = (pace, f.wanted.burn_out) else {
        r.unknown("how fast its bisque went while carbon burns out: the book has no curve of it");
        return;
    };
    let worth = if logged { 1.0 } else { 0.5 };
    let by = if logged { "by its log" } else { "as planned" };
    let fast = was > wanted * 1.1;
    let weight = if fast { CLEAR } else { -SOME };
    let weight = if kind == Bloating {
        weight / 2.0
    } else {
        weight
    };
    r.speaks(
        worth * weight,
        format!(
            "its bisque went {} while carbon burns out, {by}; {} is enough for its clay and wall",
            f.shown.rate(was),
            f.shown.rate(wanted)
        ),
    );
}

fn no_air(f: &Facts, _: FaultKind, r: &mut Reasons) {
    match &f.place {
        Some(p) if p.piled => r.speaks(CLEAR, "it stood in or on another piece"),
        Some(p) if p.gap < Length::mm(4.0) => {
            r.speaks(
                SOME,
                format!(
                    "its nearest neighbour, wall or post was {} away",
                    f.shown.length(p.gap)
                ),
            );
        }
        Some(p) => r.speaks(
            -SOME,
            format!("there were {} of room around it", f.shown.length(p.gap)),
        ),
        None => r.unknown("where it stood: there is no plan of this firing"),
    }
    let missed: Vec<&str> = f
        .steps
        .iter()
        .filter(|s| !s.done)
        .map(|s| s.words.as_str())
        .collect();
    if f.steps.is_empty() {
        r.unknown("whether it was vented: steps by hand that are ticked off tell it");
    } else if missed.is_empty() {
        r.speaks(-SOME, "every step with vent and plugs was ticked off");
    } else {
        r.speaks(SOME, format!("not ticked off: {}", missed.join("; ")));
    }
}

fn low_bisque(f: &Facts, _: FaultKind, r: &mut Reasons) {
    if f.kind == FiringKind::Bisque {
        r.speaks(-CLEAR, "this was its bisque");
        return;
    }
    let Some(b) = &f.bisque else {
        r.unknown("to what cone it was bisqued: the book does not have that firing");
        return;
    };
    let low = Cone::from_position(-3.0).is_some_and(|c| b.cone < c);
    r.speaks(
        if low { SOME } else { -CLEAR },
        format!("it was bisqued to cone {}", b.cone),
    );
}
