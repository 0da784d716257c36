//! What the studio has: losses, upkeep, lists that are brought in, and who did what.
#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

mod stores;

use std::path::Path;

use glost_model::book::{Loss, Person, Stock, Upkeep, Wearing};
use glost_model::clay::Clay;
use glost_model::furniture::ShelfStock;
use glost_model::kiln::Kiln;
use glost_model::shown::Shown;
use glost_store::{Look, TurnLook};
use glost_studio::desk::audit::How;
use glost_studio::desk::lists::ListFile;
use glost_studio::desk::lose::NewLoss;
use glost_studio::desk::seed::KNOWN;
use glost_studio::desk::upkeep::NewUpkeep;
use glost_studio::desk::{Actor, Desk, DeskError};
use glost_studio::{demo_texts, open_texts};
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};

fn now() -> Timestamp {
    Timestamp::from_second(1_795_000_000).unwrap()
}

async fn studio(folder: &Path) -> Desk {
    let store = stores::open_store(folder, "a").await;
    let desk = Desk::new(store, folder.join("a.photos"));
    let (studio, _) = open_texts(&demo_texts()).unwrap();
    desk.bring_in(&studio, &KNOWN, now()).await.unwrap();
    desk
}

async fn person(desk: &Desk, name: &str) -> Person {
    let all = desk.store.list::<Person>(&Look::default()).await.unwrap();
    all.into_iter().find(|p| p.body.name == name).unwrap().body
}

fn by(person: &Person, days: i64) -> Actor<'_> {
    Actor {
        person,
        at: now() + SignedDuration::from_hours(24 * days),
    }
}

fn fields(done: Result<i64, DeskError>) -> Vec<String> {
    match done {
        Err(DeskError::Faults(all)) => all.into_iter().map(|f| f.field).collect(),
        other => panic!("{other:?}"),
    }
}

#[tokio::test]
async fn a_loss_lowers_the_stock_and_undo_brings_it_back() {
    let folder = tempfile::tempdir().unwrap();
    let desk = studio(folder.path()).await;
    let loader = person(&desk, "Davor Lund").await;
    let maker = person(&desk, "Wen Ardley").await;
    let shelf = desk.stock::<ShelfStock>().await.unwrap().remove(0).body;
    let had = shelf.thing.count;
    let loss = NewLoss {
        kind: "shelf".into(),
        thing: shelf.id.clone(),
        gone: 2,
        why: "broken".into(),
        words: " fell ".into(),
    };
    let refused = desk.lose(by(&maker, 1), &loss).await;
    assert!(matches!(refused, Err(DeskError::NotAllowed(_))));
    let turn = desk.lose(by(&loader, 1), &loss).await.unwrap();
    let count = async || {
        let kept = desk.store.get::<Stock<ShelfStock>>(&shelf.id).await;
        kept.unwrap().body.thing.count
    };
    assert_eq!(count().await, had - 2);
    let losses = desk.losses(by(&loader, 1), 9).await.unwrap();
    let l: &Loss = &losses[0].body;
    assert_eq!((l.gone, l.left, l.words.as_str()), (2, had - 2, "fell"));
    assert_eq!(l.who, loader.id);

    // More than there are cannot go, and nothing is stored of it.
    let much = NewLoss {
        gone: had,
        ..loss.clone()
    };
    assert_eq!(fields(desk.lose(by(&loader, 1), &much).await), ["gone"]);
    let none = NewLoss {
        gone: 0,
        why: String::new(),
        ..loss
    };
    assert_eq!(
        fields(desk.lose(by(&loader, 1), &none).await),
        ["gone", "why"]
    );
    assert_eq!(count().await, had - 2);

    desk.undo(by(&loader, 2), turn).await.unwrap();
    assert_eq!(count().await, had);
    assert!(desk.losses(by(&loader, 2), 9).await.unwrap().is_empty());
}

