//! Readings that cannot be written.
//!
//! What for: a full memory must not stop the count of a running cure silently, and must not take the place of its end.
//! Terms: a *periodic* happening is a reading, an unusable answer or a missing one. When it cannot be written, because the
//! rest of the memory is kept for the end of running fixings or because the memory fails, it is *lost*: counted in RAM,
//! and recorded as a loss at once, then once in an hour, and before the next reading or action that is recorded. With a
//! loss the engine is told so: the stretch around it is unobserved, whatever its length.
//! Invariants: what the engine is told, live and at every mount, is what is recorded; so no cut makes a status milder.
//! What it does not do: decide what is kept (`super::room`).

use super::item::Item;
use super::logger::{Acknowledged, Class, LogError, Logger};
use super::memory::Memory;
use super::record::{Loss, Record};
use crate::group::Event;
use crate::quantity::Instant;

/// A loss that goes on is recorded again after this many seconds.
pub const LOSS_SECONDS: i64 = 3600;

/// Whether evidence of an earlier happening still waits to be written.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Evidence {
    Settled,
    Waits,
}

impl<M: Memory> Logger<M> {
    /// Takes a periodic happening, or counts it as lost.
    pub(super) fn periodic(
        &mut self,
        at: Instant,
        item: Item,
        tell: &mut dyn FnMut(Event),
    ) -> Result<Acknowledged, LogError> {
        let page = self.open_number();
        match self.ready(tell) {
            Ok(()) => {}
            Err(LogError::Store(_)) => return Ok(self.lose(at, Evidence::Waits, tell)),
            Err(
                error @ (LogError::NotMounted
                | LogError::NoSession
                | LogError::PowerUpFirst
                | LogError::Running { .. }
                | LogError::NoRoom { .. }
                | LogError::Untrusted
                | LogError::GroupFull
                | LogError::AccrualNotPermitted),
            ) => return Err(error),
        }
        if self.loss.is_some() && self.write_loss(Class::Periodic, tell).is_err() {
            return Ok(self.lose(at, Evidence::Settled, tell));
        }
        match self.put(item, Class::Periodic, tell) {
            Ok(verdict) => {
                self.loss_told = None;
                // a reading that closed a page has cost enough
                if self.open_number() == page {
                    self.evidence_may_wait();
                }
                Ok(Acknowledged::Stored(verdict))
            }
            Err(_) => Ok(self.lose(at, Evidence::Settled, tell)),
        }
    }

    /// Counts a reading as lost, and records the loss when it is the first one or an hour has gone by.
    fn lose(&mut self, at: Instant, evidence: Evidence, tell: &mut dyn FnMut(Event)) -> Acknowledged {
        let before = self.loss.unwrap_or(Loss { count: 0, first: at, last: at });
        let loss = Loss { count: before.count.saturating_add(1), last: at, ..before };
        self.loss = Some(loss);
        let due = self.loss_told.is_none_or(|told| at.since(told) >= LOSS_SECONDS);
        if due && evidence == Evidence::Settled && self.write_loss(Class::Notes, tell).is_ok() {
            self.loss_told = Some(at);
            self.evidence_may_wait();
        }
        Acknowledged::Lost { count: loss.count }
    }

    /// Records what was lost, if anything was.
    pub(super) fn write_loss(&mut self, class: Class, tell: &mut dyn FnMut(Event)) -> Result<(), LogError> {
        let Some(loss) = self.loss else { return Ok(()) };
        self.note(Record::Loss(loss), class, tell)?;
        self.loss = None;
        self.evidence_may_wait();
        Ok(())
    }
}
