//! What a drawing is made for.

/// A drawing's width and what follows from it. Type of 4 mm is 14 px high where a phone of 390 px shows 110 mm.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// The printed sheet and a wide screen: 180 mm, between the margins of A4 and US letter.
    Sheet,
    /// A phone: 110 mm.
    Phone,
}

impl Paper {
    /// Width of the drawing, mm.
    pub fn width(self) -> f64 {
        match self {
            Self::Sheet => 180.0,
            Self::Phone => 110.0,
        }
    }

    /// One of two values.
    pub(crate) fn pick<T>(self, sheet: T, phone: T) -> T {
        match self {
            Self::Sheet => sheet,
            Self::Phone => phone,
        }
    }
}
