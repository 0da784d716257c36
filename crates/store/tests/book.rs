//! The same tests on both databases.
#![expect(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test fails by panicking"
)]

mod stores;

use glost_model::book::{Person, Role, Stock};
use glost_model::clay::Clay;
use glost_model::cone::Cone;
use glost_store::{By, Kept, Look, Order, Pass, PassUse, StoreError, digest};
use jiff::{Timestamp, ToSpan};
use stores::{Place, both};

fn at(second: i64) -> Timestamp {
    Timestamp::from_second(1_795_000_000 + second).unwrap()
}

fn by(second: i64) -> By<'static> {
    By {
        who: "p1",
        at: at(second),
    }
}

fn person(id: &str, name: &str, role: Role) -> Person {
    Person {
        id: id.into(),
        name: name.into(),
        role,
        class: None,
        mark: String::new(),
        reach: String::new(),
        shown: None,
        wish: glost_model::book::Wish::default(),
    }
}

fn clay(id: &str, name: &str) -> Stock<Clay> {
    Stock {
        id: id.into(),
        thing: Clay {
            name: name.into(),
            cone_from: Cone::parse("5").unwrap(),
            cone_to: Cone::parse("7").unwrap(),
            slumps_on_points: true,
            plucks: false,
            slow_burn_out: false,
            needs_leave: false,
        },
    }
}

async fn add_people(place: &Place) {
    let mut turn = place.store.turn(by(0), "write down people").await.unwrap();
    for (id, name, role) in [
        ("p1", "Nia Corran", Role::Technician),
        ("p2", "Wen Ardley", Role::Maker),
        ("p3", "Ülle 100% Tamm_", Role::Maker),
    ] {
        turn.add(&person(id, name, role)).await.unwrap();
    }
    turn.commit().await.unwrap();
}

#[tokio::test]
async fn what_is_written_is_read_and_listed() {
    for place in both().await {
        add_people(&place).await;
        let s = &place.store;
        let kept: Kept<Person> = s.get("p2").await.unwrap();
        assert_eq!((kept.version, kept.body.name.as_str()), (1, "Wen Ardley"));
        assert_eq!(kept.changed, at(0));
        let all = s.list::<Person>(&Look::default()).await.unwrap();
        assert_eq!(all.len(), 3);
        let last = Look {
            order: Order::Last,
            most: 1,
            skip: 1,
            ..Look::default()
        };
        assert_eq!(
            s.list::<Person>(&last).await.unwrap()[0].body.name,
            "Wen Ardley"
        );
        // Signs that a pattern would take for more are letters here; case does not count, accents do.
        for (words, found) in [
            ("100%", 1),
            ("%", 1),
            ("m_", 1),
            ("ARDL wen", 1),
            ("ülle", 1),
            ("'", 0),
            ("\\", 0),
        ] {
            let look = Look {
                words: Some(words),
                ..Look::default()
            };
            assert_eq!(s.count::<Person>(&look).await.unwrap(), found, "{words}");
        }
        let makers = Look {
            states: &["maker", "office"],
            ..Look::default()
        };
        assert_eq!(s.count::<Person>(&makers).await.unwrap(), 2);
        assert_eq!(
            s.count_by_state::<Person>(&Look::default()).await.unwrap()["maker"],
            2
        );
        assert!(matches!(
            s.get::<Person>("nobody").await,
            Err(StoreError::Missing { .. })
        ));
    }
}

#[tokio::test]
async fn nobodys_edit_is_lost() {
    for place in both().await {
        add_people(&place).await;
        let s = &place.store;
        let seen: Kept<Person> = s.get("p2").await.unwrap();
        let mut mine = seen.body.clone();
        mine.mark = "WA".into();
        let mut turn = s.turn(by(1), "change a person").await.unwrap();
        assert_eq!(turn.put(&mine, seen.version).await.unwrap(), 2);
        turn.commit().await.unwrap();
        let mut theirs = seen.body.clone();
        theirs.reach = "by the door".into();
        let mut turn = s.turn(by(2), "change a person").await.unwrap();
        let refused = turn.put(&theirs, seen.version).await.unwrap_err();
        let StoreError::Stale {
            yours: 1,
            now: 2,
            who,
            ..
        } = &refused
        else {
            panic!("{refused}");
        };
        assert_eq!(who, "Nia Corran");
        drop(turn);
        let now: Kept<Person> = s.get("p2").await.unwrap();
        assert_eq!(
            (now.version, now.body.mark.as_str(), now.body.reach.as_str()),
            (2, "WA", "")
        );
        assert_eq!(
            s.turns(None, 10).await.unwrap().len(),
            2,
            "a turn that failed leaves nothing"
        );
    }
}

