//! A firing rehearsed: a synthetic kiln, unlike the model that watches it, fires a plan's programme, and its readings are
//! told as a logger would, so many times as fast. No kiln hears anything of it.

mod line;
mod logger;
mod publish;
mod stage;

use std::time::Duration;

use glost_heat::kiln::from_plan;
use glost_heat::strange::{Burn, Fault, StrangeKiln};
use glost_model::Span;
use glost_model::plan_file::PlanFile;
use glost_model::readings::Sample;
use jiff::Timestamp;
use tokio::time::Instant;

pub use glost_heat::strange::Planted;
pub use line::{TITLES, line};
pub use logger::Logger;
pub use publish::{Publisher, TOPIC};
pub use stage::Stage;

/// Share of a ring that burns through when an element goes: with half a ring most kilns get there late; without a whole
/// one they stop at about cone 08.
const RING_LOST: f64 = 0.5;
/// A kiln that keeps up with its programme when nothing is wrong.
pub const SEED: u64 = 3;
/// Fastest: beyond it a computer does not keep up.
pub const FASTEST: f64 = 100_000.0;

/// What is rehearsed.
#[derive(Debug, Clone)]
pub struct Rehearsal {
    /// Which kiln of all that could be described like this one.
    pub seed: u64,
    /// What goes wrong.
    pub planted: Vec<Planted>,
    /// When it is switched on.
    pub start: Timestamp,
    /// Between two rows of the log.
    pub every: Span,
}

/// A fault by its name; those of a ring in the ring of that number, from 1 at the floor.
pub fn fault(name: &str, ring: usize) -> Option<Fault> {
    let all = Fault::all(ring.saturating_sub(1));
    all.into_iter().find(|f| f.key() == name)
}

/// Names of all faults.
pub fn faults() -> [&'static str; 11] {
    Fault::all(0).map(Fault::key)
}

/// How much of a fault is planted when nothing is said.
pub fn usual(fault: Fault) -> f64 {
    match fault {
        Fault::ElementOut(_) => RING_LOST,
        other => other.usual(),
    }
}

impl Rehearsal {
    /// Lights the kiln of a plan.
    ///
    /// # Errors
    /// In words, what the plan lacks, or that its kiln has no such ring.
    pub fn light(&self, plan: &PlanFile) -> Result<Burn, String> {
        let programme = plan
            .firing
            .as_ref()
            .ok_or("the plan has no programme: make it with `glost plan`")?;
        let kiln = plan
            .studio
            .kiln(&plan.load.kiln)
            .ok_or("the kiln of the plan is not among its kilns: make the plan anew")?;
        let rings = kiln.bands.len();
        let beyond = self.planted.iter().find_map(|p| match p.fault {
            Fault::ElementOut(ring) | Fault::RelayStuck(ring) => (ring >= rings).then_some(ring),
            _ => None,
        });
        if let Some(ring) = beyond {
            return Err(format!(
                "kiln {} has no ring {}: it has {rings}, counted from 1 at the floor",
                kiln.name,
                ring + 1
            ));
        }
        let input = from_plan(&plan.studio, kiln, &plan.load);
        let mut kiln = StrangeKiln::draw(self.seed, &input);
        Ok(kiln.begin(programme, &input, &self.planted, self.start, self.every))
    }
}

/// Where readings go.
pub enum To {
    /// A file.
    File(Logger),
    /// A broker.
    Broker(Publisher),
}

impl To {
    async fn write(&mut self, sample: &Sample) -> Result<(), String> {
        match self {
            Self::File(logger) => logger.write(sample).map_err(|e| e.to_string()),
            Self::Broker(publisher) => publisher.write(sample).await,
        }
    }
}

/// Tells readings, each when its time has come at `pace` times the clock, until the kiln may be unloaded. `told` hears
/// of each; answering false ends it.
///
/// # Errors
/// Where it could not be written.
pub async fn run(
    mut burn: Burn,
    pace: f64,
    mut to: Vec<To>,
    mut told: impl FnMut(&Sample) -> bool,
) -> Result<(), String> {
    let pace = pace.clamp(1.0, FASTEST);
    let began = Instant::now();
    loop {
        // A step is long for what else runs on this thread.
        let next = tokio::task::spawn_blocking(move || {
            let sample = burn.next();
            (burn, sample)
        });
        let (back, sample) = next
            .await
            .map_err(|e| format!("the synthetic kiln broke down: {e}"))?;
        burn = back;
        let Some(sample) = sample else { break };
        let due = began + Duration::from_secs_f64(burn.time().to_s() / pace);
        tokio::time::sleep_until(due).await;
        for to in &mut to {
            to.write(&sample).await?;
        }
        if !told(&sample) {
            return Ok(());
        }
    }
    for to in to {
        match to {
            To::File(mut logger) => logger.finish().map_err(|e| e.to_string())?,
            To::Broker(publisher) => publisher.finish().await,
        }
    }
    Ok(())
}
