//! The glaze: how thick, on what, and how it fits.

use glost_model::book::FaultKind::{
    self, Blisters, Crack, Crawling, Crazing, Pinholes, Running, Shivering, StiltMarks, Stuck,
};
use glost_model::piece::{Foot, Held};

use super::weigh::{CLEAR, OFTEN, Reasons, SELDOM, SOME, STRONG, USUAL};
use super::{Born, Cause, Facts, Group};

const DEFECTS: &str =
    "causes of glaze defects (The Spruce Crafts copy); otherwise common practice, no source";

pub const ALL: &[Cause] = &[
    Cause {
        id: "thick-glaze",
        title: "Glaze too thick, or layered",
        faults: &[
            (Running, USUAL),
            (Crawling, USUAL),
            (Pinholes, USUAL),
            (Blisters, USUAL),
            (Shivering, SELDOM),
        ],
        born: Born::Before,
        shared: &[Group::Maker, Group::Glaze],
        change: "Thin the glaze, dip shorter, and leave more bare above the foot where two glazes meet",
        source: DEFECTS,
        look: thick,
    },
    Cause {
        id: "dusty-bisque",
        title: "Dust, grease or a wet shard under the glaze",
        faults: &[(Crawling, OFTEN), (Pinholes, SELDOM)],
        born: Born::Before,
        shared: &[Group::Maker],
        change: "Wipe bisque with a damp sponge a day before, hands clean of oil, and glaze no wet bisque",
        source: DEFECTS,
        look: |_, _, r| r.unknown("how it was kept before it was glazed: its maker knows"),
    },
    Cause {
        id: "runny",
        title: "A runny glaze with too little bare above the foot",
        faults: &[(Running, USUAL), (Stuck, USUAL)],
        born: Born::Before,
        shared: &[Group::Glaze],
        change: "More bare above the foot, a slab under it, and a cooler tier",
        source: "strandedstarfishak.com asks 20 mm of bare foot; usual least 6 mm (common practice, no source)",
        look: runny,
    },
    Cause {
        id: "glazed-foot",
        title: "Glaze on what stood on the shelf",
        faults: &[(Stuck, OFTEN), (StiltMarks, OFTEN)],
        born: Born::Before,
        shared: &[],
        change: "Wipe the foot, or fire it on a stilt where the clay bears that",
        source: "mouseceramicstudio.com 2021, stilting; weststreetpotters.co.uk, stuck pots",
        look: glazed_foot,
    },
    Cause {
        id: "glaze-shrinks-more",
        title: "The glaze shrinks more than the clay",
        faults: &[(Crazing, OFTEN)],
        born: Born::Cooling,
        shared: &[Group::Glaze, Group::Clay],
        change: "Another glaze for this clay, or more silica in it, tried on test tiles; slow cooling does not cure it",
        source: DEFECTS,
        look: |f, _, r| fit(f, r),
    },
    Cause {
        id: "glaze-shrinks-less",
        title: "The glaze shrinks less than the clay",
        faults: &[(Shivering, OFTEN), (Crack, SELDOM)],
        born: Born::Cooling,
        shared: &[Group::Glaze, Group::Clay],
        change: "Another glaze for this clay, tried on test tiles; do not sponge rims bare of fine clay",
        source: DEFECTS,
        look: |f, _, r| fit(f, r),
    },
    Cause {
        id: "one-sided-glaze",
        title: "Glaze pulls unevenly: thick inside, thin or none outside",
        faults: &[(Crack, SELDOM)],
        born: Born::Cooling,
        shared: &[Group::Glaze, Group::Maker],
        change: "Glaze inside and outside alike in thickness",
        source: "lakesidepottery.com, cracking and dunting; bayofclay.com, dunting",
        look: |f, _, r| {
            if f.piece.piece.glazes.is_empty() {
                r.speaks(-STRONG, "it has no glaze");
            } else {
                r.unknown("how thick the glaze is inside and outside: look at a shard");
            }
        },
    },
];

fn thick(f: &Facts, kind: FaultKind, r: &mut Reasons) {
    let p = &f.piece.piece;
    match p.glazes.len() {
        0 => r.speaks(-STRONG, "it has no glaze"),
        1 => r.unknown("how thick its glaze was: its maker knows, and a shard tells"),
        n => r.speaks(
            CLEAR,
            format!("it has {n} glazes: where they lie over one another the coat is thick"),
        ),
    }
    if p.held == Some(Held::Overglazed) {
        r.speaks(
            STRONG,
            "it was kept back once because its glaze was too thick",
        );
    }
    if kind == Running && f.piece.glazes.iter().any(|g| g.runny) {
        r.speaks(SOME, "its glaze is known to run");
    }
}

fn runny(f: &Facts, _: FaultKind, r: &mut Reasons) {
    let runs = f.piece.glazes.iter().any(|g| g.runny);
    if runs {
        r.speaks(CLEAR, "its glaze is known to run");
    } else if !f.piece.glazes.is_empty() {
        r.speaks(-SOME, "its glaze is not known to run");
    }
    let bare = f.piece.piece.glaze_margin;
    let Some(place) = &f.place else { return };
    let short = bare < place.margin_wanted;
    r.speaks(
        if short { CLEAR } else { -SOME },
        format!(
            "{} were bare above its foot; {} wanted",
            f.shown.length(bare),
            f.shown.length(place.margin_wanted)
        ),
    );
}

fn glazed_foot(f: &Facts, kind: FaultKind, r: &mut Reasons) {
    let supports = f.place.as_ref().map(|p| p.supports.as_slice());
    let stood = supports.filter(|s| !s.is_empty()).map(|s| s.join(" on "));
    let glazed = f.piece.piece.foot == Foot::Glazed;
    if kind == StiltMarks {
        match &stood {
            Some(on) => r.speaks(
                STRONG,
                format!("it stood on {on}, as planned: small marks are usual"),
            ),
            None => r.speaks(-SOME, "no stilt is in its plan"),
        }
        return;
    }
    match (glazed, &stood) {
        (true, None) => r.speaks(STRONG, "its foot is glazed, and no stilt is in its plan"),
        (true, Some(on)) => r.speaks(SOME, format!("its foot is glazed; it stood on {on}")),
        (false, _) => r.speaks(-CLEAR, "its foot was written down as bare or wiped"),
    }
}

fn fit(f: &Facts, r: &mut Reasons) {
    if f.piece.piece.glazes.is_empty() {
        r.speaks(-STRONG, "it has no glaze");
        return;
    }
    r.unknown("how this glaze fits this clay: a test tile, frozen and boiled in turn, tells sooner than a year on the table");
}