#[tokio::test]
async fn fifty_writers_count_to_fifty() {
    for place in both().await {
        let tasks: Vec<_> = (0..50)
            .map(|i| {
                let store = place.store.clone();
                tokio::spawn(async move {
                    let mut turn = store.turn(by(i), "count").await.unwrap();
                    let n = turn.next_number("firing").await.unwrap();
                    turn.add(&clay(&format!("c{n}"), "Heatherstone"))
                        .await
                        .unwrap();
                    turn.commit().await.unwrap();
                    n
                })
            })
            .collect();
        let mut all = Vec::new();
        for task in tasks {
            all.push(task.await.unwrap());
        }
        all.sort_unstable();
        assert_eq!(all, (1..=50).collect::<Vec<_>>());
        let look = Look::default();
        assert_eq!(place.store.count::<Stock<Clay>>(&look).await.unwrap(), 50);
    }
}

#[tokio::test]
async fn a_turn_is_all_or_nothing_and_ids_are_taken_once() {
    for place in both().await {
        add_people(&place).await;
        let s = &place.store;
        let mut turn = s
            .turn(by(1), "write down a clay and a person")
            .await
            .unwrap();
        turn.add(&clay("c1", "Heatherstone")).await.unwrap();
        let taken = turn.add(&person("p2", "Another", Role::Maker)).await;
        assert!(matches!(taken, Err(StoreError::Taken { .. })));
        drop(turn);
        assert!(s.find::<Stock<Clay>>("c1").await.unwrap().is_none());
    }
}

#[tokio::test]
async fn a_turn_can_be_undone_until_somebody_built_on_it() {
    for place in both().await {
        add_people(&place).await;
        let s = &place.store;
        let mut turn = s.turn(by(1), "write down a clay").await.unwrap();
        turn.add(&clay("c1", "Heatherstone")).await.unwrap();
        let made = turn.commit().await.unwrap();
        let mut turn = s.turn(by(2), "rename a clay").await.unwrap();
        turn.put(&clay("c1", "Moorgrog"), 1).await.unwrap();
        // Twice in one turn.
        turn.put(&clay("c1", "Peatdark"), 2).await.unwrap();
        let renamed = turn.commit().await.unwrap();

        let refused = s.undo(made, by(3)).await.unwrap_err();
        assert!(
            refused.to_string().contains("clay c1 was changed since"),
            "{refused}"
        );
        s.undo(renamed, by(4)).await.unwrap();
        let back: Kept<Stock<Clay>> = s.get("c1").await.unwrap();
        assert_eq!(back.body.thing.name, "Heatherstone");
        let named = Look {
            words: Some("heatherstone"),
            ..Look::default()
        };
        assert_eq!(s.count::<Stock<Clay>>(&named).await.unwrap(), 1);
        let again = s.undo(renamed, by(5)).await.unwrap_err();
        assert!(again.to_string().contains("undone already"), "{again}");

        let history = s.history("clay", "c1").await.unwrap();
        assert_eq!(history.len(), 5, "nothing is struck from the log");
        assert_eq!(history[0].turn.verb, "undo: rename a clay");
        let first = s.at_version::<Stock<Clay>>("c1", 2).await.unwrap().unwrap();
        assert_eq!(first.thing.name, "Moorgrog");
    }
}

#[tokio::test]
async fn what_is_put_away_stays_and_comes_back() {
    for place in both().await {
        let s = &place.store;
        let mut turn = s.turn(by(1), "write down a clay").await.unwrap();
        turn.add(&clay("c1", "Heatherstone")).await.unwrap();
        let made = turn.commit().await.unwrap();
        s.undo(made, by(2)).await.unwrap();
        assert_eq!(s.count::<Stock<Clay>>(&Look::default()).await.unwrap(), 0);
        let with = Look {
            archived: true,
            ..Look::default()
        };
        let all = s.list::<Stock<Clay>>(&with).await.unwrap();
        assert_eq!(all[0].archived, Some(at(2)));
        let mut turn = s.turn(by(3), "bring a clay back").await.unwrap();
        turn.archive::<Stock<Clay>>("c1", all[0].version, false)
            .await
            .unwrap();
        turn.commit().await.unwrap();
        assert_eq!(s.count::<Stock<Clay>>(&Look::default()).await.unwrap(), 1);
    }
}

