//! What a board went through from idle to idle, and everything that was written into its memory.
//!
//! What for: a power cut is judged by what a run without it had done and shown by the same instruction.
//! How: the emulator keeps a log of all writes to the memory's file (its driver `blklogwrites`, in the format of Linux's
//! dm-log-writes). Each write is the whole memory as it stands after one transfer over the bus.

use super::{EmulatorError, Photo};
use std::path::{Path, PathBuf};

/// An idle that the board was held at.
#[derive(Clone, PartialEq, Debug)]
pub struct Idle {
    /// Instructions executed by then.
    pub executed: u64,
    /// Strips shown by then.
    pub strips: u32,
    /// Board time.
    pub board_ms: i64,
    /// Writes to the memory by then.
    pub writes: usize,
    /// What is on the display, where something new was shown since the idle before.
    pub look: Option<Photo>,
}

/// A diary that is being kept.
#[derive(Debug)]
pub(super) struct Diary {
    pub(super) file: PathBuf,
    pub(super) idles: Vec<Idle>,
}

/// Bytes of a sector of the log; its head and the head of each entry take one.
const SECTOR: u64 = 512;

impl Diary {
    /// A diary that has nothing in it; the file is made for the emulator.
    pub(super) fn begin(file: &Path) -> Result<Self, EmulatorError> {
        std::fs::write(file, [])?;
        Ok(Self { file: file.to_path_buf(), idles: Vec::new() })
    }

    /// How many writes the file has, of a memory of so many bytes.
    pub(super) fn writes(&self, memory: u64) -> Result<usize, EmulatorError> {
        let entries = std::fs::metadata(&self.file)?.len().saturating_sub(SECTOR) / (SECTOR + memory);
        usize::try_from(entries).map_err(|_| wrong("too long"))
    }
}

fn wrong(why: &str) -> EmulatorError {
    EmulatorError::File(format!("the log of writes: {why}"))
}

/// The memory as it was at first, and after every write that a diary's file has.
///
/// # Errors
/// The file is none, or has another kind of write in it.
pub fn memories(first: Vec<u8>, file: &Path) -> Result<Vec<Vec<u8>>, EmulatorError> {
    const MAGIC: u64 = 0x006A_7366_7773_6872;
    let bytes = std::fs::read(file)?;
    let number = |sector: &[u8], place: usize| {
        let field = sector.get(place * 8..place * 8 + 8).and_then(|field| field.try_into().ok());
        field.map(u64::from_le_bytes).ok_or_else(|| wrong("cut short"))
    };
    let sector = usize::try_from(SECTOR).map_err(|_| wrong("too long"))?;
    let size = first.len();
    if number(&bytes, 0)? != MAGIC {
        return Err(wrong("another format"));
    }
    let mut memories = vec![first];
    for entry in bytes.get(sector..).unwrap_or_default().chunks_exact(sector + size) {
        let (head, memory) = entry.split_at(sector);
        let (at, sectors) = (number(head, 0)?, number(head, 1)?);
        if at != 0 || sectors * SECTOR != size as u64 {
            return Err(wrong(&format!("{sectors} sectors at {at}: not the whole memory")));
        }
        memories.push(memory.to_vec());
    }
    Ok(memories)
}
