//! Openings between enclosures: diffuse windows that pass on what falls on them.
//!
//! A window has a pane in each of its enclosures. In its enclosure a pane is black and sends out what
//! falls on the other pane. So enclosures are coupled to their neighbours only, and the cost of many
//! grows no faster than their number.

use super::NodeId;
use super::sparse::{Factors, Pattern};

/// One side of a window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pane(usize);

impl Pane {
    pub(super) const fn number(self) -> usize {
        self.0
    }
}

/// A surface of an enclosure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Seen {
    /// A node's.
    Node(NodeId),
    /// A window's.
    Pane(Pane),
}

/// All windows of a network. What pane `a` sends out, J(a) in W/m², obeys
/// area · J(a) = Σ exchange(twin, n) · σT(n)⁴ + Σ exchange(twin, b) · J(b).
#[derive(Debug, Default)]
pub(super) struct Windows {
    /// Of each pane, m².
    areas_m2: Vec<f64>,
    /// Exchange area of a pane with a node's surface.
    to_nodes: Vec<(usize, usize, f64)>,
    /// Exchange area of a pane with one in its own enclosure, itself too.
    to_panes: Vec<(usize, usize, f64)>,
    solved: Option<(Pattern, Factors)>,
}

/// The other pane of the same window.
const fn twin(pane: usize) -> usize {
    pane ^ 1
}

impl Windows {
    pub fn len(&self) -> usize {
        self.areas_m2.len()
    }

    /// Of all panes, m².
    pub fn areas_m2(&self) -> &[f64] {
        &self.areas_m2
    }

    pub fn add(&mut self, area_m2: f64) -> [Pane; 2] {
        let first = self.len();
        self.areas_m2.extend([area_m2; 2]);
        [Pane(first), Pane(first + 1)]
    }

    pub fn see(&mut self, pane: Pane, node: usize, area_m2: f64) {
        self.to_nodes.push((pane.0, node, area_m2));
    }

    pub fn see_pane(&mut self, pane: Pane, other: Pane, area_m2: f64) {
        self.to_panes.push((pane.0, other.0, area_m2));
    }

    /// Exchange areas of panes with nodes.
    pub fn to_nodes(&self) -> impl Iterator<Item = (usize, usize, f64)> {
        self.to_nodes.iter().copied()
    }

    /// Works out how panes depend on each other. Once all panes have their surroundings this is right.
    pub fn solve(&mut self) {
        let pairs = || self.to_panes.iter().map(|(a, b, m2)| (twin(*a), *b, *m2));
        let pattern = Pattern::new(self.len(), pairs().map(|(i, j, _)| (i, j)));
        let mut factors = Factors::new(&pattern);
        for i in 0..self.len() {
            if let Some(slot) = pattern.slot(i, i) {
                factors.values[slot] += 1.0;
            }
        }
        for (i, j, m2) in pairs() {
            if let Some(slot) = pattern.slot(i, j) {
                factors.values[slot] -= m2 / self.areas_m2[i];
            }
        }
        let sound = factors.factorise(&pattern);
        self.solved = sound.then_some((pattern, factors));
    }

    /// Adds the heat that comes through windows to nodes, from σT⁴ of all nodes. `panes` has room for two
    /// numbers a pane.
    pub fn let_through(&self, glows: &[f64], panes: &mut [f64], heat_w: &mut [f64]) {
        let Some((pattern, factors)) = &self.solved else {
            return;
        };
        let (sent, room) = panes.split_at_mut(self.len());
        sent.fill(0.0);
        for (pane, node, m2) in &self.to_nodes {
            sent[twin(*pane)] += m2 / self.areas_m2[*pane] * glows[*node];
        }
        factors.solve(pattern, sent, room);
        for (pane, node, m2) in &self.to_nodes {
            heat_w[*node] += m2 * (sent[*pane] - glows[*node]);
        }
    }

    /// Jacobian rows of panes. `slope` is that of a node's σT⁴, W/m².K, nothing for one that is held.
    pub fn put(
        &self,
        hidden: usize,
        slope: &dyn Fn(usize) -> Option<f64>,
        put: &mut dyn FnMut(usize, usize, f64),
    ) {
        for i in 0..self.len() {
            put(hidden + i, hidden + i, -1.0);
        }
        for (a, b, m2) in &self.to_panes {
            put(hidden + twin(*a), hidden + b, m2 / self.areas_m2[*a]);
        }
        for (pane, node, m2) in &self.to_nodes {
            if let Some(slope) = slope(*node) {
                put(
                    hidden + twin(*pane),
                    *node,
                    m2 / self.areas_m2[*pane] * slope,
                );
            }
        }
    }
}
