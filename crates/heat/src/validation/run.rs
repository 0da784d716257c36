//! What the cases share.

use std::ops::ControlFlow;

use crate::network::integrate::{Run, integrate};
use crate::network::property::Property;
use crate::network::slab::{Placed, Sheet};
use crate::network::{Network, NodeId};

/// The unknowns of a network after a time; none when it could not be integrated.
pub fn run(net: &Network, to_s: f64) -> Vec<f64> {
    let run = Run {
        from_s: 0.0,
        to_s,
        relative: 1e-6,
        absolute: 0.01,
        longest_s: f64::INFINITY,
        look_every_s: to_s,
    };
    let observe = &mut |_: f64, _: &[f64]| ControlFlow::Continue(());
    integrate(net, &net.start(), run, observe).map_or_else(|_| Vec::new(), |r| r.y)
}

/// A node's temperature, K, or energy, J.
pub fn at(y: &[f64], net: &Network, node: NodeId) -> f64 {
    y.get(net.index(node)).copied().unwrap_or(f64::NAN)
}

/// The same in °C.
pub fn celsius(y: &[f64], net: &Network, node: NodeId) -> f64 {
    at(y, net, node) - 273.15
}

/// Heat that a node receives, W.
pub fn heat(y: &[f64], net: &Network, node: NodeId) -> f64 {
    if y.is_empty() {
        return f64::NAN;
    }
    at(&net.heat_w(0.0, y), net, node)
}

/// A sheet with constant properties.
pub fn sheet(thickness_m: f64, k: f64, density: f64, c: f64, cells: usize) -> Sheet {
    Sheet {
        thickness_m,
        conductivity: Property::Constant(k),
        density,
        specific_heat: Property::Constant(c),
        cells,
    }
}

/// Temperature at a depth by a straight line between cell middles, °C.
pub fn at_depth(y: &[f64], net: &Network, slab: &Placed, depth_m: f64) -> f64 {
    let middles: Vec<(f64, f64)> = slab
        .depths_m
        .iter()
        .zip(&slab.cells)
        .map(|(d, n)| (*d, celsius(y, net, *n)))
        .collect();
    let pair = middles
        .windows(2)
        .find(|w| w.last().is_some_and(|b| b.0 >= depth_m));
    match pair {
        Some([a, b]) => a.1 + (depth_m - a.0) / (b.0 - a.0) * (b.1 - a.1),
        _ => f64::NAN,
    }
}
