//! When waiting ware is expected back.

use std::collections::BTreeMap;

use glost_model::Span;
use glost_model::book::{Firing, FiringState, Purpose, State, Ware};
use glost_model::piece::PieceId;
use glost_store::{Look, Order};
use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};

use super::verdict::verdict;
use super::{Desk, DeskError};
use crate::expected::{Expected, OpenFiring, PastFiring, Waiting, expected};

/// Days by piece.
pub(super) type Dates = BTreeMap<PieceId, Expected>;
/// The queue moves slowly; it is looked through again after this.
const KEPT: SignedDuration = SignedDuration::from_mins(5);
/// So many firings of the past are looked at.
const PAST: u32 = 200;

impl Desk {
    /// When a waiting piece is expected back; nothing for one that does not wait.
    ///
    /// # Errors
    /// Of the store.
    pub async fn expected_back(
        &self,
        code: &str,
        now: Timestamp,
        today: Date,
        zone: &TimeZone,
    ) -> Result<Option<Expected>, DeskError> {
        let fresh = |at: &Timestamp, dates: &Dates| {
            now.duration_since(*at) < KEPT && now >= *at && dates.contains_key(code)
        };
        let dates = self
            .expected
            .get(now, fresh, self.dates(today, zone))
            .await?;
        Ok(dates.get(code).cloned())
    }

    async fn dates(&self, today: Date, zone: &TimeZone) -> Result<Dates, DeskError> {
        let given = self.given().await?;
        let states = [
            State::Waiting.key(),
            State::Planned.key(),
            State::InKiln.key(),
        ];
        let ware = self
            .store
            .list::<Ware>(&Look {
                states: &states,
                ..Look::default()
            })
            .await?;
        let day = |at: Timestamp| at.to_zoned_datetime(zone.clone()).date();
        let look = Look {
            order: Order::Last,
            most: PAST,
            ..Look::default()
        };
        let firings = self.store.list::<Firing>(&look).await?;
        let mut past = Vec::new();
        let mut open = Vec::new();
        // What fired no ware to its cone tells nothing of when ware is fired.
        let counts = |f: &Firing| !f.short && f.purpose == Purpose::Ware;
        for f in firings.into_iter().map(|k| k.body).filter(counts) {
            match (f.state, f.started.or(f.starts)) {
                (FiringState::Opened | FiringState::Done, Some(at)) => past.push(PastFiring {
                    on: day(at),
                    kiln: f.kiln,
                    kind: f.kind,
                    cone: f.cone,
                    pieces: f.summary.pieces as usize,
                    area: f.summary.covered_m2,
                }),
                (
                    FiringState::Accepted
                    | FiringState::Loading
                    | FiringState::Firing
                    | FiringState::Cooling,
                    Some(at),
                ) => {
                    let its = ware
                        .iter()
                        .filter(|w| w.body.firing.as_ref() == Some(&f.id));
                    open.push(OpenFiring {
                        on: day(at),
                        pieces: its.map(|w| w.body.piece.id.clone()).collect(),
                        kiln: f.kiln,
                        kind: f.kind,
                        cone: f.cone,
                        out_after: f.summary.open_after_s.unwrap_or(Span::h(48.0)),
                    });
                }
                _ => {}
            }
        }
        tokio::task::spawn_blocking(move || {
            let queue: Vec<Waiting> = ware
                .iter()
                .filter_map(|w| {
                    let p = &w.body.piece;
                    let v = verdict(&given, p);
                    Some(Waiting {
                        id: p.id.clone(),
                        kind: v.kind,
                        cone: v.cone?,
                        came_in: p.came_in,
                        area: p.widest.area(),
                    })
                })
                .collect();
            expected(today, &queue, &past, &open).into_iter().collect()
        })
        .await
        .map_err(|e| DeskError::Machine(e.to_string()))
    }
}
