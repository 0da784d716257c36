//! What is wished of a firing: as it is typed, for the planner, and the start that keeps a moment.

use glost_heat::firing::Wishes;
use glost_model::book::{Act, By, Firing, FiringState, Wished};
use glost_model::firing::{Aim, DropHold};
use glost_model::plan_file::PlanFile;
use glost_model::shown::Shown;
use glost_model::{Span, TempDiff};
use jiff::tz::TimeZone;
use jiff::{Timestamp, ZonedDateTime};

use super::{Actor, Desk, DeskError};
use crate::ask::{Moment, Question, Start, ask};

/// Aims by their names in forms.
pub const AIMS: [(&str, Aim); 3] = [
    ("soonest", Aim::Soonest),
    ("cheapest", Aim::Cheapest),
    ("evenest", Aim::Evenest),
];

/// Kilns drawn to say by when a firing is over, as many as `glost ask` draws.
const DRAWS: usize = 24;

/// The name of an aim in forms.
pub fn aim_key(aim: Aim) -> &'static str {
    AIMS.iter().find(|a| a.1 == aim).map_or("", |a| a.0)
}

/// Reads wishes from the fields `aim`, `fall`, `fall_hold`, `end_by` and `open_by`; `starts` is a start typed beside
/// them.
///
/// # Errors
/// Every fault, each with its field.
pub fn read<'a>(
    get: impl Fn(&str) -> &'a str,
    starts: Option<Timestamp>,
    shown: Shown,
    zone: &TimeZone,
) -> Result<Wished, DeskError> {
    let mut faults = Vec::new();
    let mut fault = |field: &str, what: String, remedy: &'static str| {
        faults.push((field.to_owned(), what, remedy));
    };
    let aim = match get("aim").trim() {
        "" => Aim::default(),
        text => match AIMS.iter().find(|a| a.0 == text) {
            Some(a) => a.1,
            None => {
                fault("aim", format!("'{text}' is no aim"), "Choose one of them");
                Aim::default()
            }
        },
    };
    let per_k = if shown.fahrenheit { 1.8 } else { 1.0 };
    let mut number = |field: &str, range: std::ops::RangeInclusive<f64>, per: f64, unit: &str| {
        let text = get(field).trim();
        if text.is_empty() {
            return None;
        }
        let read = text.replace(',', ".").parse::<f64>().ok().map(|n| n / per);
        let read = read.filter(|n| range.contains(n));
        if read.is_none() {
            let (from, to) = (range.start() * per, range.end() * per);
            let what = format!("'{text}' is not from {from:.0} to {to:.0} {unit}");
            fault(field, what, "Write a number between, or leave both empty");
        }
        read
    };
    let fall = number("fall", DropHold::FALLS_K, per_k, shown.degree_sign());
    let hold = number("fall_hold", DropHold::HOLDS_MIN, 1.0, "min");
    match (get("fall").trim(), get("fall_hold").trim()) {
        ("", held) if !held.is_empty() => fault(
            "fall",
            "a hold after the peak needs how far to fall before it".to_owned(),
            "Write both, or none",
        ),
        (fell, "") if !fell.is_empty() => fault(
            "fall_hold",
            "a fall after the peak needs how long to hold there".to_owned(),
            "Write both, or none",
        ),
        _ => {}
    }
    let mut moment = |field: &str| {
        let text = get(field).trim();
        let read = (!text.is_empty()).then(|| civil(text, zone));
        read.and_then(|r| {
            r.map_err(|what| fault(field, what, "Write it as 2026-11-27T22:00"))
                .ok()
        })
    };
    let (end, open) = (moment("end_by"), moment("open_by"));
    if end.is_some() && open.is_some() {
        fault(
            "open_by",
            "the firing is to end by one moment and to be open by another".to_owned(),
            "Write the one that counts",
        );
    }
    if starts.is_some() && (end.is_some() || open.is_some()) {
        fault(
            if end.is_some() { "end_by" } else { "open_by" },
            "the start is written already".to_owned(),
            "Write when it starts or by when it is over, not both",
        );
    }
    if !faults.is_empty() {
        return Err(DeskError::fields(faults));
    }
    Ok(Wished {
        aim,
        drop_hold: fall.zip(hold).map(|(fall, hold)| DropHold {
            by: TempDiff::k(fall),
            hold: Span::minutes(hold),
        }),
        by: end.map(By::End).or(open.map(By::Open)),
        missed: String::new(),
    })
}

fn civil(text: &str, zone: &TimeZone) -> Result<Timestamp, String> {
    let wrong = |_what| format!("'{text}' is no day with a time");
    let civil: jiff::civil::DateTime = text.parse().map_err(wrong)?;
    let at = civil.to_zoned_datetime(zone.clone()).map_err(wrong)?;
    Ok(at.timestamp())
}

