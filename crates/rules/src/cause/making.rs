//! What was there before the kiln was on.

use glost_model::Length;
use glost_model::book::Edges;
use glost_model::book::FaultKind::{self, Chipped, Crack, CrackMaking, Crawling, Scum, Warping};
use glost_model::piece::{Delicacy, Held};

use super::weigh::{CLEAR, OFTEN, Reasons, SELDOM, SOME, STRONG, USUAL};
use super::{Born, Cause, Facts, Group, PRACTICE};

pub const ALL: &[Cause] = &[
    Cause {
        id: "joint",
        title: "Made with it: a base not compressed, a dry join, uneven drying",
        faults: &[(Crack, USUAL)],
        born: Born::Before,
        shared: &[Group::Maker],
        change: "Tell its maker: compress bases, score and join wet to wet, dry slowly and covered. It is no fault of the firing",
        source: "lakesidepottery.com, cracking and dunting; otherwise common practice, no source",
        look: joint,
    },
    Cause {
        id: "cracked-before",
        title: "Cracked before it was loaded",
        faults: &[(Crack, SELDOM)],
        born: Born::Before,
        shared: &[Group::Maker],
        change: "Look over rims and joints under a lamp before loading, and ring bisque with a knuckle",
        source: PRACTICE,
        look: |f, _, r| {
            if f.piece.piece.held == Some(Held::Cracked) {
                r.speaks(STRONG, "it was kept back once as cracked");
            } else {
                r.unknown("whether it rang when it was looked over");
            }
        },
    },
    Cause {
        id: "reopened",
        title: "A crack from before that opened again in cooling",
        faults: &[(Crack, SELDOM)],
        born: Born::Hot,
        shared: &[Group::Maker],
        change: "Find what made the first crack: drying and joints before all; then cool slower",
        source: "community.ceramicartsdaily.org 21034",
        look: |f, _, r| match f.edges {
            Some(Edges::Both) => r.speaks(
                STRONG + 1.0,
                "its edges are rounded in part and sharp in part",
            ),
            Some(Edges::Rounded | Edges::Sharp) => {
                r.speaks(-CLEAR, "its edges are all of one kind");
            }
            Some(Edges::Unclear) | None => {
                r.unknown("whether its edges are rounded in part and sharp in part");
            }
        },
    },
    Cause {
        id: "thin-or-uneven",
        title: "Thin or uneven walls, or clay that remembers a bend",
        faults: &[(Warping, USUAL)],
        born: Born::Before,
        shared: &[Group::Maker, Group::Clay],
        change: "Even walls, rims dried upside down or on a board, and wide ware carried on its board",
        source: PRACTICE,
        look: uneven,
    },
    Cause {
        id: "salts",
        title: "Salts in the clay came to the surface as it dried",
        faults: &[(Scum, OFTEN)],
        born: Born::Before,
        shared: &[Group::Clay],
        change: "Dry it evenly, rims covered; ask for a clay with barium against it, or other water",
        source: PRACTICE,
        look: |_, _, r| r.unknown("whether it shows on raw ware of this clay, too"),
    },
    Cause {
        id: "dried-crack",
        title: "The glaze cracked as it dried, and drew back there",
        faults: &[(Crawling, USUAL)],
        born: Born::Before,
        shared: &[Group::Glaze],
        change: "Look at the dry coat: rub cracks in it over, and thin the glaze or take clay out of it",
        source: "causes of glaze defects (The Spruce Crafts copy)",
        look: |_, _, r| r.unknown("whether the dry coat was cracked: look before loading"),
    },
    Cause {
        id: "handling",
        title: "Knocked on its way to the kiln",
        faults: &[(Chipped, OFTEN)],
        born: Born::Before,
        shared: &[Group::Tier],
        change: "Carry on boards, pads in the queue, and nobody but the loader touches it",
        source: PRACTICE,
        look: |f, _, r| {
            if f.piece.piece.delicacy == Delicacy::Delicate {
                r.speaks(SOME, "it was written down as delicate");
            }
            r.unknown("who carried it, and whether the queue was full");
        },
    },
];

fn joint(f: &Facts, kind: FaultKind, r: &mut Reasons) {
    if kind == CrackMaking {
        r.speaks(
            STRONG + 1.0,
            "it is an S in the base, or runs along a joint or rim",
        );
    } else {
        r.unknown("where it runs: an S in the base, a handle or a seam points to the making");
    }
    if f.bisque.is_some() {
        r.speaks(-0.3, "it came through its bisque");
    }
}

fn uneven(f: &Facts, _: FaultKind, r: &mut Reasons) {
    let p = &f.piece.piece;
    let (a, b) = p.widest.extent();
    let wide = a.max(b);
    if p.wall < Length::mm(4.0) {
        r.speaks(
            CLEAR,
            format!("its thickest wall is {}", f.shown.length(p.wall)),
        );
    }
    let flat = wide > p.height * 2.5;
    r.speaks(
        if flat { SOME } else { -0.3 },
        format!(
            "it is {} wide and {} high",
            f.shown.length(wide),
            f.shown.length(p.height)
        ),
    );
    r.unknown("whether it leaned before it was fired: its maker knows");
}
