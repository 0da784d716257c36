//! What was worked out from the book, kept until the book changes.

use std::sync::Arc;

use tokio::sync::Mutex;

use super::DeskError;

/// The last answer, and as of what. Cloning shares it. Whoever asks while it is being worked out waits for it, so that
/// many who ask at once cost one look.
#[derive(Debug)]
pub(super) struct Remembered<W, T>(Arc<Mutex<Option<Answer<W, T>>>>);

/// As of what, and what it was.
type Answer<W, T> = (W, Arc<T>);

impl<W, T> Clone for Remembered<W, T> {
    fn clone(&self) -> Self {
        Self(Arc::clone(&self.0))
    }
}

impl<W, T> Default for Remembered<W, T> {
    fn default() -> Self {
        Self(Arc::default())
    }
}

impl<W, T> Remembered<W, T> {
    /// The kept answer if it still holds, else `work`'s, which is kept as of `now`.
    pub async fn get(
        &self,
        now: W,
        holds: impl Fn(&W, &T) -> bool,
        work: impl Future<Output = Result<T, DeskError>>,
    ) -> Result<Arc<T>, DeskError> {
        let mut kept = self.0.lock().await;
        if let Some((as_of, answer)) = kept.as_ref()
            && holds(as_of, answer)
        {
            return Ok(Arc::clone(answer));
        }
        let answer = Arc::new(work.await?);
        *kept = Some((now, Arc::clone(&answer)));
        Ok(answer)
    }
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicU32, Ordering};

    use super::*;

    #[tokio::test]
    async fn it_is_worked_out_once_for_each_state() {
        let (kept, worked) = (Remembered::default(), AtomicU32::new(0));
        for (state, times) in [(1, 1), (1, 1), (2, 2), (1, 3)] {
            let work = async {
                worked.fetch_add(1, Ordering::Relaxed);
                Ok(state * 10)
            };
            let answer = kept.get(state, |was, _| *was == state, work).await;
            assert!(matches!(answer, Ok(a) if *a == state * 10));
            assert_eq!(worked.load(Ordering::Relaxed), times);
        }
        let fails = async { Err::<i32, _>(DeskError::cannot("no", "again")) };
        assert!(kept.get(9, |was, _| *was == 9, fails).await.is_err());
        let mends = kept.get(9, |was, _| *was == 9, async { Ok(90) }).await;
        assert!(matches!(mends, Ok(a) if *a == 90), "no failure is kept");
    }
}
