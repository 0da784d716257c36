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

#[tokio::test]
async fn a_long_log_is_spread_by_its_time_without_reading_it() {
    for place in both().await {
        let s = &place.store;
        let now = row(0).at;
        assert_eq!(s.readings_spread("0001", 10).await.unwrap(), []);
        assert_eq!(s.last_reading("0001").await.unwrap(), None);
        let short: Vec<ReadingRow> = (0..9).map(row).collect();
        s.add_readings("0001", &short, None, now).await.unwrap();
        assert_eq!(s.readings_spread("0001", 10).await.unwrap(), short);
        // A second apart, then nothing for an hour, then one a minute.
        let dense = (9..3_000).map(row);
        let late = (0..60).map(|i| row(6_600 + 60 * i));
        let more: Vec<ReadingRow> = dense.chain(late).collect();
        s.add_readings("0001", &more, None, now).await.unwrap();
        s.add_readings("0002", &[row(4_000)], None, now)
            .await
            .unwrap();
        let spread = s.readings_spread("0001", 100).await.unwrap();
        assert!((50..=101).contains(&spread.len()), "{}", spread.len());
        assert_eq!(spread.first(), Some(&row(0)));
        assert_eq!(spread.last(), Some(&row(6_600 + 60 * 59)));
        assert!(spread.windows(2).all(|w| w[0].at < w[1].at));
        let in_gap = |r: &ReadingRow| r.at > row(2_999).at && r.at < row(6_600).at;
        assert!(!spread.iter().any(in_gap));
        let far = |w: &[ReadingRow]| w[1].at.duration_since(w[0].at).as_secs();
        let gaps = spread.windows(2).filter(|w| far(w) > 1_000).count();
        assert_eq!(gaps, 1, "the gap is still one");
        assert_eq!(
            s.last_reading("0001").await.unwrap().as_ref(),
            spread.last()
        );
        assert!(!place.url.is_empty());
    }
}
