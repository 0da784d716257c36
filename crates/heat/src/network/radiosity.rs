//! Gray diffuse radiation in enclosures: total exchange areas from geometry and emissivities.

use faer::Mat;
use faer::linalg::solvers::Solve;

/// A surface of an enclosure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Surface {
    /// Emits and absorbs with this emissivity; 0 reradiates all that it receives.
    Gray(f64),
    /// One face of an opening: what falls on it leaves from the surface of that number.
    Opening(usize),
}

/// Areas, kinds and view factors that contradict each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NotAnEnclosure {
    /// Lengths differ.
    #[error("areas, surfaces and view factors differ in number")]
    Sizes,
    /// A view factor, area or emissivity out of range.
    #[error("an area, emissivity or view factor is out of range")]
    Range,
}

/// Total exchange areas, m²: heat from i to j is area · σ · (Ti⁴ − Tj⁴).
#[derive(Debug, Clone)]
pub struct Exchange {
    areas: Mat<f64>,
    radiosity: Mat<f64>,
    surfaces: Vec<(f64, Surface)>,
    views: Mat<f64>,
}

impl Exchange {
    /// Solves for the radiosities of unit emission by each surface in turn.
    ///
    /// `view(i, j)` is the share of what leaves i that falls on j.
    ///
    /// # Errors
    /// [`NotAnEnclosure`] for data that cannot be one.
    pub fn new(
        areas_m2: &[f64],
        surfaces: &[Surface],
        view: &dyn Fn(usize, usize) -> f64,
    ) -> Result<Self, NotAnEnclosure> {
        let n = areas_m2.len();
        if surfaces.len() != n
            || surfaces
                .iter()
                .any(|s| matches!(s, Surface::Opening(k) if *k >= n))
        {
            return Err(NotAnEnclosure::Sizes);
        }
        let f = Mat::from_fn(n, n, view);
        let sane = |v: f64| (-1e-9..=1.0 + 1e-9).contains(&v);
        let all_sane = (0..n).all(|i| (0..n).all(|j| sane(f[(i, j)])))
            && areas_m2.iter().all(|a| *a > 0.0 && a.is_finite())
            && surfaces
                .iter()
                .all(|s| !matches!(s, Surface::Gray(e) if !sane(*e)));
        if !all_sane {
            return Err(NotAnEnclosure::Range);
        }
        let emissivity = |i: usize| match surfaces.get(i) {
            Some(Surface::Gray(e)) => *e,
            _ => 0.0,
        };
        // J = ε E + R F J with R = 1 − ε for a surface, and a swap for the faces of an opening.
        let left = Mat::from_fn(n, n, |i, j| {
            let unit = f64::from(u8::from(i == j));
            unit - match surfaces.get(i) {
                Some(Surface::Opening(twin)) => f[(*twin, j)],
                _ => (1.0 - emissivity(i)) * f[(i, j)],
            }
        });
        let right = Mat::from_fn(n, n, |i, j| if i == j { emissivity(i) } else { 0.0 });
        let radiosity = left.partial_piv_lu().solve(&right);
        let absorbed = &f * &radiosity;
        let areas = Mat::from_fn(n, n, |i, j| {
            // The two halves agree by reciprocity; their mean keeps the exchange exactly so.
            let one = |i: usize, j: usize| emissivity(i) * areas_m2[i] * absorbed[(i, j)];
            f64::midpoint(one(i, j), one(j, i))
        });
        let surfaces = areas_m2.iter().copied().zip(surfaces.iter().copied());
        Ok(Self {
            areas,
            radiosity,
            surfaces: surfaces.collect(),
            views: f,
        })
    }

    /// Number of surfaces.
    pub fn len(&self) -> usize {
        self.areas.nrows()
    }

    /// True without surfaces.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Exchange area of a pair, m².
    pub fn between(&self, i: usize, j: usize) -> f64 {
        self.areas[(i, j)]
    }

    /// Area, m², and kind of each surface, as given.
    pub fn surfaces(&self) -> &[(f64, Surface)] {
        &self.surfaces
    }

    /// Share of what leaves i that falls on j, as given.
    pub fn view(&self, i: usize, j: usize) -> f64 {
        self.views[(i, j)]
    }

    /// Net heat that leaves each surface at these temperatures, W.
    pub fn net_w(&self, temps_k: &[f64]) -> Vec<f64> {
        let power = |i: usize| super::link::SIGMA * temps_k[i].powi(4);
        (0..self.len())
            .map(|i| {
                (0..self.len())
                    .map(|j| self.between(i, j) * (power(i) - power(j)))
                    .sum()
            })
            .collect()
    }

    /// Temperature of a reradiating surface, K.
    pub fn reradiating_k(&self, surface: usize, temps_k: &[f64]) -> f64 {
        (0..self.len())
            .map(|j| self.radiosity[(surface, j)] * temps_k[j].powi(4))
            .sum::<f64>()
            .powf(0.25)
    }
}
