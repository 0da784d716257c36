//! Clays and glazes that the studio knows.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::cone::Cone;

/// A clay body.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Clay {
    /// Name as written on slips.
    pub name: String,
    /// Coolest cone at which it is right.
    pub cone_from: Cone,
    /// Hottest cone that it stands; above it melts or bloats.
    pub cone_to: Cone,
    /// Softens when mature, so it must not stand on points (stoneware and porcelain at maturity).
    pub slumps_on_points: bool,
    /// Vitreous body that plucks at the foot (porcelain): wants alumina under it.
    pub plucks: bool,
    /// Dark or iron-bearing, or with paper: wants a slow burn-out.
    pub slow_burn_out: bool,
    /// Contains something that may not be fired here without leave (paper, wire, salt).
    pub needs_leave: bool,
}

/// A glaze.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Glaze {
    /// Name as written on slips.
    pub name: String,
    /// Coolest cone at which it melts well.
    pub cone_from: Cone,
    /// Hottest cone before it runs or burns out.
    pub cone_to: Cone,
    /// Runs: wants a larger gap and a waster slab.
    pub runny: bool,
    /// Gives off chromium that turns tin whites pink.
    pub chrome: bool,
    /// Tin-white or another light glaze that takes up chromium.
    pub tin_white: bool,
    /// Gives off copper or another volatile colour.
    pub volatile_colour: bool,
    /// Light glaze that volatile colour marks.
    pub light: bool,
    /// Contains lead: never in a load with lead-free tableware.
    pub lead: bool,
    /// Wants a controlled slow cooling (mattes, crystals, iron reds).
    pub slow_cool: bool,
    /// Lustre, decal or china paint: fires alone.
    pub own_firing: bool,
}
