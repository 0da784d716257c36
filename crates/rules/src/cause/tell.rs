//! When a crack came, told by its edges: see [`Edges`].

use glost_model::book::{Edges, FaultKind};
use glost_model::load::FiringKind;

use super::weigh::{CLEAR, Reasons, STRONG};
use super::{Born, Cause, Facts};

/// Adds what the edges say of a cause of cracks.
pub fn look(cause: &Cause, facts: &Facts, kind: FaultKind, r: &mut Reasons) {
    if !kind.is_crack() {
        return;
    }
    // Without glaze nothing runs into a crack, so that edges tell less.
    let bare = facts.kind == FiringKind::Bisque;
    let worth = if bare { 0.4 } else { 1.0 };
    let cooling = match cause.born {
        Born::Cooling => true,
        Born::Before | Born::Heating => false,
        Born::Hot => return,
    };
    let (weight, words) = match (facts.edges, cooling) {
        (Some(Edges::Rounded), false) => (
            CLEAR,
            "its edges are rounded: it was there before the glaze melted",
        ),
        (Some(Edges::Rounded), true) => (
            -STRONG,
            "its edges are rounded: it was there before the glaze melted, so not in cooling",
        ),
        (Some(Edges::Sharp), true) => (
            CLEAR,
            "its edges are sharp through the glaze: it came when the glaze was hard again",
        ),
        (Some(Edges::Sharp), false) => (
            -STRONG,
            "its edges are sharp through the glaze: it was not there when the glaze melted",
        ),
        (Some(Edges::Both), false) => (
            -CLEAR,
            "part of its edge is sharp: heating alone does not make that",
        ),
        (Some(Edges::Both), true) => (
            -CLEAR,
            "part of its edge is rounded: cooling alone does not make that",
        ),
        (Some(Edges::Unclear), _) => {
            r.unknown("its edges do not tell; a strong light and a lens may");
            return;
        }
        (None, _) => {
            r.unknown("nobody has said how its edges look: that tells heating from cooling");
            return;
        }
    };
    if bare {
        r.speaks(
            weight * worth,
            format!("{words} (without glaze edges tell less)"),
        );
    } else {
        r.speaks(weight, words);
    }
}