#[tokio::test]
async fn readings_are_kept_and_their_ageing_is_only_offered() {
    let folder = tempfile::tempdir().unwrap();
    let desk = studio(folder.path()).await;
    let nia = person(&desk, "Nia Corran").await;
    let davor = person(&desk, "Davor Lund").await;
    let kiln = desk.stock::<Kiln>().await.unwrap().remove(0).body;
    let reading = |day: i64, ohms: &[&str]| NewUpkeep {
        what: Some(Wearing::Resistance),
        readings: (1..).zip(ohms.iter().map(|o| (*o).to_owned())).collect(),
        at: now() + SignedDuration::from_hours(24 * day),
        words: String::new(),
    };
    let note =
        async |day: i64, new: &NewUpkeep| desk.note_upkeep(by(&davor, day), &kiln.id, new).await;
    note(1, &reading(1, &["10,0", "20"])).await.unwrap();
    let care = desk.care(by(&davor, 1), &kiln.id).await.unwrap();
    assert_eq!(care.entries.len(), 2);
    assert_eq!(care.offered, None, "nothing follows from one reading");
    note(9, &reading(9, &["11.2", "22.4"])).await.unwrap();
    let care = desk.care(by(&davor, 9), &kiln.id).await.unwrap();
    assert_eq!(care.offered, Some(1.12));
    assert_eq!(care.due[0].part, Wearing::Elements);
    let before = care.kiln.body.thing.element_ageing;
    assert!(
        (before - 1.12).abs() > 0.005,
        "the record has not moved by itself"
    );

    let version = care.kiln.version;
    let refused = desk.take_ageing(by(&davor, 9), &kiln.id, version).await;
    assert!(matches!(refused, Err(DeskError::NotAllowed(_))));
    desk.take_ageing(by(&nia, 9), &kiln.id, version)
        .await
        .unwrap();
    let care = desk.care(by(&nia, 9), &kiln.id).await.unwrap();
    assert!((care.kiln.body.thing.element_ageing - 1.12).abs() < 1e-9);
    assert_eq!(care.offered, None);

    // New elements are as new, and that is offered as well.
    let new = NewUpkeep {
        what: Some(Wearing::Elements),
        readings: Vec::new(),
        at: by(&davor, 10).at,
        words: "all".into(),
    };
    note(10, &new).await.unwrap();
    let care = desk.care(by(&nia, 10), &kiln.id).await.unwrap();
    assert_eq!(care.offered, Some(1.0));

    // What is wrong is told with its field; nothing of it is kept.
    let had = desk.store.count::<Upkeep>(&Look::default()).await.unwrap();
    let wrong = reading(12, &["10", "ten"]);
    assert_eq!(fields(note(11, &wrong).await), ["day", "ohm.2"]);
    assert_eq!(fields(note(12, &reading(12, &["", " "])).await), ["ohm.1"]);
    let many: Vec<&str> = vec!["10"; kiln.thing.bands.len() + 1];
    assert_eq!(fields(note(12, &reading(12, &many)).await).len(), 1);
    let nothing = NewUpkeep { what: None, ..new };
    assert_eq!(fields(note(12, &nothing).await), ["what"]);
    assert_eq!(
        desk.store.count::<Upkeep>(&Look::default()).await.unwrap(),
        had
    );
}

#[tokio::test]
async fn lists_are_looked_through_first_and_stored_as_they_were_seen() {
    let folder = tempfile::tempdir().unwrap();
    let desk = studio(folder.path()).await;
    let nia = person(&desk, "Nia Corran").await;
    let units = Shown::default();
    let file = |name: &str, text: String| ListFile {
        name: name.into(),
        text,
    };
    let texts = demo_texts();

    // The studio's own lists change nothing.
    let own = [
        file("clays.toml", texts.clays.clone()),
        file("g", texts.glazes.clone()),
        file("k", texts.kilns.clone()),
        file("f", texts.furniture.clone()),
    ];
    let seen = desk
        .look_lists_through(by(&nia, 1), &own, units)
        .await
        .unwrap();
    assert_eq!((seen.faults.len(), seen.changes()), (0, 0));
    assert!(
        desk.store_lists(by(&nia, 1), &own, units, seen.state)
            .await
            .is_err()
    );

    let clay = |name: &str, to: &str| {
        format!(
            "[[clay]]\nname = \"{name}\"\ncone_from = \"5\"\ncone_to = \"{to}\"\nslumps_on_points = true\n"
        )
    };
    let had = desk.stock::<Clay>().await.unwrap();
    let known = had[0].body.thing.name.clone();
    let list = [file("clays.toml", clay(&known, "14") + &clay("Sedge", "6"))];
    let seen = desk
        .look_lists_through(by(&nia, 1), &list, units)
        .await
        .unwrap();
    assert_eq!(seen.changes(), 2);
    assert!(seen.lines.iter().any(|l| l.new && l.name == "Sedge"));
    let changed = seen.lines.iter().find(|l| l.name == known).unwrap();
    assert!(
        changed
            .fields
            .iter()
            .any(|f| f.field == "cone_to" && f.after == "14")
    );
    assert_eq!(
        desk.stock::<Clay>().await.unwrap().len(),
        had.len(),
        "nothing is stored yet"
    );

    // A fault anywhere: nothing can be stored.
    let broken = [
        list[0].clone(),
        file(
            "glazes.toml",
            "[[glaze]]\nname = \"Fen\"\ncone_from = 06\n".into(),
        ),
    ];
    let bad = desk
        .look_lists_through(by(&nia, 1), &broken, units)
        .await
        .unwrap();
    assert!(!bad.good() && bad.faults.iter().all(|f| f.file == "glazes.toml"));
    assert!(
        desk.store_lists(by(&nia, 1), &broken, units, bad.state)
            .await
            .is_err()
    );

    let stale = desk
        .store_lists(by(&nia, 1), &list, units, seen.state - 1)
        .await;
    assert!(matches!(stale, Err(DeskError::Cannot { .. })));
    let turn = desk
        .store_lists(by(&nia, 1), &list, units, seen.state)
        .await
        .unwrap();
    let has = desk.stock::<Clay>().await.unwrap();
    assert_eq!(has.len(), had.len() + 1);
    desk.undo(by(&nia, 2), turn).await.unwrap();
    assert_eq!(desk.stock::<Clay>().await.unwrap().len(), had.len());
}

