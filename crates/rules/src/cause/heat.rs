//! Too much heat-work or too little, and why.

use glost_model::book::FaultKind::{
    self, Blisters, Bloating, Crazing, Overfired, Pinholes, Plucking, Running, Scum, StiltMarks,
    Stuck, Underfired, Warping,
};
use glost_model::cone::Cone;
use glost_model::load::FiringKind;

use super::weigh::{CLEAR, OFTEN, Reasons, SELDOM, STRONG, USUAL};
use super::{Born, Bound, Cause, Facts, Group, HeatBy, PRACTICE};

const TOO_HOT: &[(FaultKind, f64)] = &[
    (Overfired, OFTEN),
    (Running, OFTEN),
    (Bloating, OFTEN),
    (Warping, USUAL),
    (Blisters, USUAL),
    (Stuck, USUAL),
    (Pinholes, SELDOM),
    (Plucking, SELDOM),
    (StiltMarks, SELDOM),
];
const TOO_COLD: &[(FaultKind, f64)] = &[
    (Underfired, OFTEN),
    (Crazing, USUAL),
    (Pinholes, USUAL),
    (Scum, SELDOM),
];
/// Table of the trade on defects after firing.
const TABLE: &str =
    "causes of glaze defects (The Spruce Crafts copy); otherwise common practice, no source";

pub const ALL: &[Cause] = &[
    Cause {
        id: "other-cone",
        title: "It was in a firing of another cone than its own",
        faults: &[
            (Overfired, USUAL),
            (Underfired, USUAL),
            (Running, SELDOM),
            (Bloating, SELDOM),
            (Crazing, SELDOM),
            (Warping, SELDOM),
        ],
        born: Born::Hot,
        shared: &[Group::Glaze, Group::Clay],
        change: "Write the cone on the slip, and keep it for a firing within the range of its clay and glaze. 06 and 6 are {~220} apart",
        source: PRACTICE,
        look: other_cone,
    },
    Cause {
        id: "kiln-hot",
        title: "The whole kiln got hotter than was asked",
        faults: TOO_HOT,
        born: Born::Hot,
        shared: &[Group::Firing],
        change: "Lower the peak by half of what the cones are over, or shorten the hold; look at the sensor and its offset",
        source: TABLE,
        look: |f, kind, r| {
            if over(f, kind, r) {
                whole_kiln(f, r, 1.0);
            }
        },
    },
    Cause {
        id: "tier-hot",
        title: "Its tier got hotter than the others",
        faults: TOO_HOT,
        born: Born::Hot,
        shared: &[Group::Tier],
        change: "Put glazes that bear it on this tier, even the load out, or take a lower peak with a longer hold",
        source: TABLE,
        look: |f, kind, r| {
            if over(f, kind, r) {
                one_tier(f, r, 1.0);
            }
        },
    },
    Cause {
        id: "kiln-cold",
        title: "The whole kiln stayed cooler than was asked",
        faults: TOO_COLD,
        born: Born::Hot,
        shared: &[Group::Firing],
        change: "Raise the peak by half of what the cones are short, or hold longer; look at sensor, elements and how it stopped. It may be fired again",
        source: TABLE,
        look: |f, kind, r| {
            if under(f, kind, r) {
                whole_kiln(f, r, -1.0);
            }
        },
    },
    Cause {
        id: "tier-cold",
        title: "Its tier stayed cooler than the others",
        faults: TOO_COLD,
        born: Born::Hot,
        shared: &[Group::Tier],
        change: "Put glazes that bear it on this tier, pack it less tightly, or hold longer at the peak; look at its elements. It may be fired again",
        source: TABLE,
        look: |f, kind, r| {
            if under(f, kind, r) {
                one_tier(f, r, -1.0);
            }
        },
    },
];

/// Cones from and to, with the words for whose they are: the narrowest of the materials that this fault is about.
fn range(f: &Facts, kind: FaultKind) -> Option<(f64, f64, String)> {
    let clay = f
        .piece
        .clay
        .iter()
        .map(|c| (c.cone_from, c.cone_to, format!("clay {}", c.name)));
    let glazes = f
        .piece
        .glazes
        .iter()
        .map(|g| (g.cone_from, g.cone_to, format!("glaze {}", g.name)));
    let of_body = matches!(kind, Bloating | Warping | Plucking);
    let of_glaze = matches!(kind, Running | Blisters | Pinholes | Stuck);
    let of: Vec<(Cone, Cone, String)> = match f.kind {
        // Bisque is fired below what its clay is for.
        FiringKind::Bisque => vec![(f.cone, f.cone, "this bisque".to_owned())],
        FiringKind::Glaze if of_body => clay.collect(),
        FiringKind::Glaze if of_glaze => glazes.collect(),
        FiringKind::Glaze => glazes.chain(clay).collect(),
    };
    let to = of.iter().min_by_key(|m| m.1)?;
    let from = of.iter().max_by_key(|m| m.0)?;
    let words = if from.2 == to.2 && from.0 != to.1 {
        format!("{} is for {} to {}", to.2, from.0, to.1)
    } else if from.2 == to.2 {
        format!("{} is for {}", to.2, to.1)
    } else {
        format!(
            "{} is for at least {}, {} for at most {}",
            from.2, from.0, to.2, to.1
        )
    };
    Some((from.0.position(), to.1.position(), words))
}