/// The studio's own zone; that of the machine where it names none.
fn zone(plan: &PlanFile) -> TimeZone {
    let named = plan.studio.hours.time_zone.as_deref();
    named
        .and_then(|z| TimeZone::get(z).ok())
        .unwrap_or_else(TimeZone::system)
}

/// What the planner is to seek. Prices by the hour need a start: that of the firing, or about the one that keeps its
/// moment, once a first forecast tells how long it takes.
pub fn for_planner(firing: &Firing, plan: &PlanFile) -> Wishes {
    let takes = plan.forecast.as_ref().map(|f| match firing.wished.by {
        Some(By::Open(_)) => f.may_open().and_then(|c| c.time_s).unwrap_or(f.firing_s),
        _ => f.firing_s,
    });
    let about = firing.wished.by.zip(takes).and_then(|(by, takes)| {
        let takes = jiff::SignedDuration::try_from_secs_f64(takes.to_s()).ok()?;
        by.at().checked_sub(takes).ok()
    });
    let start = about.or(firing.starts.filter(|_| firing.wished.by.is_none()));
    Wishes {
        aim: firing.wished.aim,
        drop_hold: firing.wished.drop_hold,
        start: start.map(|at| at.to_zoned_datetime(zone(plan))),
    }
}

/// Whether the start says something to the planner: energy has prices by the hour and money counts.
pub fn start_counts(firing: &Firing, plan: &PlanFile) -> bool {
    firing.wished.aim == Aim::Cheapest && !plan.studio.tariff.times.is_empty()
}

/// The start that a plan comes to.
pub(super) enum Timed {
    /// Nobody wished for a moment.
    Free,
    /// It keeps the moment in nine kilns of ten.
    Starts(Timestamp),
    /// None does, and why.
    Missed(String),
}

impl Timed {
    /// Writes it into the firing.
    pub(super) fn put(self, firing: &mut Firing) {
        firing.wished.missed.clear();
        match self {
            Self::Free => {}
            Self::Starts(at) => firing.starts = Some(at),
            Self::Missed(why) => {
                firing.starts = None;
                firing.wished.missed = why;
            }
        }
    }
}

fn timed(plan: &PlanFile, by: By, now: ZonedDateTime) -> Timed {
    let moment = Moment::Exact(by.at());
    let question = Question {
        now,
        start: match by {
            By::End(_) => Start::EndBy(moment),
            By::Open(_) => Start::OpenBy(moment),
        },
        hold_more: None,
        ahead: Span::h(24.0),
        draws: DRAWS,
        seed: 1,
    };
    match ask(plan, &question) {
        Ok(told) => Timed::Starts(told.start.timestamp()),
        Err(e) => Timed::Missed(e.to_string()),
    }
}

impl Desk {
    /// The start of a firing by a plan that is not kept yet.
    pub(super) async fn timed(
        &self,
        actor: Actor<'_>,
        id: &str,
        plan: &PlanFile,
    ) -> Result<Timed, DeskError> {
        let Some(by) = self.firing(id).await?.body.wished.by else {
            return Ok(Timed::Free);
        };
        let now = actor.at.to_zoned_datetime(zone(plan));
        let plan = plan.clone();
        tokio::task::spawn_blocking(move || timed(&plan, by, now))
            .await
            .map_err(|e| DeskError::Machine(e.to_string()))
    }

    /// Writes down what is wished of a draft, for its next plan.
    ///
    /// # Errors
    /// When it is no draft any more, or was changed in the meantime.
    pub async fn wish(
        &self,
        actor: Actor<'_>,
        id: &str,
        version: i64,
        wished: &Wished,
    ) -> Result<Firing, DeskError> {
        actor.must(Act::Plan)?;
        let firing = self.firing(id).await?.body;
        let as_it_is = Wished {
            missed: firing.wished.missed.clone(),
            ..wished.clone()
        };
        if firing.wished == as_it_is {
            return Ok(firing);
        }
        let verb = format!("wish otherwise of firing {id}");
        let mut turn = self.store.turn(actor.by(), &verb).await?;
        let mut firing = turn.seen::<Firing>(id, version).await?;
        if firing.state != FiringState::Draft {
            return Err(DeskError::cannot(
                format!("firing {id} is {}", firing.state.words()),
                "Only a draft is planned anew",
            ));
        }
        // A start that a moment was behind goes with it; one that somebody chose gives way to a moment.
        if firing.wished.by.is_some() || wished.by.is_some() {
            firing.starts = None;
        }
        firing.wished = wished.clone();
        turn.put(&firing, version).await?;
        turn.commit().await?;
        Ok(firing)
    }
}
