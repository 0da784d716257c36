//! Puts ware on the shelves of stacks, keeps the best and improves it round by round.

mod filling;
mod finish;
mod rounds;
mod sets;
mod shelf;

use std::sync::atomic::{AtomicBool, Ordering};

use glost_model::kiln::Kiln;
use glost_model::load::{LeftOut, LoadPlan, Worth};
use rand::SeedableRng as _;
use rand_chacha::ChaCha8Rng;

use crate::plan::{PlanAsk, SoFar, Watcher};
use crate::skeleton::Skeleton;
use crate::ware::{Ware, waits_for_set};
use crate::write::{no_room, without_idle, write};
use filling::Filling;
pub use filling::{Task, rank, stand, suffers};
use rounds::Rounds;
pub use sets::Sets;
pub use shelf::{Shelf, with_packs};

/// Stacks that are filled for real.
pub const STACKS_TRIED: usize = 40;
/// Stacks that go into each heat, and rounds that each gets in it at most.
const HEATS: [(usize, u32); 3] = [(16, 24), (6, 60), (3, 160)];
/// Rounds after which two searches compare notes.
const EPOCH: u32 = 150;
/// Searches side by side.
const WORKERS: usize = 2;

/// A stack under trial.
struct Entry<'s, 'a> {
    shelves: Vec<Shelf<'s, 'a>>,
    search: Rounds,
}

/// Tells the caller how far it is; false stops everything.
struct Progress<'w, 'v> {
    watch: &'w mut Watcher<'v>,
    go_on: bool,
    done: f64,
    of: f64,
    value: f64,
}

impl Progress<'_, '_> {
    fn tell(&mut self, rounds: f64, value: f64, load: SoFar<'_>) -> bool {
        self.done += rounds;
        self.value = self.value.max(value);
        let share = (self.done / self.of).min(1.0);
        let best = (value >= self.value).then_some(load);
        self.go_on = self.go_on && (self.watch)(share, self.value, best);
        self.go_on
    }
}