/// What its tier reached, in words.
fn reached(f: &Facts) -> Option<(f64, f64, String)> {
    let heat = f.heat.as_ref().filter(|h| h.position.is_finite())?;
    let (worth, by) = match heat.by {
        HeatBy::Cones => (1.0, "by its cones"),
        HeatBy::OtherCones => (0.7, "by cones of other tiers"),
        HeatBy::Log => (0.7, "by the log"),
        HeatBy::Forecast => (0.4, "as foreseen"),
    };
    let bound = match heat.bound {
        Bound::Exact => "",
        Bound::AtLeast => "at least ",
        Bound::AtMost => "at most ",
    };
    Some((
        heat.position,
        worth,
        format!("{} reached {bound}cone {} {by}", f.tier(), heat.said),
    ))
}

fn no_cone(f: &Facts, r: &mut Reasons) {
    if f.heat.as_ref().is_none_or(|h| h.by != HeatBy::Cones) {
        r.unknown(format!(
            "how hot {} was: witness cones there would tell",
            f.tier()
        ));
    }
}

/// How far beyond what it stands. Where it is not, nothing more is to be told of how hot it was: the answer says so.
fn over(f: &Facts, kind: FaultKind, r: &mut Reasons) -> bool {
    out_of_range(f, kind, r, |at, (_, to)| at - to)
}

/// How far short of what it wants; the answer as with [`over`].
fn under(f: &Facts, kind: FaultKind, r: &mut Reasons) -> bool {
    out_of_range(f, kind, r, |at, (from, _)| from - at)
}

fn out_of_range(
    f: &Facts,
    kind: FaultKind,
    r: &mut Reasons,
    by: fn(f64, (f64, f64)) -> f64,
) -> bool {
    no_cone(f, r);
    let (Some((at, worth, said)), Some((from, to, range))) = (reached(f), range(f, kind)) else {
        return true;
    };
    let weight = beyond(by(at, (from, to)));
    r.speaks(worth * weight, format!("{said}; {range}"));
    weight > 0.0
}

fn beyond(cones: f64) -> f64 {
    match cones {
        c if c >= 0.5 => STRONG,
        c if c >= 0.2 => CLEAR,
        c if c > -0.15 => 0.3,
        c if c > -0.5 => -CLEAR,
        _ => -STRONG,
    }
}

/// All tiers against what was asked; `sign` is 1 for too hot.
fn whole_kiln(f: &Facts, r: &mut Reasons, sign: f64) {
    let (Some((at, worth, _)), Some(elsewhere)) = (reached(f), f.elsewhere) else {
        return;
    };
    let asked = f.cone.position();
    // The side of the kiln that is less far out.
    let off = (sign * (at - asked)).min(sign * (elsewhere - asked));
    let (more, weight) = match off {
        o if o >= 0.5 => ("all of the kiln is beyond it", STRONG),
        o if o >= 0.25 => ("all of the kiln is beyond it", CLEAR),
        o if o > 0.0 => ("all of the kiln is a little beyond it", 0.3),
        _ => ("not all of the kiln is", -CLEAR),
    };
    r.speaks(
        worth * weight,
        format!("asked for was cone {}; {more}", f.cone),
    );
}

fn one_tier(f: &Facts, r: &mut Reasons, sign: f64) {
    let (Some((at, worth, _)), Some(elsewhere)) = (reached(f), f.elsewhere) else {
        return;
    };
    let by = sign * (at - elsewhere);
    let hotter = if sign > 0.0 { "hotter" } else { "cooler" };
    let (words, weight) = match by {
        b if b >= 0.5 => (
            format!("it is {b:.1} cones {hotter} than the other tiers"),
            STRONG,
        ),
        b if b >= 0.25 => (
            format!("it is {b:.1} cones {hotter} than the other tiers"),
            CLEAR,
        ),
        b if b > 0.1 => (format!("it is a little {hotter} than the other tiers"), 0.3),
        _ => (format!("it is no {hotter} than the other tiers"), -CLEAR),
    };
    r.speaks(worth * weight, words);
}

fn other_cone(f: &Facts, kind: FaultKind, r: &mut Reasons) {
    if let Some(asked) = f.piece.piece.asked_cone
        && asked != f.cone
    {
        r.speaks(
            STRONG,
            format!("its slip asks for cone {asked}; this was cone {}", f.cone),
        );
        return;
    }
    let Some((from, to, words)) = range(f, kind) else {
        r.unknown("its clay and glaze are not in the studio's list with their cones");
        return;
    };
    let cone = f.cone.position();
    let out = (from - cone).max(cone - to);
    let words = format!("the firing was cone {}; {words}", f.cone);
    r.speaks(if out > 0.0 { STRONG } else { -STRONG }, words);
}
