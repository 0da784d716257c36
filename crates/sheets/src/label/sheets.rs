//! Sheets of self-adhesive labels, by their numbers alone. The numbers are from memory of what is commonly sold, no
//! source: print a page on plain paper first and hold it against the sheet.

use glost_model::Length;

/// Across and down.
pub type Across = (Length, Length);

/// How labels lie on a sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LabelSheet {
    /// Name to choose it by; stays the same.
    pub id: &'static str,
    /// What it is, in words.
    pub name: &'static str,
    /// Width and height of the sheet.
    pub page: Across,
    /// Labels across.
    pub columns: usize,
    /// Labels down.
    pub rows: usize,
    /// Width and height of a label.
    pub label: Across,
    /// Left edge and top edge of the first label, from the sheet's corner.
    pub first: Across,
    /// From a label's edge to the same edge of the next, across and down.
    pub pitch: Across,
    /// Kept free inside each edge of a label: printers do not reach the edge of the paper, nor lie labels true.
    pub free: Across,
}

const fn mm(x: f64, y: f64) -> Across {
    (Length::mm(x), Length::mm(y))
}

const fn inches(x: f64, y: f64) -> Across {
    (Length::inches(x), Length::inches(y))
}

/// Sheets that can be printed.
pub const LABEL_SHEETS: [LabelSheet; 6] = [
    LabelSheet {
        id: "a4-24",
        name: "A4, 3 × 8 labels of 70 × 37 mm",
        page: mm(210.0, 297.0),
        columns: 3,
        rows: 8,
        label: mm(70.0, 37.0),
        first: mm(0.0, 0.5),
        pitch: mm(70.0, 37.0),
        free: mm(5.0, 4.5),
    },
    LabelSheet {
        id: "a4-21",
        name: "A4, 3 × 7 labels of 63.5 × 38.1 mm",
        page: mm(210.0, 297.0),
        columns: 3,
        rows: 7,
        label: mm(63.5, 38.1),
        first: mm(7.21, 15.15),
        pitch: mm(66.04, 38.1),
        free: mm(2.5, 2.5),
    },
    LabelSheet {
        id: "a4-40",
        name: "A4, 4 × 10 labels of 48.5 × 25.4 mm",
        page: mm(210.0, 297.0),
        columns: 4,
        rows: 10,
        label: mm(48.5, 25.4),
        first: mm(8.0, 21.5),
        pitch: mm(48.5, 25.4),
        free: mm(2.0, 2.0),
    },
    LabelSheet {
        id: "letter-30",
        name: "US Letter, 3 × 10 labels of 2⅝ × 1 in",
        page: inches(8.5, 11.0),
        columns: 3,
        rows: 10,
        label: inches(2.625, 1.0),
        first: inches(0.1875, 0.5),
        pitch: inches(2.75, 1.0),
        free: mm(2.0, 2.0),
    },
    LabelSheet {
        id: "letter-10",
        name: "US Letter, 2 × 5 labels of 4 × 2 in",
        page: inches(8.5, 11.0),
        columns: 2,
        rows: 5,
        label: inches(4.0, 2.0),
        first: inches(0.15625, 0.5),
        pitch: inches(4.1875, 2.0),
        free: mm(3.0, 3.0),
    },
    LabelSheet {
        id: "roll-62",
        name: "Roll, a label of 62 × 29 mm at a time",
        page: mm(62.0, 29.0),
        columns: 1,
        rows: 1,
        label: mm(62.0, 29.0),
        first: mm(0.0, 0.0),
        pitch: mm(62.0, 29.0),
        free: mm(2.0, 2.0),
    },
];

impl LabelSheet {
    /// The sheet of this id.
    pub fn of(id: &str) -> Option<Self> {
        LABEL_SHEETS.into_iter().find(|s| s.id == id)
    }

    /// Labels on a sheet.
    pub fn places(&self) -> usize {
        self.columns * self.rows
    }

    /// Left and top edge of a place, counted along the rows from 0.
    pub fn corner(&self, place: usize) -> Across {
        let columns = self.columns.max(1);
        let (column, row) = ((place % columns) as f64, (place / columns) as f64);
        (
            self.first.0 + self.pitch.0 * column,
            self.first.1 + self.pitch.1 * row,
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Paper is cut to a millimetre; numbers that leave the sheet or lie on one another are slips.
    #[test]
    fn labels_lie_within_their_sheet_and_apart_and_in_the_middle() {
        for s in LABEL_SHEETS {
            let last = s.corner(s.places() - 1);
            let right = s.page.0 - last.0 - s.label.0;
            let under = s.page.1 - last.1 - s.label.1;
            for (what, a, b) in [
                ("left and right", s.first.0, right),
                ("top and bottom", s.first.1, under),
            ] {
                assert!((a - b).abs().to_mm() < 0.6, "{}: {what} {a:?} {b:?}", s.id);
                assert!(b.to_mm() > -1e-9, "{}: over the edge", s.id);
            }
            assert!(s.pitch.0 >= s.label.0 && s.pitch.1 >= s.label.1, "{}", s.id);
            assert_eq!(LabelSheet::of(s.id), Some(s));
        }
        assert_eq!(LabelSheet::of("a5"), None);
    }
}
