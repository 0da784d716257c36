//! Readings are kept once, in order, with the place of their source, in both databases.
#![expect(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test fails by panicking"
)]

mod stores;

use glost_store::{Mark, ReadingRow};
use jiff::Timestamp;
use stores::both;

fn row(second: i64) -> ReadingRow {
    ReadingRow {
        at: Timestamp::from_second(1_795_000_000 + second).unwrap(),
        body: format!("{{\"sensor\":{}.25}}", 20 + second),
    }
}

#[tokio::test]
async fn what_comes_twice_is_kept_once() {
    for place in both().await {
        let s = &place.store;
        let now = row(0).at;
        assert_eq!(s.reading_span("0001").await.unwrap(), None);
        let first: Vec<ReadingRow> = (0..1200).map(row).collect();
        let mark = |place| {
            Some(Mark {
                source: "heron",
                place,
            })
        };
        let new = s.add_readings("0001", &first, mark("1200"), now).await;
        assert_eq!(new.unwrap(), 1200);
        assert_eq!(s.mark("heron").await.unwrap().as_deref(), Some("1200"));
        // The source tells some of it again, with another body for a moment that is kept.
        let mut again: Vec<ReadingRow> = (1100..1300).map(row).collect();
        again[0].body = "{}".into();
        let new = s.add_readings("0001", &again, mark("1300"), now).await;
        assert_eq!(new.unwrap(), 100);
        s.add_readings("0002", &[row(5)], None, now).await.unwrap();
        let span = s.reading_span("0001").await.unwrap().unwrap();
        assert_eq!(
            (span.from, span.to, span.rows),
            (row(0).at, row(1299).at, 1300)
        );
        let mut after = None;
        let mut read = Vec::new();
        loop {
            let part = s.readings("0001", after, 333).await.unwrap();
            let Some(last) = part.last() else { break };
            after = Some(last.at);
            read.extend(part);
        }
        assert_eq!(read, (0..1300).map(row).collect::<Vec<_>>());
        assert_eq!(s.mark("heron").await.unwrap().as_deref(), Some("1300"));
        assert!(s.add_readings("0001", &[], None, now).await.unwrap() == 0);
        assert!(!place.url.is_empty());
    }
}
