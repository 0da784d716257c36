//! Cracks by pace: quartz at 573 °C, cristobalite at 220 °C, and cold air.

use glost_model::book::FaultKind::{Crack, Crazing};
use glost_model::{Length, Rate};

use super::say::fill;
use super::weigh::{CLEAR, OFTEN, Reasons, SELDOM, SOME, STRONG, USUAL};
use super::{Born, Cause, Facts, Group, Paces};

pub const ALL: &[Cause] = &[
    Cause {
        id: "fast-quartz-down",
        title: "Cooled too fast through {573}",
        faults: &[(Crack, OFTEN)],
        born: Born::Cooling,
        shared: &[Group::Firing],
        change: "Set a falling segment from {600} to {500} at the pace that this wall bears, and keep plugs in and lid shut until {200}",
        source: "quartz inversion: metaglossary.com, dunting; pace by the plate formula of Kingery 1955, strength from memory",
        look: |f, _, r| {
            passed(
                f,
                r,
                &Stretch {
                    of: |p| p.quartz_down,
                    did: "cooled",
                    through: "through {573}",
                    tells: "a log of the cooling",
                },
            );
        },
    },
    Cause {
        id: "fast-cristobalite-down",
        title: "Cooled too fast through {220}",
        faults: &[(Crack, USUAL)],
        born: Born::Cooling,
        shared: &[Group::Firing, Group::Clay],
        change: "Keep plugs in and lid shut until {180}; ask whether the clay holds much free silica",
        source: "cristobalite change: metaglossary.com, dunting; share of it in a body from memory",
        look: |f, _, r| {
            passed(
                f,
                r,
                &Stretch {
                    of: |p| p.cristobalite_down,
                    did: "cooled",
                    through: "through {220}",
                    tells: "a log of the cooling to the end",
                },
            );
        },
    },
    Cause {
        id: "opened-hot",
        title: "Opened too hot",
        faults: &[(Crack, USUAL), (Crazing, SELDOM)],
        born: Born::Cooling,
        shared: &[Group::Firing, Group::Tier],
        change: "Leave it shut until the display shows less than the plan wants; porcelain and wide flat ware until it is cold to the hand",
        source: "hot-clay.com, opening; community.ceramicartsdaily.org 1687",
        look: opened_hot,
    },
    Cause {
        id: "wide-cold-foot",
        title: "A wide foot cooled slower than the rest, flat on its shelf",
        faults: &[(Crack, USUAL)],
        born: Born::Cooling,
        shared: &[Group::Tier],
        change: "Raise wide feet off the shelf on a thin slab, sand or props, and cool slower below {600}",
        source: "bayofclay.com, dunting; community.ceramicartsdaily.org 21034",
        look: wide_foot,
    },
    Cause {
        id: "fast-quartz-up",
        title: "Heated too fast through {573}",
        faults: &[(Crack, USUAL)],
        born: Born::Heating,
        shared: &[Group::Firing, Group::Tier],
        change: "Go slower from {500} to {600}, for the thickest wall in the load",
        source: "quartz inversion: metaglossary.com, dunting; pace by the plate formula of Kingery 1955, strength from memory",
        look: |f, _, r| {
            passed(
                f,
                r,
                &Stretch {
                    of: |p| p.quartz_up,
                    did: "heated",
                    through: "through {573}",
                    tells: "a log of the way up",
                },
            );
        },
    },
];

/// A stretch that was passed, and the words for it.
pub(super) struct Stretch {
    pub of: fn(&Paces) -> Option<Rate>,
    pub did: &'static str,
    /// Which, as [`fill`] fills it in.
    pub through: &'static str,
    pub tells: &'static str,
}

/// A wall that bears more than this is in no kiln's danger there, °C/h: no studio kiln changes as fast.
const ANY_C_PER_H: f64 = 500.0;

/// Weighs how fast a stretch was passed by how fast this wall bears it.
pub(super) fn passed(f: &Facts, r: &mut Reasons, s: &Stretch) {
    let through = fill(s.through, f.shown);
    let (Some((was, logged)), Some(wanted)) = (f.pace(s.of), (s.of)(&f.wanted)) else {
        r.unknown(format!(
            "how fast it was {} {through}: {} would tell",
            s.did, s.tells
        ));
        return;
    };
    let times = was.to_c_per_h() / wanted.to_c_per_h();
    let weight = match times {
        t if t >= 1.5 => STRONG,
        t if t >= 1.1 => CLEAR,
        t if t >= 0.8 => SOME,
        t if t >= 0.5 => -SOME,
        t if t >= 0.25 => -CLEAR,
        t if t < 0.25 => -STRONG,
        _ => 0.0,
    };
    let by = if logged { "by its log" } else { "as planned" };
    let bears = if wanted > Rate::c_per_h(ANY_C_PER_H) {
        "more than kilns do".to_owned()
    } else {
        f.shown.rate(wanted)
    };
    let words = format!(
        "{} {} {through} {by}; its {} wall bears {bears}",
        s.did,
        f.shown.rate(was),
        f.shown.length(f.piece.piece.wall),
    );
    // A kiln does not always do what was planned, but it does not do four times as much.
    let worth = if logged || times < 0.25 { 1.0 } else { 0.5 };
    r.speaks(worth * weight, words);
    if !logged {
        r.unknown(format!(
            "whether it kept to the plan {through}: {} would tell",
            s.tells
        ));
    }
}

fn opened_hot(f: &Facts, _: glost_model::book::FaultKind, r: &mut Reasons) {
    let Some(o) = f.opened else {
        r.unknown("how hot it was when it was opened: write down what the display shows");
        return;
    };
    let c = o.at.to_c();
    let weight = match c {
        c if c > 200.0 => STRONG,
        c if c > 120.0 => CLEAR,
        c if c > 90.0 => SOME,
        _ => -STRONG,
    };
    let below = o.below.map_or_else(String::new, |b| {
        format!(", and the plan wants less than {}", f.shown.temperature(b))
    });
    r.speaks(
        weight,
        format!(
            "it showed {} when it was opened{below}",
            f.shown.temperature(o.at)
        ),
    );
}

/// Feet from here on cool unlike their rims. Proposed here, no source.
const WIDE: Length = Length::mm(150.0);

fn wide_foot(f: &Facts, _: glost_model::book::FaultKind, r: &mut Reasons) {
    let (across, along) = f.piece.piece.foot_outline.extent();
    let foot = across.max(along);
    let wide = foot >= WIDE;
    r.speaks(
        if wide { CLEAR } else { -CLEAR },
        format!("its foot is {} across", f.shown.length(foot)),
    );
    match &f.place {
        Some(p) if p.raised > Length::mm(1.0) => {
            r.speaks(
                -CLEAR,
                format!("it stood {} off its shelf", f.shown.length(p.raised)),
            );
        }
        Some(p) if wide && p.bottom => {
            r.speaks(
                SOME,
                "it stood on the lowest tier, which is often slow to cool from below",
            );
        }
        Some(_) => {}
        None => r.unknown("where it stood: there is no plan of this firing"),
    }
}
