//! The proof is never above what is found.

use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

use super::{Row, asked, kiln, row, studio};
use crate::backlog::Aim;

#[test]
fn no_backlog_is_fired_in_fewer_firings_than_proved() {
    let mut rng = ChaCha8Rng::seed_from_u64(5);
    let mut met = 0;
    for case in 0..12 {
        let count = rng.random_range(1..32);
        let wide = rng.random_range(120..420);
        let rows: Vec<Row<'_>> = (0..count)
            .map(|n| {
                let mut r = row(n, rng.random_range(60..wide), rng.random_range(20..260));
                match rng.random_range(0..12) {
                    0 => r.glaze = "six",
                    1 => r.glaze = "five",
                    2 => r.glaze = "lead",
                    3 => (r.stage, r.glaze) = ("greenware", ""),
                    4 => (r.clay, r.glaze) = ("low", "haw"),
                    _ => {}
                }
                r
            })
            .collect();
        let kilns = match case % 3 {
            0 => kiln("Wren", 660, 690, "10"),
            1 => kiln("Low", 660, 380, "10"),
            _ => kiln("Wren", 660, 690, "10") + &kiln("Low", 660, 380, "8"),
        };
        let studio = studio(&kilns, 18, "", &rows);
        let backlog = asked(&studio, Aim::Fewest, case, 2);
        let (least, found) = (backlog.least.firings, backlog.firings.len());
        println!("case {case}: {count} pieces, {found} firings, at least {least}");
        assert!(least <= found, "case {case}: {:?}", backlog.least);
        assert!(least >= 1 || found == 0);
        met += usize::from(least == found);
    }
    println!("proved best in {met} of 12");
    assert!(met >= 4, "{met}");
}

#[test]
fn tall_and_heavy_ware_and_scarce_supports_are_counted() {
    // 400 mm high in 690 mm: one level of them, and at most seven of 150 mm stand on it
    // (Packomania: eight need a circle of 3.304 times their radius).
    let rows: Vec<Row<'_>> = (0..15).map(|n| row(n, 150, 400)).collect();
    let tall = asked(
        &studio(&kiln("Wren", 660, 690, "10"), 18, "", &rows),
        Aim::Fewest,
        1,
        8,
    );
    assert!(tall.least.firings >= 2, "{:?}", tall.least);
    assert!(tall.firings.len() >= tall.least.firings);
}