/// Fills the stacks, keeps the best, improves it and writes it down. `single` is the ware piece by
/// piece, to say of each why it stays out.
pub fn assemble(
    ask: &PlanAsk<'_>,
    kiln: &Kiln,
    ware: &[Ware<'_>],
    single: &[Ware<'_>],
    mut left_out: Vec<LeftOut>,
    stacks: &[Skeleton<'_>],
    watch: &mut Watcher<'_>,
) -> LoadPlan {
    let sets = Sets::of(ware);
    // Filling a stack counts as some rounds, so that progress is told evenly.
    const FILLED: f64 = 20.0;
    let mut progress = Progress {
        watch,
        go_on: true,
        done: 0.0,
        of: f64::from(ask.rounds) + FILLED * stacks.len() as f64,
        value: 0.0,
    };
    let mut entries = fill(ask, kiln, ware, &sets, stacks, &mut progress, FILLED);
    let mut left = ask.rounds;
    for (go_in, most) in HEATS {
        entries.sort_by(|a, b| b.search.best.value.total_cmp(&a.search.best.value));
        entries.truncate(go_in);
        let each = most.min(ask.rounds / (8 * go_in as u32));
        left = left.saturating_sub(each * entries.len() as u32);
        both(&mut entries, &mut progress, |e, tell| {
            let Entry { shelves, search } = e;
            let task = Task {
                ware,
                sets: &sets,
                shelves,
            };
            for _ in 0..each {
                search.round(&task);
                let so_far = || write(ware, shelves, &search.best.on);
                if !tell(1.0, search.best.value, &so_far) {
                    break;
                }
            }
        });
    }
    entries.sort_by(|a, b| b.search.best.value.total_cmp(&a.search.best.value));
    entries.truncate(1);
    let Some(Entry { shelves, search }) = entries.pop() else {
        return write_down(ask, kiln, ware, single, &[], &[], left_out, 0.0);
    };
    let task = Task {
        ware,
        sets: &sets,
        shelves: &shelves,
    };
    let mut best = side_by_side(ask, &task, search, left, &mut progress);
    finish::finish(&task, &mut best, &mut random(ask.seed, 2000));
    say_broken(&task, &best, &mut left_out);
    write_down(
        ask, kiln, ware, single, &shelves, &best.on, left_out, best.value,
    )
}

/// Every stack with its first filling.
fn fill<'s, 'a>(
    ask: &PlanAsk<'_>,
    kiln: &Kiln,
    ware: &[Ware<'a>],
    sets: &Sets,
    stacks: &'s [Skeleton<'a>],
    progress: &mut Progress<'_, '_>,
    counts_as: f64,
) -> Vec<Entry<'s, 'a>> {
    let mut entries: Vec<(usize, Option<Entry<'s, 'a>>)> =
        (0..stacks.len()).map(|i| (i, None)).collect();
    both(&mut entries, progress, |(i, entry), tell| {
        let shelves = shelf::bare(ask, kiln, &stacks[*i]);
        let task = Task {
            ware,
            sets,
            shelves: &shelves,
        };
        let mut rng = random(ask.seed, *i as u64);
        let first = Filling::dealt(&task, &mut rng);
        tell(counts_as, first.value, &|| write(ware, &shelves, &first.on));
        let search = Rounds::new(&task, first, rng);
        *entry = Some(Entry { shelves, search });
    });
    entries.into_iter().filter_map(|(_, e)| e).collect()
}

/// What a piece of work calls after each step, with the rounds that it counts as, its best value and what that is.
/// It stops when the answer is false.
type Tell<'t> = &'t mut dyn FnMut(f64, f64, SoFar<'_>) -> bool;

/// Works on all items with two threads. Each item's work depends on it alone, so that the outcome
/// is the same however they share. After a stop what has not begun is left out.
fn both<T: Send>(
    items: &mut [T],
    progress: &mut Progress<'_, '_>,
    work: impl Fn(&mut T, Tell<'_>) + Sync,
) {
    let stop = AtomicBool::new(!progress.go_on);
    let (mut mine, mut theirs) = (Vec::new(), Vec::new());
    for (i, item) in items.iter_mut().enumerate() {
        if i % 2 == 0 {
            mine.push(item);
        } else {
            theirs.push(item);
        }
    }
    std::thread::scope(|scope| {
        let (work, stop) = (&work, &stop);
        scope.spawn(move || {
            for item in theirs {
                if stop.load(Ordering::Relaxed) {
                    break;
                }
                work(item, &mut |_, _, _| !stop.load(Ordering::Relaxed));
            }
        });
        for item in mine {
            if !progress.go_on {
                break;
            }
            // The other thread does as much, which nobody hears of.
            work(item, &mut |rounds, value, load| {
                progress.tell(2.0 * rounds, value, load)
            });
            if !progress.go_on {
                stop.store(true, Ordering::Relaxed);
            }
        }
    });
}

/// A stream of its own for every part of the search.
fn random(seed: u64, part: u64) -> ChaCha8Rng {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    rng.set_stream(part + 1);
    rng
}

/// Two searches on one stack, each with its own luck, that compare notes after each epoch. How
/// they take turns depends on rounds only, never on which is quicker.
fn side_by_side(
    ask: &PlanAsk<'_>,
    task: &Task<'_, '_, '_>,
    search: Rounds,
    mut left: u32,
    progress: &mut Progress<'_, '_>,
) -> Filling {
    let mut searches: Vec<Rounds> = (1..WORKERS)
        .map(|w| Rounds::new(task, search.best.clone(), random(ask.seed, 1000 + w as u64)))
        .collect();
    let mut own = search;
    while left > 0 && progress.go_on {
        let epoch = left.min(EPOCH);
        left -= epoch;
        let stop = AtomicBool::new(false);
        std::thread::scope(|scope| {
            for s in &mut searches {
                let stop = &stop;
                scope.spawn(move || {
                    for _ in 0..epoch {
                        if stop.load(Ordering::Relaxed) {
                            break;
                        }
                        s.round(task);
                    }
                });
            }
            for _ in 0..epoch {
                own.round(task);
                let so_far = || write(task.ware, task.shelves, &own.best.on);
                if !progress.tell(1.0, own.best.value, &so_far) {
                    stop.store(true, Ordering::Relaxed);
                    break;
                }
            }
        });
        for s in &mut searches {
            own.adopt(&s.best);
            s.adopt(&own.best);
        }
    }
    own.best
}

/// Says of ware whose set is out only because another of the set found no place.
fn say_broken(task: &Task<'_, '_, '_>, best: &Filling, left_out: &mut Vec<LeftOut>) {
    for s in best.outside() {
        let members = &task.sets.members[s];
        // The hardest to place comes first; the others wait for it.
        for i in members.iter().skip(1) {
            let first = &task.ware[members[0]].piece.id;
            let pieces = task.ware[*i].pieces();
            left_out.extend(pieces.map(|p| waits_for_set(p, first)));
        }
    }
}

#[expect(clippy::too_many_arguments, reason = "all of one load")]
fn write_down(
    ask: &PlanAsk<'_>,
    kiln: &Kiln,
    ware: &[Ware<'_>],
    single: &[Ware<'_>],
    shelves: &[Shelf<'_, '_>],
    on: &[Vec<(usize, crate::engine::Pose)>],
    mut left_out: Vec<LeftOut>,
    value: f64,
) -> LoadPlan {
    no_room(ask, kiln, ware, single, shelves, on, &mut left_out);
    left_out.sort_by(|a, b| a.piece.cmp(&b.piece));
    LoadPlan {
        kiln: kiln.name.clone(),
        cone: ask.cone,
        kind: ask.kind,
        seed: ask.seed,
        worth: Worth {
            value,
            at_most: single.iter().map(|w| w.value).sum(),
        },
        tiers: without_idle(ask, kiln, write(ware, shelves, on)),
        left_out,
    }
}
