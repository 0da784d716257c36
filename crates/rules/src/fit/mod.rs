//! Fit to fire: can this piece take this firing? A rule a file; the usual disasters first.

mod clay_below_cone;
mod clay_unknown;
mod clay_unripe;
mod cone_mixed_up;
mod damp;
mod glaze_cone;
mod glaze_margin;
mod glaze_unknown;
mod glazed_foot;
mod held;
mod needs_leave;
mod own_firing;
mod plucks;
mod raise_thick;
mod runny_glaze;
mod tippy;
mod too_thick;
mod wrong_stage;

use crate::{Case, Finding, Level};

type Judge = fn(&Case<'_>) -> Option<Finding>;

/// In the order in which a person should read them.
const RULES: &[Judge] = &[
    held::judge,
    clay_unknown::judge,
    clay_below_cone::judge,
    cone_mixed_up::judge,
    glazed_foot::judge,
    damp::judge,
    too_thick::judge,
    glaze_unknown::judge,
    glaze_cone::judge,
    wrong_stage::judge,
    own_firing::judge,
    needs_leave::judge,
    glaze_margin::judge,
    runny_glaze::judge,
    raise_thick::judge,
    plucks::judge,
    clay_unripe::judge,
    tippy::judge,
];

/// Everything that the rules say about a piece, gravest first.
pub fn findings(case: &Case<'_>) -> Vec<Finding> {
    let mut all: Vec<_> = RULES.iter().filter_map(|judge| judge(case)).collect();
    all.sort_by_key(|f| std::cmp::Reverse(f.level));
    all
}

/// The first refusal, if any.
pub fn refusal(case: &Case<'_>) -> Option<Finding> {
    findings(case).into_iter().find(|f| f.level == Level::Block)
}
