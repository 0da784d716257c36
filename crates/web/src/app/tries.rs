//! Tries that are counted, and given back when they were good.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use jiff::Timestamp;

/// Most letters of a key: a name may be as long as a form.
const MOST_KEY: usize = 120;

/// So many tries at once for each key, and as many more each minute.
#[derive(Debug, Clone)]
pub struct Tries {
    most: f64,
    /// How many were made lately, and as of when.
    all: Arc<Mutex<HashMap<String, (f64, Timestamp)>>>,
}

impl Tries {
    /// None made yet.
    pub fn new(most: u32) -> Self {
        Self {
            most: f64::from(most),
            all: Arc::default(),
        }
    }

    fn left(&self, (made, at): (f64, Timestamp), now: Timestamp) -> f64 {
        let minutes = now.duration_since(at).as_secs_f64().max(0.0) / 60.0;
        (made - minutes * self.most).max(0.0)
    }

    /// Counts a try; false when there were too many.
    pub fn take(&self, key: &str, now: Timestamp) -> bool {
        let key: String = key.chars().take(MOST_KEY).collect();
        let mut all = self.all.lock().unwrap_or_else(PoisonError::into_inner);
        let entry = all.entry(key).or_insert((0.0, now));
        *entry = (self.left(*entry, now), now);
        if entry.0 + 1.0 > self.most {
            return false;
        }
        entry.0 += 1.0;
        true
    }

    /// A try was good, and does not count.
    pub fn give_back(&self, key: &str) {
        let key: String = key.chars().take(MOST_KEY).collect();
        let mut all = self.all.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(entry) = all.get_mut(&key) {
            entry.0 = (entry.0 - 1.0).max(0.0);
        }
    }

    /// Forgets those who have been quiet, so that memory stays bounded.
    pub fn tidy(&self, now: Timestamp) {
        let mut all = self.all.lock().unwrap_or_else(PoisonError::into_inner);
        all.retain(|_, entry| self.left(*entry, now) > 0.0);
    }
}

#[cfg(test)]
mod tests {
    use jiff::ToSpan;

    use super::*;

    #[test]
    fn good_tries_do_not_count_and_bad_ones_pass_with_time() {
        let start: Timestamp = "2026-11-26T10:00:00Z".parse().unwrap();
        let tries = Tries::new(3);
        for _ in 0..50 {
            assert!(tries.take("a", start));
            tries.give_back("a");
        }
        for n in 0..5 {
            assert_eq!(tries.take("a", start), n < 3);
        }
        assert!(tries.take("b", start), "another's tries are their own");
        let later = start + 20.seconds();
        assert!(tries.take("a", later));
        assert!(!tries.take("a", later), "one more each twenty seconds");
        tries.tidy(start + 2.minutes());
        assert!(tries.all.lock().unwrap().is_empty());
    }
}
