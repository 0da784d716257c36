/// From a disc to another on the same axis (C-41).
pub fn coaxial_discs(from_radius: f64, to_radius: f64, gap: f64) -> f64 {
    let (r1, r2) = (from_radius / gap, to_radius / gap);
    let x = 1.0 + (1.0 + r2 * r2) / (r1 * r1);
    // Stable form of ½ (x − √(x² − 4 (r2/r1)²)).
    let q = 4.0 * (r2 / r1).powi(2);
    q / (2.0 * (x + (x * x - q).max(0.0).sqrt()))
}

/// Views between the ends of a closed cylinder when each end is a disc with a ring around it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RingViews {
    /// Lower disc to upper disc.
    pub disc_disc: f64,
    /// Lower disc to upper ring.
    pub disc_ring: f64,
    /// Lower ring to upper disc.
    pub ring_disc: f64,
    /// Lower ring to upper ring.
    pub ring_ring: f64,
}

/// Disc and ring below, disc and ring above, the rings reaching to the same outer radius (C-41 and
/// its sums). A disc as wide as the outer radius leaves a ring without area.
pub fn disc_and_ring(
    lower_radius: f64,
    upper_radius: f64,
    outer_radius: f64,
    gap: f64,
) -> RingViews {
    let area = |r: f64| r * r;
    let whole = area(outer_radius);
    let disc_disc = coaxial_discs(lower_radius, upper_radius, gap);
    let disc_ring = (coaxial_discs(lower_radius, outer_radius, gap) - disc_disc).max(0.0);
    let ring = whole - area(lower_radius);
    if ring <= whole * 1e-9 {
        return RingViews {
            disc_disc,
            disc_ring,
            ring_disc: 0.0,
            ring_ring: 0.0,
        };
    }
    let outer_to_disc = coaxial_discs(outer_radius, upper_radius, gap) * whole;
    let ring_disc = (outer_to_disc - area(lower_radius) * disc_disc) / ring;
    let outer_to_all = coaxial_discs(outer_radius, outer_radius, gap) * whole;
    let ring_all = (outer_to_all - area(lower_radius) * (disc_disc + disc_ring)) / ring;
    RingViews {
        disc_disc,
        disc_ring,
        ring_disc,
        ring_ring: (ring_all - ring_disc).max(0.0),
    }
}
