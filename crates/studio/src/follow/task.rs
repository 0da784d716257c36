//! The task that follows one firing.

use std::sync::Arc;
use std::time::Duration;

use glost_heat::watch::{Alarm, AlarmKind, Event, Watch};
use glost_model::book::{BadStretch, Firing, FiringState, Notice, NoticeKind};
use jiff::Timestamp;
use tokio::sync::{broadcast, watch};

use super::{Seen, ask_of, notices, off};
use crate::desk::stretches::believed;
use crate::desk::{Desk, DeskError};

/// A firing is looked at again after this long, also when nothing is heard of it.
const AGAIN: Duration = Duration::from_secs(30);

/// A firing being followed.
struct Course {
    watch: Option<Watch>,
    last: Option<Timestamp>,
    seen: Seen,
    on: Vec<Alarm>,
    /// The segment that ends hottest, and when its hold was over.
    peak: Option<usize>,
    peak_over: Option<Timestamp>,
    /// Advice about the end was told and still stands.
    advised: bool,
    /// The watch knows that the kiln is off.
    off: bool,
    /// Stretches that are not to be believed: it has not heard of those.
    bad: Vec<BadStretch>,
    /// Programmes that were set by then.
    programmes: u32,
}

impl Course {
    /// Begins anew, from the first sample.
    fn forget(&mut self) {
        self.watch = None;
        self.last = None;
        self.seen.samples = 0;
        self.on.clear();
        self.peak_over = None;
        self.off = false;
    }
}

pub(super) async fn run(
    desk: Desk,
    clock: fn() -> Timestamp,
    id: String,
    tell: watch::Sender<Arc<Seen>>,
) {
    let mut heard = desk.heard();
    let mut course = Course {
        watch: None,
        last: None,
        seen: Seen::default(),
        on: Vec::new(),
        peak: None,
        peak_over: None,
        advised: false,
        off: false,
        bad: Vec::new(),
        programmes: 0,
    };
    loop {
        match look(&desk, clock, &id, &mut course).await {
            Ok(going) => {
                course.seen.over = !going;
                if going {
                    course.seen.trouble = None;
                }
            }
            Err(e) => {
                tracing::warn!(error = %e, firing = id, "a firing cannot be followed just now");
                course.seen.trouble = Some(e.to_string());
            }
        }
        tell.send_replace(Arc::new(course.seen.clone()));
        if course.seen.over {
            return;
        }
        wait(&mut heard, &id).await;
    }
}

/// Until samples of this firing came, or for a while.
async fn wait(heard: &mut broadcast::Receiver<String>, id: &str) {
    let mine = async {
        loop {
            match heard.recv().await {
                Ok(other) if other != id => {}
                // Who fell behind looks at once.
                Ok(_) | Err(_) => break,
            }
        }
    };
    // That nothing came is an answer, too.
    drop(tokio::time::timeout(AGAIN, mine).await);
}

