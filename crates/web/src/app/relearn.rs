//! Kilns learnt anew by themselves: after a firing was emptied, as a job like that of a person who asks for it, so that
//! pages show it and nobody begins it twice. What is due is asked of the book, so that a program that was killed goes on
//! where it was.

use std::collections::HashMap;
use std::time::{Duration, Instant};

use glost_studio::desk::DeskError;
use glost_studio::desk::lessons::ToLearn;
use tokio::task::JoinHandle;

use super::App;
use crate::room::learnt::{job, looked_at};

/// The book is asked so often whether anything changed.
const AGAIN: Duration = Duration::from_secs(10);
/// Logs come in without a turn of the book, so that it is asked so often in any case.
const ANYWAY: Duration = Duration::from_secs(120);
/// What could not be worked out is tried once more after so long.
const RETRY: Duration = Duration::from_secs(3600);
/// Nobody waits for it: pages and planners have the other cores.
const THREADS: usize = 1;

/// What was begun, by the kiln: as what it was, and when.
type Tried = HashMap<String, (String, Instant)>;

impl App {
    /// Learns kilns anew after their firings from now on, until the task is ended.
    pub fn learn_after_firings(&self) -> JoinHandle<()> {
        let app = self.clone();
        tokio::spawn(async move {
            let (mut known, mut asked, mut tried) = (None, None::<Instant>, Tried::new());
            loop {
                let due = asked.is_none_or(|at| at.elapsed() > ANYWAY);
                match app.desk.store.latest_turn().await {
                    Ok(turn) if due || known != Some(turn) => match app.look(&mut tried).await {
                        Ok(()) => (known, asked) = (Some(turn), Some(Instant::now())),
                        Err(e) => untold(&e),
                    },
                    Ok(_) => {}
                    Err(e) => untold(&e.into()),
                }
                tokio::time::sleep(AGAIN).await;
            }
        })
    }

    /// Begins to learn each kiln that is due, unless somebody is at it.
    async fn look(&self, tried: &mut Tried) -> Result<(), DeskError> {
        for due in self.desk.to_learn().await? {
            let id = due.kiln.body.id.clone();
            let state = due.state();
            let again = tried
                .get(&id)
                .is_none_or(|(was, at)| *was != state || at.elapsed() > RETRY);
            if again && self.relearn(due).await? {
                tried.insert(id, (state, Instant::now()));
            }
        }
        Ok(())
    }

    /// False when somebody is at it.
    async fn relearn(&self, due: ToLearn) -> Result<bool, DeskError> {
        let kiln = &due.kiln.body;
        let ids = due.ids();
        let gathered = self.desk.gather_due(&due).await?;
        // A firing without a plan teaches nothing.
        if !gathered.pasts.iter().any(|p| ids.contains(&p.id)) {
            return Ok(true);
        }
        let (desk, now) = (self.desk.clone(), self.clock);
        let closing = self.closing.subscribe();
        Ok(self.jobs.begin_beside(
            &job(&kiln.id),
            move |tell| {
                let all = gathered.pasts.len();
                let found = gathered.work_out(THREADS, &mut |done| {
                    looked_at(tell, done, all) && !*closing.borrow()
                });
                // Half of it is no edition.
                if *closing.borrow() {
                    return Err("the program was stopped; it begins again with the next".to_owned());
                }
                Ok((gathered, found))
            },
            move |(gathered, found)| async move {
                let kept = desk.keep_by_itself(now(), &gathered, &found, &ids).await;
                kept.map(|_turn| ()).map_err(|e| e.to_string())
            },
        ))
    }
}

fn untold(e: &DeskError) {
    tracing::warn!(error = %e, "which kilns are to be learnt anew is not known just now");
}
