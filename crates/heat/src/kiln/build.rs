//! The network of a kiln and where things are in it.

use std::sync::OnceLock;

use super::assemble::Builder;
use super::input::KilnInput;
use super::reactions::Kinetics;
use super::zones::levels;
use crate::network::integrate::Shape;
use crate::network::property::Property;
use crate::network::radiosity::NotAnEnclosure;
use crate::network::{Network, NodeId};

/// A kiln that cannot be modelled.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NotAKiln {
    /// A size, mass or power is missing, not finite or not positive.
    #[error("the kiln's {0} must be a positive number")]
    Size(&'static str),
    /// The surfaces inside contradict each other.
    #[error("the space inside the kiln makes no enclosure: {0}")]
    Enclosure(#[from] NotAnEnclosure),
}

/// Ware of about one wall thickness in one zone.
#[derive(Debug, Clone)]
pub(super) struct WareClass {
    pub skin: NodeId,
    pub core: NodeId,
    pub mass_kg: f64,
    pub half_m: f64,
}

/// Something that takes up heat once, in skin and core of a class of ware.
#[derive(Debug, Clone)]
pub(super) struct Sink {
    pub skin: NodeId,
    pub core: NodeId,
    pub heat_j: f64,
    pub kinetics: Kinetics,
}

/// A zone of the kiln.
#[derive(Debug, Clone)]
pub struct Zone {
    /// Names of its tiers.
    pub tiers: String,
    pub(super) to_m: f64,
    /// Heights of its ware, m.
    pub(super) between_m: (f64, f64),
    /// Face of its wall, and of its shelf.
    pub(super) wall: NodeId,
    pub(super) shelf: Option<NodeId>,
    pub(super) ware: Vec<WareClass>,
    pub(super) element: Option<NodeId>,
    /// What the elements draw when the wire is at [`super::materials::NAMEPLATE_K`].
    pub(super) power_w: f64,
    /// A cone: a small body that stands among the ware.
    pub(super) witness: NodeId,
    pub(super) air: NodeId,
}

/// A kiln ready to be fired.
pub struct KilnModel {
    /// What it was built from.
    pub input: KilnInput,
    /// Zones from the floor up.
    pub zones: Vec<Zone>,
    pub(super) net: Network,
    pub(super) shape: OnceLock<Shape>,
    pub(super) sinks: Vec<Sink>,
    pub(super) room: NodeId,
    pub(super) vent: NodeId,
    pub(super) reactions: NodeId,
    /// Heat that the open plugs draw from the air of each zone, W/K.
    pub(super) plugs_w_per_k: f64,
    /// Resistance of the wire over that at 20 °C, and at [`super::materials::NAMEPLATE_K`].
    pub(super) wire: Property,
    pub(super) wire_hot: f64,
    pub(super) sensor: NodeId,
    /// Faces of floor and lid.
    pub(super) floor: NodeId,
    pub(super) lid: NodeId,
    /// For each zone, the group of elements that is switched with it.
    pub(super) group_of: Vec<usize>,
    /// What each group is controlled by.
    pub(super) group_sensors: Vec<NodeId>,
    /// Zone in the middle, whose cone is the wanted one.
    pub(super) reference: usize,
}

impl KilnModel {
    /// Builds the network.
    ///
    /// # Errors
    /// [`NotAKiln`].
    pub fn new(input: KilnInput) -> Result<Self, NotAKiln> {
        check(&input)?;
        let levels = levels(&input);
        Builder::new(&input).build(&levels)
    }

    /// Whether an unknown of the network counts energy that a node held at a temperature has received.
    pub(super) fn counts(&self, index: usize) -> bool {
        let held = [self.room, self.vent, self.reactions];
        held.iter().any(|n| self.net.index(*n) == index)
    }

    /// Mean of a zone's ware, or its cone when it has none, K.
    pub(super) fn ware_k(&self, zone: &Zone, y: &[f64]) -> f64 {
        let temp = |node: NodeId| self.net.temp_k(node, 0.0, y);
        let mass: f64 = zone.ware.iter().map(|w| w.mass_kg).sum();
        if mass <= 0.0 {
            return temp(zone.witness);
        }
        let of = |w: &WareClass| w.mass_kg * (temp(w.skin) + 2.0 * temp(w.core)) / 3.0;
        zone.ware.iter().map(of).sum::<f64>() / mass
    }

    /// Number of the zone whose cone the firing aims at: the one in the middle of the chamber.
    pub fn reference_zone(&self) -> usize {
        self.reference
    }
}

fn check(input: &KilnInput) -> Result<(), NotAKiln> {
    let positive = |v: f64| v.is_finite() && v > 0.0;
    let all = [
        ("plan area", input.plan.to_m2()),
        ("perimeter", input.perimeter.to_m()),
        ("height", input.height.to_m()),
        ("element ageing", input.ageing),
        ("mains voltage", input.mains),
        ("conductivity", input.tuning.conductivity),
        ("power", input.tuning.power),
        ("load", input.tuning.load),
        ("room temperature", input.room.to_k()),
    ];
    for (what, value) in all {
        if !positive(value) {
            return Err(NotAKiln::Size(what));
        }
    }
    for (what, layers) in [
        ("wall", &input.wall),
        ("floor", &input.floor),
        ("lid", &input.lid),
    ] {
        if layers.is_empty() || !layers.iter().all(|l| positive(l.thickness.to_m())) {
            return Err(NotAKiln::Size(what));
        }
    }
    let bands = input.bands.iter().map(|b| b.power.to_w()).sum::<f64>();
    let shelves = input
        .shelves
        .iter()
        .all(|s| positive(s.area.to_m2()) && positive(s.mass.to_kg()) && positive(s.top.to_m()));
    let ware = input.ware.iter().all(|w| {
        positive(w.mass.to_kg()) && positive(w.wall.to_m()) && positive(w.outside.to_m2())
    });
    match (positive(bands), shelves, ware) {
        (false, ..) => Err(NotAKiln::Size("element power")),
        (_, false, _) => Err(NotAKiln::Size("shelves")),
        (.., false) => Err(NotAKiln::Size("ware")),
        _ => Ok(()),
    }
}
