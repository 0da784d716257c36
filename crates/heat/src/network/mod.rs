//! A transient thermal network: the one code behind kilns and validation.
//!
//! Nodes hold heat or are held at a temperature; links pass heat between them. Temperatures in K,
//! heat in W, energy in J, everything else in SI units that names spell out.

pub mod integrate;
pub mod link;
mod listing;
mod ndf;
pub mod property;
pub mod radiosity;
pub mod slab;
mod sparse;
pub mod view;
mod window;

use link::{Flow, Law, SIGMA};
pub(crate) use listing::property as listing_of;
use property::Property;
use window::Windows;
pub use window::{Pane, Seen};

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

/// Radiation between two nodes: exchange area · σ · (Ta⁴ − Tb⁴).
struct Ray {
    from: usize,
    to: usize,
    exchange_m2: f64,
    /// Follows from an enclosure.
    enclosed: bool,
}

/// Nodes and links. As a [`System`] its unknowns are, in order of the nodes: the temperature of
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

/// What a network works out at one instant.
pub struct Kept<'a> {
    /// Heat into every node by links and sources, W; the last entry is the sum of the sources.
    pub heat_w: &'a mut [f64],
    /// Temperatures of all nodes, K.
    pub temps_k: &'a mut [f64],
    /// σT⁴ of all nodes, W/m².
    glows: &'a mut [f64],
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

    /// Numbers that [`Network::keep`] needs.
    pub fn kept(&self) -> usize {
        3 * self.nodes.len() + 1 + 2 * self.windows.len()
    }

    /// Works out temperatures, radiation and heat at a time, in memory of [`Network::kept`] numbers.
    pub fn keep<'a>(&self, time_s: f64, y: &[f64], scratch: &'a mut [f64]) -> Kept<'a> {
        let n = self.nodes.len();
        let (heat_w, rest) = scratch.split_at_mut(n + 1);
        let (temps_k, rest) = rest.split_at_mut(n);
        let (glows, panes) = rest.split_at_mut(n);
        for (i, node) in self.nodes.iter().enumerate() {
            temps_k[i] = match node {
                Node::Held(course) => course(time_s),
                Node::Body { .. } => y[i],
            };
            let t2 = temps_k[i] * temps_k[i];
            glows[i] = SIGMA * t2 * t2;
        }
        heat_w.fill(0.0);
        for l in &self.links {
            let q = l.law.flow(temps_k[l.from], temps_k[l.to]).watts;
            heat_w[l.from] -= q;
            heat_w[l.to] += q;
        }
        for r in &self.rays {
            let q = r.exchange_m2 * (glows[r.from] - glows[r.to]);
            heat_w[r.from] -= q;
            heat_w[r.to] += q;
        }
        self.windows.let_through(glows, panes, heat_w);
        for (node, release) in &self.sources {
            let (q, _) = release(time_s, temps_k[*node]);
            heat_w[*node] += q;
            heat_w[n] += q;
        }
        Kept {
            heat_w,
            temps_k,
            glows,
        }
    }

    /// Heat into every node by links and sources, W; the last entry is the sum of the sources.
    pub fn heat_w(&self, time_s: f64, y: &[f64]) -> Vec<f64> {
        let mut scratch = vec![0.0; self.kept()];
        self.keep(time_s, y, &mut scratch).heat_w.to_vec()
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

    /// Jacobian entries of links, windows, sources and capacities, from [`Network::keep`]. Rows and
    /// columns of windows begin at `hidden`.
    pub fn jacobian_from(
        &self,
        time_s: f64,
        y: &[f64],
        kept: &Kept<'_>,
        hidden: usize,
        put: &mut dyn FnMut(usize, usize, f64),
    ) {
        for (i, node) in self.nodes.iter().enumerate() {
            if let Node::Body { capacity, .. } = node {
                let (c, slope) = of(capacity, y[i]);
                put(i, i, -kept.heat_w[i] * slope / (c * c));
            }
        }
        let mut pair = |from: usize, to: usize, flow: Flow| {
            for (column, slope) in [(from, flow.by_first), (to, flow.by_second)] {
                if self.is_body(column) {
                    self.put_heat(from, column, -slope, y, put);
                    self.put_heat(to, column, slope, y, put);
                }
            }
        };
        for l in &self.links {
            let f = l.law.flow(kept.temps_k[l.from], kept.temps_k[l.to]);
            pair(l.from, l.to, f);
        }
        let slope = |node: usize| 4.0 * kept.glows[node] / kept.temps_k[node];
        for r in &self.rays {
            let flow = Flow {
                watts: 0.0,
                by_first: r.exchange_m2 * slope(r.from),
                by_second: -r.exchange_m2 * slope(r.to),
            };
            pair(r.from, r.to, flow);
        }
        for (pane, node, area_m2) in self.windows.to_nodes() {
            if self.is_body(node) {
                self.put_heat(node, node, -area_m2 * slope(node), y, put);
            }
            self.put_heat(node, hidden + pane, area_m2, y, put);
        }
        let changes = |node: usize| self.is_body(node).then(|| slope(node));
        self.windows.put(hidden, &changes, put);
        for (node, release) in &self.sources {
            let (_, slope) = release(time_s, kept.temps_k[*node]);
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

    fn hidden(&self) -> usize {
        self.windows.len()
    }

    fn scratch(&self) -> usize {
        self.kept()
    }

    fn rates(&self, time_s: f64, y: &[f64], dy: &mut [f64], scratch: &mut [f64]) {
        let kept = self.keep(time_s, y, scratch);
        self.rates_from(y, kept.heat_w, dy);
    }

    fn jacobian(
        &self,
        time_s: f64,
        y: &[f64],
        scratch: &mut [f64],
        put: &mut dyn FnMut(usize, usize, f64),
    ) {
        let kept = self.keep(time_s, y, scratch);
        self.jacobian_from(time_s, y, &kept, self.len(), put);
    }

    fn tolerance(&self, index: usize) -> f64 {
        if self.is_body(index) {
            TEMP_TOLERANCE_K
        } else {
            ENERGY_TOLERANCE_J
        }
    }
}