/// Takes in what is new. False when the firing is over.
async fn look(
    desk: &Desk,
    clock: fn() -> Timestamp,
    id: &str,
    course: &mut Course,
) -> Result<bool, DeskError> {
    let firing = desk.firing(id).await?.body;
    let going = matches!(firing.state, FiringState::Firing | FiringState::Cooling);
    // It was not off after all: that it was had been written down by mistake.
    if course.off && firing.ended.is_none() {
        course.forget();
    }
    let bad = desk.bad_stretches(id).await?;
    if course.bad != bad {
        course.forget();
        course.bad = bad;
    }
    // Another programme was set on purpose: all samples are read by that.
    if course.programmes != firing.programmes {
        course.forget();
        course.programmes = firing.programmes;
    }
    if course.watch.is_none() {
        let ask = match ask_of(&firing, desk.plan(id).await?) {
            Ok(ask) => ask,
            Err(why) if going => {
                // That no readings come is told of a firing without a plan as well.
                let last = desk.last_read_at(id).await?.or(firing.started);
                call(desk, clock(), &firing, course, last).await?;
                return Err(DeskError::cannot(
                    why,
                    "Plan its firing before it is loaded",
                ));
            }
            // It never will be.
            Err(why) => {
                course.seen.trouble = Some(why);
                return Ok(false);
            }
        };
        course.peak = ask.plan.peak();
        let made = tokio::task::spawn_blocking(move || Watch::new(&ask)).await;
        let made = made.map_err(|e| DeskError::Machine(e.to_string()))?;
        let why = "Look at the numbers of the kiln and at the programme";
        course.watch = Some(made.map_err(|e| DeskError::cannot(e.to_string(), why))?);
    }
    loop {
        let samples = desk.samples_after(id, course.last).await?;
        let Some(last) = samples.last().map(|s| s.at) else {
            break;
        };
        let Some(mut watch) = course.watch.take() else {
            break;
        };
        let samples = believed(samples, &course.bad);
        course.seen.samples += samples.len() as u64;
        let (ended, mut off) = (firing.ended, course.off);
        let work = move || {
            let mut events = Vec::new();
            for sample in &samples {
                if !off && ended.is_some_and(|ended| sample.at >= ended) {
                    off = true;
                    watch.switched_off();
                }
                events.extend(watch.take(sample));
            }
            let now = watch.now();
            (watch, events, now, off)
        };
        let done = tokio::task::spawn_blocking(work).await;
        let (watch, events, now, off) = done.map_err(|e| {
            course.forget();
            DeskError::Machine(format!("the watch broke down: {e}"))
        })?;
        course.watch = Some(watch);
        course.last = Some(last);
        course.off = off;
        ring(course, events);
        course.on.clone_from(&now.alarms);
        course.seen.estimate = Some(Arc::new(now));
    }
    if firing.state == FiringState::Cooling {
        course.seen.estimate = course.seen.estimate.as_ref().map(off::of);
    }
    if going {
        let last = course.last.or(firing.started);
        call(desk, clock(), &firing, course, last).await?;
    }
    Ok(going)
}

/// Keeps what is no longer on.
fn ring(course: &mut Course, events: Vec<Event>) {
    for event in events {
        match event {
            Event::Began(alarm) => course.on.push(alarm),
            Event::Ended(kind) => {
                let ended = |a: &Alarm| a.kind == kind;
                if let Some(i) = course.on.iter().position(ended) {
                    let alarm = course.on.remove(i);
                    course.seen.past.retain(|a| !ended(a));
                    course.seen.past.push(alarm);
                }
            }
            Event::Reached { segment, at } => {
                if course.peak == Some(segment) {
                    course.peak_over = Some(at);
                }
            }
        }
    }
}

/// Raises what people are to know now. What was so long ago is no news.
async fn call(
    desk: &Desk,
    now: Timestamp,
    firing: &Firing,
    course: &mut Course,
    last: Option<Timestamp>,
) -> Result<(), DeskError> {
    let estimate = course.seen.estimate.as_deref();
    let known = notices::Known {
        estimate,
        last,
        heard: estimate.is_none()
            && notices::is_silent(firing, last, now)
            && desk.is_heard(firing).await?,
        peak_over: course.peak_over,
    };
    let notices = notices::of(firing, &known, now);
    // Advice that was followed, or that no longer holds, calls nobody.
    let advised = |n: &Notice| n.kind == NoticeKind::End && n.about == notices::ADVICE;
    let stands = notices.iter().any(advised);
    if course.advised && !stands {
        let about = Some(notices::ADVICE);
        desk.notice_past(&firing.id, NoticeKind::End, about, now)
            .await?;
    }
    course.advised = stands;
    if notices.is_empty() {
        return Ok(());
    }
    let rehearsed = desk.is_rehearsed(firing).await?;
    for mut notice in notices {
        if rehearsed {
            notice.words.insert_str(0, "Rehearsal, no kiln: ");
        }
        desk.raise(&notice).await?;
    }
    Ok(())
}

/// Kinds of alarm that cannot wait for the morning.
pub(super) fn urgent(kind: AlarmKind) -> bool {
    kind != AlarmKind::MainsLow
}
