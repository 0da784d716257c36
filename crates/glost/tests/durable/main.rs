//! kill -9 at any moment loses nothing that was acknowledged, and leaves nothing half done: in SQLite, in PostgreSQL, and
//! when PostgreSQL itself is killed.
#![expect(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test fails by panicking"
)]

mod place;
mod served;

use std::collections::BTreeSet;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};

use glost_model::book::Ware;
use glost_store::{Look, Store};
use place::{Cluster, new_database};
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use served::Served;
use tokio::sync::{Mutex, Notify};

/// Hands that write at once.
const HANDS: u32 = 8;
/// Times that the program is killed.
const ROUNDS: u32 = 8;
/// Pieces of one hand-in: all of them are kept or none.
const ALIKE: u32 = 3;

/// What the hands know: what they sent, and what was acknowledged.
#[derive(Default)]
struct Known {
    sent: BTreeSet<String>,
    acknowledged: BTreeSet<String>,
}

/// Hands write until the server is gone; it is killed once `after` writes were acknowledged in this round.
async fn write_until_killed(served: Served, known: &Arc<Mutex<Known>>, round: u32, after: u32) {
    let (count, enough) = (Arc::new(AtomicU32::new(0)), Arc::new(Notify::new()));
    let gone = Arc::new(AtomicBool::new(false));
    let hands: Vec<_> = (0..HANDS)
        .map(|hand| {
            let (known, count, enough, gone) = (
                Arc::clone(known),
                Arc::clone(&count),
                Arc::clone(&enough),
                Arc::clone(&gone),
            );
            let person = served.person();
            tokio::spawn(async move {
                let mut n = 0;
                while !gone.load(Ordering::Relaxed) {
                    n += 1;
                    let what = format!("mug {round} {hand} {n}");
                    known.lock().await.sent.insert(what.clone());
                    match person.hand_in(&what, ALIKE).await {
                        Some(true) => {
                            known.lock().await.acknowledged.insert(what);
                            if count.fetch_add(1, Ordering::Relaxed) + 1 >= after {
                                enough.notify_one();
                            }
                        }
                        // Refused by a store that is going down: not acknowledged.
                        Some(false) => {}
                        None => return,
                    }
                }
            })
        })
        .collect();
    enough.notified().await;
    served.kill_9();
    gone.store(true, Ordering::Relaxed);
    for hand in hands {
        hand.await.unwrap();
    }
}

/// Everything that was acknowledged is there, and everything that is there is whole.
async fn all_is_there(place: &str, known: &Arc<Mutex<Known>>) {
    let store = Store::open(place).await.unwrap();
    let known = known.lock().await;
    let ware = store.list::<Ware>(&Look::default()).await.unwrap();
    let mut there = std::collections::BTreeMap::new();
    for w in ware {
        *there.entry(w.body.piece.what).or_insert(0) += 1;
    }
    for what in &known.acknowledged {
        assert_eq!(there.get(what), Some(&ALIKE), "{what} was acknowledged");
    }
    for (what, pieces) in &there {
        assert!(known.sent.contains(what), "{what} was never sent");
        assert_eq!(*pieces, ALIKE, "{what} is half there");
    }
    store.close().await;
}

async fn killed_again_and_again(place: &str, photos: &std::path::Path, seed: u64) {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let known = Arc::default();
    let mut served = Served::start(place, photos).await;
    served.set_up().await;
    for round in 0..ROUNDS {
        let after = rng.random_range(1..60);
        let name = served.name();
        write_until_killed(served, &known, round, after).await;
        all_is_there(place, &known).await;
        served = Served::start(place, photos).await;
        served.go_on_as(name);
        // The session outlasts the kill.
        assert_eq!(
            served
                .person()
                .hand_in(&format!("after {round}"), ALIKE)
                .await,
            Some(true)
        );
        let mut known = known.lock().await;
        known.sent.insert(format!("after {round}"));
        known.acknowledged.insert(format!("after {round}"));
    }
    served.kill_9();
    assert!(known.lock().await.acknowledged.len() > ROUNDS as usize);
}

#[tokio::test(flavor = "multi_thread")]
async fn sqlite_keeps_what_was_acknowledged() {
    let folder = tempfile::tempdir().unwrap();
    let place = folder.path().join("studio.db").display().to_string();
    killed_again_and_again(&place, folder.path(), 5).await;
    let pool = sqlx::AnyPool::connect(&format!("sqlite://{place}"))
        .await
        .unwrap();
    let sound: String = sqlx::query_scalar("PRAGMA integrity_check")
        .fetch_one(&pool)
        .await
        .unwrap();
    assert_eq!(sound, "ok");
}

#[tokio::test(flavor = "multi_thread")]
async fn postgres_keeps_what_was_acknowledged() {
    let folder = tempfile::tempdir().unwrap();
    let place = new_database().await;
    killed_again_and_again(&place, folder.path(), 7).await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_killed_postgres_keeps_what_was_acknowledged() {
    let folder = tempfile::tempdir().unwrap();
    let cluster = Cluster::start();
    let known: Arc<Mutex<Known>> = Arc::default();
    let served = Served::start(&cluster.url, folder.path()).await;
    served.set_up().await;
    let person = served.person();
    for n in 0..20 {
        let what = format!("mug {n}");
        known.lock().await.sent.insert(what.clone());
        assert_eq!(person.hand_in(&what, ALIKE).await, Some(true));
        known.lock().await.acknowledged.insert(what);
    }
    cluster.kill_9();
    // The page says that nothing was stored, and the server lives.
    known.lock().await.sent.insert("in between".to_owned());
    assert_eq!(person.hand_in("in between", ALIKE).await, Some(false));
    cluster.again();
    known.lock().await.sent.insert("afterwards".to_owned());
    assert_eq!(person.hand_in("afterwards", ALIKE).await, Some(true));
    known
        .lock()
        .await
        .acknowledged
        .insert("afterwards".to_owned());
    served.kill_9();
    all_is_there(&cluster.url, &known).await;
}
