//! When a firing starts, from what is wished.

use glost_model::Span;
use glost_model::doubt::TimeBand;
use jiff::ZonedDateTime;

use super::cheapest::Cheapest;
use super::moment::{Moment, comes_twice, earlier, later};
use super::{AskError, Foretold, Question, Start};

/// The start that is asked for, with remarks on times that come twice.
pub(super) fn resolve(
    question: &Question,
    planned: &Foretold,
    cheapest: Option<&Cheapest>,
    remarks: &mut Vec<String>,
) -> Result<ZonedDateTime, AskError> {
    let now = &question.now;
    match &question.start {
        Start::Now => Ok(now.clone()),
        Start::At(moment) => {
            let at = moment.at(now)?;
            twice(moment, &at, remarks);
            Ok(at)
        }
        Start::EndBy(moment) => {
            let over = worst(planned.all.times(|d| d.over), planned.over());
            by(now, moment, "end", over, remarks)
        }
        Start::OpenBy(moment) => {
            let open = worst(planned.all.times(|d| d.open), planned.open());
            by(now, moment, "be open", open, remarks)
        }
        Start::Cheapest => cheapest.map(|c| c.start.clone()).ok_or(AskError::NoTime),
    }
}

/// The late end of the band, or the forecast if that is later still.
fn worst(band: TimeBand, about: Option<Span>) -> Option<Span> {
    band.high.zip(about).map(|(high, about)| high.max(about))
}

/// The start from which something that takes so long is over by a moment. A time of day that is too near stands for
/// the same on a later day.
fn by(
    now: &ZonedDateTime,
    moment: &Moment,
    what: &'static str,
    takes: Option<Span>,
    remarks: &mut Vec<String>,
) -> Result<ZonedDateTime, AskError> {
    let takes = takes.ok_or(AskError::Never(what))?;
    let mut first = None;
    for wish in moment.all(now) {
        let wish = wish?;
        let start = earlier(&wish, takes).ok_or(AskError::NoTime)?;
        if start >= *now {
            twice(moment, &wish, remarks);
            if let Some((day, _)) = &first {
                let day: &ZonedDateTime = day;
                remarks.push(format!(
                    "By {} it is too late already; this is for {}.",
                    super::said(day),
                    super::said(&wish)
                ));
            }
            return Ok(start);
        }
        first.get_or_insert((wish, start));
    }
    let (wish, start) = first.ok_or(AskError::NoTime)?;
    let soonest = later(now, takes).ok_or(AskError::NoTime)?;
    Err(AskError::TooLate {
        what,
        wish: wish.into(),
        start: start.into(),
        soonest: soonest.into(),
    })
}

fn twice(moment: &Moment, at: &ZonedDateTime, remarks: &mut Vec<String>) {
    if comes_twice(at) && !matches!(moment, Moment::Exact(_)) {
        remarks.push(format!(
            "Clocks go back and show {} twice: this is the one at {}. Write the other with its own distance from UTC, as 2026-10-25T01:30+00:00.",
            at.strftime("%H:%M"),
            at.strftime("%Y-%m-%dT%H:%M%:z")
        ));
    }
}
