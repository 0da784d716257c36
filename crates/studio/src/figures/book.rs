//! A large invented studio: years of ware and firings, to measure the pages with.

use std::collections::BTreeMap;

use glost_model::book::ware::Spot;
use glost_model::book::{ConeRead, Firing, FiringState, Person, State, Summary, Ware};
use glost_model::cone::Cone;
use glost_model::load::FiringKind;
use glost_model::piece::Stage;
use glost_model::studio::Studio;
use glost_model::{Area, Energy, Money, Span};
use glost_store::{By, Look, StoreError};
use jiff::{SignedDuration, Timestamp, ToSpan as _};
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

use crate::desk::seed::KNOWN;
use crate::desk::{Desk, DeskError};

/// How large it is.
#[derive(Debug, Clone, Copy)]
pub struct Size {
    /// Pieces.
    pub pieces: u32,
    /// Firings.
    pub firings: u32,
}

/// So many things are written in one turn.
const BATCH: u32 = 500;

/// Fills an empty store. What still waits is some weeks' ware; the rest went home long ago.
///
/// # Errors
/// Of the store.
pub async fn fill(
    desk: &Desk,
    studio: &Studio,
    size: Size,
    now: Timestamp,
    seed: u64,
) -> Result<(), DeskError> {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let patterns = studio.pieces.clone();
    let mut bare = studio.clone();
    bare.pieces.clear();
    desk.bring_in(&bare, &KNOWN, now).await?;
    let by = By {
        who: "figures",
        at: now,
    };
    let mut turn = desk.store.turn(by, "write down makers").await?;
    for n in 0..400 {
        turn.add(&Person {
            id: format!("maker-{n:03}"),
            name: format!("Maker {n:03} of Lanternmoor"),
            role: glost_model::book::Role::Maker,
            class: (n % 4 == 0).then(|| format!("Class {}", n % 12)),
            mark: format!("M{n}"),
            reach: String::new(),
            shown: None,
            wish: glost_model::book::Wish::default(),
        })
        .await?;
    }
    turn.commit().await?;
    let wen = desk
        .store
        .list::<Person>(&Look {
            words: Some("wen ardley"),
            ..Look::default()
        })
        .await?;
    let wen = wen.first().map_or_else(String::new, |w| w.body.id.clone());
    firings(desk, studio, size, now, &mut rng).await?;
    let mut n = 0;
    while n < size.pieces {
        let mut turn = desk.store.turn(by, "write down ware").await?;
        for _ in 0..BATCH.min(size.pieces - n) {
            let ware = ware(&patterns, &wen, size, n, now, &mut rng);
            turn.add(&ware).await?;
            n += 1;
        }
        turn.commit().await?;
    }
    // What came in within seconds here takes years, and a database looks at it many times.
    desk.store.take_stock().await?;
    Ok(())
}

fn ware(
    patterns: &[glost_model::piece::Piece],
    wen: &str,
    size: Size,
    n: u32,
    now: Timestamp,
    rng: &mut ChaCha8Rng,
) -> Ware {
    let mut piece = patterns[rng.random_range(0..patterns.len())].clone();
    piece.id = format!("Z{n:05}");
    piece.group = None;
    let maker: u32 = rng.random_range(0..400);
    piece.maker = format!("Maker {maker:03} of Lanternmoor");
    let state = match rng.random_range(0..1000) {
        0..=10 => State::Made,
        11..=15 => State::NeedsAttention,
        16..=40 => State::Waiting,
        41..=45 => State::Planned,
        46..=50 => State::InKiln,
        51..=65 => State::Bisqued,
        66..=80 => State::Ready,
        81..=90 => State::Accident,
        91..=100 => State::Abandoned,
        _ => State::HandedBack,
    };
    let ago = i64::from(rng.random_range(0..21_u32))
        + if state == State::HandedBack {
            i64::from(size.pieces - n) / 10
        } else {
            0
        };
    let since = now
        .checked_sub(SignedDuration::from_hours(24 * ago))
        .unwrap_or(now);
    piece.came_in = Some(since.to_zoned_datetime(jiff::tz::TimeZone::UTC).date());
    let firing = format!("{:04}", rng.random_range(1..=size.firings.max(1)));
    let fired = !matches!(state, State::Made | State::NeedsAttention | State::Waiting);
    if matches!(state, State::HandedBack | State::Ready) {
        piece.stage = Stage::Glazed;
    }
    Ware {
        piece,
        owner: if maker == 7 {
            wen.to_owned()
        } else {
            format!("maker-{maker:03}")
        },
        by: format!("maker-{maker:03}"),
        state,
        note: if state == State::NeedsAttention {
            "glaze too near the foot".to_owned()
        } else {
            String::new()
        },
        stood: if fired {
            vec![Spot {
                firing: firing.clone(),
                tier: "3".to_owned(),
            }]
        } else {
            Vec::new()
        },
        firing: fired.then_some(firing),
        faults: Vec::new(),
        since,
        fetch_by: None,
    }
}

async fn firings(
    desk: &Desk,
    studio: &Studio,
    size: Size,
    now: Timestamp,
    rng: &mut ChaCha8Rng,
) -> Result<(), StoreError> {
    let kilns: Vec<&str> = studio.kilns.iter().map(|k| k.name.as_str()).collect();
    let cones: BTreeMap<bool, Option<Cone>> = [
        (true, Cone::parse("6").ok()),
        (false, Cone::parse("06").ok()),
    ]
    .into();
    let mut n = 0;
    while n < size.firings {
        let mut turn = desk
            .store
            .turn(
                By {
                    who: "figures",
                    at: now,
                },
                "write down firings",
            )
            .await?;
        for _ in 0..BATCH.min(size.firings - n) {
            n += 1;
            turn.next_number("firing").await?;
            let glaze = rng.random_bool(0.6);
            let Some(cone) = cones[&glaze] else { continue };
            let started = now
                .checked_sub(((size.firings - n) as i64 * 24).hours())
                .ok();
            let pieces = rng.random_range(30..110);
            let kiln = kilns[n as usize % kilns.len()].to_owned();
            let kind = if glaze {
                FiringKind::Glaze
            } else {
                FiringKind::Bisque
            };
            turn.add(&Firing {
                state: FiringState::Done,
                summary: Summary {
                    pieces,
                    tiers: 5,
                    value: f64::from(pieces) * 7.0,
                    at_most: f64::from(pieces) * 8.0,
                    fill: rng.random_range(0.4..0.7),
                    covered_m2: Area::m2(0.5),
                    hot_s: Some(Span::h(1.5)),
                    takes_s: Some(Span::h(11.0)),
                    open_after_s: Some(Span::h(36.0)),
                    energy_j: Some(Energy::kwh(70.0)),
                    cost_cents: Some(Money::cents(2200)),
                },
                cone_tiers: vec!["1".to_owned(), "3".to_owned(), "5".to_owned()],
                starts: started,
                started,
                ended: started,
                opened: started,
                hottest_c: Some(1220.0),
                cones: vec![ConeRead {
                    tier: "3".to_owned(),
                    cone,
                    clock: 5.5,
                    who: "figures".to_owned(),
                    at: now,
                }],
                ..Firing::new(format!("{n:04}"), kiln, cone, kind, "figures".to_owned())
            })
            .await?;
        }
        turn.commit().await?;
    }
    Ok(())
}
