//! Best-known packings of circles in a circle, as published; the tables name their sources row by row.
//!
//! A result below a row is no fault: records get better. Rows that the tables lack are unknown here.

const EQUAL: &str = include_str!("../../data/circles_in_circle.csv");
const RISING: &str = include_str!("../../data/unequal_circles.csv");

/// Radius of the least known circle around `n` equal circles, over their radius. Source: the list "cci" of
/// Packomania (E. Specht), n = 1 to 91 with some rows missing.
pub fn equal_circles(n: usize) -> Option<f64> {
    row(EQUAL, n)
}

/// Radius of the least known circle around circles of radii 1, 2, … `n`. Source: 1 to 4 exact, 5 to 32 Ye,
/// Huang, Lu, arXiv 1306.0694, table 4, with some rows missing.
pub fn rising_circles(n: usize) -> Option<f64> {
    row(RISING, n)
}

fn row(table: &str, n: usize) -> Option<f64> {
    table.lines().skip(1).find_map(|line| {
        let mut cells = line.splitn(3, ',');
        let number: usize = cells.next()?.trim().parse().ok()?;
        let radius = cells.next()?.trim().parse().ok()?;
        (number == n).then_some(radius)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Closed forms: 1 + √2, 1 + 2/√3, 1 + √2 + √6 for n = 4, 3, 19; two and seven by hand.
    #[test]
    fn rows_agree_with_closed_forms() {
        let near = |n, exact: f64| (equal_circles(n).unwrap() - exact).abs() < 1e-9;
        assert!(near(1, 1.0) && near(2, 2.0) && near(7, 3.0));
        assert!(near(3, 1.0 + 2.0 / 3f64.sqrt()) && near(4, 1.0 + 2f64.sqrt()));
        assert!(near(19, 1.0 + 2f64.sqrt() + 6f64.sqrt()));
        assert_eq!(rising_circles(2), Some(3.0));
        assert_eq!(rising_circles(30), Some(104.540_363_8));
        assert_eq!((equal_circles(0), rising_circles(33)), (None, None));
    }

    #[test]
    fn every_row_reads_and_names_its_source() {
        for (table, head, most) in [
            (EQUAL, "n,ratio,source", 91),
            (RISING, "n,radius_of_container,source", 32),
        ] {
            let mut lines = table.lines();
            assert_eq!(lines.next(), Some(head));
            let mut before = (0, 0.0);
            for line in lines {
                let cells: Vec<&str> = line.splitn(3, ',').collect();
                let (n, radius) = (
                    cells[0].parse::<usize>().unwrap(),
                    row(table, cells[0].parse().unwrap()).unwrap(),
                );
                assert!(n > before.0 && n <= most && radius >= before.1, "{line}");
                assert!(cells[2].len() > 10, "{line}");
                before = (n, radius);
            }
        }
    }

    /// Circles cannot fill more than all of the container.
    #[test]
    fn no_row_is_denser_than_full() {
        for n in 2..=91 {
            for (radius, area) in [
                (equal_circles(n), n as f64),
                (rising_circles(n), (1..=n).map(|i| (i * i) as f64).sum()),
            ] {
                assert!(radius.is_none_or(|r| area / (r * r) < 1.0), "{n}");
            }
        }
    }
}
