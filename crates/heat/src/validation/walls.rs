//! Walls in the steady state, and brick or soil that is heated or cooled at its face.

use super::run::{at_depth, celsius, heat, run, sheet};
use super::{Case, Group, Of};
use crate::network::link::Law;
use crate::network::property::Property;
use crate::network::slab::{Sheet, Slab};
use crate::network::{Network, NodeId};

pub fn group() -> Group {
    let cases = composite().into_iter();
    let cases = cases.chain(rising()).chain(shells());
    Group {
        name: "Walls",
        what: "Linings of one and two layers with constant and rising conductivity, shells, and the half space.",
        cases: cases.chain(half_space()).chain(frost()).collect(),
    }
}

fn composite() -> Vec<Case> {
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
    let flux = heat(&y, &net, room);
    // The last cell of the first layer is half a cell from the interface.
    let interface = s.cells.get(7).map_or(f64::NAN, |n| {
        celsius(&y, &net, *n) - flux * 0.065 / 16.0 / 0.25
    });
    let exact = "resistances in series, exact";
    vec![
        Of(exact, "W/m²", 1.0).case("two layers: flux", flux, 2129.91),
        Of(exact, "°C", 0.1).case("two layers: interface", interface, 646.22),
        Of(exact, "°C", 0.1).case("two layers: skin", celsius(&y, &net, s.last_face), 202.49),
    ]
}

/// 75 mm of brick with k = 0.10 + 1.4e-4 T.
fn rising() -> Vec<Case> {
    let brick = || {
        Slab::of(Sheet {
            conductivity: Property::line_c(0.10, 1.4e-4),
            ..sheet(0.075, 0.0, 520.0, 1050.0, 20)
        })
    };
    let mut net = Network::new();
    let s = brick().place(&mut net, 500.0, &|_| 1.0);
    let (hot, cold) = (net.held(1473.15), net.held(373.15));
    net.link(hot, s.first_face, Law::Conductance(1e7));
    net.link(s.last_face, cold, Law::Conductance(1e7));
    let y = run(&net, 1e7);
    let exact = "integral of k, exact";
    let mut cases = vec![
        Of(exact, "W/m²", 3.0).case("k(T), 1200 to 100 °C: flux", heat(&y, &net, cold), 2801.33),
        Of(exact, "°C", 1.0).case("k(T): middle", at_depth(&y, &net, &s, 0.0375), 756.69),
    ];
    let mut net = Network::new();
    let s = brick().place(&mut net, 500.0, &|_| 1.0);
    let (hot, room) = (net.held(1495.15), net.held(298.15));
    net.link(hot, s.first_face, Law::Conductance(1e7));
    net.link(s.last_face, room, Law::Conductance(5.0));
    net.link(s.last_face, room, Law::Radiation { exchange_m2: 0.9 });
    let y = run(&net, 1e7);
    let exact = "balance at the skin, exact";
    let skin = celsius(&y, &net, s.last_face);
    cases.push(Of(exact, "°C", 0.2).case("k(T), skin that convects and radiates", skin, 188.74));
    let flux = heat(&y, &net, room);
    cases.push(Of(exact, "W/m²", 3.0).case("k(T), the same: flux", flux, 2738.2));
    cases
}

/// Area that grows with depth.
fn shells() -> Vec<Case> {
    let through = |area_m2: &dyn Fn(f64) -> f64| {
        let mut net = Network::new();
        let shell = Slab::of(sheet(0.075, 0.25, 520.0, 1050.0, 20));
        let s = shell.place(&mut net, 500.0, area_m2);
        let (hot, cold) = (net.held(1273.15), net.held(373.15));
        net.link(hot, s.first_face, Law::Conductance(1e7));
        net.link(s.last_face, cold, Law::Conductance(1e7));
        heat(&run(&net, 1e7), &net, cold)
    };
    let pi = std::f64::consts::PI;
    let cylinder = through(&|x| 2.0 * pi * (0.28 + x));
    let sphere = through(&|x| 4.0 * pi * (0.28 + x) * (0.28 + x));
    vec![
        Of("logarithm, exact", "W/m", 3.0).case("shell of a cylinder", cylinder, 5956.80),
        Of("reciprocals, exact", "W", 3.0).case("shell of a sphere", sphere, 3747.29),
    ]
}

