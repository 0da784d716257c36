//! Radiation between surfaces, and a source that depends on temperature.

use glost_heat::network::link::Law;
use glost_heat::network::radiosity::{Exchange, Surface};
use glost_heat::network::view::facing_rectangles;
use glost_heat::network::{Capacity, Network};

use crate::common::{hold, run};

/// Incropera, section 5.3 (lumped radiation): exact integral; the 1/T³ law for cold surroundings.
#[test]
fn lumped_radiative_cooling() {
    let after = |time: f64, surroundings: f64| {
        let mut net = Network::new();
        let body = net.body(1500.0, Capacity::constant(2.0e4));
        let room = net.held(surroundings);
        net.link(body, room, Law::Radiation { exchange_m2: 0.9 });
        run(&net, time)[net.index(body)]
    };
    for (time, want) in [
        (92.36, 1000.0),
        (582.93, 600.0),
        (300.0, 730.884),
        (600.0, 594.804),
        (1800.0, 430.112),
        (3600.0, 360.458),
    ] {
        hold("to 300 K", after(time, 300.0), want, 0.1);
    }
    hold("to 0 K", after(91.93, 0.0), 1000.0, 0.1);
    hold("to 0 K", after(566.08, 0.0), 600.0, 0.1);
}

/// Incropera, sections 13.3.2 and 13.3.3: exact.
#[test]
fn two_surfaces_and_shields() {
    let planes = |e1: f64, e2: f64| {
        Exchange::new(
            &[1.0, 1.0],
            &[Surface::Gray(e1), Surface::Gray(e2)],
            &|i, j| f64::from(u8::from(i != j)),
        )
        .unwrap()
        .between(0, 1)
    };
    let sigma = glost_heat::network::link::SIGMA;
    let power = |hot: f64, cold: f64| sigma * (hot.powi(4) - cold.powi(4));
    hold(
        "planes",
        planes(0.8, 0.6) * power(1000.0, 500.0),
        27_735.5,
        0.1,
    );
    for (shields, want) in [(1, 2541.50), (2, 1331.77), (3, 902.29)] {
        let mut net = Network::new();
        let (hot, cold) = (net.held(1000.0), net.held(500.0));
        let mut before = (hot, 0.8);
        let mut between = Vec::new();
        for _ in 0..shields {
            let s = net.body(800.0, Capacity::constant(100.0));
            net.link(
                before.0,
                s,
                Law::Radiation {
                    exchange_m2: planes(before.1, 0.1),
                },
            );
            before = (s, 0.1);
            between.push(s);
        }
        net.link(
            before.0,
            cold,
            Law::Radiation {
                exchange_m2: planes(0.1, 0.6),
            },
        );
        let y = run(&net, 1e5);
        let heat = net.heat_w(0.0, &y);
        hold("shields", heat[net.index(cold)], want, 0.1);
        if shields == 1 {
            hold("shield", y[net.index(between[0])], 857.465, 0.05);
        }
    }
    let inside = |a1: f64, a2: f64, e1: f64, e2: f64| {
        Exchange::new(
            &[a1, a2],
            &[Surface::Gray(e1), Surface::Gray(e2)],
            &|i, j| match (i, j) {
                (0, 0) => 0.0,
                (0, _) => 1.0,
                (_, 0) => a1 / a2,
                _ => 1.0 - a1 / a2,
            },
        )
        .unwrap()
        .between(0, 1)
    };
    let pi = std::f64::consts::PI;
    let cylinders = inside(2.0 * pi * 0.05, 2.0 * pi * 0.1, 0.8, 0.5);
    hold("cylinders", cylinders * power(900.0, 400.0), 6418.13, 0.05);
    let spheres = inside(4.0 * pi * 0.0025, 4.0 * pi * 0.01, 0.8, 0.5);
    hold("spheres", spheres * power(900.0, 400.0), 748.78, 0.01);
    let small = inside(1e-9, 1.0, 0.85, 0.5) / 1e-9;
    hold("small body", small * power(1495.15, 1400.0), 55_704.7, 0.1);
}

/// Incropera, example of a triangular duct with a reradiating wall: book 37 kW/m, 1102 K.
#[test]
fn triangular_duct() {
    let duct = Exchange::new(
        &[1.0; 3],
        &[Surface::Gray(0.8), Surface::Gray(0.4), Surface::Gray(0.0)],
        &|i, j| if i == j { 0.0 } else { 0.5 },
    )
    .unwrap();
    let temps = [1200.0, 500.0, 0.0];
    hold("duct", duct.net_w(&temps)[0], 36_984.9, 0.5);
    hold("reradiating", duct.reradiating_k(2, &temps), 1102.17, 0.05);
}

/// Two squares with reradiating sides: exact.
#[test]
fn squares_with_reradiating_sides() {
    let f = facing_rectangles(1.0, 1.0, 1.0);
    let box_of = Exchange::new(
        &[1.0, 1.0, 4.0],
        &[Surface::Gray(0.8), Surface::Gray(0.6), Surface::Gray(0.0)],
        &|i, j| match (i, j) {
            (0, 1) | (1, 0) => f,
            (0 | 1, 2) => 1.0 - f,
            (2, 0 | 1) => (1.0 - f) / 4.0,
            (2, 2) => 1.0 - (1.0 - f) / 2.0,
            _ => 0.0,
        },
    )
    .unwrap();
    let temps = [1200.0, 500.0, 0.0];
    hold("squares", box_of.net_w(&temps)[0], 44_139.2, 0.5);
    hold("sides", box_of.reradiating_k(2, &temps), 1053.16, 0.05);
}

/// Code_Aster V4.22.100: ρc T' = 2 − 4T with ρc = 2 gives 0.432332 after 1 s.
#[test]
fn source_that_depends_on_temperature() {
    let mut net = Network::new();
    let body = net.body(0.0, Capacity::constant(2.0));
    net.source(body, Box::new(|_, t| (2.0 - 4.0 * t, -4.0)));
    hold(
        "V4.22.100",
        run(&net, 1.0)[net.index(body)],
        0.432_332,
        1e-4,
    );
}
