//! Rules that are one number, a file each.

use crate::Rule;

pub mod gap_above;
pub mod gap_bisque;
pub mod gap_floor;
pub mod gap_lid;
pub mod gap_pack;
pub mod gap_post;
pub mod gap_runny;
pub mod gap_sensor;
pub mod gap_wall;
pub mod gap_ware;
pub mod glaze_cone_slack;
pub mod hollow_bears;
pub mod margin_least;
pub mod nest_clear;
pub mod nest_floor;
pub mod pile_bears;
pub mod pile_flat;
pub mod pile_mass;
pub mod pile_most;
pub mod pile_slender;
pub mod pile_wall;
pub mod pile_wide;
pub mod post_inset;
pub mod post_over_post;
pub mod rim_match;
pub mod shelf_wall;
pub mod stilt_top;
pub mod tier_least;
pub mod tip_margin;
pub mod wall_limit;
pub mod wall_raise;
pub mod witness_packs;

/// Every rule that is one number.
pub const ALL: &[Rule] = &[
    gap_ware::RULE,
    gap_runny::RULE,
    gap_bisque::RULE,
    gap_wall::RULE,
    gap_post::RULE,
    gap_sensor::RULE,
    gap_above::RULE,
    gap_lid::RULE,
    gap_floor::RULE,
    gap_pack::RULE,
    witness_packs::RULE,
    post_inset::RULE,
    post_over_post::RULE,
    tip_margin::RULE,
    shelf_wall::RULE,
    wall_limit::RULE,
    wall_raise::RULE,
    margin_least::RULE,
    stilt_top::RULE,
    glaze_cone_slack::RULE,
    tier_least::RULE,
    pile_most::RULE,
    pile_mass::RULE,
    pile_wide::RULE,
    pile_wall::RULE,
    pile_flat::RULE,
    pile_bears::RULE,
    hollow_bears::RULE,
    pile_slender::RULE,
    nest_clear::RULE,
    nest_floor::RULE,
    rim_match::RULE,
];
