//! Cutting a kiln into zones by its shelves.

use glost_model::load::Side;

use super::input::{KilnInput, ShelfInput};

/// A level of shelves and the zone above it.
#[derive(Debug, Clone)]
pub struct Level {
    /// Names of the tiers; empty in a kiln without shelves.
    pub tiers: String,
    /// The shelf, halves taken together.
    pub shelf: Option<ShelfInput>,
    /// Zone's ware stands between these heights, m.
    pub from_m: f64,
    /// Underside of the next shelf, or the lid, m.
    pub to_m: f64,
    /// Piece of wall that belongs to it, m.
    pub wall_from_m: f64,
    /// Its upper end, m.
    pub wall_to_m: f64,
}

/// Halves whose heights differ by less make one level, m.
const SAME_LEVEL_M: f64 = 0.08;

/// Levels from the floor up. Shelves at nearly one height are one level at their mean height.
pub fn levels(input: &KilnInput) -> Vec<Level> {
    let mut shelves = input.shelves.clone();
    shelves.sort_by(|a, b| a.top.total_cmp(&b.top));
    let mut merged: Vec<ShelfInput> = Vec::new();
    for s in shelves {
        match merged.last_mut() {
            // Only halves beside one another make one level, never shelves above one another.
            Some(last) if last.side.beside(s.side) && (s.top - last.top).to_m() < SAME_LEVEL_M => {
                merge(last, &s);
            }
            _ => merged.push(s),
        }
    }
    let lid = input.height.to_m();
    if merged.is_empty() {
        return vec![Level {
            tiers: String::new(),
            shelf: None,
            from_m: 0.0,
            to_m: lid,
            wall_from_m: 0.0,
            wall_to_m: lid,
        }];
    }
    let next = merged.iter().skip(1).map(Some).chain([None]);
    merged
        .iter()
        .zip(next)
        .enumerate()
        .map(|(i, (s, above))| {
            let from_m = s.top.to_m();
            Level {
                tiers: s.tiers.clone(),
                shelf: Some(s.clone()),
                from_m,
                to_m: above
                    .map_or(lid, |a| (a.top - a.thickness).to_m())
                    .max(from_m + 0.02),
                wall_from_m: if i == 0 { 0.0 } else { from_m },
                wall_to_m: above.map_or(lid, |a| a.top.to_m()),
            }
        })
        .collect()
}

fn merge(a: &mut ShelfInput, b: &ShelfInput) {
    let (wa, wb) = (a.area.to_m2(), b.area.to_m2());
    let share = wb / (wa + wb).max(1e-9);
    a.top = a.top * (1.0 - share) + b.top * share;
    a.thickness = a.thickness * (1.0 - share) + b.thickness * share;
    a.area += b.area;
    a.mass += b.mass;
    a.side = Side::Full;
    a.tiers = format!("{}, {}", a.tiers, b.tiers);
}

/// The level in which something at this height stands.
pub fn level_at(levels: &[Level], height_m: f64) -> usize {
    levels
        .iter()
        .rposition(|l| l.wall_from_m <= height_m + SAME_LEVEL_M / 2.0)
        .unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kiln::tests_kiln::small;
    use glost_model::Length;

    fn at(tops: [(f64, Side); 3]) -> Vec<String> {
        let mut input = small();
        let pattern = input.shelves[0].clone();
        input.shelves = tops
            .iter()
            .map(|(mm, side)| ShelfInput {
                tiers: format!("{mm}"),
                top: Length::mm(*mm),
                side: *side,
                ..pattern.clone()
            })
            .collect();
        levels(&input).into_iter().map(|l| l.tiers).collect()
    }

    #[test]
    fn only_halves_beside_one_another_make_one_level() {
        let full = Side::Full;
        assert_eq!(at([(20.0, full), (86.0, full), (152.0, full)]).len(), 3);
        assert_eq!(
            at([(20.0, full), (160.0, Side::Left), (200.0, Side::Right)]),
            ["20", "160, 200"]
        );
    }
}
