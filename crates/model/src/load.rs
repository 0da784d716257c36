//! A load plan: which shelf on which posts, and where each piece stands.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::cone::Cone;
use crate::piece::PieceId;
use crate::quantity::{Angle, Length};

/// What the firing is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum FiringKind {
    /// Greenware to bisque.
    Bisque,
    /// Glaze ware.
    Glaze,
}

/// Which part of the kiln's plan a shelf covers.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Side {
    /// All of it.
    Full,
    /// x < 0.
    Left,
    /// x > 0.
    Right,
}

impl Side {
    /// Whether the two are halves beside one another.
    pub fn beside(self, other: Self) -> bool {
        matches!(
            (self, other),
            (Self::Left, Self::Right) | (Self::Right, Self::Left)
        )
    }
}

/// A post, or several stacked, under a shelf.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct StandingPost {
    /// Middle of the post, m.
    pub x_m: Length,
    /// Middle of the post, m.
    pub y_m: Length,
    /// Height of its foot above the kiln floor, m.
    pub base_m: Length,
    /// Lengths of the posts stacked here, lowest first, m.
    pub lengths_m: Vec<Length>,
}

impl StandingPost {
    /// Height of its top above the kiln floor.
    pub fn top(&self) -> Length {
        self.base_m + self.lengths_m.iter().copied().sum()
    }
}

/// How a piece stands on or in another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum How {
    /// Flat ware on flat ware.
    Piled,
    /// On the floor inside a hollow piece.
    Nested,
    /// Upside down, its rim on the other's rim.
    RimToRim,
    /// Upright, its foot on the foot of one that stands upside down.
    FootToFoot,
}

/// What a piece stands on when that is no shelf: the middles are over one another and both are
/// turned alike.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct On {
    /// The piece right beneath it, on the same tier and before it in placing order.
    pub piece: PieceId,
    /// In which way.
    pub how: How,
}

impl On {
    /// As a loader says it: `on 41`, `in 41`.
    pub fn words(&self) -> String {
        match self.how {
            How::Piled => format!("on {}", self.piece),
            How::Nested => format!("in {}", self.piece),
            How::RimToRim => format!("upside down on {}, rim to rim", self.piece),
            How::FootToFoot => format!("on {}, foot to foot", self.piece),
        }
    }
}

/// A piece in its place.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Placed {
    /// Which piece.
    pub piece: PieceId,
    /// Middle of the piece, m.
    pub x_m: Length,
    /// Middle of the piece, m.
    pub y_m: Length,
    /// Turned counter-clockwise by this, rad.
    pub rotation_rad: Angle,
    /// Names of the supports under it, lowest first (a stilt on a waster slab is two).
    pub supports: Vec<String>,
    /// What it stands on, when that is another piece; nothing when it stands on the shelf.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on: Option<On>,
    /// Height of its lowest part above the shelf, m: the sum of its supports, or the most that
    /// what it stands on or in can lift it.
    pub raised_m: Length,
    /// What the loader should mind about it, in words.
    pub mind: Vec<String>,
    /// Free distance to its nearest neighbour, wall or post, m.
    pub gap_m: Length,
}

/// A pack of witness cones.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ConePack {
    /// Middle, m.
    pub x_m: Length,
    /// Middle, m.
    pub y_m: Length,
}

/// Room kept free around the middle of a cone pack, radius, so that cones can bend without touching ware.
pub const CONE_PACK_RADIUS: Length = Length::mm(40.0);
/// Height of a cone pack.
pub const CONE_PACK_HEIGHT: Length = Length::mm(75.0);

/// One shelf with its posts and its ware. Tiers are listed in placing order, lowest first.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Tier {
    /// Name a loader says: `1`, `2L`, `2R`.
    pub name: String,
    /// Kind of shelf, a name in the furniture stock.
    pub shelf: String,
    /// Which part of the plan it covers.
    pub side: Side,
    /// Height of its top face above the kiln floor, m.
    pub top_m: Length,
    /// Clear height above its top face to the next shelf's underside or the lid, m.
    pub clear_m: Length,
    /// What it stands on.
    pub posts: Vec<StandingPost>,
    /// Ware on it, in placing order.
    pub pieces: Vec<Placed>,
    /// Witness cones on it.
    pub cone_packs: Vec<ConePack>,
}

/// Why a piece stays out, in words.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LeftOut {
    /// Which piece.
    pub piece: PieceId,
    /// The rule or limit: a rule's id, or `no-room`.
    pub rule: String,
    /// Why.
    pub why: String,
    /// What would let it in.
    pub remedy: String,
}

/// How good the load is, and the most that any load could reach.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Worth {
    /// Value of the pieces that go.
    pub value: f64,
    /// Proved: no load of this ware in this kiln with this furniture is worth more.
    pub at_most: f64,
}

/// A load plan for one firing of one kiln.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LoadPlan {
    /// Kiln's name.
    pub kiln: String,
    /// Cone of the firing.
    pub cone: Cone,
    /// Bisque or glaze.
    pub kind: FiringKind,
    /// Seed that made it.
    pub seed: u64,
    /// Shelves from the floor up.
    pub tiers: Vec<Tier>,
    /// Pieces that wait for another firing or for a remedy.
    pub left_out: Vec<LeftOut>,
    /// Value and its proved bound.
    pub worth: Worth,
}

impl LoadPlan {
    /// All pieces that go.
    pub fn placed(&self) -> impl Iterator<Item = (&Tier, &Placed)> {
        self.tiers
            .iter()
            .flat_map(|t| t.pieces.iter().map(move |p| (t, p)))
    }

    /// Pieces left out, those with the same reason and remedy together, in the order of the first.
    pub fn left_out_by_reason(&self) -> Vec<Vec<&LeftOut>> {
        same_reason(self.left_out.iter())
    }
}

/// Puts together what shares reason and remedy, in the order of the first.
pub fn same_reason<'a>(all: impl Iterator<Item = &'a LeftOut>) -> Vec<Vec<&'a LeftOut>> {
    let mut groups: Vec<Vec<&LeftOut>> = Vec::new();
    for out in all {
        let shares = |g: &&mut Vec<&LeftOut>| {
            g.first()
                .is_some_and(|f| f.why == out.why && f.remedy == out.remedy)
        };
        match groups.iter_mut().find(shares) {
            Some(group) => group.push(out),
            None => groups.push(vec![out]),
        }
    }
    groups
}
