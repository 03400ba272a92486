//! Frames: how a message stands on the line.
//!
//! A frame is `version | sequence (2 bytes) | message | CRC-32 (4 bytes)`, coded so that no byte of it is zero (consistent
//! overhead byte stuffing, COBS: Cheshire and Baker, IEEE/ACM Transactions on Networking 7(2), 1999), with a zero before
//! and behind it. Several bytes of one number come low byte first. The CRC is CRC-32/ISO-HDLC over everything before it,
//! as in the log. The version byte says what the message is coded by; its top bit is set in answers, so that an
//! echo of the line is never taken for an answer.
//!
//! Why this way: whatever is lost, doubled or garbled, the next zero begins a new frame, and the check throws away what is
//! not whole. A frame that is lost is repeated by the one who waits; nothing is corrected.
//! Invariants: any bytes at all may come; a frame is given out only when its check agrees.
//! What it does not do: know messages.

use crc::{CRC_32_ISO_HDLC, Crc, NoTable};

/// Bytes around a message: version, sequence, check.
pub const AROUND: usize = 7;
/// Most bytes of a message.
pub const MOST_MESSAGE: usize = 297;
/// Most bytes of a frame before it is coded.
pub const MOST_FRAME: usize = AROUND + MOST_MESSAGE;
/// Most bytes in one block of the coding.
const BLOCK: usize = 254;

const CHECK: Crc<u32, NoTable> = Crc::<u32, NoTable>::new(&CRC_32_ISO_HDLC);

/// Who speaks.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Speaker {
    /// The PC asks.
    Pc,
    /// The logger answers.
    Logger,
}

impl Speaker {
    const fn bit(self) -> u8 {
        match self {
            Self::Pc => 0,
            Self::Logger => 0x80,
        }
    }
}

/// A whole frame.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Frame<'a> {
    /// Who speaks.
    pub speaker: Speaker,
    /// What the message is coded by; 0 for the greeting.
    pub version: u8,
    /// The request's number; its answer has the same.
    pub sequence: u16,
    /// The message.
    pub message: &'a [u8],
    /// The check of it all: what tells a repeated request from another one.
    pub check: u32,
}

impl<'a> Frame<'a> {
    /// From the bytes of a frame, decoded; `None` when it is too short or its check does not agree.
    pub fn of(bytes: &'a [u8]) -> Option<Self> {
        let (sealed, check) = bytes.split_last_chunk::<4>()?;
        let check = u32::from_le_bytes(*check);
        let ([version, low, high], message) = sealed.split_first_chunk::<3>()?;
        if CHECK.checksum(sealed) != check {
            return None;
        }
        let speaker = if *version & Speaker::Logger.bit() == 0 { Speaker::Pc } else { Speaker::Logger };
        Some(Self { speaker, version: version & 0x7F, sequence: u16::from_le_bytes([*low, *high]), message, check })
    }
}

/// Seals a frame in place: `bytes` holds room for the version and the sequence, then the message of `length` bytes, and
/// behind it room for the check. Returns the frame's bytes, still to be coded; `None` where there is no such room.
pub fn seal(bytes: &mut [u8], speaker: Speaker, version: u8, sequence: u16, length: usize) -> Option<&[u8]> {
    let [low, high] = sequence.to_le_bytes();
    bytes.first_chunk_mut::<3>()?.copy_from_slice(&[version & 0x7F | speaker.bit(), low, high]);
    let end = length.checked_add(3)?;
    let check = CHECK.checksum(bytes.get(..end)?);
    let behind = bytes.get_mut(end..)?.first_chunk_mut::<4>()?;
    *behind = check.to_le_bytes();
    bytes.get(..length.checked_add(AROUND)?)
}

/// Codes a frame and gives it out piece by piece, with a zero before and behind it.
pub fn send(frame: &[u8], out: &mut impl FnMut(&[u8])) {
    out(&[0]);
    let mut parts = frame.split(|byte| *byte == 0).peekable();
    while let Some(part) = parts.next() {
        let mut blocks = part.chunks_exact(BLOCK);
        for block in &mut blocks {
            out(&[0xFF]);
            out(block);
        }
        let rest = blocks.remainder();
        // a full block says that no zero follows it; at the very end nothing has to be said any more
        if !rest.is_empty() || part.is_empty() || parts.peek().is_some() {
            out(&[rest.len() as u8 + 1]); // at most 253 + 1
            out(rest);
        }
    }
    out(&[0]);
}

/// Decodes frames from bytes as they come.
#[derive(Clone, Debug)]
pub struct Decoder<const N: usize> {
    bytes: [u8; N],
    used: usize,
    /// Bytes of the block that are still to come.
    left: u8,
    state: State,
}

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum State {
    /// Nothing of a frame has come.
    Empty,
    /// The block before ended with a zero, which counts only when another block follows.
    ZeroDue,
    /// The block before was a full one.
    Joined,
    /// The frame is longer than any: what is left of it is thrown away.
    TooLong,
}

impl<const N: usize> Default for Decoder<N> {
    fn default() -> Self {
        Self::new()
    }
}

impl<const N: usize> Decoder<N> {
    /// Nothing has come yet.
    pub const fn new() -> Self {
        Self { bytes: [0; N], used: 0, left: 0, state: State::Empty }
    }

    /// Takes a byte; the decoded bytes when it ends a frame that is complete by its coding.
    pub fn push(&mut self, byte: u8) -> Option<&[u8]> {
        if byte == 0 {
            let complete = self.left == 0 && matches!(self.state, State::ZeroDue | State::Joined);
            let used = self.used;
            (self.used, self.left, self.state) = (0, 0, State::Empty);
            return if complete { self.bytes.get(..used) } else { None };
        }
        match (self.state, self.left) {
            (State::TooLong, _) => {}
            (before @ (State::Empty | State::ZeroDue | State::Joined), 0) => {
                if before == State::ZeroDue {
                    self.put(0);
                }
                self.left = byte - 1;
                if self.state != State::TooLong {
                    self.state = if byte == 0xFF { State::Joined } else { State::ZeroDue };
                }
            }
            (State::Empty | State::ZeroDue | State::Joined, _) => {
                self.left -= 1;
                self.put(byte);
            }
        }
        None
    }

    fn put(&mut self, byte: u8) {
        match self.bytes.get_mut(self.used) {
            Some(place) => {
                *place = byte;
                self.used += 1;
            }
            None => self.state = State::TooLong,
        }
    }

    /// The buffer, between two frames, for an answer to be written into.
    pub const fn buffer(&mut self) -> &mut [u8; N] {
        &mut self.bytes
    }
}
