//! What stands in a strange kiln: ware spread over the slices of its tier, shelves at their boundaries.

use super::column::Lump;
use super::grid::{Build, Grid, Tier, Wet};

/// Shelves and posts: J/kg.K at 0 °C and its growth; ware. Lines near the model's tables.
const CORDIERITE: (f64, f64) = (800.0, 0.33);
const CLAY: (f64, f64) = (900.0, 0.38);
/// Density of cordierite, kg/m³.
const CORDIERITE_DENSITY: f64 = 2000.0;

impl Build<'_> {
    pub fn load(&mut self) {
        let height = self.base.height.to_m();
        let mut tops: Vec<f64> = self.load.shelves.iter().map(|s| s.top.to_m()).collect();
        tops.sort_by(f64::total_cmp);
        // To the next shelf that is clearly above.
        let ceiling = |z: f64| {
            tops.iter()
                .find(|t| **t > z + 0.05)
                .copied()
                .unwrap_or(height)
        };
        let (mut mass, mut area) = (vec![0.0; self.count], vec![0.0; self.count]);
        let (mut water, mut raw) = (vec![0.0; self.count], vec![0.0; self.count]);
        let mut feet = vec![0.0; self.count];
        for w in &self.load.ware {
            let from = w.foot.to_m();
            let to = ceiling(from).max(from + 0.03);
            for s in 0..self.count {
                let (low, high) = (s as f64 * self.slice_m, (s + 1) as f64 * self.slice_m);
                // Ware is fuller below: shares fall to a half at the top.
                let cut = |z: f64| {
                    let x = ((z - from) / (to - from)).clamp(0.0, 1.0);
                    (x - x * x / 4.0) / 0.75
                };
                let share = cut(high) - cut(low);
                mass[s] += share * w.mass.to_kg();
                area[s] += share * w.outside.to_m2();
                water[s] += share * w.mass.to_kg() * w.water;
                raw[s] += share * if w.raw { w.mass.to_kg() } else { 0.0 };
            }
            feet[self.boundary(from)] += w.foot_area.to_m2();
        }
        for s in (0..self.count).filter(|s| mass[*s] > 0.01) {
            let shade = self.nature.shade[s % self.nature.shade.len()];
            let glow = area[s] / 2.0 * self.nature.ware_glow * shade;
            let half = |grid: &mut Grid, share: f64| {
                let node = grid.lump(Lump::new(
                    mass[s] / 2.0 * self.today.load,
                    CLAY,
                    self.start_k,
                ));
                grid.spaces.see(s, node, glow * share);
                grid.wet.push(Wet {
                    node,
                    water_kg: water[s] / 2.0,
                    bound: 1.0,
                    bound_j: raw[s] / 2.0 * 290e3,
                });
                node
            };
            let outer = half(&mut self.grid, 1.0);
            let inner = half(&mut self.grid, self.nature.deep);
            self.grid.glows.push(((outer, inner), area[s] * 0.12));
            self.grid.slices[s].outer = Some(outer);
            self.grid.slices[s].inner = Some(inner);
        }
        self.shelves(&feet);
    }

    fn shelves(&mut self, feet: &[f64]) {
        for (b, feet) in feet.iter().enumerate() {
            let here: Vec<_> = self
                .load
                .shelves
                .iter()
                .filter(|s| self.boundary(s.top.to_m()) == b)
                .collect();
            let (mut mass, mut area) = (0.0, 0.0);
            for s in &here {
                mass += s.mass.to_kg();
                area += s.area.to_m2().min(self.plan_m2 * 0.97);
            }
            area = area.min(self.plan_m2 * 0.97);
            for p in &self.load.posts {
                if self.boundary(p.base.to_m()) == b && p.top > p.base {
                    let section = p.section.to_m();
                    mass += CORDIERITE_DENSITY * section * section * (p.top - p.base).to_m();
                }
            }
            if area <= 0.0 {
                continue;
            }
            let mut rings = [0, 0];
            for (ring, deep) in [1.0, self.nature.deep].into_iter().enumerate() {
                let lump = Lump::new(mass / 2.0 * self.today.load, CORDIERITE, self.start_k);
                let node = self.grid.lump(lump);
                rings[ring] = node;
                let face = area / 2.0 * 0.8 * deep;
                self.grid.spaces.see(b, node, face);
                match (b.checked_sub(1), self.grid.spaces.floor) {
                    (Some(under), _) => self.grid.spaces.see(under, node, face),
                    (None, Some(floor)) => self.grid.glows.push(((node, floor), face * 0.8)),
                    (None, None) => {}
                }
            }
            self.grid.fixed(rings[0], rings[1], 0.3);
            let stand = [self.grid.slices[b].outer, self.grid.slices[b].inner];
            for (node, shelf) in stand.into_iter().zip(rings) {
                if let Some(node) = node {
                    self.grid.fixed(node, shelf, feet / 2.0 * 80.0);
                }
            }
        }
        let tiers = self.load.shelves.iter().map(|s| Tier {
            name: s.tiers.clone(),
            slice: self.boundary(s.top.to_m()),
        });
        self.grid.tiers = tiers.collect();
        if self.grid.tiers.is_empty() {
            self.grid.tiers.push(Tier {
                name: String::new(),
                slice: self.count / 2,
            });
        }
    }
}
