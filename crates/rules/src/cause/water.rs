//! Water that had no time to leave.

use glost_model::Length;
use glost_model::book::FaultKind::{self, Crack, Crawling, Explosion, Warping};
use glost_model::load::FiringKind;
use glost_model::piece::Dryness;

use super::quartz::{Stretch, passed};
use super::weigh::{CLEAR, OFTEN, Reasons, SELDOM, SOME, STRONG, USUAL};
use super::{Born, Cause, Facts, Group, PRACTICE};

pub const ALL: &[Cause] = &[
    Cause {
        id: "damp",
        title: "It went in damp",
        faults: &[(Explosion, OFTEN), (Crack, USUAL), (Crawling, USUAL)],
        born: Born::Heating,
        shared: &[Group::Maker],
        change: "Dry it until it is no longer cold to the cheek; a glazed piece a day after glazing. A long hold under {95} if in doubt",
        source: "community.ceramicartsdaily.org 4889; potteryclaythailand.com",
        look: damp,
    },
    Cause {
        id: "fast-steam",
        title: "Heated too fast while steam left it",
        faults: &[(Explosion, OFTEN), (Crack, USUAL)],
        born: Born::Heating,
        shared: &[Group::Firing],
        change: "Hold under {95} for the thickest wall, and go slower to {220}",
        source: "between a university's and a studio's bisque notes (sitawong.com 4.4; community.ceramicartsdaily.org 4889)",
        look: |f, _, r| {
            if f.kind == FiringKind::Glaze {
                r.speaks(-SOME, BISQUED);
                up_to_dry(f, r);
                return;
            }
            passed(
                f,
                r,
                &Stretch {
                    of: |p| p.steam,
                    did: "heated",
                    through: "from {88} to {220}",
                    tells: "a log from the start on",
                },
            );
        },
    },
    Cause {
        id: "fast-damp-glaze",
        title: "Heated too fast while its glaze was damp",
        faults: &[(Crawling, USUAL)],
        born: Born::Heating,
        shared: &[Group::Firing],
        change: "Let glazed ware dry for a day, and go slower to {120}",
        source: PRACTICE,
        look: |f, _, r| up_to_dry(f, r),
    },
    Cause {
        id: "thick",
        title: "Too thick, or thick beside thin",
        faults: &[(Explosion, USUAL), (Crack, USUAL), (Warping, SELDOM)],
        born: Born::Heating,
        shared: &[Group::Maker],
        change: "Hollow it out, keep walls even, and fire it with other thick ware",
        source: "rsccceramics.blogspot.com 2011-09; otherwise common practice, no source",
        look: thick,
    },
];

const BISQUED: &str = "it was bisqued: only glaze and foot take up water again";

/// How fast the damp of a glaze was driven out.
fn up_to_dry(f: &Facts, r: &mut Reasons) {
    passed(
        f,
        r,
        &Stretch {
            of: |p| p.damp,
            did: "heated",
            through: "up to {120}",
            tells: "a log from the start on",
        },
    );
}

fn damp(f: &Facts, kind: FaultKind, r: &mut Reasons) {
    let glazed = f.kind == FiringKind::Glaze;
    if glazed && kind == Explosion {
        r.speaks(-SOME, BISQUED);
    }
    match f.piece.piece.dryness {
        Dryness::Damp => r.speaks(STRONG, "it was written down as damp"),
        Dryness::Doubtful => r.speaks(CLEAR, "it was written down as doubtfully dry"),
        Dryness::BoneDry => r.speaks(-CLEAR, "it was written down as dry through"),
    }
    if kind == Explosion {
        r.unknown("where it burst: from the foot or a thick joint means water");
    }
}

/// From here on walls dry slowly; from here they ask for a firing of their own. Wall limits of the rule book.
const THICK: [Length; 2] = [Length::mm(13.0), Length::mm(25.0)];

fn thick(f: &Facts, _: FaultKind, r: &mut Reasons) {
    let wall = f.piece.piece.wall;
    let words = format!("its thickest wall is {}", f.shown.length(wall));
    let weight = match wall {
        w if w > THICK[1] => STRONG,
        w if w > THICK[0] => CLEAR,
        w if w > Length::mm(9.0) => -SOME,
        _ => -CLEAR,
    };
    r.speaks(weight, words);
}
