//! Radiation between gray surfaces.

use super::run::{at, heat, run};
use super::{Case, Group, Of};
use crate::network::link::{Law, SIGMA};
use crate::network::radiosity::{Exchange, Surface};
use crate::network::view::facing_rectangles;
use crate::network::{Capacity, Network};

pub fn group() -> Group {
    let cases = shields().into_iter();
    let cases = cases.chain(concentric()).chain(duct());
    Group {
        name: "Radiation",
        what: "Two surfaces, shields, concentric bodies, and enclosures with reradiating sides.",
        cases: cases.chain(squares()).collect(),
    }
}

/// Exchange area of the first two surfaces.
fn between(areas_m2: &[f64], e: &[f64], view: &dyn Fn(usize, usize) -> f64) -> f64 {
    let kinds: Vec<Surface> = e.iter().map(|e| Surface::Gray(*e)).collect();
    Exchange::new(areas_m2, &kinds, view).map_or(f64::NAN, |x| x.between(0, 1))
}

fn planes(e1: f64, e2: f64) -> f64 {
    between(&[1.0, 1.0], &[e1, e2], &|i, j| f64::from(u8::from(i != j)))
}

fn power(hot_k: f64, cold_k: f64) -> f64 {
    SIGMA * (hot_k.powi(4) - cold_k.powi(4))
}

fn shields() -> Vec<Case> {
    let of = Of("Incropera 13.3, exact", "W/m²", 0.1);
    let open = planes(0.8, 0.6) * power(1000.0, 500.0);
    let mut cases = vec![of.case("planes of 1000 and 500 K", open, 27_735.5)];
    for (shields, answer) in [(1, 2541.50), (2, 1331.77), (3, 902.29)] {
        let mut net = Network::new();
        let (hot, cold) = (net.held(1000.0), net.held(500.0));
        let mut last = (hot, 0.8);
        for _ in 0..shields {
            let s = net.body(800.0, Capacity::constant(100.0));
            let exchange_m2 = planes(last.1, 0.1);
            net.link(last.0, s, Law::Radiation { exchange_m2 });
            last = (s, 0.1);
        }
        let exchange_m2 = planes(0.1, 0.6);
        net.link(last.0, cold, Law::Radiation { exchange_m2 });
        let y = run(&net, 1e5);
        cases.push(of.case(
            format!("shields between: {shields}"),
            heat(&y, &net, cold),
            answer,
        ));
        if shields == 1 {
            let of = Of("Incropera 13.3, exact", "K", 0.05);
            cases.push(of.case("the one shield", at(&y, &net, last.0), 857.465));
        }
    }
    cases
}

fn concentric() -> Vec<Case> {
    let inside = |a1: f64, a2: f64, e1: f64, e2: f64| {
        between(&[a1, a2], &[e1, e2], &|i, j| match (i, j) {
            (0, 0) => 0.0,
            (0, _) => 1.0,
            (_, 0) => a1 / a2,
            _ => 1.0 - a1 / a2,
        })
    };
    let pi = std::f64::consts::PI;
    let cylinders = inside(2.0 * pi * 0.05, 2.0 * pi * 0.1, 0.8, 0.5) * power(900.0, 400.0);
    let spheres = inside(4.0 * pi * 0.0025, 4.0 * pi * 0.01, 0.8, 0.5) * power(900.0, 400.0);
    let small = inside(1e-9, 1.0, 0.85, 0.5) / 1e-9 * power(1495.15, 1400.0);
    let source = "Incropera, table 13.3, exact";
    vec![
        Of(source, "W/m", 0.05).case("long concentric cylinders", cylinders, 6418.13),
        Of(source, "W", 0.01).case("concentric spheres", spheres, 748.78),
        Of(source, "W/m²", 0.1).case("small body in a cavity", small, 55_704.7),
    ]
}

/// Heat from the first surface, W, and the temperature of the third, which reradiates, K.
fn three(areas_m2: &[f64], e: [f64; 2], view: &dyn Fn(usize, usize) -> f64) -> (f64, f64) {
    let kinds = [Surface::Gray(e[0]), Surface::Gray(e[1]), Surface::Gray(0.0)];
    let temps = [1200.0, 500.0, 0.0];
    Exchange::new(areas_m2, &kinds, view).map_or((f64::NAN, f64::NAN), |x| {
        let q = x.net_w(&temps).first().copied().unwrap_or(f64::NAN);
        (q, x.reradiating_k(2, &temps))
    })
}

fn duct() -> Vec<Case> {
    let view = |i: usize, j: usize| if i == j { 0.0 } else { 0.5 };
    let (q, third) = three(&[1.0; 3], [0.8, 0.4], &view);
    let source = "Incropera, triangular duct, book 37 kW/m and 1102 K; digits exact";
    vec![
        Of(source, "W/m", 0.5).case("duct: heat", q, 36_984.9),
        Of(source, "K", 0.05).case("duct: reradiating side", third, 1102.17),
    ]
}

fn squares() -> Vec<Case> {
    let f = facing_rectangles(1.0, 1.0, 1.0);
    let (q, third) = three(&[1.0, 1.0, 4.0], [0.8, 0.6], &|i, j| match (i, j) {
        (0, 1) | (1, 0) => f,
        (0 | 1, 2) => 1.0 - f,
        (2, 0 | 1) => (1.0 - f) / 4.0,
        (2, 2) => 1.0 - (1.0 - f) / 2.0,
        _ => 0.0,
    });
    vec![
        Of("exact", "W", 0.5).case("squares with reradiating sides: heat", q, 44_139.2),
        Of("exact", "K", 0.05).case("squares with reradiating sides: sides", third, 1053.16),
    ]
}
