//! A whole firing of the invented studio, rehearsed: planned, loaded and started as people would, then followed from the
//! file that the synthetic kiln's logger writes.

use glost_feed::Layout;
use glost_model::book::{Firing, Person};
use glost_model::cone::Cone;
use glost_model::load::FiringKind;
use glost_model::plan_file::PlanFile;
use glost_model::readings::Sample;
use glost_model::{Span, Temperature};
use jiff::tz::TimeZone;
use jiff::{RoundMode, Timestamp, TimestampRound, Unit};
use tokio::sync::mpsc::{UnboundedReceiver, unbounded_channel};

use super::{Logger, Planted, Rehearsal, To, line, run};
use crate::DEMO_KILN;
use crate::desk::propose::{Effort, plan_draft};
use crate::desk::{Actor, Desk, DeskError, End, NewFiring, Start};
use crate::follow::hot_end;
use crate::hear::{FileWay, Logs, Way};

/// A row of the log each so many seconds of the kiln.
const EVERY: Span = Span::s(60.0);

/// What is put on the stage.
#[derive(Debug, Clone)]
pub struct Stage {
    /// The studio.
    pub desk: Desk,
    /// The time.
    pub clock: fn() -> Timestamp,
    /// Folder that the logger writes into.
    pub logs: Logs,
    /// Who does what people do.
    pub person: Person,
    /// See [`Rehearsal`].
    pub seed: u64,
    /// See [`Rehearsal`].
    pub planted: Vec<Planted>,
    /// So many times as fast as a kiln.
    pub pace: f64,
}

impl Stage {
    /// Plans a firing and takes it to a kiln that is on, whose log is to be heard.
    ///
    /// # Errors
    /// Of the store, or what stands in the way.
    pub async fn begin(&self) -> Result<(Firing, PlanFile), DeskError> {
        let (firing, plan) = self.planned().await?;
        self.lit(&firing.id, &plan).await?;
        Ok((self.desk.firing(&firing.id).await?.body, plan))
    }

    /// The same, and lets it be heard to its end.
    ///
    /// # Errors
    /// As [`Self::begin`], or when the log cannot be written.
    pub async fn play(self) -> Result<(), DeskError> {
        let (firing, plan) = self.begin().await?;
        let started = firing.started.unwrap_or_else(self.clock);
        let rehearsal = Rehearsal {
            seed: self.seed,
            planted: self.planted.clone(),
            // The log has whole seconds; none of its rows may be of before the firing.
            start: started.round(whole()).unwrap_or(started),
            every: EVERY,
        };
        let kiln = "Leave the fault out, or plant it in a ring that there is";
        let burn = rehearsal
            .light(&plan)
            .map_err(|why| DeskError::cannot(why, kiln))?;
        let path = self.logs.folder().join(file_of(&firing));
        let machine =
            |e: String| DeskError::Machine(format!("the rehearsal cannot be written: {e}"));
        let logger = Logger::begin(&path).map_err(|e| machine(e.to_string()))?;
        let (tell, heard) = unbounded_channel();
        let running = run(burn, self.pace, vec![To::File(logger)], move |sample| {
            tell.send(sample.clone()).is_ok()
        });
        let (ran, ended) = tokio::join!(running, self.switched_off(&firing.id, heard));
        ran.map_err(machine)?;
        ended
    }

