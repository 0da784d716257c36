//! View factors against Howell, A Catalog of Radiation Heat Transfer Configuration Factors, and
//! Incropera figures 13.4 to 13.6; digits exact from the closed forms, C-91 checked by ray tracing.

use glost_heat::network::view::{
    InsideCylinder, coaxial_cylinders, coaxial_discs, corner_rectangles, disc_and_ring,
    facing_rectangles, plane_to_tubes,
};

use crate::common::hold;

#[test]
fn facing_rectangles_c11() {
    for (a, b, gap, want) in [
        (1.0, 1.0, 1.0, 0.199_824_9),
        (2.0, 2.0, 1.0, 0.415_253_3),
        (1.0, 2.0, 1.0, 0.285_875_4),
        (0.5, 0.5, 1.0, 0.068_589_6),
        (10.0, 10.0, 1.0, 0.826_995),
    ] {
        hold("C-11", facing_rectangles(a, b, gap), want, 1e-6);
    }
}

#[test]
fn corner_rectangles_c14() {
    for (h, want) in [(1.0, 0.200_043_8), (2.0, 0.232_852_6), (0.5, 0.146_186_7)] {
        hold("C-14", corner_rectangles(1.0, h, 1.0), want, 1e-6);
    }
    let there = corner_rectangles(1.0, 2.0, 1.0);
    let back = corner_rectangles(2.0, 1.0, 1.0);
    hold("C-14 reciprocity", back * 2.0, there, 1e-12);
}

#[test]
fn discs_and_cylinders_c41() {
    hold("C-41", coaxial_discs(1.0, 1.0, 1.0), 0.381_966_0, 1e-6);
    hold("C-41", coaxial_discs(0.28, 0.28, 0.15), 0.588_895_4, 1e-6);
    hold("C-41", coaxial_discs(0.28, 0.28, 0.6), 0.155_364_6, 1e-6);
    hold("C-41", coaxial_discs(1.0, 2.0, 1.0), 0.763_932_0, 1e-6);
    let c = InsideCylinder::new(0.28, 0.6);
    hold("end to wall", c.end_wall, 0.844_635_4, 1e-6);
    hold("wall to end", c.wall_end, 0.197_081_6, 1e-6);
    hold("wall to wall", c.wall_wall, 0.605_836_8, 1e-6);
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

#[test]
fn coaxial_cylinders_c91() {
    for (length, to_inner, to_self) in [
        (2.0, 0.337_106_0, 0.228_481_0),
        (4.0, 0.412_627_9, 0.328_598_3),
    ] {
        let (a, b) = coaxial_cylinders(1.0, 2.0, length);
        hold("C-91 F21", a, to_inner, 1e-6);
        hold("C-91 F22", b, to_self, 1e-6);
    }
}

#[test]
fn tubes_in_a_row() {
    hold("tubes", plane_to_tubes(0.5), 0.657_573_4, 1e-6);
    hold("tubes", plane_to_tubes(0.25), 0.361_283_2, 1e-6);
}
