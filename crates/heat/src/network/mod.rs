//! A transient thermal network: the one code behind kilns and validation.
//!
//! Nodes hold heat or are held at a temperature; links pass heat between them. Temperatures in K,
//! heat in W, energy in J, everything else in SI units that names spell out.

mod formula;
mod instant;
pub mod integrate;
pub mod link;
mod listing;
mod ndf;
pub mod property;
pub mod radiosity;
mod shape;
pub mod slab;
mod sparse;
pub mod view;
mod window;

pub use instant::{ENERGY_TOLERANCE_J, Kept, TEMP_TOLERANCE_K};
use link::Law;
pub(crate) use listing::property as listing_of;
use property::Property;
use window::Windows;
pub use window::{Pane, Seen};

/// A node of a network.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NodeId(usize);

/// A function of time in s.
pub type Course = Box<dyn Fn(f64) -> f64 + Send + Sync>;

/// Heat set free in a node, W, with its derivative by the node's temperature, from time and temperature.
pub type Release = Box<dyn Fn(f64, f64) -> (f64, f64) + Send + Sync>;

/// What takes up heat in a node.
#[derive(Debug, Clone, PartialEq)]
pub struct Capacity {
    /// Mass, kg (or volume, m³, when the heat is by volume).
    pub mass_kg: f64,
    /// Specific heat, J/kg.K.
    pub specific_heat: Property,
}

impl Capacity {
    /// The same at every temperature, J/K.
    pub fn constant(j_per_k: f64) -> Self {
        Self {
            mass_kg: j_per_k,
            specific_heat: Property::Constant(1.0),
        }
    }
}

enum Node {
    /// Unknown temperature; its place among the unknowns.
    Body { start_k: f64, capacity: Capacity },
    /// Temperature given; the heat that it receives is counted.
    Held(Course),
}

struct Link {
    from: usize,
    to: usize,
    law: Law,
}

/// Radiation between two nodes: exchange area · σ · (Ta⁴ − Tb⁴).
struct Ray {
    from: usize,
    to: usize,
    exchange_m2: f64,
    /// Follows from an enclosure.
    enclosed: bool,
}

/// Nodes and links. As a [`integrate::System`] its unknowns are, in order of the nodes: the temperature of
/// each body, or the energy that a held node has received; last comes all energy from sources.
/// What windows send out is behind them, without inertia.
#[derive(Default)]
pub struct Network {
    nodes: Vec<Node>,
    links: Vec<Link>,
    rays: Vec<Ray>,
    sources: Vec<(usize, Release)>,
    windows: Windows,
    /// For [`Network::listing`].
    enclosures: Vec<(Vec<Seen>, radiosity::Exchange)>,
}

impl Network {
    /// Nothing yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a body that starts at a temperature.
    pub fn body(&mut self, start_k: f64, capacity: Capacity) -> NodeId {
        self.push(Node::Body { start_k, capacity })
    }

    /// Adds a node held at a temperature.
    pub fn held(&mut self, temp_k: f64) -> NodeId {
        self.driven(Box::new(move |_| temp_k))
    }

    /// Adds a node whose temperature follows a course.
    pub fn driven(&mut self, course_k: Course) -> NodeId {
        self.push(Node::Held(course_k))
    }

    fn push(&mut self, node: Node) -> NodeId {
        self.nodes.push(node);
        NodeId(self.nodes.len() - 1)
    }

    /// Lets heat pass between two nodes of this network.
    pub fn link(&mut self, from: NodeId, to: NodeId, law: Law) {
        let (from, to) = (from.0, to.0);
        if let Law::Radiation { exchange_m2 } = law {
            self.rays.push(Ray {
                from,
                to,
                exchange_m2,
                enclosed: false,
            });
        } else {
            self.links.push(Link { from, to, law });
        }
    }

    /// Sets heat free in a body.
    pub fn source(&mut self, node: NodeId, release: Release) {
        self.sources.push((node.0, release));
    }

    /// Lets surfaces of one enclosure radiate to each other, from their total exchange areas. Panes of
    /// windows among them must be black surfaces there.
    pub fn radiate(&mut self, surfaces: &[Seen], exchange_m2: &radiosity::Exchange) {
        let mut rays = std::collections::BTreeMap::new();
        for (i, a) in surfaces.iter().enumerate() {
            for (j, b) in surfaces.iter().enumerate() {
                let area = exchange_m2.between(i, j);
                match (*a, *b) {
                    (Seen::Node(a), Seen::Node(b)) if i < j && a != b => {
                        *rays.entry((a.min(b), a.max(b))).or_insert(0.0) += area;
                    }
                    (Seen::Pane(a), Seen::Node(b)) => self.windows.see(a, b.0, area),
                    (Seen::Pane(a), Seen::Pane(b)) => self.windows.see_pane(a, b, area),
                    _ => {}
                }
            }
        }
        let rays = rays.into_iter().filter(|(_, area)| *area > 0.0);
        self.rays.extend(rays.map(|((from, to), exchange_m2)| Ray {
            from: from.0,
            to: to.0,
            exchange_m2,
            enclosed: true,
        }));
        self.enclosures
            .push((surfaces.to_vec(), exchange_m2.clone()));
        self.windows.solve();
    }

    /// Adds a window between two enclosures; its pane in the first and that in the second.
    pub fn window(&mut self, area_m2: f64) -> [Pane; 2] {
        self.windows.add(area_m2)
    }

    /// Number of nodes; unknown number `i` below it belongs to node `i`.
    pub fn node_count(&self) -> usize {
        self.nodes.len()
    }

    /// Where the unknowns have this node's temperature (a body) or received energy (a held node).
    pub fn index(&self, node: NodeId) -> usize {
        node.0
    }

    /// Temperature of a node, K.
    pub fn temp_k(&self, node: NodeId, time_s: f64, y: &[f64]) -> f64 {
        self.temp(node.0, time_s, y)
    }

    fn temp(&self, node: usize, time_s: f64, y: &[f64]) -> f64 {
        match self.nodes.get(node) {
            Some(Node::Held(course)) => course(time_s),
            _ => y[node],
        }
    }

    /// The unknowns at the start.
    pub fn start(&self) -> Vec<f64> {
        let of = |n: &Node| match n {
            Node::Body { start_k, .. } => *start_k,
            Node::Held(_) => 0.0,
        };
        self.nodes.iter().map(of).chain([0.0]).collect()
    }

    /// Energy that the bodies have taken up since their starts, J.
    pub fn stored_j(&self, y: &[f64]) -> f64 {
        let of = |(n, t): (&Node, &f64)| match n {
            Node::Body { start_k, capacity } => {
                capacity.mass_kg * capacity.specific_heat.integral(*start_k, *t)
            }
            Node::Held(_) => 0.0,
        };
        self.nodes.iter().zip(y).map(of).sum()
    }

    /// Energy that held nodes have received, J.
    pub fn received_j(&self, y: &[f64]) -> f64 {
        let of = |(n, e): (&Node, &f64)| match n {
            Node::Body { .. } => 0.0,
            Node::Held(_) => *e,
        };
        self.nodes.iter().zip(y).map(of).sum()
    }

    fn is_body(&self, node: usize) -> bool {
        matches!(self.nodes.get(node), Some(Node::Body { .. }))
    }
}
