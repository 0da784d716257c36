//! The bench of the demo: in memory, for as long as the demo runs.

use std::convert::Infallible;
use std::sync::Arc;

use axum::extract::FromRequestParts;
use axum::http::request::Parts;
use glost_studio::edit::Bench;
use tokio::sync::Mutex;

use crate::bench::{Held, Hold, HoldFault};

/// The one bench that there is.
#[derive(Debug, Clone)]
pub struct DemoBench(Arc<Mutex<Held>>);

impl DemoBench {
    /// Puts a load on it.
    pub fn new(bench: Bench) -> Self {
        Self(Arc::new(Mutex::new(Held { bench, version: 1 })))
    }
}

impl FromRequestParts<Self> for DemoBench {
    type Rejection = Infallible;

    async fn from_request_parts(_: &mut Parts, state: &Self) -> Result<Self, Infallible> {
        Ok(state.clone())
    }
}

impl Hold for DemoBench {
    async fn give(&self) -> Result<Held, HoldFault> {
        Ok(self.0.lock().await.clone())
    }

    async fn keep(&self, bench: Bench, was: u64) -> Result<u64, HoldFault> {
        let mut held = self.0.lock().await;
        if held.version != was {
            return Err(HoldFault::Changed(held.version));
        }
        *held = Held {
            bench,
            version: was + 1,
        };
        Ok(held.version)
    }
}
