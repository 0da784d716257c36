//! Where it stood: neighbours, shelves, what is above.

use glost_model::Length;
use glost_model::book::FaultKind::{self, Flashing, Plucking, Specks, Stuck, Warping};

use super::weigh::{CLEAR, OFTEN, Reasons, SELDOM, SOME, STRONG, USUAL};
use super::{Born, Cause, Facts, Group, Near, PRACTICE};

pub const ALL: &[Cause] = &[
    Cause {
        id: "too-near",
        title: "Something stood too near to it",
        faults: &[(Stuck, OFTEN), (Warping, SELDOM)],
        born: Born::Hot,
        shared: &[],
        change: "A finger's width between glazed pieces, more for runny ones; set it where the plan has it",
        source: "potters' maker article: 6 mm (1/4 in); weststreetpotters.co.uk, stuck pots",
        look: near,
    },
    Cause {
        id: "sticky-body",
        title: "A glassy body stuck to its shelf",
        faults: &[(Plucking, OFTEN), (Stuck, SELDOM)],
        born: Born::Cooling,
        shared: &[Group::Clay],
        change: "Alumina wax or powder under the foot; smooth it before glazing",
        source: "alumina thread, r/Ceramics 1jf0q5z; otherwise common practice, no source",
        look: |f, _, r| match &f.piece.clay {
            Some(c) if c.plucks => r.speaks(CLEAR, "its clay is known to pluck"),
            Some(_) => r.speaks(-SOME, "its clay is not known to pluck"),
            None => r.unknown("whether its clay plucks: it is not in the studio's list"),
        },
    },
    Cause {
        id: "shelf-wash",
        title: "Shelf wash: thin, flaking, or full of silica",
        faults: &[(Plucking, USUAL), (Specks, USUAL), (Stuck, SELDOM)],
        born: Born::Hot,
        shared: &[Group::Tier],
        change: "Scrape and wash the shelf anew, edges and undersides left bare; brush it before each load",
        source: PRACTICE,
        look: |f, _, r| r.unknown(format!("how the shelf of {} looks: go and see", f.tier())),
    },
    Cause {
        id: "crumbs-above",
        title: "Crumbs from above: lid, elements or the shelf over it",
        faults: &[(Specks, OFTEN)],
        born: Born::Heating,
        shared: &[Group::Tier],
        change: "Brush lid and undersides of shelves, vacuum the grooves with the kiln isolated, and let nobody move shelves over open ware",
        source: PRACTICE,
        look: |f, _, r| match &f.place {
            Some(p) if p.top => r.speaks(SOME, "it stood right under the lid"),
            Some(_) => r.unknown("how the underside of the shelf above it looks"),
            None => r.unknown("where it stood: there is no plan of this firing"),
        },
    },
    Cause {
        id: "fumes",
        title: "Colour came over from other ware",
        faults: &[(Flashing, OFTEN)],
        born: Born::Hot,
        shared: &[Group::Tier],
        change: "Keep chrome greens from tin whites and copper reds from light glazes: another firing, or at least another tier",
        source: "potclays.co.uk, tin white pink tinge",
        look: fumes,
    },
    Cause {
        id: "stained-kiln",
        title: "Colour from a stained shelf, lid or brick",
        faults: &[(Flashing, USUAL)],
        born: Born::Hot,
        shared: &[Group::Tier],
        change: "Turn or wash the shelf; fire the kiln empty once, hot and vented",
        source: PRACTICE,
        look: |f, _, r| {
            if f.place
                .as_ref()
                .is_some_and(|p| p.chrome == Near::Nowhere && p.volatile == Near::Nowhere)
            {
                r.speaks(SOME, "no other ware in the load gives off colour");
            }
            r.unknown("what stood on this shelf in the firing before");
        },
    },
    Cause {
        id: "points",
        title: "It stood on points, and its body softened",
        faults: &[(Warping, SELDOM)],
        born: Born::Hot,
        shared: &[],
        change: "Wipe the foot and set it flat; points only for low fire",
        source: "potclays.co.uk, stilts",
        look: points,
    },
    Cause {
        id: "bad-shelf",
        title: "A shelf that is not flat, or rocks on its posts",
        faults: &[(Warping, SELDOM)],
        born: Born::Hot,
        shared: &[Group::Tier],
        change: "Lay a straight edge across the shelf; three posts under it, each over the one below",
        source: PRACTICE,
        look: |f, _, r| {
            r.unknown(format!(
                "whether the shelf of {} is flat: a straight edge tells",
                f.tier()
            ))
        },
    },
];

fn near(f: &Facts, kind: FaultKind, r: &mut Reasons) {
    let Some(p) = &f.place else {
        r.unknown("where it stood: there is no plan of this firing");
        return;
    };
    let words = format!(
        "by the plan {} to its nearest neighbour, wall or post; {} wanted",
        f.shown.length(p.gap),
        f.shown.length(p.gap_wanted)
    );
    let short = p.gap + Length::mm(0.1) < p.gap_wanted;
    r.speaks(if short { CLEAR } else { -SOME }, words);
    if p.piled {
        r.speaks(SOME, "it stood in or on another piece");
    }
    if kind == Stuck {
        r.unknown("what it stuck to, and whether it stood as planned: write it with the fault");
    }
}

fn fumes(f: &Facts, _: FaultKind, r: &mut Reasons) {
    let Some(p) = &f.place else {
        r.unknown("what was in the kiln with it: there is no plan of this firing");
        return;
    };
    let tin = f.piece.glazes.iter().any(|g| g.tin_white);
    let light = f.piece.glazes.iter().any(|g| g.light);
    let mut say = |near: Near, what: &str, takes: bool| {
        let (where_, weight) = match near {
            Near::OnTier => ("on its tier", STRONG),
            Near::InKiln => ("on another tier", CLEAR),
            Near::Nowhere => return,
        };
        let weight = if takes { weight } else { weight / 4.0 };
        r.speaks(weight, format!("other ware {where_} gives off {what}"));
    };
    say(p.chrome, "chromium", tin);
    say(p.volatile, "copper or another colour", tin || light);
    if p.chrome == Near::Nowhere && p.volatile == Near::Nowhere {
        r.speaks(
            -STRONG,
            "no other ware in the load is known to give off colour",
        );
    }
    if tin {
        r.speaks(SOME, "its glaze is a tin white, which takes up chromium");
    }
}

fn points(f: &Facts, _: FaultKind, r: &mut Reasons) {
    let on_points = f
        .place
        .as_ref()
        .is_some_and(|p| !p.supports.is_empty() && p.raised > Length::mm(1.0));
    if on_points {
        r.speaks(CLEAR, "it was raised on supports");
    } else {
        r.speaks(-STRONG, "it stood flat by its plan");
    }
    if f.piece.clay.as_ref().is_some_and(|c| c.slumps_on_points) {
        r.speaks(SOME, "its clay softens when it is mature");
    }
}