/// Temperatures of a half space at depths, °C, and heat into its face, W/m².
fn deep(
    slab: &Slab,
    start_k: f64,
    time_s: f64,
    drive: &dyn Fn(&mut Network, NodeId) -> Option<NodeId>,
    depths_m: &[f64],
) -> (Vec<f64>, f64) {
    let mut net = Network::new();
    let s = slab.place(&mut net, start_k, &|_| 1.0);
    let source = drive(&mut net, s.first_face);
    let y = run(&net, time_s);
    let here = |d: &f64| {
        if *d > 0.0 {
            at_depth(&y, &net, &s, *d)
        } else {
            celsius(&y, &net, s.first_face)
        }
    };
    let flux = source.map_or(f64::NAN, |n| -heat(&y, &net, n));
    (depths_m.iter().map(here).collect(), flux)
}

fn held(net: &mut Network, face: NodeId, temp_c: f64, h: f64) -> Option<NodeId> {
    let hot = net.held(temp_c + 273.15);
    net.link(hot, face, Law::Conductance(h));
    Some(hot)
}

fn half_space() -> Vec<Case> {
    let brick = Slab {
        sheets: vec![sheet(0.4, 0.2, 520.0, 1050.0, 80)],
        growth: 1.04,
    };
    let at = |time_s: f64,
              drive: &dyn Fn(&mut Network, NodeId) -> Option<NodeId>,
              depths_m: &[f64]| { deep(&brick, 293.15, time_s, drive, depths_m) };
    let face = |net: &mut Network, n: NodeId| held(net, n, 1000.0, 1e6);
    let flux = |net: &mut Network, n: NodeId| {
        net.source(n, Box::new(|_, _| (5000.0, 0.0)));
        None
    };
    let air = |net: &mut Network, n: NodeId| held(net, n, 1000.0, 50.0);
    let of = Of("error functions, exact", "°C", 1.0);
    let (early, into) = at(600.0, &face, &[0.02]);
    let (late, _) = at(3600.0, &face, &[0.05, 0.075]);
    let (by_flux, _) = at(600.0, &flux, &[0.0, 0.02]);
    let (by_air, _) = at(600.0, &air, &[0.0, 0.02]);
    let ours = [early, late, by_flux, by_air].concat();
    let named = [
        ("brick, face at 1000 °C: 20 mm, 600 s", 353.312),
        ("brick, face at 1000 °C: 50 mm, 3600 s", 343.645),
        ("brick, face at 1000 °C: 75 mm, 3600 s", 161.293),
        ("brick, 5000 W/m²: face, 600 s", 438.205),
        ("brick, 5000 W/m²: 20 mm, 600 s", 115.272),
        ("brick, h 50 to 1000 °C: face, 600 s", 855.742),
        ("brick, h 50 to 1000 °C: 20 mm, 600 s", 275.179),
    ];
    let mut cases: Vec<Case> = named
        .into_iter()
        .zip(ours)
        .map(|((name, answer), ours)| of.case(name, ours, answer))
        .collect();
    let of = Of("error functions, exact", "W/m²", 40.0);
    cases.push(of.case("brick, face at 1000 °C: flux, 600 s", into, 7459.1));
    cases
}

/// How deep frost goes in 60 days.
fn frost() -> Vec<Case> {
    let soil = Slab {
        sheets: vec![sheet(6.0, 0.138, 1000.0, 1000.0, 120)],
        growth: 1.02,
    };
    let drive = |net: &mut Network, n: NodeId| held(net, n, -15.0, 1e5);
    let zero = |depth: f64| deep(&soil, 293.15, 60.0 * 86_400.0, &drive, &[depth]).0;
    let (mut low, mut high) = (0.3, 1.2);
    for _ in 0..24 {
        let middle = f64::midpoint(low, high);
        match zero(middle).first() {
            Some(t) if *t < 0.0 => low = middle,
            _ => high = middle,
        }
    }
    let of = Of(
        "Incropera, freezing of water mains, book 0.68 m; digits exact",
        "m",
        0.003,
    );
    vec![of.case("soil, −15 °C for 60 days: depth of 0 °C", low, 0.677)]
}
