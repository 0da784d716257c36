//! Which levels can stand over one another in a kiln: every full column of them.

/// More columns than this are too many for the programme: heights are then taken together.
const MOST: usize = 300;

/// Levels that stand over one another at once, by groups of height classes.
#[derive(Debug, Clone, PartialEq)]
pub struct Columns {
    /// The group of each class.
    pub group: Vec<usize>,
    /// Columns that take no further level; how many levels of each group.
    pub all: Vec<Vec<u32>>,
}

/// Columns of levels `classes_mm` high (least first) with `between_mm` over each, within `free_mm` and
/// with at most `most` levels. A level is never counted lower than it is, nor a group higher than its
/// lowest class.
pub fn columns(classes_mm: &[f64], between_mm: f64, free_mm: f64, most: u32) -> Columns {
    for groups in (1..=classes_mm.len().max(1)).rev() {
        let group: Vec<usize> = (0..classes_mm.len())
            .map(|c| c * groups / classes_mm.len().max(1))
            .collect();
        let low = |g: usize| {
            let of = group.iter().zip(classes_mm).filter(|(own, _)| **own == g);
            of.map(|(_, mm)| *mm).next().unwrap_or(0.0) + between_mm
        };
        let heights: Vec<f64> = (0..groups).map(low).collect();
        let mut all = Vec::new();
        let mut column = vec![0; groups];
        let whole = fill(&heights, groups, free_mm, most, &mut column, &mut all);
        if whole {
            return Columns { group, all };
        }
    }
    Columns {
        group: Vec::new(),
        all: Vec::new(),
    }
}

/// Fills a column from the tallest group down; false once there are too many.
fn fill(
    heights: &[f64],
    groups: usize,
    left_mm: f64,
    left: u32,
    column: &mut [u32],
    all: &mut Vec<Vec<u32>>,
) -> bool {
    let Some(g) = groups.checked_sub(1) else {
        all.push(column.to_vec());
        return all.len() <= MOST;
    };
    let fit = (left_mm / heights[g].max(1.0)).floor().max(0.0) as u32;
    let fit = fit.min(left);
    // The lowest takes all the room that is left.
    let least = if g == 0 { fit } else { 0 };
    (least..=fit).rev().all(|n| {
        column[g] = n;
        let room = left_mm - f64::from(n) * heights[g];
        let go_on = fill(heights, g, room, left - n, column, all);
        column[g] = 0;
        go_on
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_those_found_by_hand() {
        // 355 mm free, 28 mm over each level: one of 200 and
        // one of 60, or two of 100 and one of 60, or four of 60.
        let found = columns(&[60.0, 100.0, 200.0], 28.0, 355.0, 9);
        assert_eq!(found.group, [0, 1, 2]);
        for wanted in [vec![1, 0, 1], vec![1, 2, 0], vec![4, 0, 0]] {
            assert!(found.all.contains(&wanted), "{:?}", found.all);
        }
        assert!(
            !found.all.contains(&vec![0, 1, 1]),
            "228 + 128 is more than 355"
        );
        // At most two shelves.
        let few = columns(&[60.0, 100.0, 200.0], 28.0, 355.0, 2);
        assert!(few.all.iter().all(|c| c.iter().sum::<u32>() <= 2));
    }
}
