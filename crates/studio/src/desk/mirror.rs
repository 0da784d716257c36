//! Firings and ware read once, and kept in step with the book by its turns: logs and reports look at all of them, and
//! reading them anew after each change takes a second in a book of years.

use std::collections::BTreeMap;
use std::sync::Arc;

use glost_model::book::{Firing, Ware};
use glost_store::{Kept, Look, Record};
use tokio::sync::Mutex;

use super::{Desk, DeskError};

/// All firings and all ware, put away or not, by id.
#[derive(Debug, Clone, Default)]
pub(super) struct Mirrored {
    /// Latest turn that is in it.
    pub as_of: i64,
    /// Firings.
    pub firings: BTreeMap<String, Arc<Kept<Firing>>>,
    /// Ware.
    pub ware: BTreeMap<String, Arc<Kept<Ware>>>,
}

/// The last look. Cloning shares it.
#[derive(Debug, Clone, Default)]
pub(super) struct Mirror(Arc<Mutex<Option<Arc<Mirrored>>>>);

impl Desk {
    /// Reads what logs and reports need, so that the first who asks need not wait for it.
    ///
    /// # Errors
    /// Of the store.
    pub async fn warm(&self) -> Result<(), DeskError> {
        self.mirror().await?;
        self.fault_counts().await?;
        Ok(())
    }

    /// All firings and ware as they are now.
    pub(super) async fn mirror(&self) -> Result<Arc<Mirrored>, DeskError> {
        // Whoever asks while it is being read waits for it, so that many who ask at once cost one look.
        let mut kept = self.mirror.0.lock().await;
        let latest = self.store.latest_turn().await?;
        let Some(last) = kept.as_mut() else {
            let all = Look {
                archived: true,
                ..Look::default()
            };
            let read = Arc::new(Mirrored {
                as_of: latest,
                firings: by_id(self.store.list(&all).await?).collect(),
                ware: by_id(self.store.list(&all).await?).collect(),
            });
            *kept = Some(Arc::clone(&read));
            return Ok(read);
        };
        if last.as_of != latest {
            let firings = self.store.changed_after(last.as_of).await?;
            let ware = self.store.changed_after(last.as_of).await?;
            // Whoever still works with the earlier look keeps it.
            let next = Arc::make_mut(last);
            next.firings.extend(by_id(firings));
            next.ware.extend(by_id(ware));
            next.as_of = latest;
        }
        Ok(Arc::clone(last))
    }
}

fn by_id<T: Record>(all: Vec<Kept<T>>) -> impl Iterator<Item = (String, Arc<Kept<T>>)> {
    all.into_iter()
        .map(|k| (k.body.id().to_owned(), Arc::new(k)))
}
