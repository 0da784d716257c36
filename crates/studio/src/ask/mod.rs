//! Answer what a technician asks of a firing: when it peaks, when the kiln may be opened, what it costs, whether the
//! bottom gets its cone, what a longer hold changes, and which start is cheapest. Each with its band.

mod cheapest;
mod moment;
mod start;
mod told;

pub use cheapest::{Cheapest, There};
pub use moment::Moment;
pub use told::{Cost, Times, Told, ZoneTold};

use glost_heat::doubt::{Draws, Ensemble, NotDrawn, ensemble_by, margin};
use glost_heat::firing::{NotPlanned, try_out};
use glost_heat::kiln::{KilnInput, from_plan};
use glost_heat::learn::belief_about;
use glost_model::doubt::Margin;
use glost_model::firing::FiringPlan;
use glost_model::forecast::Forecast;
use glost_model::kiln::Kiln;
use glost_model::plan_file::PlanFile;
use glost_model::studio::Studio;
use glost_model::{Money, Span};
use jiff::ZonedDateTime;
use jiff::civil::DateTime;

/// When to start.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Start {
    /// Now.
    Now,
    /// At a moment; one that is past is a firing under way.
    At(Moment),
    /// So late that in nine of ten draws the programme is over by then.
    EndBy(Moment),
    /// So late that in nine of ten draws the kiln may be opened by then.
    OpenBy(Moment),
    /// When energy costs least, if it can be with somebody there at the end of the peak.
    Cheapest,
}