    fn actor(&self) -> Actor<'_> {
        Actor {
            person: &self.person,
            at: (self.clock)(),
        }
    }

    async fn planned(&self) -> Result<(Firing, PlanFile), DeskError> {
        let cone = Cone::parse("6").map_err(|e| DeskError::Machine(e.to_string()))?;
        let new = NewFiring {
            kiln: DEMO_KILN.to_owned(),
            cone,
            kind: FiringKind::Glaze,
            starts: None,
            wished: glost_model::book::Wished::default(),
        };
        let firing = self.desk.new_firing(self.actor(), &new).await?;
        let (studio, book) = self.desk.studio_with_waiting().await?;
        let today = self.actor().at.to_zoned_datetime(TimeZone::system()).date();
        let draft = firing.clone();
        let work = move || {
            let watch = |_: &str, _, _| true;
            plan_draft(studio, &book, &draft, today, 1, Effort::Short, &watch)
        };
        let plan = tokio::task::spawn_blocking(work)
            .await
            .map_err(|e| DeskError::Machine(e.to_string()))??;
        self.desk
            .keep_plan(self.actor(), &firing.id, &plan, "plan firing")
            .await?;
        Ok((firing, plan))
    }

    /// What people do before a kiln is on, and how it is heard.
    async fn lit(&self, id: &str, plan: &PlanFile) -> Result<(), DeskError> {
        let version = async || self.desk.firing(id).await.map(|k| k.version);
        let desk = &self.desk;
        desk.accept(self.actor(), id, version().await?, None)
            .await?;
        desk.begin_loading(self.actor(), id, version().await?)
            .await?;
        desk.read_back(self.actor(), id, version().await?, "", false)
            .await?;
        let kiln = desk.kiln_of(&plan.load.kiln).await?;
        if let Some(kiln) = kiln {
            let source = desk.source(&kiln).await?;
            let firing = desk.firing(id).await?.body;
            let way = Way::File(FileWay {
                file: file_of(&firing),
                layout: layout(),
            });
            let pace = self.pace.round().clamp(1.0, 100_000.0) as u32;
            desk.set_source(self.actor(), &kiln, source.version, &way, Some(pace))
                .await?;
        }
        let version = version().await?;
        let looked = Start {
            looked: true,
            ..Start::default()
        };
        desk.start(self.actor(), id, version, looked).await?;
        Ok(())
    }

    /// Writes down that the kiln is off once its controller tells no set point any more, at the kiln's own hour.
    async fn switched_off(
        &self,
        id: &str,
        mut heard: UnboundedReceiver<Sample>,
    ) -> Result<(), DeskError> {
        let mut hottest: Option<Temperature> = None;
        let mut on = true;
        while let Some(sample) = heard.recv().await {
            if let Some(t) = sample.sensor {
                hottest = Some(hottest.map_or(t, |h| h.max(t)));
            }
            if on && sample.set_point.is_none() {
                on = false;
                let actor = Actor {
                    person: &self.person,
                    at: sample.at,
                };
                let version = self.desk.firing(id).await?.version;
                let hottest = hottest.map(Temperature::to_c);
                let end = End {
                    hottest_c: hottest,
                    ..End::default()
                };
                self.desk.end(actor, id, version, end).await?;
            }
        }
        Ok(())
    }
}

/// The next whole second.
fn whole() -> TimestampRound {
    let round = TimestampRound::new().smallest(Unit::Second);
    round.mode(RoundMode::Ceil)
}

fn file_of(firing: &Firing) -> String {
    format!("{}-{}.csv", firing.kiln.to_lowercase(), firing.id)
}

/// How the rehearsed log is written.
fn layout() -> Layout {
    let row = line(&Sample {
        at: Timestamp::UNIX_EPOCH,
        sensor: Some(Temperature::c(20.0)),
        set_point: Some(Temperature::c(21.0)),
        duty: Some(0.5),
        meter: Some(glost_model::Energy::ZERO),
        others: Vec::new(),
    });
    let head = format!("{}{row}", super::TITLES);
    Layout::guess(head.as_bytes(), &TimeZone::UTC, hot_end).layout
}

#[cfg(test)]
mod tests {
    use glost_feed::layout::{Holds, Time};

    use super::*;

    #[test]
    fn its_own_log_is_understood() {
        let layout = layout();
        assert!(matches!(layout.time, Time::Stamp { at: 0, .. }));
        let holds: Vec<&Holds> = layout.columns.iter().map(|c| &c.holds).collect();
        assert!(
            matches!(
                holds[..],
                [
                    Holds::Sensor { .. },
                    Holds::SetPoint { .. },
                    Holds::Duty { percent: true },
                    Holds::Meter
                ]
            ),
            "{holds:?}"
        );
    }
}
