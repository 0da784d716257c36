//! How many things of a size can lie apart in a convex room.

use super::room::{Room, Size};

/// Oler's inequality: how many points with mutual distance of at least `apart_m` a compact convex
/// set can hold. N. Oler, "An inequality in the geometry of numbers", Acta Math. 105 (1961); short
/// proof: J. H. Folkman, R. L. Graham, Canad. Math. Bull. 12 (1969).
pub fn oler(size: Size, apart_m: f64) -> f64 {
    2.0 / 3f64.sqrt() * size.area_m2 / (apart_m * apart_m) + size.edge_m / (2.0 * apart_m) + 1.0
}

/// Least ratios of a circle's radius to that of 1, 2, … equal circles in it, proved to be least:
/// R. L. Graham (1968) up to 7, U. Pirl (1969) up to 10, H. Melissen (1994) for 11, F. Fodor (2000,
/// 2003) for 12 and 13. Figures: Packomania's list "cci", `data/circles_in_circle.csv`.
const PROVED: [f64; 13] = [
    1.0,
    2.0,
    2.154_700_538_4,
    2.414_213_562_4,
    2.701_301_616_7,
    3.0,
    3.0,
    3.304_764_871_0,
    3.613_125_929_8,
    3.813_025_631_4,
    3.923_804_400_2,
    4.029_601_930_1,
    4.236_067_977_5,
];

/// The most discs of radius `r_m`, `gap_m` apart, in a room.
pub fn most(room: &Room, r_m: f64, gap_m: f64) -> f64 {
    let Some(size) = room.inside(r_m) else {
        return 0.0;
    };
    let count = (oler(size, 2.0 * r_m + gap_m) + 1e-9).floor();
    // Grown by half the gap, discs lie apart in the room grown as much.
    let ratio = |big: f64| (big + gap_m / 2.0) / (r_m + gap_m / 2.0);
    let few = room.round_m().map(ratio).and_then(|ratio| {
        let fit = PROVED.iter().filter(|p| **p <= ratio * (1.0 + 1e-9));
        let fit = fit.count();
        (fit < PROVED.len()).then_some(fit as f64)
    });
    count.min(few.unwrap_or(f64::INFINITY))
}

#[cfg(test)]
mod tests {
    use super::*;
    use glost_model::Length;
    use glost_model::furniture::ShelfShape;
    use glost_model::shape::Chamber;

    fn table() -> Vec<(usize, f64)> {
        let text = include_str!("../../data/circles_in_circle.csv");
        let row = |line: &str| {
            let mut cells = line.split(',');
            let n = cells.next().unwrap().parse().unwrap();
            (n, cells.next().unwrap().parse().unwrap())
        };
        text.lines()
            .filter(|l| !l.starts_with('#'))
            .skip(1)
            .map(row)
            .collect()
    }

    /// Against Packomania's list "cci" of best-known packings: the bound never lies below one.
    #[test]
    fn never_fewer_than_the_best_known_packing_has() {
        let (mut sum, rows) = (0.0, table());
        assert!(rows.len() > 80, "{}", rows.len());
        for &(n, ratio) in &rows {
            let diameter = Length::m(2.0 * ratio);
            let shelf = ShelfShape::Circle { diameter };
            let room = Room::full(&shelf, &Chamber::Circle { diameter }, 0.0);
            // The table has ten decimals.
            let r = 1.0 - 1e-9;
            let raw = room.inside(r).map_or(1.0, |size| oler(size, 2.0 * r));
            assert!(raw + 1e-6 >= n as f64, "{n}: Oler {raw}");
            let bound = most(&room, r, 0.0);
            assert!(bound >= n as f64, "{n}: {bound}");
            if n <= 12 && n != 6 {
                assert_eq!(bound as usize, n, "exact where that is proved");
            }
            // A gap counts like larger discs.
            let with_gap = most(&room, 0.9, 0.2 - 1e-9);
            assert!(with_gap >= n as f64, "{n} with gaps: {with_gap}");
            sum += bound / n as f64 - 1.0;
        }
        println!(
            "counts lie {:.1} % above the best known on average",
            100.0 * sum / rows.len() as f64
        );
    }
}
