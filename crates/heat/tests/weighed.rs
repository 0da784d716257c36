//! A firing weighed by others that are left out.
#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeSet;

use glost_heat::learn::trial::{Draw, past};
use glost_heat::learn::{Foretold, Past, Weighed, learn, learn_and_weigh};
use glost_model::Span;

/// Firings of a strange kiln, in order.
fn of_a_kiln(number: usize, count: usize) -> Vec<Past> {
    let mut draw = Draw::new(31, number);
    (0..count)
        .map(|i| {
            let (load, plan) = draw.next_firing().unwrap();
            let at = Draw::start(i);
            let fired = draw.kiln.fire(&plan, &load, &[], at, Span::minutes(2.0));
            past(i, &load, &plan, &fired)
        })
        .collect()
}

fn ids(pasts: &[Past]) -> BTreeSet<String> {
    pasts.iter().map(|p| p.id.clone()).collect()
}

#[test]
fn it_learns_what_learning_learns() {
    let pasts = of_a_kiln(1, 3);
    let (learnt, weighed) = learn_and_weigh(&pasts, &[], &ids(&pasts), 2, &mut |_| true);
    assert_eq!(learnt, learn(&pasts, &[], 1));
    assert_eq!(weighed, [], "nothing is new");
    let (_, stopped) = learn_and_weigh(&pasts, &[], &BTreeSet::new(), 2, &mut |n| n < 2);
    assert_eq!(stopped, []);
}

#[test]
fn worse_is_clearly_worse_and_told_by_more_than_one() {
    let foretold = |firings: usize| Foretold {
        firings,
        cone: Some(0.2),
        peak_s: None,
        energy: None,
    };
    let weighed = |firings: usize, off: (f64, f64)| Weighed {
        firing: "9".into(),
        without: foretold(firings),
        with: foretold(firings),
        off,
    };
    assert!(weighed(3, (1.0, 1.3)).worse());
    assert!(!weighed(3, (1.0, 1.1)).worse(), "that is chance");
    assert!(!weighed(3, (1.3, 1.0)).worse());
    assert!(!weighed(1, (1.0, 4.0)).worse(), "one against one");
}
