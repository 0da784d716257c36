//! A file on a disk, written, renamed, emptied, and read on after restarts.
#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod made;

use std::fs::{self, File, OpenOptions};
use std::io::Write;
use std::path::{Path, PathBuf};

use glost_feed::tail::{Place, Tail, Told};
use glost_feed::{Event, Teller, TroubleKind};
use glost_model::Span;
use made::{plain, rows, second, still};
use proptest::prelude::*;

const TITLES: &str = "time,sensor\n";

fn row(n: i64) -> String {
    format!("{},{n}\n", second(n))
}

fn append(path: &Path, text: &str) {
    let mut file = OpenOptions::new()
        .append(true)
        .create(true)
        .open(path)
        .unwrap();
    file.write_all(text.as_bytes()).unwrap();
}

/// What is told until nothing is new.
fn drain(tail: &mut Tail) -> Vec<Told> {
    let mut told = Vec::new();
    while tail.poll(&mut told) {}
    told
}

fn numbers(told: &[Told]) -> Vec<i64> {
    let rows = told.iter().filter_map(|t| match t {
        Told::Row(sample) => Some(sample),
        _ => None,
    });
    rows.map(|s| s.at.as_second() - second(0).as_second())
        .collect()
}

fn tail(path: &Path, place: Option<Place>) -> Tail {
    Tail::new(path, rows(plain()), place)
}

#[derive(Debug, Clone)]
enum Deed {
    /// Writes rows, and the first part of another.
    Write(i64, usize),
    /// Renames the file and begins a new one.
    Rotate,
    Look,
    /// Stops, keeping the place, and starts again; a place is kept in text.
    Restart,
}

fn deeds() -> impl Strategy<Value = Vec<Deed>> {
    let one = prop_oneof![
        4 => (0_i64..20, 0_usize..23).prop_map(|(n, part)| Deed::Write(n, part)),
        1 => Just(Deed::Rotate),
        3 => Just(Deed::Look),
        2 => Just(Deed::Restart),
    ];
    prop::collection::vec(one, 0..25)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_row_is_lost_or_doubled(deeds in deeds()) {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("kiln.csv");
        append(&path, TITLES);
        let mut tail = tail(&path, None);
        let (mut next, mut rest, mut told, mut old) = (0, String::new(), Vec::new(), 0);
        for deed in deeds {
            match deed {
                Deed::Write(n, part) => {
                    let mut text = std::mem::take(&mut rest);
                    for _ in 0..n {
                        text.push_str(&row(next));
                        next += 1;
                    }
                    if part > 0 {
                        let half = row(next);
                        next += 1;
                        let (now, later) = half.split_at(part);
                        text.push_str(now);
                        later.clone_into(&mut rest);
                    }
                    append(&path, &text);
                }
                Deed::Rotate => {
                    append(&path, &std::mem::take(&mut rest));
                    // Of two renamings between two looks the first file is not looked for.
                    told.extend(drain(&mut tail));
                    old += 1;
                    fs::rename(&path, folder.path().join(format!("kiln.csv.{old}"))).unwrap();
                    append(&path, TITLES);
                }
                Deed::Look => told.extend(drain(&mut tail)),
                Deed::Restart => {
                    let kept = serde_json::to_string(&tail.place()).unwrap();
                    tail = self::tail(&path, serde_json::from_str(&kept).ok());
                }
            }
        }
        append(&path, &rest);
        told.extend(drain(&mut tail));
        prop_assert_eq!(numbers(&told), (0..next).collect::<Vec<_>>());
        let odd = told.iter().find(|t| !matches!(t, Told::Row(_) | Told::Rotated));
        prop_assert!(odd.is_none(), "{:?}", odd);
    }
}

fn begun() -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("kiln.csv");
    append(&path, TITLES);
    append(&path, &row(1));
    (folder, path)
}

#[test]
fn a_file_that_is_not_there_yet_is_waited_for() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("kiln.csv");
    let mut tail = tail(&path, None);
    assert_eq!(drain(&mut tail), [Told::NoFile]);
    assert_eq!(drain(&mut tail), []);
    append(&path, TITLES);
    append(&path, &row(1));
    assert_eq!(numbers(&drain(&mut tail)), [1]);
}

#[test]
fn an_emptied_file_is_read_from_its_beginning() {
    let (_folder, path) = begun();
    let mut tail = tail(&path, None);
    assert_eq!(numbers(&drain(&mut tail)), [1]);
    File::create(&path).unwrap();
    assert_eq!(drain(&mut tail), [Told::BegunAnew]);
    append(&path, &format!("{TITLES}{}{}{}", row(2), row(3), row(4)));
    assert_eq!(numbers(&drain(&mut tail)), [2, 3, 4]);
    // Longer than before, and yet another.
    fs::write(
        &path,
        format!("{TITLES}{}{}{}{}", row(5), row(6), row(7), row(8)),
    )
    .unwrap();
    let told = drain(&mut tail);
    assert_eq!(
        (told[0].clone(), numbers(&told)),
        (Told::BegunAnew, vec![5, 6, 7, 8])
    );
}

#[test]
fn after_a_restart_the_renamed_file_is_read_to_its_end() {
    let (folder, path) = begun();
    let mut first = tail(&path, None);
    drain(&mut first);
    let place = first.place();
    drop(first);
    append(&path, &row(2));
    fs::rename(&path, folder.path().join("kiln.old.csv")).unwrap();
    let mut second = tail(&path, Some(place.clone()));
    assert_eq!(numbers(&drain(&mut second)), [2]);
    append(&path, &format!("{TITLES}{}", row(3)));
    assert_eq!(numbers(&drain(&mut second)), [3]);
    // Where it is gone for good, that is said.
    fs::remove_file(folder.path().join("kiln.old.csv")).unwrap();
    let told = drain(&mut tail(&path, Some(place)));
    assert_eq!((told[0].clone(), numbers(&told)), (Told::Lost, vec![3]));
}

#[test]
fn a_restart_does_not_read_columns_that_moved() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("kiln.csv");
    append(&path, "sensor,time\n");
    let mut first = tail(&path, None);
    assert_eq!(drain(&mut first).len(), 1);
    append(&path, &row(1));
    assert_eq!(drain(&mut tail(&path, Some(first.place()))), []);
}

#[tokio::test]
async fn rows_come_with_the_place_after_them() {
    let (_folder, path) = begun();
    let (to, mut from) = tokio::sync::mpsc::channel(16);
    let teller = Teller::new(
        to,
        still(),
        glost_feed::clean::Guard::default(),
        Span::h(1.0),
    );
    let every = std::time::Duration::from_millis(5);
    let task = tokio::spawn(glost_feed::tail::follow(tail(&path, None), every, teller));
    let mut events = Vec::new();
    while events.len() < 3 {
        let event = from.recv().await.unwrap();
        let place = matches!(event, Event::Place(ref p) if p.offset > 0);
        // An opened file has a place of its own before anything was read.
        if place || !matches!(event, Event::Place(_)) {
            events.push(event);
        }
        if events.len() == 2 && place {
            fs::rename(&path, path.with_extension("old")).unwrap();
            append(&path, TITLES);
        }
    }
    assert!(matches!(&events[0], Event::Heard(h) if h.remarks.is_empty()));
    assert!(matches!(&events[1], Event::Place(_)));
    assert!(matches!(&events[2], Event::Trouble(t) if t.kind == TroubleKind::Rotated));
    drop(from);
    assert!(task.await.unwrap().is_err());
}