#[tokio::test]
async fn turns_are_found_and_told_field_by_field() {
    let folder = tempfile::tempdir().unwrap();
    let desk = studio(folder.path()).await;
    let nia = person(&desk, "Nia Corran").await;
    let davor = person(&desk, "Davor Lund").await;
    let kept = desk.stock::<Kiln>().await.unwrap().remove(0);
    let mut kiln = kept.body.thing.clone();
    kiln.height = glost_model::Length::mm(700.0);
    let id = kept.body.id.clone();
    let change = desk
        .change_thing(by(&nia, 1), &id, kept.version, kiln.clone())
        .await
        .unwrap();
    let find = async |look: TurnLook<'_>| {
        let most = TurnLook { most: 10, ..look };
        desk.audit(by(&nia, 3), &most, Shown::default(), &TimeZone::UTC)
            .await
            .unwrap()
    };
    let all = find(TurnLook::default()).await;
    assert_eq!(all[0].turn.id, change);
    assert!(all[0].undoable);
    let one = |turn: i64| {
        let desk = &desk;
        let nia = &nia;
        async move {
            desk.audit_one(by(nia, 3), turn, 0, Shown::default(), &TimeZone::UTC)
                .await
                .unwrap()
        }
    };
    let told = one(change).await.unwrap();
    assert_eq!((told.count, told.undoable), (1, true));
    assert_eq!(one(9_999_999).await, None);
    let touched = &told.things[0];
    assert_eq!(
        (touched.how, touched.name.as_str()),
        (How::Changed, kiln.name.as_str())
    );
    let height = touched.fields.iter().find(|f| f.field == "height").unwrap();
    assert_eq!(height.after, "700");
    assert_eq!(touched.fields.len(), 1, "{:?}", touched.fields);

    // By thing, person and day.
    let words = kiln.name.to_uppercase();
    assert_eq!(
        find(TurnLook {
            words: Some(&words),
            ..TurnLook::default()
        })
        .await[0]
            .turn
            .id,
        change
    );
    assert!(
        find(TurnLook {
            words: Some("no-such-thing"),
            ..TurnLook::default()
        })
        .await
        .is_empty()
    );
    assert_eq!(
        find(TurnLook {
            who: Some(&nia.id),
            ..TurnLook::default()
        })
        .await
        .len(),
        1
    );
    assert!(
        find(TurnLook {
            who: Some(&davor.id),
            ..TurnLook::default()
        })
        .await
        .is_empty()
    );
    let late = Some(by(&nia, 2).at);
    assert!(
        find(TurnLook {
            from: late,
            ..TurnLook::default()
        })
        .await
        .is_empty()
    );
    assert_eq!(
        find(TurnLook {
            until: late,
            ..TurnLook::default()
        })
        .await
        .len(),
        2
    );

    // What somebody built on cannot be taken back, and the page knows it beforehand.
    kiln.height = glost_model::Length::mm(710.0);
    desk.change_thing(by(&nia, 2), &id, kept.version + 1, kiln)
        .await
        .unwrap();
    let all = find(TurnLook::default()).await;
    assert_eq!((all[0].undoable, all[1].undoable), (true, false));
    assert!(desk.undo(by(&nia, 3), change).await.is_err());
    desk.undo(by(&nia, 3), all[0].turn.id).await.unwrap();
    let all = find(TurnLook::default()).await;
    assert!(all[2].undoable, "it is as it was after that turn again");
    desk.undo(by(&nia, 3), change).await.unwrap();

    let refused = desk
        .audit(
            by(&davor, 3),
            &TurnLook::default(),
            Shown::default(),
            &TimeZone::UTC,
        )
        .await;
    assert!(matches!(refused, Err(DeskError::NotAllowed(_))));
}
