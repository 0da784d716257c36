//! How much room a piece takes among others on a shelf, the gaps between them included.
//!
//! Grown by half of the least gap, the pieces on a shelf are convex bodies F without overlap in a
//! convex room K of area A and edge P. Theorem, for any μ, ν, κ ≥ 0 and at least two bodies:
//!
//! Σ f(F) ≤ A − ν P + 2π κ − 6 μ, where f(F) = min over e, b, τ of |Q| − ν ℓ + κ τ + μ (e + 2 b − 6),
//!
//! Q being a convex cell about F with e straight sides and b parts of K's edge, of length ℓ and
//! turn τ together. The proof stands in `docs/decisions/0004-bound.md`: bodies grow into convex
//! cells with Σ (e + 2 b) ≤ 6 N − 6 (after L. Fejes Tóth, Acta Sci. Math. Szeged 12 A, 1950, who has
//! hexagons), and the least cell is worked out here. Equal discs with ν = κ = 0 give the density
//! π/√12 of Thue; with all terms, nearly the inequality of Groemer and Oler.

use std::f64::consts::{FRAC_PI_6, PI};

/// A grown body.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grown {
    /// Its area, m².
    pub area_m2: f64,
    /// Radius of a disc that rolls along inside its whole edge, m.
    pub roll_m: f64,
    /// Radius of a disc in it, m.
    pub in_m: f64,
}

impl Grown {
    /// A disc.
    pub fn disc(r_m: f64) -> Self {
        Self {
            area_m2: PI * r_m * r_m,
            roll_m: r_m,
            in_m: r_m,
        }
    }

    fn is_disc(&self) -> bool {
        self.roll_m >= self.in_m
    }
}

/// The weights of sides, of a room's edge and of its turn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weights {
    /// For a side: μ, m².
    pub side_m2: f64,
    /// For the room's edge: ν, m.
    pub edge_m: f64,
    /// For its turn: κ, m² a radian.
    pub turn_m2: f64,
}

/// Least area of a polygon of n sides about the unit disc.
fn about_disc(n: f64) -> f64 {
    n * (PI / n).tan()
}

/// The least of a function that falls and then rises.
fn least(mut lo: f64, mut hi: f64, cost: impl Fn(f64) -> f64) -> f64 {
    // The golden section: its error is of second order.
    let g = (5f64.sqrt() - 1.0) / 2.0;
    let (mut x, mut y) = (hi - g * (hi - lo), lo + g * (hi - lo));
    let (mut at_x, mut at_y) = (cost(x), cost(y));
    for _ in 0..30 {
        if at_x < at_y {
            (hi, y, at_y) = (y, x, at_x);
            x = hi - g * (hi - lo);
            at_x = cost(x);
        } else {
            (lo, x, at_x) = (x, y, at_y);
            y = lo + g * (hi - lo);
            at_y = cost(y);
        }
    }
    at_x.min(at_y)
}

impl Weights {
    /// Those that suit discs of one radius: six sides each. `edge` is a share of (2 − √3)/2 radii: a
    /// disc on a straight edge takes (2 + √3) r² on 2 r, one inside √12 r².
    pub fn for_discs(r_m: f64, edge: f64) -> Self {
        let side = FRAC_PI_6 / FRAC_PI_6.cos().powi(2) - FRAC_PI_6.tan();
        let mut w = Self {
            side_m2: side * r_m * r_m,
            edge_m: edge * (1.0 - 3f64.sqrt() / 2.0) * r_m,
            turn_m2: 0.0,
        };
        // The least turn that makes no disc cheaper at the edge than inside.
        let want = 12f64.sqrt() * r_m * r_m * (1.0 - 1e-8);
        let (mut lo, mut hi) = (0.0, r_m * r_m);
        for _ in 0..30 {
            w.turn_m2 = f64::midpoint(lo, hi);
            if w.room_of(&Grown::disc(r_m)) < want {
                lo = w.turn_m2;
            } else {
                hi = w.turn_m2;
            }
        }
        w.turn_m2 = hi;
        w
    }

    /// What a room gives.
    pub fn room(&self, area_m2: f64, edge_m: f64) -> f64 {
        area_m2 - self.edge_m * edge_m + 2.0 * PI * self.turn_m2 - 6.0 * self.side_m2
    }

    /// What a body takes of it, at least. Nothing is a sound answer too: a body may be left away.
    pub fn room_of(&self, body: &Grown) -> f64 {
        let r2 = body.roll_m * body.roll_m;
        let mut least = f64::INFINITY;
        for n in 3..400 {
            let n = f64::from(n);
            let cell = body.area_m2 + (about_disc(n) - PI) * r2 + self.side_m2 * (n - 6.0);
            if cell > least {
                break;
            }
            least = cell;
        }
        let keeps = 1.0 - 2.0 * self.edge_m / body.in_m;
        if keeps <= 0.0 {
            return 0.0;
        }
        // By e + 2 b: what costs more in sides alone needs no looking at.
        for m in 3..400 {
            let sides = self.side_m2 * (f64::from(m) - 6.0);
            if keeps * body.area_m2 + sides >= least {
                break;
            }
            for b in 1..=m / 3 {
                let (e, b) = (f64::from(m - 2 * b), f64::from(b));
                let cell = if body.is_disc() {
                    self.disc_at_edge(body.roll_m, keeps, e, b)
                } else {
                    self.at_edge(body, keeps, e + b)
                };
                least = least.min(cell + sides);
            }
        }
        (least * (1.0 - 1e-8)).max(0.0)
    }

