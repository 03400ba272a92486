//! What somebody does to a fixing.
//!
//! Every action takes a reading of its own in its second, unless there is an accepted one of that very second (rule R4), and is
//! recorded before it takes effect. The report of an early torque takes none: it is dated to when it was begun, and no reading
//! since then counts for it.
//! Invariants: an action whose record was not taken has changed nothing, and the notice says so.

use super::Works;
use super::measure::is_of_memory;
use super::time::{Now, WallKnown};
use crate::board::Board;
use crate::tell::tell;
use crate::view::{Battery, Lack, Lacks, Notice};
use holdoff_core::fixing::{Action, Cartridge, Injection};
use holdoff_core::group::{FixingNumber, Happening, Verdict};
use holdoff_core::log::{Acknowledged, LogError, StoreError};
use holdoff_core::quantity::{Count, Instant, Torque};

impl<B: Board> Works<B> {
    /// Does something to a fixing, in this second.
    pub(super) fn act(&mut self, board: &mut B, now: Now, fixing: FixingNumber, action: Action) -> Result<(), Notice> {
        if !self.has_job() {
            return Err(Notice::NotRecorded);
        }
        self.measure_for(board, now);
        self.record(board, now, fixing, action)
    }

    /// Reports that a fixing was torqued before it was cured, as of the second in which the report was begun: a reading that
    /// completes the cure while it is entered turns it into nothing else.
    pub(super) fn torqued_early(
        &mut self,
        board: &mut B,
        now: Now,
        fixing: FixingNumber,
        torque: Torque,
    ) -> Result<(), Notice> {
        let Some(at) = self.ui.early_since.filter(|_| self.has_job()) else { return Err(Notice::NotRecorded) };
        let then = Now { at, utc: now.utc.saturating_sub(now.at.since(at)), ..now };
        self.record(board, then, fixing, Action::TorquedEarly(torque))
    }

    fn record(&mut self, board: &mut B, now: Now, fixing: FixingNumber, action: Action) -> Result<(), Notice> {
        self.sign_head(board);
        self.tie_when_due(now);
        let taken = self.logger.happen(Happening::Action { at: now.at, fixing, action }, &mut |event| {
            tell!(event(&event));
        });
        tell!(action(fixing, &action, &taken));
        match taken {
            Ok(Acknowledged::Stored(Verdict::NotApplicable(why))) => {
                self.seal(board, now);
                Err(Notice::NotApplicable(why))
            }
            Ok(Acknowledged::Stored(
                Verdict::Done
                | Verdict::Accepted
                | Verdict::AcceptedWithCandidate
                | Verdict::Refused(_)
                | Verdict::Missing,
            )) => {
                self.seal(board, now);
                Ok(())
            }
            Ok(Acknowledged::Lost { .. }) => Err(Notice::NotRecorded),
            Err(error) => {
                self.memory_failed |= is_of_memory(error);
                Err(notice(error))
            }
        }
    }

    fn measure_for(&mut self, board: &mut B, now: Now) {
        if !self.has_reading_at(now.at) {
            self.measure(board, now);
        }
    }

    /// Starts an injection, with the in-hole reading if there is one that is young enough. After a start that is refused it goes
    /// with the next one as well; a fixing that was started is not started again.
    pub(super) fn inject(
        &mut self,
        board: &mut B,
        now: Now,
        fixing: FixingNumber,
        degrees: Option<i8>,
    ) -> Result<(), Notice> {
        if self.lacks(fixing) != Lacks::NONE {
            return Err(Notice::NotRecorded);
        }
        let injection = self.injection(now.at, fixing, degrees).ok_or(Notice::NotRecorded)?;
        self.act(board, now, fixing, Action::Inject(injection))
    }

    /// The injection as it would be recorded; `None` while the memory does not give the batch.
    pub(super) fn injection(&mut self, at: Instant, fixing: FixingNumber, degrees: Option<i8>) -> Option<Injection> {
        let use_by = self.name(fixing).ok()?.use_by;
        Some(Injection {
            in_hole: self.in_holes.of(fixing, at),
            cartridge: degrees.map(|degrees| Cartridge::exactly(Count::from_degrees(degrees))),
            past_from: use_by.map(|utc| Instant::from_seconds(utc.saturating_sub(self.time.ahead()))),
        })
    }

    /// What the logger itself lacks for another injection.
    pub(super) fn lacks(&mut self, fixing: FixingNumber) -> Lacks {
        let mut lacks = Lacks::NONE;
        if self.has_no_room() {
            lacks = lacks.with(Lack::MemoryFull);
        }
        if self.memory_failed {
            lacks = lacks.with(Lack::MemorySilent);
        }
        if self.battery() == Battery::VeryLow {
            lacks = lacks.with(Lack::Battery);
        }
        if self.is_clock_failed() {
            lacks = lacks.with(Lack::ClockFailed);
        } else if self.faults.clock_silent.is_some() {
            lacks = lacks.with(Lack::ClockSilent);
        }
        match self.name(fixing) {
            // a date can't be judged by a clock that was not set
            Ok(named) if named.use_by.is_some() && self.time.wall() == WallKnown::Unset => lacks.with(Lack::Clock),
            Ok(_) => lacks,
            Err(_) => lacks.with(Lack::MemorySilent),
        }
    }
}

/// Why the log did not take it, in words for the display.
fn notice(error: LogError) -> Notice {
    match error {
        LogError::Store(StoreError::Full { .. }) | LogError::NoRoom { .. } => Notice::MemoryFull,
        LogError::Untrusted => Notice::LogUntrusted,
        LogError::Store(StoreError::Memory(_) | StoreError::TooLong)
        | LogError::NotMounted
        | LogError::NoSession
        | LogError::PowerUpFirst
        | LogError::Running { .. }
        | LogError::GroupFull
        | LogError::AccrualNotPermitted => Notice::NotRecorded,
    }
}
