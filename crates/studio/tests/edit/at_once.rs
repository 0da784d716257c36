//! How long a step takes.

use std::time::Instant;

use crate::{BENCHES, HERON, shift};

/// The judge answers before a hand notices, for glazed ware and for greenware in piles. Prints how long it took.
#[test]
fn the_answer_comes_at_once() {
    for mut bench in [HERON.clone(), BENCHES[4].clone()] {
        let lowest = bench.load().placed().filter(|(_, p)| p.on.is_none());
        let ids: Vec<String> = lowest.map(|(_, p)| p.piece.clone()).collect();
        let mut took: Vec<f64> = Vec::new();
        for pair in ids.windows(2) {
            let step = shift(&bench, &pair[0], &pair[1]);
            let start = Instant::now();
            bench.apply(step).unwrap();
            took.push(start.elapsed().as_secs_f64() * 1e3);
            bench.undo().unwrap();
        }
        took.sort_by(f64::total_cmp);
        let (middle, most) = (took[took.len() / 2], took[took.len() - 1]);
        let (count, kept) = (
            bench.load().placed().count(),
            serde_json::to_string(&bench).unwrap().len() / 1024,
        );
        println!(
            "{count} pieces: edit and judge {middle:.1} ms in the middle, {most:.1} ms at most; the bench is {kept} KiB"
        );
        assert!(middle < 50.0, "{middle} ms");
    }
}