    /// Least |Q| − ν ℓ + κ τ of a cell with `c` corners at the room's edge.
    fn at_edge(&self, body: &Grown, keeps: f64, c: f64) -> f64 {
        let r2 = keeps * body.roll_m * body.roll_m;
        let half = (2.0 * self.turn_m2 / r2).sqrt().atan().min(PI / c);
        let turn = 2.0 * PI - 2.0 * c * half;
        keeps * body.area_m2 + (c * half.tan() + turn / 2.0 - PI) * r2 + self.turn_m2 * turn
    }

    /// The same of a disc, from sectors about its middle.
    fn disc_at_edge(&self, r_m: f64, keeps: f64, e: f64, b: f64) -> f64 {
        let (side, edge) = (r_m * r_m, r_m * r_m * keeps);
        // A part of the room's edge seen under an angle: it turns as far as that pays.
        let straight = 2.0 * (2.0 * self.turn_m2 / edge).sqrt().atan();
        least(0.0, (2.0 * PI / e).min(PI - 1e-9), |side_angle| {
            let seen = (2.0 * PI - e * side_angle) / b;
            let flat = seen.min(straight);
            let turn = seen - flat;
            let arc = edge * (turn / 2.0 + (flat / 2.0).tan()) + self.turn_m2 * turn;
            e * side * (side_angle / 2.0).tan() + b * arc
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Thue's theorem: the density of equal discs is π/√12 at most.
    #[test]
    fn equal_discs_take_hexagons() {
        for edge in [0.0, 0.3, 0.6] {
            let w = Weights::for_discs(0.05, edge);
            let f = w.room_of(&Grown::disc(0.05)) / 0.0025;
            assert!((f - 12f64.sqrt()).abs() < 1e-6, "{edge}: {f}");
        }
    }

    /// Against packings that exist: discs of two sizes in the plane that fill more than hexagons do.
    /// T. Kennedy, "Compact packings of the plane with two sizes of discs" (2006): ratio √2 − 1,
    /// one small disc for each large, density π (2 − √2)/2 = 0.9202.
    #[test]
    fn two_sizes_are_not_asked_for_more_room_than_they_need() {
        let small = 2f64.sqrt() - 1.0;
        for size in [0.3, 0.5, 0.7, 1.0, 1.4] {
            let w = Weights::for_discs(size, 0.0);
            let pair = w.room_of(&Grown::disc(1.0)) + w.room_of(&Grown::disc(small));
            assert!(pair <= 4.0, "{size}: {pair} of a square of side 2");
            // And not idle: more than the discs themselves.
            let idle = PI * (1.0 + small * small);
            assert!(
                !(0.4..=1.0).contains(&size) || pair > idle,
                "{size}: {pair}"
            );
        }
        // Squares fill the plane.
        let square = Grown {
            area_m2: 4.0,
            roll_m: 1e-6,
            in_m: 1.0,
        };
        for size in [0.3, 1.0, 3.0] {
            assert!(Weights::for_discs(size, 0.0).room_of(&square) <= 4.0);
        }
    }

    /// Against Packomania's list: no best-known packing of equal circles takes more than there is.
    #[test]
    fn best_known_packings_have_room() {
        let text = include_str!("../../data/circles_in_circle.csv");
        let rows = text.lines().filter(|l| !l.starts_with('#')).skip(1);
        let (mut over, mut n) = (0.0, 0.0);
        for line in rows {
            let mut cells = line.split(',');
            let count: f64 = cells.next().unwrap().parse().unwrap();
            let big: f64 = cells.next().unwrap().parse().unwrap();
            let mut best = f64::INFINITY;
            for edge in [0.0, 0.3, 0.6, 0.9] {
                for size in [0.6, 0.9, 1.0, 1.2] {
                    let w = Weights::for_discs(size, edge);
                    let room = w.room(PI * big * big, 2.0 * PI * big);
                    let each = w.room_of(&Grown::disc(1.0));
                    let fits = count * each <= room;
                    assert!(count < 2.0 || fits, "{count} circles, {edge}, {size}");
                    best = best.min(room / each);
                }
            }
            if count > 6.0 {
                n += 1.0;
                over += best / count - 1.0;
            }
        }
        println!(
            "room for {:.1} % more than the best known on average",
            100.0 * over / n
        );
    }

    /// Boxes side by side fill a row: rectangles in a rectangle, none left over.
    #[test]
    fn boxes_that_fill_a_room_have_room() {
        for (a, b) in [(0.1, 0.1), (0.15, 0.1), (0.3, 0.05)] {
            for n in 2..6 {
                let box_ = Grown {
                    area_m2: a * b,
                    roll_m: 1e-9,
                    in_m: f64::min(a, b) / 2.0,
                };
                for size in [0.02, 0.05, 0.1] {
                    for edge in [0.0, 0.4, 0.75] {
                        let w = Weights::for_discs(size, edge);
                        let n = f64::from(n);
                        let room = w.room(n * n * a * b, 2.0 * n * (a + b));
                        assert!(
                            n * n * w.room_of(&box_) <= room,
                            "{a} {b} {n} {size} {edge}"
                        );
                    }
                }
            }
        }
    }
}
