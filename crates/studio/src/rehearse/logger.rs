//! A logger that writes a file as real ones do: its buffer goes out when it likes, in the middle of a line.

use std::fs::File;
use std::io::Write as _;
use std::path::Path;

use glost_model::readings::Sample;

use super::line::{TITLES, line};

/// A file being written.
#[derive(Debug)]
pub struct Logger {
    file: File,
    buffer: Vec<u8>,
    rows: usize,
}

impl Logger {
    /// Begins a new file; one that is there is left alone.
    ///
    /// # Errors
    /// When it is there, or cannot be made.
    pub fn begin(path: &Path) -> std::io::Result<Self> {
        let file = File::create_new(path)?;
        let mut all = Self {
            file,
            buffer: TITLES.as_bytes().to_vec(),
            rows: 0,
        };
        all.flush(0)?;
        Ok(all)
    }

    /// Writes a row, but for an end of it that stays in the buffer until the next.
    ///
    /// # Errors
    /// Of the disk.
    pub fn write(&mut self, sample: &Sample) -> std::io::Result<()> {
        let line = line(sample);
        // Never alike twice running, and now and then nothing.
        self.rows += 1;
        let stays = (self.rows * 7) % (line.len() + 1);
        self.buffer.extend_from_slice(line.as_bytes());
        self.flush(stays)
    }

    /// Writes what is left.
    ///
    /// # Errors
    /// Of the disk.
    pub fn finish(&mut self) -> std::io::Result<()> {
        self.flush(0)
    }

    fn flush(&mut self, stays: usize) -> std::io::Result<()> {
        let out = self.buffer.len().saturating_sub(stays);
        let rest = self.buffer.split_off(out);
        self.file.write_all(&self.buffer)?;
        self.file.flush()?;
        self.buffer = rest;
        Ok(())
    }
}
