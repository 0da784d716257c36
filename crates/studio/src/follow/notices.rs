//! What people are told of a firing that is followed.

use glost_heat::watch::{Alarm, Estimate, Stage};
use glost_model::Span;
use glost_model::book::{Firing, FiringState, Notice, NoticeKind};
use glost_model::shown::hours;
use jiff::{SignedDuration, Timestamp};

use super::task::urgent;

/// Nothing was read for this long while the kiln is on. Proposed.
const SILENT: SignedDuration = SignedDuration::from_mins(15);
/// An estimate that is older says nothing of now.
const FRESH: SignedDuration = SignedDuration::from_mins(15);
/// Somebody is called so long before the end: common practice, no source; kilns fail to switch off.
const BEFORE_END: Span = Span::minutes(30.0);

/// Everything that is to be told now. It may be called as often as one looks: the same is told once.
pub(super) fn of(
    firing: &Firing,
    estimate: Option<&Estimate>,
    last: Option<Timestamp>,
    now: Timestamp,
) -> Vec<Notice> {
    let notice = |kind, about: &str, words: String, what_to_do: &str, urgent| Notice {
        firing: firing.id.clone(),
        kiln: firing.kiln.clone(),
        at: now,
        kind,
        about: about.to_owned(),
        words,
        what_to_do: what_to_do.to_owned(),
        urgent,
        grave: 0,
        link: Some(format!("/firings/{}/watch", firing.id)),
    };
    let mut out = Vec::new();
    let on = firing.state == FiringState::Firing;
    // A kiln that nobody reads gets no silence: only where readings came, they may stop.
    let was_read = estimate.is_some();
    if let Some(last) = last.filter(|l| on && was_read && now.duration_since(*l) > SILENT) {
        let quiet = Span::s(now.duration_since(last).as_secs_f64());
        out.push(notice(
            NoticeKind::Silent,
            "",
            format!(
                "No reading for {}. The kiln may be on all the same.",
                hours(quiet)
            ),
            "Go and look at the kiln and its display.",
            true,
        ));
    }
    let Some(e) = estimate.filter(|e| now.duration_since(e.at) < FRESH) else {
        return out;
    };
    for alarm in &e.alarms {
        out.push(notice(
            NoticeKind::Alarm,
            alarm.kind.rule().id,
            alarm.words.clone(),
            &acts(alarm),
            urgent(alarm.kind),
        ));
    }
    if on && e.ends_in.middle.is_some_and(|t| t <= BEFORE_END) {
        out.push(notice(
            NoticeKind::End,
            "",
            format!(
                "The programme ends in about {}.",
                hours(e.ends_in.middle.unwrap_or(Span::ZERO))
            ),
            "Be at the kiln, look at the cones, see that it switches off.",
            false,
        ));
    }
    if e.stage == Stage::MayBeOpened {
        out.push(notice(
            NoticeKind::Open,
            "",
            "The kiln is cool enough to open.".to_owned(),
            "Read the display before you lift the lid; wear gloves.",
            false,
        ));
    }
    out
}

/// The first thing to do or to look at, then what mends it: who reads a message has no page open that tells the first.
fn acts(alarm: &Alarm) -> String {
    match alarm.look_at.first() {
        Some(first) => format!("First: {first} Then: {}", alarm.remedy),
        None => alarm.remedy.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use glost_heat::watch::rules;
    use glost_model::book::notice::MOST_SENTENCE;

    use super::*;

    #[test]
    fn a_notice_tells_the_first_act_and_is_cut_off_for_no_alarm() {
        for rule in rules() {
            let alarm = Alarm {
                kind: rule.kind,
                since: Timestamp::UNIX_EPOCH,
                how_sure: 1.0,
                words: String::new(),
                look_at: rule.look_at,
                remedy: rule.remedy,
            };
            let told = acts(&alarm);
            assert!(told.chars().count() <= MOST_SENTENCE, "{told}");
            assert!(
                told.contains(rule.look_at[0]) && told.ends_with(rule.remedy),
                "{told}"
            );
        }
    }
}
