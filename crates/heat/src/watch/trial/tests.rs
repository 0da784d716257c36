use super::*;

fn small(threads: usize) -> Trial {
    trial(&Ask {
        kilns: 2,
        clean: 1,
        faults: 0,
        learnt: 0,
        seed: 101,
        threads,
    })
}

#[test]
fn threads_do_not_change_the_answer() {
    let one = small(1);
    assert_eq!(one, small(2));
    assert!(one.refused.is_empty(), "{:?}", one.refused);
    assert_eq!(one.watched.len() + 3 * one.gave_up, 6);
}

/// A quick one: a sound kiln is left in peace, and what cannot be overlooked is not.
#[test]
fn grave_faults_are_found_and_sound_firings_left_in_peace() {
    let tried = trial(&Ask {
        kilns: 1,
        clean: 1,
        faults: 1,
        learnt: 1,
        seed: 101,
        threads: 1,
    });
    for way in [Way::New, Way::Learnt] {
        let sound = clean(&tried, way);
        assert_eq!((sound.firings, sound.false_in), (1, 0), "{sound:?}");
        for (i, plant) in PLANTS.iter().enumerate() {
            let f = found(&tried, i, way);
            assert_eq!(f.firings, 1);
            let grave = ["element-out", "sensor-open", "sensor-reversed", "stall"];
            if grave.contains(&plant.id) {
                assert_eq!(f.right, 1, "{}", plant.id);
            }
        }
    }
}
