use super::*;

fn small(threads: usize) -> Trial {
    trial(&Ask {
        kilns: 2,
        clean: 1,
        faults: 0,
        learnt: 1,
        seed: 101,
        threads,
    })
}

#[test]
fn threads_do_not_change_the_answer() {
    let one = small(1);
    assert_eq!(one, small(2));
    assert!(one.refused.is_empty(), "{:?}", one.refused);
    assert_eq!(one.watched.len() + 2 * one.gave_up, 4);
}
