//! Reports over the whole book.

use std::sync::Arc;

use glost_model::book::Act;
use jiff::civil::Date;
use jiff::tz::TimeZone;

use super::{Actor, Desk, DeskError};
use crate::report::{Books, Report};

/// As of which turn, and of which days where.
pub(super) type AsOf = (i64, (Option<Date>, Option<Date>), TimeZone);

impl Desk {
    /// What the book tells of firings that were started between two days, both among them. It looks at all ware, so it
    /// is kept until something changes.
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
        let book = self.mirror().await?;
        let zone = zone.clone();
        let told = tokio::task::spawn_blocking(move || {
            let firings = book.firings.values().filter(|k| k.archived.is_none());
            let ware = book.ware.values().map(|k| &k.body);
            Report::of(&Books::new(firings.map(|k| &k.body), ware, zone, within))
        });
        told.await.map_err(|e| DeskError::Machine(e.to_string()))
    }
}
