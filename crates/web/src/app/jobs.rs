//! Plans being made: one at a time, watched and stopped from pages.

use std::collections::HashMap;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

use tokio::sync::{Semaphore, watch};

/// A tier of the load so far, drawn small.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct TierDrawn {
    /// What is below the drawing.
    pub words: String,
    /// The drawing, SVG.
    pub svg: String,
}

/// The best load so far.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Drawn {
    /// Grows with each drawing.
    pub number: u64,
    /// Tiers from the top down.
    pub tiers: Vec<TierDrawn>,
}

/// How far a plan is.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Progress {
    /// What is being done, in words.
    pub phase: String,
    /// Share done, 0 to 1.
    pub share: f64,
    /// How good it is so far, in words; empty when nobody knows yet.
    pub worth: String,
    /// The load so far.
    pub drawn: Arc<Drawn>,
    /// Nothing more will come.
    pub over: bool,
    /// Why there is no plan.
    pub trouble: Option<String>,
}

#[derive(Debug)]
struct Job {
    progress: watch::Sender<Progress>,
    stop: Arc<AtomicBool>,
}

/// All jobs by firing. Cloning shares them.
#[derive(Debug, Clone)]
pub struct Jobs {
    all: Arc<Mutex<HashMap<String, Job>>>,
    /// Why the last job of a firing made nothing; until one makes something.
    lost: Arc<Mutex<HashMap<String, String>>>,
    turn: Arc<Semaphore>,
}

impl Default for Jobs {
    fn default() -> Self {
        Self {
            all: Arc::default(),
            lost: Arc::default(),
            // The planner takes all cores that there are.
            turn: Arc::new(Semaphore::new(1)),
        }
    }
}

/// What a job uses to tell of itself.
#[derive(Debug, Clone)]
pub struct Teller {
    progress: watch::Sender<Progress>,
    stop: Arc<AtomicBool>,
}

impl Teller {
    /// Tells how far it is; false when it is to stop and give what it has.
    pub fn tell(&self, phase: &str, share: f64, worth: String) -> bool {
        self.progress.send_modify(|p| {
            phase.clone_into(&mut p.phase);
            p.share = share;
            p.worth = worth;
        });
        !self.stop.load(Ordering::Relaxed)
    }

    /// Shows the best load so far.
    pub fn show(&self, tiers: Vec<TierDrawn>) {
        self.progress.send_modify(|p| {
            let number = p.drawn.number + 1;
            p.drawn = Arc::new(Drawn { number, tiers });
        });
    }
}

impl Jobs {
    /// Begins a job for a firing unless there is one. `work` runs on a thread of its own when its turn comes; `keep`
    /// takes what it made.
    pub fn begin<T, W, K, F>(&self, firing: &str, work: W, keep: K) -> bool
    where
        T: Send + 'static,
        W: FnOnce(&Teller) -> Result<T, String> + Send + 'static,
        K: FnOnce(T) -> F + Send + 'static,
        F: Future<Output = Result<(), String>> + Send + 'static,
    {
        self.run(firing, Some(Arc::clone(&self.turn)), work, keep)
    }

    /// The same at once, beside whatever runs: for work on one thread that nobody waits for.
    pub fn begin_beside<T, W, K, F>(&self, firing: &str, work: W, keep: K) -> bool
    where
        T: Send + 'static,
        W: FnOnce(&Teller) -> Result<T, String> + Send + 'static,
        K: FnOnce(T) -> F + Send + 'static,
        F: Future<Output = Result<(), String>> + Send + 'static,
    {
        self.run(firing, None, work, keep)
    }

    fn run<T, W, K, F>(&self, firing: &str, turn: Option<Arc<Semaphore>>, work: W, keep: K) -> bool
    where
        T: Send + 'static,
        W: FnOnce(&Teller) -> Result<T, String> + Send + 'static,
        K: FnOnce(T) -> F + Send + 'static,
        F: Future<Output = Result<(), String>> + Send + 'static,
    {
        let (progress, _) = watch::channel(Progress {
            phase: "waits for its turn".to_owned(),
            ..Progress::default()
        });
        let teller = Teller {
            progress,
            stop: Arc::new(AtomicBool::new(false)),
        };
        {
            let mut all = self.all.lock().unwrap_or_else(PoisonError::into_inner);
            if all.contains_key(firing) {
                return false;
            }
            all.insert(
                firing.to_owned(),
                Job {
                    progress: teller.progress.clone(),
                    stop: Arc::clone(&teller.stop),
                },
            );
        }
        let (jobs, name) = (self.clone(), firing.to_owned());
        tokio::spawn(async move {
            let permit = match &turn {
                Some(turn) => turn.acquire().await.ok(),
                None => None,
            };
            let worker = teller.clone();
            let made = tokio::task::spawn_blocking(move || work(&worker)).await;
            let done = match made {
                Ok(Ok(made)) => keep(made).await,
                Ok(Err(why)) => Err(why),
                Err(e) => {
                    tracing::error!(error = %e, firing = name, "the planner broke down");
                    Err("the planner broke down; the log of the program has the reason".to_owned())
                }
            };
            drop(permit);
            {
                let mut lost = jobs.lost.lock().unwrap_or_else(PoisonError::into_inner);
                match &done {
                    Ok(()) => lost.remove(&name),
                    Err(why) => {
                        tracing::warn!(firing = name, why, "a plan could not be made");
                        lost.insert(name.clone(), why.clone())
                    }
                };
            }
            teller.progress.send_modify(|p| {
                p.over = true;
                p.share = 1.0;
                p.trouble = done.err();
            });
            jobs.all
                .lock()
                .unwrap_or_else(PoisonError::into_inner)
                .remove(&name);
        });
        true
    }

    /// Follows a job; nothing when there is none.
    pub fn watch(&self, firing: &str) -> Option<watch::Receiver<Progress>> {
        let all = self.all.lock().unwrap_or_else(PoisonError::into_inner);
        all.get(firing).map(|j| j.progress.subscribe())
    }

    /// Why the last job of a firing made nothing.
    pub fn lost(&self, firing: &str) -> Option<String> {
        let lost = self.lost.lock().unwrap_or_else(PoisonError::into_inner);
        lost.get(firing).cloned()
    }

    /// How many there are.
    pub fn count(&self) -> usize {
        let all = self.all.lock().unwrap_or_else(PoisonError::into_inner);
        all.len()
    }

    /// Asks a job to stop and give what it has.
    pub fn stop(&self, firing: &str) {
        let all = self.all.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(job) = all.get(firing) {
            job.stop.store(true, Ordering::Relaxed);
        }
    }
}
