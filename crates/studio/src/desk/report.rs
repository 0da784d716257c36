//! Reports over the whole book.

use std::sync::Arc;

use glost_model::book::{Act, Firing, Ware};
use glost_store::Look;
use jiff::civil::Date;
use jiff::tz::TimeZone;

use super::{Actor, Desk, DeskError};
use crate::report::{Books, Report};

/// As of which turn, and of which days where.
pub(super) type AsOf = (i64, (Option<Date>, Option<Date>), TimeZone);

impl Desk {
    /// What the book tells of firings that were started between two days, both among them. It reads all ware, so it is
    /// kept until something changes.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`], or of the store.
    pub async fn report(
        &self,
        actor: Actor<'_>,
        within: (Option<Date>, Option<Date>),
        zone: &TimeZone,
    ) -> Result<Arc<Report>, DeskError> {
        actor.must(Act::Report)?;
        let as_of: AsOf = (self.store.latest_turn().await?, within, zone.clone());
        let same = as_of.clone();
        self.report
            .get(as_of, |was, _| *was == same, self.read_report(within, zone))
            .await
    }

    async fn read_report(
        &self,
        within: (Option<Date>, Option<Date>),
        zone: &TimeZone,
    ) -> Result<Report, DeskError> {
        let all = Look {
            archived: true,
            ..Look::default()
        };
        let firings = self.store.list::<Firing>(&Look::default()).await?;
        let ware = self.store.list::<Ware>(&all).await?;
        let zone = zone.clone();
        let told = tokio::task::spawn_blocking(move || {
            let firings: Vec<Firing> = firings.into_iter().map(|k| k.body).collect();
            let ware: Vec<Ware> = ware.into_iter().map(|k| k.body).collect();
            Report::of(&Books::new(&firings, &ware, zone, within))
        });
        told.await.map_err(|e| DeskError::Machine(e.to_string()))
    }
}
