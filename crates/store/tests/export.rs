//! An export goes from either database to either, letter by letter.
#![expect(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test fails by panicking"
)]

mod stores;

use glost_model::book::{Person, Role};
use glost_store::{By, PhotoRow, Store, StoreError};
use jiff::Timestamp;
use stores::{Place, both};

fn at(second: i64) -> Timestamp {
    Timestamp::from_microsecond(1_795_000_000_000_000 + second * 1_000_000 + 17).unwrap()
}

fn by(second: i64) -> By<'static> {
    By {
        who: "p1",
        at: at(second),
    }
}

fn person(id: &str, name: &str) -> Person {
    Person {
        id: id.into(),
        name: name.into(),
        role: Role::Maker,
        class: None,
        mark: "a \"mark\"\n\u{2028}=1+1".into(),
        reach: String::new(),
        shown: None,
        wish: glost_model::book::Wish::default(),
    }
}

/// People with capitals and accents, whom servers sort otherwise than files do; a change, an undo, papers, a photo.
async fn fill(place: &Place) {
    let s = &place.store;
    let mut turn = s.turn(by(0), "write down people").await.unwrap();
    for (id, name) in [("b", "Ann"), ("A", "bea"), ("é", "Édith"), ("a-1", "Ülle")] {
        turn.add(&person(id, name)).await.unwrap();
    }
    turn.write_paper(
        "plan",
        "0001",
        r#"{"fill": 0.30000000000000004,  "n":1e-7}"#,
    )
    .await
    .unwrap();
    turn.write_paper("words", "0001", "{ not JSON")
        .await
        .unwrap();
    turn.next_number("firing").await.unwrap();
    turn.add_photo(&PhotoRow {
        id: "ph1".into(),
        kind: "ware".into(),
        thing: "AB12".into(),
        who: "p1".into(),
        width: 1600,
        height: 1200,
        made: at(1),
    })
    .await
    .unwrap();
    turn.commit().await.unwrap();
    let mut turn = s.turn(by(2), "rename").await.unwrap();
    turn.put(&person("A", "Bea Lind"), 1).await.unwrap();
    turn.archive::<Person>("b", 1, true).await.unwrap();
    let renamed = turn.commit().await.unwrap();
    s.undo(renamed, by(3)).await.unwrap();
}

async fn export(store: &Store) -> String {
    let mut out = Vec::new();
    store.export(&mut out).await.unwrap();
    String::from_utf8(out).unwrap()
}

#[tokio::test]
async fn what_is_imported_exports_the_same_file() {
    for place in both().await {
        fill(&place).await;
        let first = export(&place.store).await;
        let value: serde_json::Value = serde_json::from_str(&first).unwrap();
        assert_eq!(value["records"].as_array().unwrap().len(), 4);
        assert_eq!(value["turns"].as_array().unwrap().len(), 3);
        assert_eq!(value["papers"][0]["body"]["n"], 1e-7);
        assert_eq!(value["papers"][1]["body"], "{ not JSON");
        assert!(value.get("logins").is_none(), "no secrets");
        for target in both().await {
            let done = target.store.import(&first).await.unwrap();
            assert_eq!(export(&target.store).await, first);
            assert!(done.rows > 10);
            // Who opens the place anew finds it again, and work goes on where it stopped.
            let reopened = Store::open(&target.url).await.unwrap();
            let found = reopened.find::<Person>("é").await.unwrap().unwrap();
            assert_eq!(found.body.name, "Édith");
            let look = glost_store::Look {
                words: Some("ülle"),
                ..glost_store::Look::default()
            };
            assert_eq!(target.store.count::<Person>(&look).await.unwrap(), 1);
            let mut turn = target.store.turn(by(9), "go on").await.unwrap();
            assert_eq!(turn.id(), 4);
            assert_eq!(turn.next_number("firing").await.unwrap(), 2);
            turn.commit().await.unwrap();
            let again = target.store.import(&first).await;
            assert!(matches!(again, Err(StoreError::Backup { .. })), "not empty");
        }
    }
}

#[tokio::test]
async fn what_is_no_whole_export_changes_nothing() {
    let place = both().await.remove(0);
    fill(&place).await;
    let whole = export(&place.store).await;
    let wrong = [
        String::new(),
        "{}".to_owned(),
        whole[..whole.len() / 2].to_owned(),
        whole.replace("\"version\": 1", "\"version\": 9"),
        whole.replace("\"photos\"", "\"pictures\""),
        whole.replace("\"id\":\"A\"", "\"id\":\"b\""),
        whole.replace("\"kind\":\"person\"", "\"kind\":\"ghost\""),
        whole.replace("\"role\":\"maker\"", "\"role\":\"king\""),
        whole.replace("\"seq\":1", "\"seq\":\"one\""),
        whole.replace("\"turn\":1", "\"turn\":77"),
    ];
    for target in both().await {
        for (i, text) in wrong.iter().enumerate() {
            let e = target.store.import(text).await.unwrap_err();
            assert!(
                matches!(e, StoreError::Backup { .. } | StoreError::Body { .. }),
                "{i}: {e:?}"
            );
            assert!(!target.store.has::<Person>("A").await.unwrap(), "{i}");
        }
        target.store.import(&whole).await.unwrap();
    }
}
