//! A transient thermal network: the one code behind kilns and validation.
//!
//! Nodes hold heat or are held at a temperature; links pass heat between them. Temperatures in K,
//! heat in W, energy in J, everything else in SI units that names spell out.

pub mod integrate;
pub mod link;
pub mod property;
pub mod radiosity;
pub mod slab;
pub mod view;

use link::{Flow, Law};
use property::Property;

use self::integrate::System;

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

/// Nodes and links. As a [`System`] its unknowns are, in order of the nodes: the temperature of
/// each body, or the energy that a held node has received; last comes all energy from sources.
#[derive(Default)]
pub struct Network {
    nodes: Vec<Node>,
    links: Vec<Link>,
    sources: Vec<(usize, Release)>,
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
        self.links.push(Link {
            from: from.0,
            to: to.0,
            law,
        });
    }

    /// Sets heat free in a body.
    pub fn source(&mut self, node: NodeId, release: Release) {
        self.sources.push((node.0, release));
    }

    /// Links every pair of nodes that exchange radiation, from total exchange areas by surface.
    pub fn radiate(&mut self, surfaces: &[NodeId], exchange_m2: &radiosity::Exchange) {
        let mut pairs = std::collections::BTreeMap::new();
        for (i, a) in surfaces.iter().enumerate() {
            for (j, b) in surfaces.iter().enumerate().skip(i + 1) {
                if a != b {
                    *pairs.entry((*a.min(b), *a.max(b))).or_insert(0.0) +=
                        exchange_m2.between(i, j);
                }
            }
        }
        for ((a, b), exchange_m2) in pairs {
            if exchange_m2 > 0.0 {
                self.link(a, b, Law::Radiation { exchange_m2 });
            }
        }
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

    /// Heat into every node by links and sources, W; the last entry is the sum of the sources.
    pub fn heat(&self, time_s: f64, y: &[f64], heat_w: &mut [f64]) {
        heat_w.fill(0.0);
        for l in &self.links {
            let q = self.flow(l, time_s, y).watts;
            heat_w[l.from] -= q;
            heat_w[l.to] += q;
        }
        let total = self.nodes.len();
        for (node, release) in &self.sources {
            let (q, _) = release(time_s, self.temp(*node, time_s, y));
            heat_w[*node] += q;
            heat_w[total] += q;
        }
    }

    fn flow(&self, l: &Link, time_s: f64, y: &[f64]) -> Flow {
        l.law
            .flow(self.temp(l.from, time_s, y), self.temp(l.to, time_s, y))
    }

    /// Rates of the unknowns from the heat into every node.
    pub fn rates_from(&self, y: &[f64], heat_w: &[f64], dy: &mut [f64]) {
        for (i, node) in self.nodes.iter().enumerate() {
            dy[i] = heat_w[i]
                * match node {
                    Node::Body { capacity, .. } => 1.0 / of(capacity, y[i]).0,
                    Node::Held(_) => 1.0,
                };
        }
        dy[self.nodes.len()] = heat_w[self.nodes.len()];
    }

    /// Jacobian entries of links, sources and capacities, given the heat into every node.
    pub fn jacobian_from(
        &self,
        time_s: f64,
        y: &[f64],
        heat_w: &[f64],
        put: &mut dyn FnMut(usize, usize, f64),
    ) {
        for (i, node) in self.nodes.iter().enumerate() {
            if let Node::Body { capacity, .. } = node {
                let (c, slope) = of(capacity, y[i]);
                put(i, i, -heat_w[i] * slope / (c * c));
            }
        }
        for l in &self.links {
            let f = self.flow(l, time_s, y);
            for (column, slope) in [(l.from, f.by_first), (l.to, f.by_second)] {
                if self.is_body(column) {
                    self.put_heat(l.from, column, -slope, y, put);
                    self.put_heat(l.to, column, slope, y, put);
                }
            }
        }
        for (node, release) in &self.sources {
            let (_, slope) = release(time_s, self.temp(*node, time_s, y));
            self.put_heat(*node, *node, slope, y, put);
            put(self.nodes.len(), *node, slope);
        }
    }

    fn is_body(&self, node: usize) -> bool {
        matches!(self.nodes.get(node), Some(Node::Body { .. }))
    }

    /// Hands over the entry of a heat into a node that changes with an unknown, W per unit of it.
    pub fn put_heat(
        &self,
        node: usize,
        column: usize,
        slope: f64,
        y: &[f64],
        put: &mut dyn FnMut(usize, usize, f64),
    ) {
        match self.nodes.get(node) {
            Some(Node::Body { capacity, .. }) => {
                put(node, column, slope / of(capacity, y[node]).0);
            }
            _ => put(node, column, slope),
        }
    }
}

/// Heat capacity and its derivative, J/K and J/K².
fn of(capacity: &Capacity, temp_k: f64) -> (f64, f64) {
    let (c, slope) = capacity.specific_heat.with_slope(temp_k);
    (capacity.mass_kg * c, capacity.mass_kg * slope)
}

/// Tolerance of an unknown temperature, K.
pub const TEMP_TOLERANCE_K: f64 = 1e-3;
/// Tolerance of an energy account, J.
pub const ENERGY_TOLERANCE_J: f64 = 1e2;

impl System for Network {
    fn len(&self) -> usize {
        self.nodes.len() + 1
    }

    fn rates(&self, time_s: f64, y: &[f64], dy: &mut [f64]) {
        let mut heat = vec![0.0; self.len()];
        self.heat(time_s, y, &mut heat);
        self.rates_from(y, &heat, dy);
    }

    fn jacobian(&self, time_s: f64, y: &[f64], put: &mut dyn FnMut(usize, usize, f64)) {
        let mut heat = vec![0.0; self.len()];
        self.heat(time_s, y, &mut heat);
        self.jacobian_from(time_s, y, &heat, put);
    }

    fn tolerance(&self, index: usize) -> f64 {
        if self.is_body(index) {
            TEMP_TOLERANCE_K
        } else {
            ENERGY_TOLERANCE_J
        }
    }
}
