//! More firings weighed against fewer, by firings that are left out of both, in kilns unlike the model.
#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeSet;

use glost_heat::learn::trial::{Draw, past};
use glost_heat::learn::{Past, Weighed, learn, learn_and_weigh};
use glost_model::cone::Cone;
use glost_model::{Span, Temperature};

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

/// What may go wrong with what is kept of a firing.
#[derive(Debug, Clone, Copy)]
enum Wrong {
    Nothing,
    /// Cones taken for others of the set, so many further up.
    Cones(f64),
    /// The sensor hung so far out that it read so much too little, K.
    Sensor(f64),
    /// Another load than planned: so many times the ware.
    Load(f64),
}

impl Wrong {
    fn with(self, past: &mut Past) {
        match self {
            Self::Nothing => {}
            Self::Cones(by) => {
                for c in &mut past.cones {
                    c.cone = Cone::from_position(c.cone.position() + by).unwrap();
                }
            }
            Self::Sensor(k) => {
                for t in past.log.iter_mut().filter_map(|s| s.sensor.as_mut()) {
                    let share = (t.to_c() / 1200.0).clamp(0.0, 1.0);
                    *t = Temperature::c(t.to_c() - k * share);
                }
            }
            Self::Load(times) => {
                for w in &mut past.input.ware {
                    w.mass = w.mass * times;
                }
            }
        }
    }
}

fn weighed(pasts: &[Past], new: usize) -> Option<Weighed> {
    let known = ids(&pasts[..pasts.len() - new]);
    learn_and_weigh(pasts, &[], &known, 2, &mut |_| true)
        .1
        .pop()
}

/// How often the last of some firings is found to make things worse, and how often learning refuses it itself.
fn tried(all: &[Vec<Past>], wrong: Wrong) -> (usize, usize) {
    let (mut worse, mut refused, mut told) = (0, 0, String::new());
    for pasts in all {
        for count in [3, 4, 6] {
            let mut pasts = pasts[..count].to_vec();
            wrong.with(pasts.last_mut().unwrap());
            let Some(w) = weighed(&pasts, 1) else {
                refused += 1;
                continue;
            };
            worse += usize::from(w.worse());
            told.push_str(&format!(" {:.2}>{:.2}", w.off.0, w.off.1));
        }
    }
    println!("{wrong:?}: refused {refused}, worse {worse}:{told}");
    (worse, refused)
}

#[test]
fn a_bad_firing_is_found_and_sound_ones_are_mostly_taken() {
    let all: Vec<Vec<Past>> = (0..8).map(|kiln| of_a_kiln(kiln, 6)).collect();
    let (worse, refused) = tried(&all, Wrong::Nothing);
    assert!(
        worse + refused <= 6,
        "{worse} and {refused} of 24 sound ones"
    );
    for wrong in [
        Wrong::Cones(1.0),
        Wrong::Cones(-1.0),
        Wrong::Sensor(15.0),
        Wrong::Sensor(30.0),
        Wrong::Load(0.6),
        Wrong::Load(1.6),
    ] {
        let (bad, none) = tried(&all, wrong);
        assert!(bad + none > worse, "{wrong:?}: {bad} and {none} of 24");
    }
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
