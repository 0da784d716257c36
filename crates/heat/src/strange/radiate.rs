//! Radiation inside: each slice is one gray space, open to the slices above and below it.

/// What sees what, m².
#[derive(Debug, Clone, Default)]
pub struct Spaces {
    /// Faces of each slice: node and how much of it shows.
    seen: Vec<Vec<(usize, f64)>>,
    /// From each slice to the one above.
    up: Vec<f64>,
    /// The floor's face, which a shelf may lie close above.
    pub floor: Option<usize>,
    /// Radiosity of each slice, W/m².
    pub glow: Vec<f64>,
    scratch: Vec<f64>,
}

impl Spaces {
    pub fn new(slices: usize) -> Self {
        Self {
            seen: vec![Vec::new(); slices],
            up: vec![0.0; slices],
            floor: None,
            glow: vec![0.0; slices],
            scratch: vec![0.0; slices],
        }
    }

    pub fn see(&mut self, slice: usize, node: usize, m2: f64) {
        if let Some(s) = self.seen.get_mut(slice).filter(|_| m2 > 0.0) {
            s.push((node, m2));
        }
    }

    pub fn open(&mut self, below: usize, m2: f64) {
        if let Some(u) = self.up.get_mut(below) {
            *u = m2;
        }
    }

    pub fn limit(&mut self, most: &dyn Fn(usize) -> f64) {
        for (node, m2) in self.seen.iter_mut().flatten() {
            *m2 = m2.min(most(*node));
        }
    }

    /// Largest share of a lump's heat that its faces move per second and K, at 4 σ T³ of 1 W/m².K.
    pub fn faces(&self) -> impl Iterator<Item = (usize, f64)> + '_ {
        self.seen.iter().flatten().copied()
    }

    /// Adds what radiation brings to each node; `out` m² of the top slice look into the room. Gives what is lost to it.
    /// The radiosities are those at which no slice keeps anything: a chain of equations, solved from the floor up and
    /// back (Thomas).
    pub fn radiate(&mut self, black: &[f64], out: f64, room: f64, heat: &mut [f64]) -> f64 {
        let n = self.seen.len();
        let top = n - 1;
        for i in 0..n {
            let (mut own, mut side) = (0.0, 0.0);
            for (node, m2) in &self.seen[i] {
                own += m2;
                side += m2 * black[*node];
            }
            if i == top {
                own += out;
                side += out * room;
            }
            let above = if i < top { self.up[i] } else { 0.0 };
            own += above;
            if i > 0 {
                let below = self.up[i - 1];
                own += below - below * self.scratch[i - 1];
                side += below * self.glow[i - 1];
            }
            self.scratch[i] = above / own;
            self.glow[i] = side / own;
        }
        for i in (0..top).rev() {
            self.glow[i] += self.scratch[i] * self.glow[i + 1];
        }
        for (faces, glow) in self.seen.iter().zip(&self.glow) {
            for (node, m2) in faces {
                heat[*node] += m2 * (glow - black[*node]);
            }
        }
        out * (self.glow[top] - room)
    }
}
