//! How often something may be tried.

use std::num::NonZeroU32;
use std::sync::Arc;

use governor::{DefaultKeyedRateLimiter, Quota, RateLimiter};
use jiff::Timestamp;

use super::tries::Tries;

/// Limits by name or address.
#[derive(Debug, Clone)]
pub struct Limits {
    /// Tries with one name from one address.
    here: Tries,
    /// Tries with one name from anywhere.
    name: Tries,
    /// Tries from one address.
    address: Tries,
    /// Changes by one session or token.
    change: Arc<DefaultKeyedRateLimiter<String>>,
    /// Calls with one token.
    call: Arc<DefaultKeyedRateLimiter<String>>,
}

/// So many at once, then as many more each minute. Slow enough that guessing is hopeless, quick enough for gloves on a
/// phone.
const HERE: u32 = 10;
/// More than from one address, so that somebody far away who guesses does not at once keep a person from their own name.
const NAME: u32 = 60;
/// A studio often has one address for all of its people. Those who come in do not count.
const ADDRESS: u32 = 60;
/// No hand is as quick.
const CHANGE: u32 = 600;
/// Enough to read a large book page by page, not enough to keep others from it.
const CALL: u32 = 1200;

impl Default for Limits {
    fn default() -> Self {
        let minute = |n: u32| {
            let n = NonZeroU32::new(n).unwrap_or(NonZeroU32::MIN);
            Arc::new(RateLimiter::keyed(Quota::per_minute(n)))
        };
        Self {
            here: Tries::new(HERE),
            name: Tries::new(NAME),
            address: Tries::new(ADDRESS),
            change: minute(CHANGE),
            call: minute(CALL),
        }
    }
}

fn keys(name: &str, address: &str) -> (String, String) {
    let name = name.trim().to_lowercase();
    (format!("{address} {name}"), name)
}

impl Limits {
    /// Whether one more try to come in is fine.
    pub fn may_try(&self, name: &str, address: &str, now: Timestamp) -> bool {
        let (here, name) = keys(name, address);
        // All are counted, whatever the first says.
        let here = self.here.take(&here, now);
        let by_address = self.address.take(address, now);
        // Who is refused here does not use up the name for its owner elsewhere.
        here && by_address && self.name.take(&name, now)
    }

    /// Somebody came in: their try does not count.
    pub fn came_in(&self, name: &str, address: &str) {
        let (here, name) = keys(name, address);
        self.here.give_back(&here);
        self.name.give_back(&name);
        self.address.give_back(address);
    }

    /// Whether one more change is fine.
    pub fn may_change(&self, session: &str) -> bool {
        self.change.check_key(&session.to_owned()).is_ok()
    }

    /// Whether one more call with a token is fine.
    pub fn may_call(&self, token: &str) -> bool {
        self.call.check_key(&token.to_owned()).is_ok()
    }

    /// Forgets those who have been quiet, so that memory stays bounded.
    pub fn tidy(&self, now: Timestamp) {
        for tries in [&self.here, &self.name, &self.address] {
            tries.tidy(now);
        }
        for limiter in [&self.change, &self.call] {
            limiter.retain_recent();
        }
    }
}
