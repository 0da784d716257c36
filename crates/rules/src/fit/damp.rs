//! Damp ware. Source: not dry = not loaded; damp work explodes and takes its neighbours (potteryclaythailand.com; community.ceramicartsdaily.org 4889).

use crate::{Case, Finding};
use glost_model::piece::Dryness;

/// Damp ware.
pub fn judge(case: &Case<'_>) -> Option<Finding> {
    match case.piece.dryness {
        Dryness::BoneDry => None,
        Dryness::Doubtful => Some(Finding::warn(
            "damp",
            "may not be dry through; the firing gets the longer preheat".to_owned(),
            "Leave it on the dry shelf for another week to shorten the preheat",
        )),
        Dryness::Damp => Some(Finding::block(
            "damp",
            "is damp and would burst as its water boils".to_owned(),
            "Dry it until it no longer feels cold to the cheek",
        )),
    }
}
