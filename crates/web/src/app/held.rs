//! Logs that were sent and wait until somebody has looked over how they are read. They lie on the disk without a name, and
//! are gone when the program ends: they are then sent again.

use std::fs::File;
use std::sync::{Arc, Mutex, PoisonError};

use jiff::{SignedDuration, Timestamp};

/// Most that wait at once; the oldest gives way.
const MOST: usize = 8;
/// After this long nobody comes back to one.
const LONGEST: SignedDuration = SignedDuration::from_hours(1);

#[derive(Debug)]
struct Waiting {
    since: Timestamp,
    key: String,
    person: String,
    firing: String,
    file: File,
}

/// All of them. Cloning shares it.
#[derive(Debug, Clone, Default)]
pub struct Held(Arc<Mutex<Vec<Waiting>>>);

impl Held {
    /// Keeps a log of a firing for a person, under a key. What they sent for that firing before is let go.
    pub fn put(&self, now: Timestamp, key: &str, person: &str, firing: &str, file: File) {
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        all.retain(|w| {
            now.duration_since(w.since) < LONGEST && (w.person != person || w.firing != firing)
        });
        if all.len() >= MOST {
            all.remove(0);
        }
        all.push(Waiting {
            since: now,
            key: key.to_owned(),
            person: person.to_owned(),
            firing: firing.to_owned(),
            file,
        });
    }

    /// Takes the log of that key, if it waits for this person and firing.
    pub fn take(&self, key: &str, person: &str, firing: &str) -> Option<File> {
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let theirs = |w: &Waiting| w.key == key && w.person == person && w.firing == firing;
        let at = all.iter().position(theirs)?;
        Some(all.remove(at).file)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_log_waits_for_whoever_sent_it_and_not_for_ever() {
        let held = Held::default();
        let at = |minutes: i64| Timestamp::UNIX_EPOCH + SignedDuration::from_mins(minutes);
        let file = || tempfile::tempfile().unwrap();
        held.put(at(0), "a", "nia", "0001", file());
        assert!(held.take("a", "wen", "0001").is_none());
        assert!(held.take("a", "nia", "0002").is_none());
        assert!(held.take("a", "nia", "0001").is_some());
        assert!(held.take("a", "nia", "0001").is_none(), "taken once");
        held.put(at(0), "a", "nia", "0001", file());
        held.put(at(1), "b", "nia", "0001", file());
        assert!(held.take("a", "nia", "0001").is_none(), "sent anew");
        held.put(at(62), "c", "wen", "0001", file());
        assert!(held.take("b", "nia", "0001").is_none(), "too old");
        for n in 0..MOST {
            held.put(at(63), "d", &n.to_string(), "0001", file());
        }
        assert!(held.take("c", "wen", "0001").is_none(), "one too many");
    }
}