/// What is asked.
#[derive(Debug, Clone)]
pub struct Question {
    /// What time it is, in the studio's zone.
    pub now: ZonedDateTime,
    /// When to start.
    pub start: Start,
    /// Compare with so much more of a hold at the peak; less when negative.
    pub hold_more: Option<Span>,
    /// Look so far ahead for the cheapest start.
    pub ahead: Span,
    /// How many kilns to draw.
    pub draws: usize,
    /// Seed of the draws.
    pub seed: u64,
}

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum AskError {
    /// An empty load.
    #[error("nothing is loaded, so there is no firing to ask about")]
    Empty,
    /// The plan names a kiln that its studio does not have.
    #[error("the plan is for kiln {0}, which its studio does not have")]
    NoKiln(String),
    /// No firing can be planned.
    #[error(transparent)]
    NotPlanned(#[from] NotPlanned),
    /// No kilns can be drawn.
    #[error(transparent)]
    NotDrawn(#[from] NotDrawn),
    /// A time that clocks skip.
    #[error("there is no {asked}: clocks go forward then. Write {instead}", asked = asked.strftime("%H:%M on %-d %B %Y"), instead = instead.strftime("%Y-%m-%dT%H:%M"))]
    NoSuchTime {
        /// As it was written.
        asked: DateTime,
        /// What clocks show instead.
        instead: DateTime,
    },
    /// A moment that no calendar holds.
    #[error("that moment is beyond the calendar; name a day nearer to now")]
    NoTime,
    /// It would have had to start already.
    #[error("to {what} by {wish} it would have had to start at {start}, which is past. Started now, that is at {soonest}", wish = said(wish), start = said(start), soonest = said(soonest))]
    TooLate {
        /// What was wished: `end` or `be open`.
        what: &'static str,
        /// By when.
        wish: Box<ZonedDateTime>,
        /// The start it takes.
        start: Box<ZonedDateTime>,
        /// When it would be, started now.
        soonest: Box<ZonedDateTime>,
    },
    /// Too many draws never come to it.
    #[error(
        "no start can promise to {0} by then: in more than one of ten draws the kiln never comes that far. Ask without it to see why"
    )]
    Never(&'static str),
    /// A hold cut by more than there is.
    #[error("the hold at the peak is {has}, so it cannot be {less} less: give at most that", has = glost_model::shown::hours(*has), less = glost_model::shown::hours(*less))]
    Hold {
        /// What there is.
        has: Span,
        /// What was to be taken away.
        less: Span,
    },
    /// A firing that never falls below the temperature at which it is opened, or has no segments.
    #[error("the plan's firing has no segments; make the plan again with glost plan")]
    NoSegments,
}

/// A moment as messages write it.
fn said(at: &ZonedDateTime) -> String {
    at.strftime("%H:%M on %a %-d %b %Y").to_string()
}

/// The same firing with more or less of a hold.
#[derive(Debug, Clone, PartialEq)]
pub struct HeldMore {
    /// How much more; less when negative.
    pub by: Span,
    /// What it comes to.
    pub told: Told,
    /// The peak is over so much later.
    pub later: Option<Span>,
    /// It costs so much more.
    pub dearer: Option<Money>,
    /// What is now wrong that was not before.
    pub warnings: Vec<String>,
}

/// The answers.
#[derive(Debug, Clone, PartialEq)]
pub struct Answers {
    /// The plan with its firing and forecast.
    pub file: PlanFile,
    /// When it starts.
    pub start: ZonedDateTime,
    /// The firing as it is planned.
    pub told: Told,
    /// With another hold, if that was asked.
    pub held: Option<HeldMore>,
    /// The cheapest start, if energy has more than one price or it was asked.
    pub cheapest: Option<Cheapest>,
    /// Power in hand.
    pub margin: Margin,
    /// What the person should know of the question.
    pub remarks: Vec<String>,
}

/// Answers a question about a plan. One without a firing gets one first.
///
/// # Errors
/// [`AskError`].
pub fn ask(file: &PlanFile, question: &Question) -> Result<Answers, AskError> {
    if file.load.placed().next().is_none() {
        return Err(AskError::Empty);
    }
    let kiln = file.studio.kiln(&file.load.kiln);
    let kiln = kiln.ok_or_else(|| AskError::NoKiln(file.load.kiln.clone()))?;
    let mut whole = file.clone();
    let (firing, forecast) = match (&file.firing, &file.forecast) {
        (Some(firing), Some(forecast)) => (firing.clone(), forecast.clone()),
        (Some(firing), None) => {
            let tried = try_out(&file.studio, kiln, &file.load, firing.segments.clone())?;
            (firing.clone(), tried.forecast)
        }
        _ => {
            let planned = glost_heat::firing::plan(&file.studio, kiln, &file.load)?;
            (planned.plan, planned.forecast)
        }
    };
    let peak = firing.peak().ok_or(AskError::NoSegments)?;
    let input = from_plan(&file.studio, kiln, &file.load);
    let planned = Foretold::new(&file.studio, (kiln, &input), firing, forecast, question)?;
    let mut remarks = Vec::new();
    let cheapest = cheapest::cheapest(&file.studio, question, &planned);
    let start = start::resolve(question, &planned, cheapest.as_ref(), &mut remarks)?;
    let told = planned.told(&file.studio, &start);
    let held = match question.hold_more {
        None => None,
        Some(by) => {
            let mut segments = planned.firing.segments.clone();
            let segment = segments.get_mut(peak).ok_or(AskError::NoSegments)?;
            let hold = segment.hold + by;
            if hold < Span::ZERO {
                let (has, less) = (segment.hold, -by);
                return Err(AskError::Hold { has, less });
            }
            segment.hold = hold;
            Some(held_more(
                &file.studio,
                &whole,
                &input,
                segments,
                question,
                (&planned, &told, &start, by),
            )?)
        }
    };
    let margin = margin(&input, &planned.firing, &file.studio.tariff)?;
    let prices = !file.studio.tariff.times.is_empty();
    let cheapest = cheapest.filter(|_| prices || question.start == Start::Cheapest);
    whole.firing = Some(planned.firing);
    whole.forecast = Some(planned.forecast);
    Ok(Answers {
        file: whole,
        start,
        told,
        held,
        cheapest,
        margin,
        remarks,
    })
}

/// A firing with its forecast and the draws around it.
pub(super) struct Foretold {
    pub firing: FiringPlan,
    pub forecast: Forecast,
    pub all: Ensemble,
    /// It may be opened below this.
    pub open_below: glost_model::Temperature,
}

impl Foretold {
    fn new(
        studio: &Studio,
        (kiln, input): (&Kiln, &KilnInput),
        firing: FiringPlan,
        forecast: Forecast,
        question: &Question,
    ) -> Result<Self, AskError> {
        let draws = Draws {
            number: question.draws,
            seed: question.seed,
            ..Draws::default()
        };
        Ok(Self {
            all: ensemble_by(input, &firing, &studio.tariff, &draws, &belief_about(kiln))?,
            firing,
            forecast,
            open_below: input.opening.open,
        })
    }
}

/// The same with other segments, beside the firing as planned: its answers, start and change of hold.
fn held_more(
    studio: &Studio,
    file: &PlanFile,
    input: &KilnInput,
    segments: Vec<glost_model::firing::Segment>,
    question: &Question,
    (planned, before, start, by): (&Foretold, &Told, &ZonedDateTime, Span),
) -> Result<HeldMore, AskError> {
    let kiln = studio.kiln(&file.load.kiln);
    let kiln = kiln.ok_or_else(|| AskError::NoKiln(file.load.kiln.clone()))?;
    let was = try_out(studio, kiln, &file.load, planned.firing.segments.clone())?;
    let now = try_out(studio, kiln, &file.load, segments)?;
    let known = |n: &String| was.plan.notes.contains(n) || was.forecast.notes.contains(n);
    let notes = now.plan.notes.iter().chain(&now.forecast.notes);
    // How much power is left is told on its own.
    let power = |n: &String| n.contains("% of full power");
    let warnings = notes.filter(|n| !known(n) && !power(n)).cloned().collect();
    let held = Foretold::new(studio, (kiln, input), now.plan, now.forecast, question)?;
    let told = held.told(studio, start);
    let over = |f: &Foretold| f.forecast.peak_over(&f.firing);
    Ok(HeldMore {
        by,
        later: over(&held).zip(over(planned)).map(|(a, b)| a - b),
        dearer: told
            .cost
            .as_ref()
            .zip(before.cost.as_ref())
            .map(|(a, b)| Money::cents(a.about.to_cents() - b.about.to_cents())),
        told,
        warnings,
    })
}
