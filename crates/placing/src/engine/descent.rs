//! Descent by limited-memory BFGS. Source: Nocedal and Wright, Numerical Optimization, algorithm 7.4
//! (two-loop recursion) with Armijo's step.

/// Pairs of steps remembered.
const MEMORY: usize = 8;

/// Room for descents in a fixed number of unknowns, used again and again.
pub struct Descent {
    /// A step that gains less than this share of what is left ends the walk.
    pub flat: f64,
    n: usize,
    step: Vec<f64>,
    change: Vec<f64>,
    curve: [f64; MEMORY],
    next: Vec<f64>,
    slope: Vec<f64>,
    slope_next: Vec<f64>,
    way: Vec<f64>,
}

/// Summed in lanes, so that the processor need not wait for each addition.
fn dot(a: &[f64], b: &[f64]) -> f64 {
    const LANES: usize = 8;
    let mut lanes = [0.0; LANES];
    let (a_chunks, b_chunks) = (a.chunks_exact(LANES), b.chunks_exact(LANES));
    let rest = a_chunks.remainder().iter().zip(b_chunks.remainder());
    let rest: f64 = rest.map(|(x, y)| x * y).sum();
    for (x, y) in a_chunks.zip(b_chunks) {
        for k in 0..LANES {
            lanes[k] += x[k] * y[k];
        }
    }
    lanes.iter().sum::<f64>() + rest
}

impl Descent {
    /// For `n` unknowns.
    pub fn new(n: usize) -> Self {
        Self {
            flat: 1e-2,
            n,
            step: vec![0.0; n * MEMORY],
            change: vec![0.0; n * MEMORY],
            curve: [0.0; MEMORY],
            next: vec![0.0; n],
            slope: vec![0.0; n],
            slope_next: vec![0.0; n],
            way: vec![0.0; n],
        }
    }

    /// Walks `x` down `energy` (which fills in the slope) until it is at most `low`, flat, or
    /// `steps` are used; returns the energy reached.
    pub fn run(
        &mut self,
        x: &mut [f64],
        steps: usize,
        low: f64,
        mut energy: impl FnMut(&[f64], &mut [f64]) -> f64,
    ) -> f64 {
        let n = self.n;
        let mut e = energy(x, &mut self.slope);
        let (mut held, mut head) = (0_usize, 0_usize);
        for _ in 0..steps {
            let steep = dot(&self.slope, &self.slope);
            // A sum of squared overlaps has a slope of the size of the overlaps.
            if e <= low || steep <= 1e-10 * e {
                break;
            }
            self.aim(held, head);
            let mut descent = dot(&self.way, &self.slope);
            if descent >= 0.0 {
                held = 0;
                self.way.copy_from_slice(&self.slope);
                self.way.iter_mut().for_each(|v| *v *= -0.25);
                descent = -0.25 * steep;
            }
            let mut t = 1.0;
            let mut found = false;
            for _ in 0..12 {
                for ((to, from), way) in self.next.iter_mut().zip(x.iter()).zip(&self.way) {
                    *to = from + t * way;
                }
                let there = energy(&self.next, &mut self.slope_next);
                if there <= e + 1e-4 * t * descent {
                    found = true;
                    // Memory: what this step taught about the curve.
                    let at = head * n;
                    let (from, to) = (
                        x.iter().zip(&self.slope),
                        self.next.iter().zip(&self.slope_next),
                    );
                    let kept = self.step[at..at + n]
                        .iter_mut()
                        .zip(&mut self.change[at..at + n]);
                    for ((s, y), ((x0, g0), (x1, g1))) in kept.zip(from.zip(to)) {
                        *s = x1 - x0;
                        *y = g1 - g0;
                    }
                    let y = &self.change[at..at + n];
                    let (sy, yy) = (dot(&self.step[at..at + n], y), dot(y, y));
                    if sy > 1e-10 * yy {
                        self.curve[head] = 1.0 / sy;
                        head = (head + 1) % MEMORY;
                        held = (held + 1).min(MEMORY);
                    }
                    x.copy_from_slice(&self.next);
                    std::mem::swap(&mut self.slope, &mut self.slope_next);
                    let gain = e - there;
                    e = there;
                    if gain <= self.flat * e {
                        return e;
                    }
                    break;
                }
                t *= if there > 4.0 * e { 0.2 } else { 0.5 };
            }
            if !found {
                if held == 0 {
                    break;
                }
                held = 0;
            }
        }
        e
    }

    /// The two-loop recursion: `way` becomes minus the inverse curvature times the slope.
    fn aim(&mut self, held: usize, head: usize) {
        let n = self.n;
        self.way.copy_from_slice(&self.slope);
        let mut share = [0.0; MEMORY];
        for back in 1..=held {
            let k = (head + MEMORY - back) % MEMORY;
            let s = &self.step[k * n..(k + 1) * n];
            let y = &self.change[k * n..(k + 1) * n];
            share[k] = self.curve[k] * dot(s, &self.way);
            for (w, y) in self.way.iter_mut().zip(y) {
                *w -= share[k] * y;
            }
        }
        let scale = if held > 0 {
            let k = (head + MEMORY - 1) % MEMORY;
            let y = &self.change[k * n..(k + 1) * n];
            1.0 / (self.curve[k] * dot(y, y)).max(1e-12)
        } else {
            0.25
        };
        self.way.iter_mut().for_each(|w| *w *= scale);
        for back in (1..=held).rev() {
            let k = (head + MEMORY - back) % MEMORY;
            let s = &self.step[k * n..(k + 1) * n];
            let y = &self.change[k * n..(k + 1) * n];
            let b = self.curve[k] * dot(y, &self.way);
            for (w, s) in self.way.iter_mut().zip(s) {
                *w += (share[k] - b) * s;
            }
        }
        self.way.iter_mut().for_each(|w| *w = -*w);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Rosenbrock's valley has its floor at (1, 1): Rosenbrock 1960, as in Nocedal and Wright (7.4's examples).
    #[test]
    fn finds_the_floor_of_rosenbrocks_valley() {
        let mut x = [-1.2, 1.0];
        let mut descent = Descent::new(2);
        descent.flat = 0.0;
        let e = descent.run(&mut x, 400, 1e-18, |x, g| {
            let (a, b) = (1.0 - x[0], x[1] - x[0] * x[0]);
            g[0] = -2.0 * a - 400.0 * x[0] * b;
            g[1] = 200.0 * b;
            a * a + 100.0 * b * b
        });
        assert!(e < 1e-12 && (x[0] - 1.0).abs() < 1e-5, "{e} at {x:?}");
    }
}
