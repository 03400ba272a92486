//! What the log names and the engine does not know: labels, batches, release codes.
//!
//! Why read from the log: sixteen labels, batches and signed releases would take kilobytes of RAM that nothing else needs;
//! the log has them, and it is read only when somebody looks at another fixing. Only what was read last is kept.
//! What it does not do: know whether a page is the right one of its session: the mount has checked that.

use super::Works;
use crate::board::Board;
use holdoff_core::group::FixingNumber;
use holdoff_core::log::{Bytes, FixingRecord, Geometry, Item, Memory, MemoryError, PAGE, Page, Record};

/// What is known by name of a fixing.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Named {
    pub(super) fixing: FixingNumber,
    /// What it is called on site.
    pub(super) label: Bytes<16>,
    /// What is printed on the cartridge; empty where undeclared.
    pub(super) batch: Bytes<24>,
    /// The first second past the batch's date, UTC.
    pub(super) use_by: Option<i64>,
}

/// Whether to read on.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Read {
    On,
    Enough,
}

impl<B: Board> Works<B> {
    /// What is known by name of a fixing.
    pub(super) fn name(&mut self, fixing: FixingNumber) -> Result<Named, MemoryError> {
        if let Some(named) = self.named.filter(|named| named.fixing == fixing) {
            return Ok(named);
        }
        if self.memory_failed {
            return Err(MemoryError::NoAnswer); // asked anew once something was written again
        }
        let mut named = Named { fixing, label: Bytes::EMPTY, batch: Bytes::EMPTY, use_by: None };
        let Some((first, last)) = self.pages() else { return Ok(named) };
        for number in first..=last {
            let read = self.read_page(number, &mut |item| match item {
                Item::Record(Record::Fixing(FixingRecord { number, label, .. })) => {
                    if *number == fixing {
                        named.label = *label;
                    }
                    Read::On
                }
                Item::Record(Record::Batch(batch)) => {
                    if batch.fixing == fixing {
                        (named.batch, named.use_by) = (batch.text, batch.use_by);
                    }
                    Read::On
                }
                // a job names everything before its first reading
                Item::Reading { .. } | Item::Unusable { .. } | Item::Missing { .. } => Read::Enough,
                Item::Refused { .. } | Item::Record(_) => Read::On,
            })?;
            if read == Read::Enough {
                break;
            }
        }
        self.named = Some(named);
        Ok(named)
    }

    /// The signed release of a fixing; `None` where none is recorded.
    pub(super) fn release(&mut self, fixing: FixingNumber) -> Result<Option<Bytes<255>>, MemoryError> {
        let Some((first, last)) = self.pages() else { return Ok(None) };
        // it is one of the last things that happen to a fixing
        for number in (first..=last).rev() {
            let mut found = None;
            self.read_page(number, &mut |item| {
                if let Item::Record(Record::Release { fixing: of, signed }) = item
                    && *of == fixing
                {
                    found = Some(*signed);
                }
                Read::On
            })?;
            if found.is_some() {
                return Ok(found);
            }
        }
        Ok(None)
    }

    /// The first and the newest page of the session.
    fn pages(&self) -> Option<(u32, u32)> {
        Some((self.logger.session_page()?, self.logger.head()?.page))
    }

    /// Reads a page of the session. The newest one stands in two slots; either will do.
    fn read_page(&mut self, number: u32, each: &mut dyn FnMut(&Item) -> Read) -> Result<Read, MemoryError> {
        let geometry: Geometry = self.logger.geometry();
        let mut buffer = [0u8; PAGE];
        for slot in [geometry.home(number), geometry.mirror(number)] {
            self.logger.memory_mut().read(geometry.offset(slot), &mut buffer)?;
            let Ok(page) = Page::find(&buffer) else { continue };
            if page.header().number != number {
                continue;
            }
            for item in page.read() {
                let Ok(read) = item else { break };
                if each(&read.item) == Read::Enough {
                    return Ok(Read::Enough);
                }
            }
            return Ok(Read::On);
        }
        Ok(Read::On)
    }
}
