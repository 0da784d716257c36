//! Walls in the steady state and brick that is heated at one face.

use glost_heat::network::Network;
use glost_heat::network::link::Law;
use glost_heat::network::property::Property;
use glost_heat::network::slab::{Sheet, Slab};

use crate::common::{at_depth, hold, run, sheet, slab};

fn brick(thickness_m: f64, cells: usize) -> Sheet {
    Sheet {
        conductivity: Property::line_c(0.10, 1.4e-4),
        ..sheet(thickness_m, 0.0, 520.0, 1050.0, cells)
    }
}

/// Resistances in series: exact.
#[test]
fn composite_wall() {
    let mut net = Network::new();
    let wall = Slab {
        sheets: vec![
            sheet(0.065, 0.25, 520.0, 1050.0, 8),
            sheet(0.025, 0.12, 128.0, 1050.0, 8),
        ],
        growth: 1.0,
    };
    let s = wall.place(&mut net, 300.0, &|_| 1.0);
    let (hot, room) = (net.held(1473.15), net.held(298.15));
    net.link(hot, s.first_face, Law::Conductance(1e7));
    net.link(s.last_face, room, Law::Conductance(12.0));
    let y = run(&net, 1e7);
    let heat = net.heat_w(0.0, &y);
    hold("composite q", heat[net.index(room)], 2129.91, 1.0);
    hold(
        "composite skin",
        y[net.index(s.last_face)] - 273.15,
        202.49,
        0.1,
    );
}

/// k(T) between two temperatures, and with a skin that convects and radiates: exact.
#[test]
fn wall_with_conductivity_that_rises() {
    let mut net = Network::new();
    let s = slab(brick(0.075, 20)).place(&mut net, 500.0, &|_| 1.0);
    let (hot, cold) = (net.held(1473.15), net.held(373.15));
    net.link(hot, s.first_face, Law::Conductance(1e7));
    net.link(s.last_face, cold, Law::Conductance(1e7));
    let y = run(&net, 1e7);
    let heat = net.heat_w(0.0, &y);
    hold("k(T) q", heat[net.index(cold)], 2801.33, 3.0);
    let middle = at_depth(&y, &net, &s.cells, &s.depths_m, 0.0375) - 273.15;
    hold("k(T) middle", middle, 756.69, 1.0);

    let mut net = Network::new();
    let s = slab(brick(0.075, 20)).place(&mut net, 500.0, &|_| 1.0);
    let (hot, room) = (net.held(1495.15), net.held(298.15));
    net.link(hot, s.first_face, Law::Conductance(1e7));
    net.link(s.last_face, room, Law::Conductance(5.0));
    net.link(s.last_face, room, Law::Radiation { exchange_m2: 0.9 });
    let y = run(&net, 1e7);
    let heat = net.heat_w(0.0, &y);
    hold("skin", y[net.index(s.last_face)] - 273.15, 188.74, 0.2);
    hold("skin q", heat[net.index(room)], 2738.2, 3.0);
}

/// Shells with area that grows with depth: exact logarithm and reciprocal laws.
#[test]
fn shells() {
    let through = |area: &dyn Fn(f64) -> f64| {
        let mut net = Network::new();
        let s = slab(sheet(0.075, 0.25, 520.0, 1050.0, 20)).place(&mut net, 500.0, area);
        let (hot, cold) = (net.held(1273.15), net.held(373.15));
        net.link(hot, s.first_face, Law::Conductance(1e7));
        net.link(s.last_face, cold, Law::Conductance(1e7));
        let y = run(&net, 1e7);
        let heat = net.heat_w(0.0, &y);
        heat[net.index(cold)]
    };
    let pi = std::f64::consts::PI;
    let cylinder = through(&|x| 2.0 * pi * (0.28 + x));
    hold("cylinder", cylinder, 5956.80, 3.0);
    let sphere = through(&|x| 4.0 * pi * (0.28 + x) * (0.28 + x));
    hold("sphere", sphere, 3747.29, 3.0);
}

/// A half space of brick: exact error functions.
#[test]
fn half_space() {
    let case = |time: f64, drive: &dyn Fn(&mut Network, glost_heat::network::NodeId)| {
        let mut net = Network::new();
        let body = Slab {
            sheets: vec![sheet(0.4, 0.2, 520.0, 1050.0, 80)],
            growth: 1.04,
        };
        let s = body.place(&mut net, 293.15, &|_| 1.0);
        drive(&mut net, s.first_face);
        let y = run(&net, time);
        let depths: Vec<f64> = [0.0, 0.02, 0.05, 0.075]
            .iter()
            .map(|d| {
                if *d <= 0.0 {
                    y[net.index(s.first_face)] - 273.15
                } else {
                    at_depth(&y, &net, &s.cells, &s.depths_m, *d) - 273.15
                }
            })
            .collect();
        depths
    };
    let face = |net: &mut Network, n| {
        let hot = net.held(1273.15);
        net.link(hot, n, Law::Conductance(1e6));
    };
    hold("face 20 mm", case(600.0, &face)[1], 353.312, 1.0);
    let later = case(3600.0, &face);
    hold("face 50 mm", later[2], 343.645, 1.0);
    hold("face 75 mm", later[3], 161.293, 1.0);
    let flux = case(600.0, &|net, n| {
        net.source(n, Box::new(|_, _| (5000.0, 0.0)))
    });
    hold("flux face", flux[0], 438.205, 1.0);
    hold("flux 20 mm", flux[1], 115.272, 1.0);
    let air = case(600.0, &|net, n| {
        let hot = net.held(1273.15);
        net.link(hot, n, Law::Conductance(50.0));
    });
    hold("air face", air[0], 855.742, 1.0);
    hold("air 20 mm", air[1], 275.179, 1.0);
}
