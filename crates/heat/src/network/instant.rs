//! What happens in a network at one instant: heat, rates and their slopes.

use super::integrate::System;
use super::link::{Flow, SIGMA};
use super::{Capacity, Network, Node};

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
            let q = l.law.watts(temps_k[l.from], temps_k[l.to]);
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
                    Node::Body { capacity, .. } => {
                        1.0 / (capacity.mass_kg * capacity.specific_heat.at(y[i]))
                    }
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
