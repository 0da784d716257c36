//! kill -9 of the server in the middle of a firing loses no reading, doubles none, and the estimate goes on.

use std::time::{Duration, Instant};

use glost_model::Span;
use glost_studio::rehearse::{Planted, fault, usual};
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

use crate::{Place, page, rows, same, sign_in, until};

/// Times that it is killed.
const KILLS: usize = 7;
/// A cone 6 firing of twenty hours takes 24 s.
const PACE: f64 = 3000.0;

#[tokio::test(flavor = "multi_thread")]
async fn a_killed_server_loses_no_reading_of_a_firing() {
    let place = Place::new().await;
    let out = fault("element-out", 1).unwrap();
    let planted = Planted {
        fault: out,
        at: Span::h(4.0),
        how_much: usual(out),
    };
    let stage = place.stage(PACE, vec![planted]).await;
    let mut served = place.serve();
    let playing = tokio::spawn(stage.play());
    let file = place.logs.join("heron-0001.csv");
    until(60, "the log begins", async || file.exists().then_some(())).await;
    let mut rng = ChaCha8Rng::seed_from_u64(11);
    let (mut before, mut seen, mut gone) = (0, String::new(), Vec::new());
    for kill in 0..KILLS {
        let cookie = sign_in(&served, "nia");
        let end = Instant::now() + Duration::from_millis(rng.random_range(900..3200));
        while Instant::now() < end {
            seen.push_str(&page(&served, &cookie, "/firings/0001/watch"));
            tokio::time::sleep(Duration::from_millis(100)).await;
        }
        // Nothing of the server is left; what it had acknowledged is in the book.
        let known = same(&place.kept().await, &rows(&file));
        drop(served);
        let kept = same(&place.kept().await, &rows(&file));
        assert!(kept >= known && kept >= before, "kill {kill}: {kept}");
        assert!(kept > before, "kill {kill}: nothing new was heard");
        before = kept;
        gone.push(kept);
        served = place.serve();
    }
    // The estimate is there again, from all readings.
    let cookie = sign_in(&served, "nia");
    let whole = until(20, "the estimate goes on", async || {
        let text = page(&served, &cookie, "/firings/0001/watch");
        let from = text.split("From ").nth(1)?;
        let told: usize = from.split(' ').next()?.parse().ok()?;
        (told > before).then_some(text)
    })
    .await;
    seen.push_str(&whole);
    playing.await.unwrap().unwrap();
    let all = rows(&file);
    let kept = until(30, "the last row is heard", async || {
        seen.push_str(&page(&served, &cookie, "/firings/0001/watch"));
        let kept = place.kept().await;
        (same(&kept, &all) == all.len()).then_some(kept)
    })
    .await;
    println!("{} readings, kills at {gone:?}", kept.len());
    assert!(seen.contains("Rehearsal, 3000 times as fast"));
    assert!(
        ["An element or its relay is out", "Mains voltage is low"]
            .iter()
            .any(|a| seen.contains(&format!("Alarm: {a}"))),
        "no alarm was seen"
    );
    // It has cooled, and was never without power.
    assert!(!seen.contains("No power comes"), "an alarm of a cut");
    let last = until(20, "it may be opened", async || {
        let text = page(&served, &cookie, "/firings/0001/watch");
        let all = text.contains(&format!("From {} readings", kept.len()));
        (all && text.contains("cool enough to open")).then_some(text)
    })
    .await;
    assert!(!last.contains("Alarm: "), "{last}");
    let firing = place.desk.firing("0001").await.unwrap().body;
    assert_eq!(firing.state, glost_model::book::FiringState::Cooling);
}
