//! What must hold of any network.

use std::ops::ControlFlow;

use glost_heat::network::integrate::{Run, integrate};
use glost_heat::network::link::Law;
use glost_heat::network::property::Property;
use glost_heat::network::radiosity::{Exchange, Surface};
use glost_heat::network::view::{InsideCylinder, coaxial_discs, corner_rectangles, disc_and_ring};
use glost_heat::network::{Capacity, Network, Seen};
use proptest::prelude::*;

fn run(net: &Network, to_s: f64) -> Vec<f64> {
    let run = Run {
        from_s: 0.0,
        to_s,
        relative: 1e-6,
        absolute: 0.01,
        longest_s: f64::INFINITY,
        look_every_s: to_s,
    };
    let observe = &mut |_: f64, _: &[f64]| ControlFlow::Continue(());
    integrate(net, &net.start(), run, observe).unwrap().y
}

fn hold(what: &str, got: f64, want: f64, tolerance: f64) {
    assert!(
        (got - want).abs() <= tolerance,
        "{what}: {got} against {want}"
    );
}

fn chamber(emissivities: [f64; 3], radius: f64, height: f64) -> (Exchange, [f64; 3]) {
    let v = InsideCylinder::new(radius, height);
    let pi = std::f64::consts::PI;
    let end = pi * radius * radius;
    let areas = [end, end, 2.0 * pi * radius * height];
    let exchange = Exchange::new(
        &areas,
        &emissivities.map(Surface::Gray),
        &|i, j| match (i, j) {
            (0, 1) | (1, 0) => v.end_end,
            (0 | 1, 2) => v.end_wall,
            (2, 0 | 1) => v.wall_end,
            (2, 2) => v.wall_wall,
            _ => 0.0,
        },
    )
    .unwrap();
    (exchange, areas)
}

/// A chamber with an opening in its middle is the same chamber.
#[test]
fn an_opening_between_halves_lets_heat_through() {
    let half = InsideCylinder::new(0.3, 0.2);
    let pi = std::f64::consts::PI;
    let (end, wall) = (pi * 0.09, 2.0 * pi * 0.3 * 0.2);
    // Floor, its wall, opening from below; lid, its wall, opening from above.
    let areas = [end, wall, end, end, wall, end];
    let gray = Surface::Gray(0.8);
    let surfaces = [
        gray,
        gray,
        Surface::Opening(5),
        gray,
        gray,
        Surface::Opening(2),
    ];
    let e = Exchange::new(&areas, &surfaces, &|i, j| {
        if i / 3 != j / 3 {
            return 0.0;
        }
        match (i % 3, j % 3) {
            (0, 2) | (2, 0) => half.end_end,
            (0 | 2, 1) => half.end_wall,
            (1, 0 | 2) => half.wall_end,
            (1, 1) => half.wall_wall,
            _ => 0.0,
        }
    })
    .unwrap();
    let (whole, _) = chamber([0.8; 3], 0.3, 0.4);
    // Diffuse mixing in the opening changes the split between lid and upper wall a little; what
    // leaves the floor hardly.
    let through = e.between(0, 1) + e.between(0, 3) + e.between(0, 4);
    hold(
        "floor to all",
        through,
        whole.between(0, 1) + whole.between(0, 2),
        0.01 * through,
    );
    // Every share of what a surface emits lands on some surface.
    let sum: f64 = (0..6).map(|j| e.between(1, j)).sum();
    hold("all of it lands", sum, 0.8 * wall, 1e-9);
}

/// Howell C-14 seen from both sides.
#[test]
fn corner_rectangles_reciprocate() {
    let there = corner_rectangles(1.0, 2.0, 1.0);
    let back = corner_rectangles(2.0, 1.0, 1.0);
    hold("C-14", back * 2.0, there, 1e-12);
}

#[test]
fn rings_add_up_to_the_whole() {
    let v = disc_and_ring(0.23, 0.2, 0.28, 0.15);
    let (disc, ring) = (0.23f64.powi(2), 0.28f64.powi(2) - 0.23f64.powi(2));
    let whole = disc * (v.disc_disc + v.disc_ring) + ring * (v.ring_disc + v.ring_ring);
    let want = coaxial_discs(0.28, 0.28, 0.15) * 0.28f64.powi(2);
    hold("rings", whole, want, 1e-12);
    let back = disc_and_ring(0.2, 0.23, 0.28, 0.15);
    let (upper, upper_ring) = (0.2f64.powi(2), 0.28f64.powi(2) - 0.2f64.powi(2));
    hold(
        "reciprocity",
        upper * back.disc_ring,
        ring * v.ring_disc,
        1e-12,
    );
    hold(
        "reciprocity",
        upper_ring * back.ring_ring,
        ring * v.ring_ring,
        1e-12,
    );
}

