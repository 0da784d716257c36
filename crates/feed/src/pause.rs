//! Waiting before another try.

use std::time::Duration;

use crate::event::{Closed, Teller};

const FIRST: u64 = 1;
const LONGEST: u64 = 60;

/// Twice as long after each try that failed, up to a minute.
#[derive(Debug)]
pub(crate) struct Pause {
    seconds: u64,
}

impl Default for Pause {
    fn default() -> Self {
        Self { seconds: FIRST }
    }
}

impl Pause {
    /// Waits, noticing silence and a closed channel meanwhile.
    pub(crate) async fn wait(&mut self, teller: &mut Teller) -> Result<(), Closed> {
        for _ in 0..self.seconds {
            teller.listen_for_silence().await?;
            tokio::time::sleep(Duration::from_secs(1)).await;
        }
        self.seconds = (self.seconds * 2).min(LONGEST);
        Ok(())
    }
}
