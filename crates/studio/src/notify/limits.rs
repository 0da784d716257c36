//! How often people are told. Choices made here: who is told too often no longer looks.

use glost_model::book::{Notice, Raised, Standing};
use jiff::{SignedDuration, Timestamp};

/// The same is told again after this long.
pub const AGAIN: SignedDuration = SignedDuration::from_mins(30);
/// Notices of the last hour are sought among so many: twice the most that a studio can allow, and then some.
pub const MOST_LOOKED_AT: u32 = 200;

/// An hour before.
pub fn hour_before(at: Timestamp) -> Timestamp {
    at.checked_sub(SignedDuration::from_hours(1))
        .unwrap_or(Timestamp::MIN)
}

/// What to do with a notice that is raised.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Again<'a> {
    /// Keep it and tell people.
    Tell,
    /// Keep it for the pages: the same was told a short while ago and had passed in between.
    Keep,
    /// Nothing: this one stands on the pages already.
    Known(&'a str),
}

/// What to do with a notice, by those of the same firing, the latest first.
pub fn again<'a>(notice: &Notice, earlier: impl Iterator<Item = &'a Raised>) -> Again<'a> {
    // A clock that was set back must not keep a notice from being told.
    let fresh = |r: &Raised| {
        notice.at.duration_since(r.notice.at).abs() < AGAIN && !notice.worse_than(&r.notice)
    };
    let same: Vec<&Raised> = earlier.filter(|r| r.notice.same_as(notice)).collect();
    match (same.first(), same.iter().find(|r| !r.untold)) {
        (Some(last), _) if last.standing != Standing::Past && fresh(last) => Again::Known(&last.id),
        (_, Some(told)) if fresh(told) => Again::Keep,
        _ => Again::Tell,
    }
}

/// Whether as many were told in the last hour as the studio wants. The urgent are counted by themselves, so that small
/// things never keep a grave one back.
pub fn too_many(notice: &Notice, told: &[Raised], most: u16) -> bool {
    let like = told.iter().filter(|r| r.notice.urgent == notice.urgent);
    like.count() >= usize::from(most)
}

/// Errands are tried for this long.
pub const TRIED_FOR: SignedDuration = SignedDuration::from_hours(24);

/// Wait before the next try, by how often it was tried: doubled from ten seconds to half an hour.
pub fn wait(tried: u32) -> SignedDuration {
    let longest = SignedDuration::from_mins(30);
    let doubled = 10_i64
        .checked_shl(tried.saturating_sub(1).min(20))
        .unwrap_or(i64::MAX);
    SignedDuration::from_secs(doubled).min(longest)
}

#[cfg(test)]
mod tests {
    use super::wait;
    use jiff::SignedDuration;

    #[test]
    fn waits_double_up_to_half_an_hour() {
        let secs: Vec<i64> = (1..=10).map(|n| wait(n).as_secs()).collect();
        assert_eq!(secs, [10, 20, 40, 80, 160, 320, 640, 1280, 1800, 1800]);
        assert_eq!(wait(u32::MAX), SignedDuration::from_mins(30));
    }
}
