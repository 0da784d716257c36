//! Files cut into pieces.
#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod made;

use glost_feed::tail::{Follower, Told};
use glost_feed::{LONGEST_LINE, Readings};
use made::{plain, rows};
use proptest::prelude::*;

fn whole(bytes: &[u8]) -> Vec<Told> {
    let all = Readings::new(bytes, rows(plain()));
    all.map(|r| r.map_or_else(Told::Misread, Told::Row))
        .collect()
}

fn in_pieces(bytes: &[u8], cuts: &[usize]) -> (Vec<Told>, Follower) {
    let mut follower = Follower::new(rows(plain()));
    let (mut told, mut rest) = (Vec::new(), bytes);
    for cut in cuts {
        let (piece, more) = rest.split_at((*cut).min(rest.len()));
        follower.take(piece, &mut told);
        rest = more;
    }
    follower.take(rest, &mut told);
    (told, follower)
}

fn table() -> impl Strategy<Value = Vec<u8>> {
    let row = "(2026-11-25T0[0-9]:[0-5][0-9]Z,[0-9]{1,3}(\\.[0-9])?|[a-z\",;\u{e4}]{0,9})(\r\n|\n)";
    prop::collection::vec(row, 0..30)
        .prop_map(|rows| format!("\u{feff}time,sensor\r\n{}", rows.concat()).into_bytes())
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_cut_gives_the_same_rows(bytes in table(), cuts in prop::collection::vec(0_usize..50, 0..40)) {
        let (told, follower) = in_pieces(&bytes, &cuts);
        prop_assert_eq!(told, whole(&bytes));
        prop_assert_eq!(follower.place().offset, bytes.len() as u64);
    }

    #[test]
    fn any_bytes_are_taken(bytes in prop::collection::vec(any::<u8>(), 0..600), cuts in prop::collection::vec(0_usize..50, 0..20)) {
        let (mut told, mut follower) = in_pieces(&bytes, &cuts);
        follower.end(&mut told);
        prop_assert!(follower.place().offset <= bytes.len() as u64);
    }
}

#[test]
fn a_line_too_long_is_told_and_the_next_is_read() {
    let mut bytes = b"time,sensor\n".to_vec();
    bytes.extend(std::iter::repeat_n(b'x', 3 * LONGEST_LINE));
    bytes.extend_from_slice(b"\n2026-11-25T08:00Z,20\n");
    for cuts in [vec![], vec![1000; 200], vec![LONGEST_LINE + 12, 1]] {
        let (told, follower) = in_pieces(&bytes, &cuts);
        assert!(
            matches!(&told[0], Told::Misread(f) if f.what.contains("longer than") && f.line == Some(2))
        );
        assert!(matches!(told[1], Told::Row(_)));
        assert_eq!(
            (told.len(), follower.place().offset),
            (2, bytes.len() as u64)
        );
    }
}

#[test]
fn half_a_line_is_not_read_at_the_end_of_a_file() {
    let (mut told, mut follower) = in_pieces(b"time,sensor\n2026-11-25T08:00Z,1222", &[]);
    assert!(told.is_empty());
    follower.end(&mut told);
    assert!(matches!(&told[..], [Told::Misread(f)] if f.what.contains("cut short")));
}