#[tokio::test]
async fn passes_end_and_invitations_are_used_once() {
    for place in both().await {
        let s = &place.store;
        let pass = |secret: &str, ends: i64| Pass {
            digest: digest(secret),
            person: "p1".into(),
            label: String::new(),
            grants: "maker".into(),
            made: at(0),
            seen: at(0),
            ends: at(ends),
        };
        s.add_pass(PassUse::Session, &pass("s", 100)).await.unwrap();
        s.add_pass(PassUse::Invitation, &pass("i", 100))
            .await
            .unwrap();
        assert!(
            s.pass(PassUse::Session, "s", at(99))
                .await
                .unwrap()
                .is_some()
        );
        assert!(
            s.pass(PassUse::Session, "s", at(100))
                .await
                .unwrap()
                .is_none()
        );
        assert!(s.pass(PassUse::Token, "s", at(1)).await.unwrap().is_none());
        assert!(
            s.pass(PassUse::Session, "i", at(1))
                .await
                .unwrap()
                .is_none()
        );
        for (second, good) in [(1, true), (2, false)] {
            let mut turn = s.turn(by(second), "join").await.unwrap();
            assert_eq!(turn.use_up("i").await.unwrap(), good);
            turn.set_login("p1", "Nia ", "digest").await.unwrap();
            let taken = turn.set_login("p2", "nia", "digest").await;
            assert!(matches!(taken, Err(StoreError::Taken { .. })));
            turn.commit().await.unwrap();
        }
        assert_eq!(s.login(" NIA").await.unwrap().unwrap().person, "p1");
        s.seen(&digest("s"), at(50), at(50).checked_add(1.hour()).unwrap())
            .await
            .unwrap();
        assert!(
            s.pass(PassUse::Session, "s", at(1000))
                .await
                .unwrap()
                .is_some()
        );
        s.end_pass(&digest("s")).await.unwrap();
        assert!(
            s.pass(PassUse::Session, "s", at(1))
                .await
                .unwrap()
                .is_none()
        );
    }
}

/// Backs one store up while others write, and restores into each kind of database.
#[tokio::test]
async fn a_backup_taken_under_load_restores_equal_in_either_database() {
    for place in both().await {
        add_people(&place).await;
        let store = place.store.clone();
        let (tell, mut enough) = tokio::sync::oneshot::channel::<()>();
        let writer = tokio::spawn(async move {
            let mut i = 0;
            while enough.try_recv() == Err(tokio::sync::oneshot::error::TryRecvError::Empty) {
                let mut turn = store.turn(by(i), "write down clays").await.unwrap();
                // Two that belong together: a backup holds both or neither.
                turn.add(&clay(&format!("a{i}"), "Twin")).await.unwrap();
                turn.add(&clay(&format!("b{i}"), "Twin")).await.unwrap();
                turn.write_paper("plan", &format!("{i}"), "a\nb\u{1f3fa}")
                    .await
                    .unwrap();
                turn.next_number("clay").await.unwrap();
                turn.commit().await.unwrap();
                i += 1;
            }
        });
        while place
            .store
            .count::<Stock<Clay>>(&Look::default())
            .await
            .unwrap()
            < 40
        {}
        let mut first = Vec::new();
        let rows = place.store.backup(&mut first).await.unwrap();
        tell.send(()).unwrap();
        writer.await.unwrap();
        for target in both().await {
            let restored = target.store.restore(&mut first.as_slice()).await.unwrap();
            assert_eq!(restored.rows, rows);
            let mut second = Vec::new();
            target.store.backup(&mut second).await.unwrap();
            assert!(first == second, "{} into {}", place.url, target.url);
            let clays = target
                .store
                .count::<Stock<Clay>>(&Look::default())
                .await
                .unwrap();
            assert_eq!(clays % 2, 0);
            // It goes on where the old one stopped.
            let mut turn = target.store.turn(by(9), "go on").await.unwrap();
            assert_eq!(
                turn.next_number("clay").await.unwrap() as u64,
                clays / 2 + 1
            );
            turn.commit().await.unwrap();
            let full = target
                .store
                .restore(&mut first.as_slice())
                .await
                .unwrap_err();
            assert!(full.to_string().contains("not empty"), "{full}");
        }
    }
}

#[tokio::test]
async fn a_backup_that_was_cut_or_changed_restores_nothing() {
    let place = both().await.remove(0);
    add_people(&place).await;
    let mut whole = Vec::new();
    place.store.backup(&mut whole).await.unwrap();
    let text = String::from_utf8(whole).unwrap();
    let cut = &text[..text.len() * 2 / 3];
    let changed = text.replace("Wen Ardley", "Wen Ardlez");
    let foreign = "not a backup\n";
    let lines = text.lines().count();
    let short: String = text
        .lines()
        .take(lines - 1)
        .map(|l| format!("{l}\n"))
        .collect();
    for bad in [cut, &changed, foreign, "", &short] {
        for target in both().await {
            let e = target.store.restore(&mut bad.as_bytes()).await.unwrap_err();
            assert!(e.to_string().contains("Nothing was restored"), "{e}");
            assert_eq!(
                target
                    .store
                    .count::<Person>(&Look::default())
                    .await
                    .unwrap(),
                0
            );
        }
    }
}
