//! How often something may be tried.

use std::num::NonZeroU32;
use std::sync::Arc;

use governor::{DefaultKeyedRateLimiter, Quota, RateLimiter};

/// Limits by name or address.
#[derive(Debug, Clone)]
pub struct Limits {
    /// Tries to sign in with one name.
    name: Arc<DefaultKeyedRateLimiter<String>>,
    /// Tries to come in from one address.
    address: Arc<DefaultKeyedRateLimiter<String>>,
    /// Changes by one session or token.
    change: Arc<DefaultKeyedRateLimiter<String>>,
    /// Calls with one token.
    call: Arc<DefaultKeyedRateLimiter<String>>,
}

/// So many at once, then one more each twelfth of a minute. Slow enough that guessing is hopeless, quick enough for
/// gloves on a phone.
const NAME: u32 = 10;
/// A studio often has one address for all of its people.
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
            name: minute(NAME),
            address: minute(ADDRESS),
            change: minute(CHANGE),
            call: minute(CALL),
        }
    }
}

impl Limits {
    /// Whether one more try to come in is fine.
    pub fn may_try(&self, name: &str, address: &str) -> bool {
        // Both are counted, whatever the first says.
        let by_name = self.name.check_key(&name.trim().to_lowercase()).is_ok();
        let by_address = self.address.check_key(&address.to_owned()).is_ok();
        by_name && by_address
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
    pub fn tidy(&self) {
        for limiter in [&self.name, &self.address, &self.change, &self.call] {
            limiter.retain_recent();
        }
    }
}
