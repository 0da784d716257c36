//! Makes a container smaller step by step, or what stands in it larger.

use rand::SeedableRng as _;
use rand_chacha::ChaCha8Rng;

use super::Effort;
use super::adapter::Pose;

/// Share by which the size shrinks at first after a success.
const COARSE: f64 = 0.04;
/// The step is not made finer than this; fresh starts take over.
const FINE: f64 = 2e-4;
/// Rounds that may fail before the first success makes the size larger by this share.
const LOOSER: f64 = 0.08;

/// A layout and the size it was found at.
pub struct Tight {
    /// Container over contents, whatever the caller means by it.
    pub size: f64,
    /// Where all stand.
    pub poses: Vec<Pose>,
}

/// Gets a size and where all stood at a slightly larger one (nothing for a fresh start), and answers with
/// the size that it reached: at most the one asked for, give or take rounding.
type Attempt<'a> = dyn FnMut(f64, Option<&[Pose]>, &mut ChaCha8Rng) -> Option<Tight> + 'a;

/// Seeks the least size.
pub fn tighten(first: f64, effort: Effort, attempt: &mut Attempt<'_>) -> Option<Tight> {
    let clock = effort.clock();
    let mut rng = ChaCha8Rng::seed_from_u64(effort.seed);
    let mut best: Option<Tight> = None;
    let (mut aim, mut step, mut fresh) = (first, COARSE, true);
    for _ in 0..effort.rounds {
        if clock.over() {
            break;
        }
        let warm = best.as_ref().filter(|_| !fresh).map(|b| b.poses.as_slice());
        let found = attempt(aim, warm, &mut rng);
        let better = found.filter(|f| best.as_ref().is_none_or(|b| f.size < b.size));
        match (better, &best) {
            (Some(f), _) => {
                best = Some(f);
                fresh = false;
            }
            (None, None) => aim *= 1.0 + LOOSER,
            (None, Some(_)) if step > FINE => {
                step /= 2.0;
                fresh = false;
            }
            // Stuck: what follows starts from nothing, aiming just below the best.
            (None, Some(_)) => fresh = true,
        }
        if let Some(b) = &best {
            aim = b.size * (1.0 - step);
        }
    }
    best
}
