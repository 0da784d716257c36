//! View factors.

use super::{Case, Group, Of};
use crate::network::view::{
    InsideCylinder, coaxial_cylinders, coaxial_discs, corner_rectangles, facing_rectangles,
    plane_to_tubes,
};

pub fn group() -> Group {
    let cases = rectangles().into_iter().chain(discs()).chain(cylinders());
    Group {
        name: "Views",
        what: "Howell, A Catalog of Radiation Heat Transfer Configuration Factors; Incropera figures 13.4 to \
               13.6. Digits exact from the closed forms; C-91 checked by ray tracing.",
        cases: cases.collect(),
    }
}

fn rectangles() -> Vec<Case> {
    let of = Of("Howell C-11", "", 1e-6);
    let mut cases: Vec<Case> = [
        (1.0, 1.0, 0.199_824_9),
        (2.0, 2.0, 0.415_253_3),
        (1.0, 2.0, 0.285_875_4),
        (0.5, 0.5, 0.068_589_6),
        (10.0, 10.0, 0.826_995),
    ]
    .map(|(a, b, answer)| {
        let name = format!("rectangles of {a} by {b}, 1 apart");
        of.case(name, facing_rectangles(a, b, 1.0), answer)
    })
    .into();
    let of = Of("Howell C-14", "", 1e-6);
    cases.extend(
        [(1.0, 0.200_043_8), (2.0, 0.232_852_6), (0.5, 0.146_186_7)].map(|(h, answer)| {
            let name = format!("square and a wall {h} high");
            of.case(name, corner_rectangles(1.0, h, 1.0), answer)
        }),
    );
    cases
}

fn discs() -> Vec<Case> {
    let of = Of("Howell C-41", "", 1e-6);
    let mut cases: Vec<Case> = [
        (1.0, 1.0, 1.0, 0.381_966_0),
        (0.28, 0.28, 0.15, 0.588_895_4),
        (0.28, 0.28, 0.6, 0.155_364_6),
        (1.0, 2.0, 1.0, 0.763_932_0),
    ]
    .map(|(from, to, gap, answer)| {
        let name = format!("disc of {from} to disc of {to}, {gap} apart");
        of.case(name, coaxial_discs(from, to, gap), answer)
    })
    .into();
    let c = InsideCylinder::new(0.28, 0.6);
    let of = Of("C-41 and sums", "", 1e-6);
    cases.push(of.case("inside a cylinder: end to wall", c.end_wall, 0.844_635_4));
    cases.push(of.case("inside a cylinder: wall to end", c.wall_end, 0.197_081_6));
    cases.push(of.case("inside a cylinder: wall to wall", c.wall_wall, 0.605_836_8));
    cases
}

fn cylinders() -> Vec<Case> {
    let of = Of("Howell C-91", "", 1e-6);
    let mut cases = Vec::new();
    for (length, inner, own) in [
        (2.0, 0.337_106_0, 0.228_481_0),
        (4.0, 0.412_627_9, 0.328_598_3),
    ] {
        let ours = coaxial_cylinders(1.0, 2.0, length);
        cases.push(of.case(
            format!("cylinders 1 and 2, {length} long: outer to inner"),
            ours.0,
            inner,
        ));
        cases.push(of.case(
            format!("cylinders 1 and 2, {length} long: outer to itself"),
            ours.1,
            own,
        ));
    }
    let of = Of("Hottel", "", 1e-6);
    for (d, answer) in [(0.5, 0.657_573_4), (0.25, 0.361_283_2)] {
        cases.push(of.case(
            format!("plane to a row of tubes, D/s {d}"),
            plane_to_tubes(d),
            answer,
        ));
    }
    cases
}
