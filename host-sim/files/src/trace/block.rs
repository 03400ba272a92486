//! The part of a file that is in memory.
//!
//! One buffer of fixed size. What has been used is dropped from the front only when more is needed, so a byte is
//! moved rarely; and the buffer is filled to its end each time, so a source that gives single bytes costs no more.

use std::io::{ErrorKind, Read, Result};

/// A source and the part of it not yet used.
#[derive(Debug)]
pub(super) struct Block<R> {
    source: R,
    bytes: Vec<u8>,
    /// First byte not yet used.
    start: usize,
    /// One behind the last byte read.
    end: usize,
    ended: bool,
}

impl<R: Read> Block<R> {
    pub(super) fn new(source: R, size: usize) -> Self {
        Self { source, bytes: vec![0; size], start: 0, end: 0, ended: false }
    }

    /// The bytes in memory that are not used yet.
    #[inline]
    pub(super) fn rest(&self) -> &[u8] {
        self.bytes.get(self.start..self.end).unwrap_or_default()
    }

    /// Whether the source has nothing more to give than what is in memory.
    pub(super) fn ended(&self) -> bool {
        self.ended
    }

    /// Marks bytes as used; never more than there are.
    #[inline]
    pub(super) fn take(&mut self, count: usize) {
        self.start = (self.start + count).min(self.end);
    }

    /// Reads on when fewer than `least` bytes are in memory: then until the buffer is full or the source ends.
    pub(super) fn fill(&mut self, least: usize) -> Result<()> {
        if self.ended || self.end - self.start >= least {
            return Ok(());
        }
        self.bytes.copy_within(self.start..self.end, 0);
        (self.start, self.end) = (0, self.end - self.start);
        while let Some(room) = self.bytes.get_mut(self.end..)
            && !room.is_empty()
        {
            match self.source.read(room) {
                Ok(0) => {
                    self.ended = true;
                    break;
                }
                Ok(count) => self.end += count.min(room.len()),
                Err(error) if error.kind() == ErrorKind::Interrupted => {}
                Err(error) => return Err(error),
            }
        }
        Ok(())
    }
}
