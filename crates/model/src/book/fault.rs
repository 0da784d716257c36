//! What is seen on ware after a firing.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use super::Edges;

/// What can be wrong with a piece after its firing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum FaultKind {
    /// Small holes.
    Pinholes,
    /// Broken bubbles.
    Blisters,
    /// Bare patches with rolled edges.
    Crawling,
    /// Fine crackle.
    Crazing,
    /// Flakes off at rims.
    Shivering,
    /// Glaze ran.
    Running,
    /// Swollen wall.
    Bloating,
    /// Grey or black inside.
    BlackCore,
    /// Leaning, out of shape.
    Warping,
    /// Crack, whatever its edges.
    Crack,
    /// Crack with rounded edges.
    CrackHeating,
    /// Crack with sharp edges.
    CrackCooling,
    /// Crack from the making.
    CrackMaking,
    /// Burst.
    Explosion,
    /// Chips torn from the foot.
    Plucking,
    /// Stuck to shelf or neighbour.
    Stuck,
    /// Dry, rough, milky.
    Underfired,
    /// Glossy dark, run, slumped.
    Overfired,
    /// A blush of stray colour.
    Flashing,
    /// Specks or crumbs on top.
    Specks,
    /// White bloom.
    Scum,
    /// Chipped before it was fired.
    Chipped,
    /// Marks of a stilt.
    StiltMarks,
}

impl FaultKind {
    /// All, in the order of the trade's table.
    pub const ALL: [Self; 23] = [
        Self::Pinholes,
        Self::Blisters,
        Self::Crawling,
        Self::Crazing,
        Self::Shivering,
        Self::Running,
        Self::Bloating,
        Self::BlackCore,
        Self::Warping,
        Self::Crack,
        Self::CrackHeating,
        Self::CrackCooling,
        Self::CrackMaking,
        Self::Explosion,
        Self::Plucking,
        Self::Stuck,
        Self::Underfired,
        Self::Overfired,
        Self::Flashing,
        Self::Specks,
        Self::Scum,
        Self::Chipped,
        Self::StiltMarks,
    ];

    /// Key in forms and files.
    pub fn key(self) -> &'static str {
        self.told().0
    }

    /// The fault of that key.
    pub fn of_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|f| f.key() == key)
    }

    /// How it looks, so that a person can choose. Common practice, no source.
    pub fn look(self) -> &'static str {
        self.told().1
    }

    /// Whether it is a crack of any kind.
    pub fn is_crack(self) -> bool {
        matches!(
            self,
            Self::Crack | Self::CrackHeating | Self::CrackCooling | Self::CrackMaking
        )
    }

    fn told(self) -> (&'static str, &'static str) {
        match self {
            Self::Pinholes => ("pinholes", "pinholes: small holes to the clay"),
            Self::Blisters => ("blisters", "blisters: broken bubbles, sharp rims"),
            Self::Crawling => ("crawling", "crawling: bare patches, rolled edges"),
            Self::Crazing => ("crazing", "crazing: fine crackle"),
            Self::Shivering => ("shivering", "shivering: flakes off at rims, sharp"),
            Self::Running => ("running", "running: glaze run down or fused at the foot"),
            Self::Bloating => ("bloating", "bloating: lumps, swollen wall"),
            Self::BlackCore => ("black-core", "black core: grey or black inside"),
            Self::Warping => ("warping", "warping or slumping: leaning, oval rim"),
            Self::Crack => ("crack", "crack"),
            Self::CrackHeating => ("crack-heating", "crack with rounded edges"),
            Self::CrackCooling => ("crack-cooling", "crack with sharp edges"),
            Self::CrackMaking => (
                "crack-making",
                "crack from making: S on the base, handle, seam",
            ),
            Self::Explosion => ("explosion", "burst: shards or powder"),
            Self::Plucking => ("plucking", "plucking: chips torn from the foot"),
            Self::Stuck => ("stuck", "stuck to shelf, neighbour or lid"),
            Self::Underfired => ("underfired", "underfired: dry, rough, milky"),
            Self::Overfired => ("overfired", "overfired: run, glossy dark, slumped"),
            Self::Flashing => ("flashing", "flashing: stray colour on one side"),
            Self::Specks => ("specks", "specks or crumbs on top"),
            Self::Scum => ("scum", "scum: white bloom at rims"),
            Self::Chipped => ("chipped", "chipped or smeared before firing"),
            Self::StiltMarks => ("stilt-marks", "stilt marks"),
        }
    }
}

/// A fault that was seen on a piece.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Fault {
    /// What.
    pub kind: FaultKind,
    /// In words of whoever saw it: which side, how bad.
    #[serde(default)]
    pub words: String,
    /// Firing after which it was seen.
    pub firing: Option<String>,
    /// How the edges of a crack look, once somebody has looked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub edges: Option<Edges>,
    /// The piece cannot be given back as good.
    #[serde(default)]
    pub spoilt: bool,
    /// Who saw it.
    pub who: String,
    /// When.
    pub at: Timestamp,
}

impl Fault {
    /// How the edges look: as somebody answered, or else as the kind of crack says.
    pub fn told_edges(&self) -> Option<Edges> {
        self.edges.or(match self.kind {
            FaultKind::CrackHeating => Some(Edges::Rounded),
            FaultKind::CrackCooling => Some(Edges::Sharp),
            _ => None,
        })
    }
}
