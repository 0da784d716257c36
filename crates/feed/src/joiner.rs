//! Lines out of bytes that come in pieces.

/// Longest line; a longer one is passed over with a fault, so that no file can fill the memory.
pub const LONGEST_LINE: usize = 64 * 1024;
/// What was read last, kept to know the file again by it.
pub(crate) const KEPT: usize = 256;

/// Joins pieces of a file into its lines. However the file is cut into pieces, the lines are the same.
#[derive(Debug, Default)]
pub struct LineJoiner {
    buffer: Vec<u8>,
    /// Where in the buffer the next line begins.
    from: usize,
    /// How far the buffer was searched for an end.
    searched: usize,
    /// Bytes of a line too long that were let go.
    dropped: u64,
    /// Where in the file the next line begins.
    offset: u64,
    /// Lines before it.
    lines: u64,
}

/// One line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Line<'b> {
    /// Its number in the file, from 1.
    pub number: u64,
    /// Without its end; nothing when it is longer than [`LONGEST_LINE`].
    pub bytes: Option<&'b [u8]>,
}

impl LineJoiner {
    /// Goes on in the middle of a file: at this offset, after so many lines, of which `before` are the last bytes.
    pub fn resume(offset: u64, lines: u64, before: &[u8]) -> Self {
        Self {
            buffer: before.to_vec(),
            from: before.len(),
            searched: before.len(),
            dropped: 0,
            offset,
            lines,
        }
    }

    /// Takes the next piece. Draw all lines out with [`Self::next_line`] before the next one.
    pub fn push(&mut self, piece: &[u8]) {
        let cut = self.from.saturating_sub(KEPT);
        if cut > 0 {
            self.buffer.drain(..cut);
            self.from -= cut;
            self.searched -= cut;
        }
        self.buffer.extend_from_slice(piece);
    }

    /// The next whole line.
    pub fn next_line(&mut self) -> Option<Line<'_>> {
        let rest = self.buffer.get(self.searched..).unwrap_or_default();
        let Some(length) = rest.iter().position(|b| *b == b'\n') else {
            self.searched = self.buffer.len();
            if self.searched - self.from > LONGEST_LINE {
                self.dropped += (self.searched - self.from) as u64;
                self.buffer.truncate(self.from);
                self.searched = self.from;
            }
            return None;
        };
        let (start, end) = (self.from, self.searched + length);
        self.from = end + 1;
        self.searched = self.from;
        Some(self.line(start, end, 1))
    }

    /// What stands behind the last end of a line. Nothing may be pushed after it.
    pub fn finish(&mut self) -> Option<Line<'_>> {
        let (start, end) = (self.from, self.buffer.len());
        if start >= end && self.dropped == 0 {
            return None;
        }
        self.from = end;
        self.searched = end;
        Some(self.line(start, end, 0))
    }

    fn line(&mut self, start: usize, end: usize, ending: u64) -> Line<'_> {
        let length = (end - start) as u64 + self.dropped;
        let fits = length <= LONGEST_LINE as u64;
        self.offset += length + ending;
        self.lines += 1;
        self.dropped = 0;
        let bytes = self.buffer.get(start..end).unwrap_or_default();
        let bytes = bytes.strip_suffix(b"\r").unwrap_or(bytes);
        let marked = bytes
            .strip_prefix(b"\xef\xbb\xbf")
            .filter(|_| self.lines == 1);
        Line {
            number: self.lines,
            bytes: fits.then_some(marked.unwrap_or(bytes)),
        }
    }

    /// Where the line begins that is not yet whole.
    pub const fn offset(&self) -> u64 {
        self.offset
    }

    /// How many lines were given.
    pub const fn lines(&self) -> u64 {
        self.lines
    }

    /// Whether something stands behind the last end of a line.
    pub fn is_half(&self) -> bool {
        self.dropped > 0 || self.from < self.buffer.len()
    }

    /// The last bytes before [`Self::offset`], as many as are kept.
    pub(crate) fn before(&self) -> &[u8] {
        let from = self.from.saturating_sub(KEPT);
        self.buffer.get(from..self.from).unwrap_or_default()
    }
}