proptest! {
    #[test]
    fn enclosures_sum_to_zero_and_reciprocate(
        e in [0.05f64..1.0, 0.05f64..1.0, 0.05f64..1.0],
        t in [300.0f64..1600.0, 300.0f64..1600.0, 300.0f64..1600.0],
        radius in 0.1f64..0.5,
        height in 0.05f64..1.2,
    ) {
        let (x, areas) = chamber(e, radius, height);
        let net = x.net_w(&t);
        let size: f64 = net.iter().map(|q| q.abs()).sum();
        prop_assert!(net.iter().sum::<f64>().abs() <= 1e-9 * size + 1e-9);
        prop_assert!(x.net_w(&[t[0]; 3]).iter().all(|q| q.abs() < 1e-9));
        for i in 0..3 {
            let lands: f64 = (0..3).map(|j| x.between(i, j)).sum();
            prop_assert!((lands - e[i] * areas[i]).abs() < 1e-9);
            for j in 0..3 {
                prop_assert!((x.between(i, j) - x.between(j, i)).abs() < 1e-15);
                prop_assert!(x.between(i, j) >= 0.0);
            }
        }
    }

    /// In = stored + lost to 0.1 %, and no body passes the hottest or coldest that it can see.
    #[test]
    fn energy_closes(
        power in 100.0f64..9000.0,
        hours in 0.5f64..30.0,
        mass in 1.0f64..60.0,
        exchange in 0.05f64..1.0,
        leak in 0.1f64..5.0,
        slope in 0.0f64..5e-4,
    ) {
        let mut net = Network::new();
        let room = net.held(293.15);
        let clay = Property::Formula { a: 1128.0, b: 0.102, c: -36e6 };
        let element = net.body(293.15, Capacity::constant(2000.0));
        let ware = net.body(293.15, Capacity { mass_kg: mass, specific_heat: clay.clone() });
        let wall = net.body(293.15, Capacity { mass_kg: 30.0, specific_heat: clay });
        net.link(element, ware, Law::Radiation { exchange_m2: exchange });
        net.link(element, wall, Law::Radiation { exchange_m2: 0.3 });
        net.link(wall, room, Law::Solid { area_over_length_m: 20.0, conductivity: Property::line_c(0.1, slope) });
        net.link(wall, room, Law::Natural { area_m2: 0.01, coefficient: 1.3, exponent: 0.25 });
        net.link(ware, room, Law::Conductance(leak));
        net.source(element, Box::new(move |t, _| (if t < 40_000.0 { power } else { 0.0 }, 0.0)));
        let y = run(&net, hours * 3600.0);
        let drawn = y[net.node_count()];
        let known = net.stored_j(&y) + net.received_j(&y);
        prop_assert!((drawn - known).abs() < 1e-3 * drawn, "{drawn} drawn, {known} found");
        // While there is power, the element is the hottest.
        let hottest = if hours * 3600.0 < 40_000.0 { y[net.index(element)] } else { 1e9 };
        for body in [ware, wall] {
            prop_assert!((293.14..hottest + 0.1).contains(&y[net.index(body)]));
        }
    }

    #[test]
    fn what_is_at_one_temperature_stays_there(t in 280.0f64..1600.0) {
        let (x, _) = chamber([0.8, 0.6, 0.3], 0.3, 0.5);
        let mut net = Network::new();
        let nodes: Vec<_> = [3000.0, 5000.0, 9000.0].map(|c| net.body(t, Capacity::constant(c))).into();
        let room = net.held(t);
        net.radiate(&nodes.iter().map(|n| Seen::Node(*n)).collect::<Vec<_>>(), &x);
        net.link(nodes[2], room, Law::Natural { area_m2: 1.0, coefficient: 1.3, exponent: 1.0 / 3.0 });
        let y = run(&net, 1e5);
        for n in nodes {
            prop_assert!((y[net.index(n)] - t).abs() < 1e-6);
        }
    }
}
