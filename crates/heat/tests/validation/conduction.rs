//! Conduction in slabs and plates.

use glost_heat::network::link::Law;
use glost_heat::network::{Capacity, Network};

use crate::common::{at_depth, hold, run, sheet, slab};

/// NAFEMS T3 (The Standard NAFEMS Benchmarks): published 36.60 °C at 0.08 m and 32 s; other
/// points exact from the series.
#[test]
fn nafems_t3() {
    let at = |depth: f64, time: f64, cells: usize| {
        let mut net = Network::new();
        let s = slab(sheet(0.1, 35.0, 7200.0, 440.5, cells)).place(&mut net, 273.15, &|_| 1.0);
        let cold = net.held(273.15);
        let hot = net.driven(Box::new(|t| {
            273.15 + 100.0 * (std::f64::consts::PI * t / 40.0).sin()
        }));
        net.link(cold, s.first_face, Law::Conductance(1e7));
        net.link(hot, s.last_face, Law::Conductance(1e7));
        at_depth(&run(&net, time), &net, &s.cells, &s.depths_m, depth) - 273.15
    };
    for (depth, time, want) in [
        (0.08, 8.0, 2.7871),
        (0.08, 16.0, 14.8646),
        (0.08, 24.0, 28.7749),
        (0.08, 32.0, 36.6031),
        (0.05, 32.0, 3.3742),
    ] {
        hold("T3", at(depth, time, 60), want, 0.1);
        let finer = at(depth, time, 120);
        hold("T3, half the cell", at(depth, time, 60), finer, 1.0);
    }
}

/// NAFEMS T2: published 927.0 K.
#[test]
fn nafems_t2() {
    let mut net = Network::new();
    let s = slab(sheet(0.1, 55.563, 7850.0, 460.0, 20)).place(&mut net, 1000.0, &|_| 1.0);
    let hot = net.held(1000.0);
    let room = net.held(300.0);
    net.link(hot, s.first_face, Law::Conductance(1e8));
    net.link(s.last_face, room, Law::Radiation { exchange_m2: 0.98 });
    let y = run(&net, 1e6);
    hold("T2", y[net.index(s.last_face)], 926.97, 0.05);
}

/// NAFEMS T4, two-dimensional: published 18.25 °C at E; others exact by separation of variables.
#[test]
fn nafems_t4() {
    let (nx, ny) = (30, 50);
    let (dx, dy, k, h) = (0.6 / nx as f64, 1.0 / ny as f64, 52.0, 750.0);
    let mut net = Network::new();
    // Corner nodes, so that the points asked for are nodes.
    let half = |i: usize, n: usize| if i == 0 || i == n { 0.5 } else { 1.0 };
    let nodes: Vec<Vec<_>> = (0..=ny)
        .map(|_| {
            (0..=nx)
                .map(|_| net.body(273.15, Capacity::constant(50.0)))
                .collect()
        })
        .collect();
    let base = net.held(373.15);
    let air = net.held(273.15);
    for j in 0..=ny {
        for i in 0..=nx {
            let here = nodes[j][i];
            if i < nx {
                net.link(
                    here,
                    nodes[j][i + 1],
                    Law::Conductance(k * dy * half(j, ny) / dx),
                );
            }
            if j < ny {
                net.link(
                    here,
                    nodes[j + 1][i],
                    Law::Conductance(k * dx * half(i, nx) / dy),
                );
            }
            if j == 0 {
                net.link(here, base, Law::Conductance(1e6));
            }
            if i == nx {
                net.link(here, air, Law::Conductance(h * dy * half(j, ny)));
            }
            if j == ny {
                net.link(here, air, Law::Conductance(h * dx * half(i, nx)));
            }
        }
    }
    let y = run(&net, 1e5);
    let at = |x: f64, up: f64| {
        let (i, j) = ((x / dx).round() as usize, (up / dy).round() as usize);
        y[net.index(nodes[j][i])] - 273.15
    };
    hold("T4 E", at(0.6, 0.2), 18.2538, 0.1);
    hold("T4 (0, 0.5)", at(0.0, 0.5), 35.4012, 0.1);
    hold("T4 (0.3, 0.2)", at(0.3, 0.2), 62.5537, 0.1);
}

/// Centre and surface of a slab that starts at 1 and is cooled to 0 from one face of its half.
fn half_slab(bi: f64, fo: f64, cells: usize) -> (f64, f64) {
    let mut net = Network::new();
    let s = slab(sheet(1.0, 1.0, 1.0, 1.0, cells)).place(&mut net, 1000.0, &|_| 1.0);
    let air = net.held(0.0);
    net.link(s.last_face, air, Law::Conductance(bi));
    let y = run(&net, fo);
    (
        y[net.index(s.first_face)] / 1000.0,
        y[net.index(s.last_face)] / 1000.0,
    )
}

/// Incropera table 5.1 (one-term coefficients) at Fo 1, where one term is enough, and the exact
/// series for Bi 1.
#[test]
fn plane_wall_with_convection() {
    for (bi, zeta, c1) in [
        (0.1, 0.3111, 1.0161),
        (0.5, 0.6533, 1.0701),
        (1.0, 0.8603, 1.1191),
        (2.0, 1.0769, 1.1785),
        (5.0, 1.3138, 1.2402),
        (10.0, 1.4289, 1.2620),
        (100.0, 1.5552, 1.2731),
    ] {
        let zeta: f64 = zeta;
        let want = c1 * (-zeta * zeta).exp();
        let (centre, surface) = half_slab(bi, 1.0, 80);
        hold(&format!("Bi {bi} centre"), centre, want, 1e-3);
        hold(
            &format!("Bi {bi} surface"),
            surface,
            want * zeta.cos(),
            1e-3,
        );
    }
    let (centre, surface) = half_slab(1.0, 0.1, 80);
    hold("Bi 1, Fo 0.1 centre", centre, 0.993_108, 1e-3);
    hold("Bi 1, Fo 0.1 surface", surface, 0.723_577, 1e-3);
    let (centre, surface) = half_slab(1.0, 1.0, 80);
    hold("Bi 1, Fo 1 centre", centre, 0.533_859, 1e-3);
    hold("Bi 1, Fo 1 surface", surface, 0.348_177, 1e-3);
}

/// A tile that cools on both faces: exact series.
#[test]
fn cooling_tile() {
    for (time, centre, surface) in [
        (120.0, 495.086, 397.367),
        (300.0, 338.247, 272.720),
        (900.0, 103.670, 86.442),
    ] {
        let mut net = Network::new();
        let s = slab(sheet(0.01, 1.2, 2300.0, 1000.0, 40)).place(&mut net, 873.15, &|_| 1.0);
        let air = net.held(293.15);
        net.link(s.last_face, air, Law::Conductance(60.0));
        let y = run(&net, time);
        hold(
            "tile centre",
            y[net.index(s.first_face)] - 273.15,
            centre,
            0.5,
        );
        hold(
            "tile surface",
            y[net.index(s.last_face)] - 273.15,
            surface,
            0.5,
        );
    }
}

/// A slab whose surface is put at 0 at once: exact series.
#[test]
fn step_at_the_surface() {
    for (fo, want) in [
        (0.1, 0.949_305),
        (0.2, 0.772_312),
        (0.5, 0.370_777),
        (1.0, 0.107_977),
    ] {
        hold(
            &format!("step Fo {fo}"),
            half_slab(1e6, fo, 80).0,
            want,
            1e-3,
        );
    }
}
