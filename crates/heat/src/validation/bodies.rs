//! Bodies that are put into another surrounding at once, and a source that depends on temperature.

use super::run::{at, celsius, run, sheet};
use super::{Case, Group, Of};
use crate::network::link::Law;
use crate::network::slab::Slab;
use crate::network::{Capacity, Network};

pub fn group() -> Group {
    let cases = one_term().into_iter();
    let cases = cases.chain(series()).chain(tile()).chain(lumped());
    Group {
        name: "Bodies",
        what: "Plates, cylinders and spheres heated or cooled at once; a body that cools by radiation; a \
               source that depends on temperature. θ is the difference left as a share of the first, Bi and Fo \
               the numbers of Biot and Fourier.",
        cases: cases.chain(source()).collect(),
    }
}

/// θ in the middle and at the surface of a body of radius (or half thickness) 1; `dimension` 0 is a
/// plate, 1 a cylinder, 2 a sphere.
fn theta(dimension: i32, bi: f64, fo: f64) -> (f64, f64) {
    let mut net = Network::new();
    let area = |x: f64| x.powi(dimension);
    let s = Slab::of(sheet(1.0, 1.0, 1.0, 1.0, 80)).place(&mut net, 1000.0, &area);
    let air = net.held(0.0);
    net.link(s.last_face, air, Law::Conductance(bi));
    let y = run(&net, fo);
    let share = |n| at(&y, &net, n) / 1000.0;
    (share(s.first_face), share(s.last_face))
}

/// ζ and C₁ of the one-term solution at Fo 1, where it is enough.
fn one_term() -> Vec<Case> {
    let of = Of("Incropera, table 5.1, one term", "", 1e-3);
    let mut cases = Vec::new();
    for (bi, zeta, c1) in [
        (0.1, 0.3111, 1.0161),
        (0.5, 0.6533, 1.0701),
        (1.0, 0.8603, 1.1191),
        (2.0, 1.0769, 1.1785),
        (5.0, 1.3138, 1.2402),
        (10.0, 1.4289, 1.2620),
        (100.0, 1.5552, 1.2731),
    ] {
        let (middle, surface) = theta(0, bi, 1.0);
        let answer = c1 * f64::exp(-zeta * zeta);
        cases.push(of.case(format!("plate, Bi {bi}: θ in the middle"), middle, answer));
        let answer = answer * f64::cos(zeta);
        cases.push(of.case(format!("plate, Bi {bi}: θ at the surface"), surface, answer));
    }
    for (what, dimension, table) in [
        (
            "cylinder",
            1,
            [
                (0.1, 0.4417, 1.0246),
                (1.0, 1.2558, 1.2071),
                (10.0, 2.1795, 1.5677),
            ],
        ),
        (
            "sphere",
            2,
            [
                (0.1, 0.5423, 1.0298),
                (1.0, std::f64::consts::FRAC_PI_2, 1.2732),
                (10.0, 2.8363, 1.9249),
            ],
        ),
    ] {
        for (bi, zeta, c1) in table {
            let answer = c1 * f64::exp(-zeta * zeta);
            let name = format!("{what}, Bi {bi}: θ in the middle");
            cases.push(of.case(name, theta(dimension, bi, 1.0).0, answer));
        }
    }
    cases
}

fn series() -> Vec<Case> {
    let of = Of("exact series", "", 1e-3);
    let mut cases = Vec::new();
    for (fo, middle, surface) in [(0.1, 0.993_108, 0.723_577), (1.0, 0.533_859, 0.348_177)] {
        let ours = theta(0, 1.0, fo);
        cases.push(of.case(
            format!("plate, Bi 1, Fo {fo}: θ in the middle"),
            ours.0,
            middle,
        ));
        cases.push(of.case(
            format!("plate, Bi 1, Fo {fo}: θ at the surface"),
            ours.1,
            surface,
        ));
    }
    for (fo, answer) in [
        (0.1, 0.949_305),
        (0.2, 0.772_312),
        (0.5, 0.370_777),
        (1.0, 0.107_977),
    ] {
        let name = format!("plate, surface put at 0, Fo {fo}: θ in the middle");
        cases.push(of.case(name, theta(0, 1e6, fo).0, answer));
    }
    cases
}

/// 20 mm thick, cooled on both faces.
fn tile() -> Vec<Case> {
    let of = Of("exact series", "°C", 0.5);
    let mut cases = Vec::new();
    for (time, middle, surface) in [
        (120.0, 495.086, 397.367),
        (300.0, 338.247, 272.720),
        (900.0, 103.670, 86.442),
    ] {
        let mut net = Network::new();
        let tile = Slab::of(sheet(0.01, 1.2, 2300.0, 1000.0, 40));
        let s = tile.place(&mut net, 873.15, &|_| 1.0);
        let air = net.held(293.15);
        net.link(s.last_face, air, Law::Conductance(60.0));
        let y = run(&net, time);
        let ours = celsius(&y, &net, s.first_face);
        cases.push(of.case(format!("tile after {time} s, middle"), ours, middle));
        let ours = celsius(&y, &net, s.last_face);
        cases.push(of.case(format!("tile after {time} s, surface"), ours, surface));
    }
    cases
}

fn lumped() -> Vec<Case> {
    let after = |time_s: f64, surroundings_k: f64| {
        let mut net = Network::new();
        let body = net.body(1500.0, Capacity::constant(2.0e4));
        let room = net.held(surroundings_k);
        net.link(body, room, Law::Radiation { exchange_m2: 0.9 });
        at(&run(&net, time_s), &net, body)
    };
    let warm = Of("Incropera 5.3, exact integral", "K", 0.1);
    let cold = Of("1/T³ law", "K", 0.1);
    let mut cases: Vec<Case> = [
        (92.36, 1000.0),
        (582.93, 600.0),
        (300.0, 730.884),
        (600.0, 594.804),
        (1800.0, 430.112),
        (3600.0, 360.458),
    ]
    .map(|(t, answer)| {
        warm.case(
            format!("radiating to 300 K for {t} s"),
            after(t, 300.0),
            answer,
        )
    })
    .into();
    cases.extend([(91.93, 1000.0), (566.08, 600.0)].map(|(t, answer)| {
        cold.case(format!("radiating to 0 K for {t} s"), after(t, 0.0), answer)
    }));
    cases
}

/// ρc T' = 2 − 4T with ρc 2.
fn source() -> Vec<Case> {
    let mut net = Network::new();
    let body = net.body(0.0, Capacity::constant(2.0));
    net.source(body, Box::new(|_, t| (2.0 - 4.0 * t, -4.0)));
    let of = Of("Code_Aster V4.22.100, closed form", "", 1e-4);
    let ours = at(&run(&net, 1.0), &net, body);
    vec![of.case("source 2 − 4T after 1 s", ours, 0.432_332)]
}
