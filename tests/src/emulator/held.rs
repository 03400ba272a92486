//! What a memory file holds.

use super::EmulatorError;
use holdoff_core::fixing::Status;
use holdoff_core::group::FixingNumber;
use holdoff_core::log::{Item, Replay, read::Log};
use holdoff_core::quantity::Instant;
use std::path::Path;

/// The newest session of a memory, replayed.
#[derive(Debug)]
pub struct Held {
    /// The replay.
    pub replay: Replay,
    /// All its items, in order, with the instant of each that has one.
    pub items: Vec<Item>,
}

impl Held {
    /// Reads a memory file; `None` while it is blank.
    ///
    /// # Errors
    /// It cannot be read, or holds no log.
    pub fn read(path: &Path) -> Result<Option<Self>, EmulatorError> {
        Self::of(&std::fs::read(path)?)
    }

    /// The same from the memory's bytes.
    ///
    /// # Errors
    /// They hold no log.
    pub fn of(image: &[u8]) -> Result<Option<Self>, EmulatorError> {
        if image.iter().all(|byte| *byte == 0xFF) {
            return Ok(None);
        }
        let wrong = |error| EmulatorError::File(format!("the memory: {error:?}"));
        let log = Log::open(image, &mut |_| {}).map_err(wrong)?;
        let mut items = Vec::new();
        let replay = log
            .replay(
                log.newest_session(),
                &mut |_, _, _, (read, _)| items.push(read.item.clone()),
                &mut |_| {},
                &mut |_| {},
            )
            .map_err(wrong)?;
        Ok(Some(Self { replay, items }))
    }

    /// A fixing, by its place from 0.
    #[must_use]
    pub fn status(&self, place: u8) -> Option<Status> {
        self.replay.group()?.status(FixingNumber::new(place)?)
    }

    /// The instant of the last item that has one.
    #[must_use]
    pub fn last_at(&self) -> Option<Instant> {
        self.replay.last_at()
    }
}
