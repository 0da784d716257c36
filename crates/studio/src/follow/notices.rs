//! What people are told of a firing that is followed.

use glost_heat::watch::{AdviceKind, Alarm, Estimate, Stage};
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

/// That the peak is over is news for so long: shorter than the time after which the same is told again.
const NEWS: SignedDuration = SignedDuration::from_mins(20);
/// What the advice about the end is known by among notices of the end.
pub(super) const ADVICE: &str = "advice";

/// What is known of a firing.
pub(super) struct Known<'k> {
    /// The estimate; nothing before the first sample that counts.
    pub estimate: Option<&'k Estimate>,
    /// Since when nothing was read: the last reading, or the start.
    pub last: Option<Timestamp>,
    /// Something is set up that is to tell readings.
    pub heard: bool,
    /// When the hold at the peak was over.
    pub peak_over: Option<Timestamp>,
}

/// Whether nothing was read for so long that somebody should know, if readings are counted on.
pub(super) fn is_silent(firing: &Firing, last: Option<Timestamp>, now: Timestamp) -> bool {
    let long = |l: Timestamp| now.duration_since(l) > SILENT;
    firing.state == FiringState::Firing && last.is_some_and(long)
}

/// Everything that is to be told now. It may be called as often as one looks: the same is told once.
pub(super) fn of(firing: &Firing, known: &Known<'_>, now: Timestamp) -> Vec<Notice> {
    let Known {
        estimate,
        last,
        heard,
        peak_over,
    } = *known;
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
    // A kiln that nobody reads gets no silence: only where readings came, or something is to send them, they may stay away.
    let counted_on = estimate.is_some() || heard;
    if let Some(last) = last.filter(|_| counted_on && is_silent(firing, last, now)) {
        let quiet = hours(Span::s(now.duration_since(last).as_secs_f64()));
        out.push(notice(
            NoticeKind::Silent,
            "",
            if estimate.is_some() {
                format!("No reading for {quiet}. The kiln may be on all the same.")
            } else {
                format!("No reading has come since it was started, {quiet} ago. The kiln may be on all the same.")
            },
            "Go and look at the kiln and its display.",
            true,
        ));
    }
    if on && peak_over.is_some_and(|at| now.duration_since(at).abs() < NEWS) {
        out.push(notice(
            NoticeKind::Over,
            "",
            "The peak is over.".to_owned(),
            "See that the kiln goes on as its programme says, and read the cones that you can see.",
            false,
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
    if let Some((words, at_once)) = advised(e).filter(|_| on) {
        let what_to_do =
            "Go to the kiln, look at the cones, and change the programme by hand if they agree.";
        let mut told = notice(NoticeKind::End, ADVICE, words, what_to_do, true);
        told.grave = u8::from(at_once);
        out.push(told);
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

/// What somebody has to do about the end of the firing before it ends by itself, and whether at once; nothing when the
/// programme is to be let run, or while there is time.
pub(super) fn advised(e: &Estimate) -> Option<(String, bool)> {
    let advice = e.advice.as_ref()?;
    let hottest = e
        .curve
        .iter()
        .max_by(|a, b| a.sensor.to_k().total_cmp(&b.sensor.to_k()));
    let near = match e.stage {
        Stage::Holding { left, .. } => left <= BEFORE_END,
        _ => hottest.is_some_and(|h| h.after <= BEFORE_END),
    };
    let due = match advice.what {
        AdviceKind::AsPlanned => false,
        AdviceKind::EndHoldIn(span) => span <= BEFORE_END,
        AdviceKind::EndAt(_)
        | AdviceKind::HoldLonger(_)
        | AdviceKind::RaiseTo(_)
        | AdviceKind::OutOfReach => near,
    };
    let at_once = matches!(advice.what, AdviceKind::EndHoldIn(span) if span.to_minutes() < 1.5);
    due.then(|| (advice.words.clone(), at_once))
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
