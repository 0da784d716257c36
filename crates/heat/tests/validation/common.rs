//! What the validation cases share.

use std::ops::ControlFlow;

use glost_heat::network::integrate::{Run, integrate};
use glost_heat::network::property::Property;
use glost_heat::network::slab::{Sheet, Slab};
use glost_heat::network::{Network, NodeId};

/// Runs a network to a time and gives back its unknowns.
pub fn run(net: &Network, to_s: f64) -> Vec<f64> {
    let run = Run {
        from_s: 0.0,
        to_s,
        relative: 1e-6,
        absolute: 0.01,
        longest_s: f64::INFINITY,
        look_every_s: to_s,
    };
    integrate(
        net,
        &net.start(),
        run,
        &mut |_, _| ControlFlow::Continue(()),
    )
    .unwrap()
    .y
}

pub fn sheet(thickness_m: f64, k: f64, density: f64, c: f64, cells: usize) -> Sheet {
    Sheet {
        thickness_m,
        conductivity: Property::Constant(k),
        density,
        specific_heat: Property::Constant(c),
        cells,
    }
}

pub fn slab(sheet: Sheet) -> Slab {
    Slab::of(sheet)
}

/// Temperature at a depth by a straight line between cell middles, K.
pub fn at_depth(y: &[f64], net: &Network, cells: &[NodeId], depths_m: &[f64], depth: f64) -> f64 {
    let i = depths_m
        .iter()
        .position(|d| *d > depth)
        .unwrap()
        .clamp(1, depths_m.len() - 1);
    let t = |i: usize| y[net.index(cells[i])];
    let share = (depth - depths_m[i - 1]) / (depths_m[i] - depths_m[i - 1]);
    t(i - 1) + share * (t(i) - t(i - 1))
}

/// Prints how far off an answer is and holds it to its tolerance.
pub fn hold(what: &str, got: f64, want: f64, tolerance: f64) {
    println!(
        "{what}: {got:.5} against {want:.5}, off by {:.2e}",
        got - want
    );
    assert!(
        (got - want).abs() <= tolerance,
        "{what}: {got} against {want}"
    );
}
