//! Benchmarks of the National Agency for Finite Element Methods and Standards.

use super::run::{at, at_depth, celsius, run, sheet};
use super::{Case, Group, Of};
use crate::network::link::Law;
use crate::network::slab::Slab;
use crate::network::{Capacity, Network};

pub fn group() -> Group {
    let cases = t3().into_iter().chain(t2()).chain(t4());
    Group {
        name: "NAFEMS",
        what: "Conduction in one and two dimensions, with a driven end, radiation and convection.",
        cases: cases.collect(),
    }
}

/// A bar whose end follows a sine.
fn t3() -> Vec<Case> {
    let after = |depth_m: f64, time_s: f64| {
        let mut net = Network::new();
        let bar = Slab::of(sheet(0.1, 35.0, 7200.0, 440.5, 60));
        let s = bar.place(&mut net, 273.15, &|_| 1.0);
        let cold = net.held(273.15);
        let hot = net.driven(Box::new(|t| {
            273.15 + 100.0 * (std::f64::consts::PI * t / 40.0).sin()
        }));
        net.link(cold, s.first_face, Law::Conductance(1e7));
        net.link(hot, s.last_face, Law::Conductance(1e7));
        at_depth(&run(&net, time_s), &net, &s, depth_m)
    };
    let published = Of(
        "NAFEMS T3, published 36.60 °C; digits exact by series",
        "°C",
        0.1,
    );
    let exact = Of("NAFEMS T3, exact by series", "°C", 0.1);
    [
        (0.08, 32.0, 36.6031),
        (0.08, 8.0, 2.7871),
        (0.08, 16.0, 14.8646),
        (0.08, 24.0, 28.7749),
        (0.05, 32.0, 3.3742),
    ]
    .into_iter()
    .enumerate()
    .map(|(i, (depth, time, answer))| {
        let of = if i == 0 { &published } else { &exact };
        let name = format!("T3: bar at {depth} m after {time} s");
        of.case(name, after(depth, time), answer)
    })
    .collect()
}

fn t2() -> Vec<Case> {
    let mut net = Network::new();
    let plate = Slab::of(sheet(0.1, 55.563, 7850.0, 460.0, 20));
    let s = plate.place(&mut net, 1000.0, &|_| 1.0);
    let (hot, room) = (net.held(1000.0), net.held(300.0));
    net.link(hot, s.first_face, Law::Conductance(1e8));
    net.link(s.last_face, room, Law::Radiation { exchange_m2: 0.98 });
    let face = at(&run(&net, 1e6), &net, s.last_face);
    let of = Of("NAFEMS T2, published 927.0 K; digits exact", "K", 0.05);
    vec![of.case("T2: face that radiates", face, 926.97)]
}

/// A plate in two dimensions. Corners are nodes, so that the points asked for are nodes.
fn t4() -> Vec<Case> {
    let (nx, ny) = (30, 50);
    let (dx, dy, k, h) = (0.6 / nx as f64, 1.0 / ny as f64, 52.0, 750.0);
    let mut net = Network::new();
    let half = |i: usize, n: usize| if i == 0 || i == n { 0.5 } else { 1.0 };
    let nodes: Vec<_> = (0..(nx + 1) * (ny + 1))
        .map(|_| net.body(273.15, Capacity::constant(50.0)))
        .collect();
    let node = |i: usize, j: usize| nodes[j * (nx + 1) + i];
    let (base, air) = (net.held(373.15), net.held(273.15));
    for j in 0..=ny {
        for i in 0..=nx {
            if i < nx {
                let across = k * dy * half(j, ny) / dx;
                net.link(node(i, j), node(i + 1, j), Law::Conductance(across));
            } else {
                net.link(node(i, j), air, Law::Conductance(h * dy * half(j, ny)));
            }
            if j < ny {
                let up = k * dx * half(i, nx) / dy;
                net.link(node(i, j), node(i, j + 1), Law::Conductance(up));
            } else {
                net.link(node(i, j), air, Law::Conductance(h * dx * half(i, nx)));
            }
            if j == 0 {
                net.link(node(i, j), base, Law::Conductance(1e6));
            }
        }
    }
    let y = run(&net, 1e5);
    let published = Of(
        "NAFEMS T4, published 18.25 °C; digits exact by separation of variables",
        "°C",
        0.1,
    );
    let exact = Of("NAFEMS T4, exact by separation of variables", "°C", 0.1);
    let here = |x: f64, up: f64| {
        let (i, j) = ((x / dx).round() as usize, (up / dy).round() as usize);
        celsius(&y, &net, node(i, j))
    };
    vec![
        published.case("T4: plate at (0.6, 0.2) m", here(0.6, 0.2), 18.2538),
        exact.case("T4: plate at (0, 0.5) m", here(0.0, 0.5), 35.4012),
        exact.case("T4: plate at (0.3, 0.2) m", here(0.3, 0.2), 62.5537),
    ]
}
