//! Where a file was read to, and how to know it again.

use serde::{Deserialize, Serialize};

use crate::joiner::KEPT;
use crate::rows::Course;

/// How far a file was read, to be kept and to go on from after a restart.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Place {
    /// Bytes that were read to the end of a line.
    pub offset: u64,
    /// Lines among them.
    pub lines: u64,
    /// Number of the file on its disk; 0 where there is none.
    pub number: u64,
    /// How the file begins.
    pub(crate) head: Print,
    /// What stands before the offset.
    pub(crate) before: Print,
    pub(crate) course: Course,
}

/// A few bytes known again by a number.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Print {
    pub(crate) length: usize,
    hash: u64,
}

impl Print {
    /// FNV-1a of 64 bits: no secret is kept by it, and it is the same in every version.
    pub(crate) fn of(bytes: &[u8]) -> Self {
        let hash = bytes.iter().fold(0xcbf2_9ce4_8422_2325, |h: u64, b| {
            (h ^ u64::from(*b)).wrapping_mul(0x0100_0000_01b3)
        });
        Self {
            length: bytes.len(),
            hash,
        }
    }

    /// Whether these bytes begin as the known ones.
    pub(crate) fn begins(self, bytes: &[u8]) -> bool {
        bytes
            .get(..self.length)
            .is_some_and(|b| Self::of(b) == self)
    }
}

/// What is seen of a file before it is read on.
#[derive(Debug, Clone, Default)]
pub(crate) struct Glance {
    pub(crate) number: u64,
    /// The first bytes, up to [`KEPT`].
    pub(crate) head: Vec<u8>,
    /// Those before the offset of the place, up to [`KEPT`]; fewer when the file ends earlier.
    pub(crate) before: Vec<u8>,
}

impl Place {
    /// How many bytes before the offset are looked at.
    pub(crate) fn window(offset: u64) -> u64 {
        offset.min(KEPT as u64)
    }

    /// Whether a file is the one that was read, longer or not.
    pub(crate) fn is_of(&self, seen: &Glance) -> bool {
        let numbered = self.number == 0 || seen.number == 0 || self.number == seen.number;
        let before = seen.before.len() as u64 == Self::window(self.offset)
            && seen.before.ends_with_print(self.before);
        numbered && self.head.begins(&seen.head) && before
    }
}

trait EndsWith {
    fn ends_with_print(&self, print: Print) -> bool;
}

impl EndsWith for Vec<u8> {
    fn ends_with_print(&self, print: Print) -> bool {
        let from = self.len().checked_sub(print.length);
        from.and_then(|f| self.get(f..))
            .is_some_and(|b| Print::of(b) == print)
    }
}
