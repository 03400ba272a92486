//! What the link asks of the device.
//!
//! What can be set is refused while a fixing runs, here as well as in the session; there is no way to ask for anything that is
//! done to a fixing.

use super::in_hole::InHoles;
use super::measure::secret_key;
use super::ui::{Mode, Place};
use super::{Probed, Stuck, VERSION, Works};
use crate::board::Board;
use crate::driver::probe::KIND;
use crate::link::{Host, LoadedJob, over_log};
use crate::run::start::Phase;
use crate::run::time::{NoTime, Now, WallKnown};
use crate::tell::tell;
use crate::view::{Goes, Link};
use core::cell::RefCell;
use core::str::FromStr;
use heapless::{String, Vec};
use holdoff_core::group::FixingNumber;
use holdoff_core::log::{MOST_HOLDS, Memory, MemoryError, PAGE, Source, VERSION as LOG_VERSION};
use holdoff_core::seal::{CHALLENGE, MOST_SEALED_HEAD};
use holdoff_link::message::{Clock, Identity, Log, Refusal, Tie};
use holdoff_link::status::{ClockState, Fixing, Group, Probe, Readings, Trust};

/// The device while it answers a PC.
pub(super) struct Serving<'a, 'b, B: Board> {
    pub(super) works: &'a mut Works<B>,
    /// The board; the answer goes out over it as well, but never while it is asked something.
    pub(super) board: &'a RefCell<&'b mut B>,
}

impl<B: Board> Serving<'_, '_, B> {
    fn with<R>(&mut self, ask: impl FnOnce(&mut Works<B>, &mut B) -> Result<R, Refusal>) -> Result<R, Refusal> {
        let mut board = self.board.try_borrow_mut().map_err(|_| Refusal::NotNow)?;
        ask(self.works, &mut board)
    }

    fn now(&mut self) -> Result<Now, Refusal> {
        self.with(|works, board| works.tell_time(board).ok_or_else(|| works.no_clock()))
    }
}

impl<B: Board> Works<B> {
    /// What changes anything waits until the logger is up, and until no fixing runs.
    fn may_change(&self) -> Result<(), Refusal> {
        match self.phase {
            Phase::Up => {}
            Phase::NoMemory { .. } => return Err(Refusal::Memory),
            Phase::Refused(_) => return Err(Refusal::NoLog),
            Phase::Awaited(_) if self.is_clock_failed() => return Err(Refusal::ClockFailed),
            Phase::Starved { .. } | Phase::Awaited(_) => return Err(Refusal::NotNow),
        }
        match over_log::running(&self.logger) {
            Some(fixing) => Err(Refusal::Running { fixing }),
            None => Ok(()),
        }
    }

    fn load(&mut self, board: &mut B, job: &LoadedJob<'_>) -> Result<(), Refusal> {
        self.may_change()?;
        let now = self.tell_time(board).ok_or_else(|| self.no_clock())?;
        self.sign_head(board);
        let begun = over_log::begin(job, VERSION, Source::Sensor(KIND), &mut self.logger);
        // what was loaded before is as it was, unless the new session has begun
        if begun.is_err() && self.logger.session().readings() != (0, 0) {
            self.due = self.loaded.then_some(now.at);
            return begun;
        }
        (self.loaded, self.due, self.read_at, self.hour) = (false, None, None, None);
        (self.named, self.seal_again_at, self.stuck) = (None, None, Stuck::No);
        self.in_holes = InHoles::NONE;
        (self.ui.mode, self.ui.shown) = (Mode::Browse(Place::Status), 0);
        begun?;
        // a session's instants are UTC seconds from the beginning
        self.time.tie(0, job.offset_minutes);
        let now = self.tell_time(board).ok_or_else(|| self.no_clock())?;
        self.measure(board, now);
        self.loaded = self.logger.session().readings() != (0, 0);
        tell!(job(self.logger.group().map_or(0, |group| group.fixings().count())));
        self.due = Some(now.at.after(i64::from(job.job.period.seconds())));
        if self.loaded { Ok(()) } else { Err(Refusal::Memory) }
    }

    /// Why there is no time.
    fn no_clock(&self) -> Refusal {
        if self.is_clock_failed() { Refusal::ClockFailed } else { Refusal::Clock }
    }

    fn clock_state(&self) -> ClockState {
        match (self.faults.clock, self.faults.clock_silent, self.time.wall()) {
            (Some((_, Goes::Not)), _, _) => ClockState::Down,
            (_, Some(_), _) => ClockState::Silent,
            (Some((_, Goes::Again)), None, _) => ClockState::Failed,
            (None, None, WallKnown::Set) => ClockState::Set,
            (None, None, WallKnown::Unset) => ClockState::Unset,
        }
    }

    /// Starts a clock that failed at the time it is. What runs was interrupted for an unknown time, which is recorded when the
    /// logger comes up: that is all the same whatever the chip is started with.
    fn set_failed_clock(&mut self, board: &mut B, utc: i64, offset: i16) -> Result<(), Refusal> {
        let after = self.goes_on_after();
        let uptime = board.uptime_ms();
        self.time.start(&mut board.bus(), uptime, utc, after).map_err(not_set)?;
        self.time.tie(self.time.ahead(), offset);
        (self.faults.clock, self.faults.clock_started, self.hour) = (None, None, None);
        Ok(())
    }

    fn set_clock(&mut self, board: &mut B, utc: i64, offset: i16) -> Result<(), Refusal> {
        let session = match self.phase {
            Phase::Up => self.logger.group().is_some(),
            // what a memory that can't be written on holds has no part in it
            Phase::Refused(_) => false,
            Phase::NoMemory { .. } => return Err(Refusal::Memory),
            Phase::Awaited(_) if self.is_clock_failed() => return self.set_failed_clock(board, utc, offset),
            Phase::Starved { .. } | Phase::Awaited(_) => return Err(Refusal::NotNow),
        };
        if let Some(fixing) = over_log::running(&self.logger) {
            return Err(Refusal::Running { fixing });
        }
        let (mut bus, uptime) = (board.bus(), board.uptime_ms());
        let set = if session {
            self.time.set(&mut bus, uptime, utc, offset)
        } else {
            self.time.set_both(&mut bus, uptime, utc, offset)
        };
        let now = set.map_err(not_set)?;
        self.sign_head(board);
        (self.faults.clock, self.faults.clock_started) = (None, None);
        if session && self.tie(now).is_err() {
            self.hour = None; // it is told with the next happening
        }
        Ok(())
    }
}

/// Why the clock was not set.
const fn not_set(error: NoTime) -> Refusal {
    match error {
        NoTime::Silent => Refusal::Clock,
        NoTime::Stopped | NoTime::Back | NoTime::Fast => Refusal::ClockFailed,
    }
}

impl<B: Board> Host for Serving<'_, '_, B> {
    fn identity(&mut self) -> Identity {
        Identity {
            device: self.works.logger.device().0,
            key: self.works.public,
            firmware: VERSION,
            board: String::from_str(B::NAME).unwrap_or_default(),
            log_version: LOG_VERSION,
            memory: self.works.logger.memory().size(),
            page: PAGE as u16,
        }
    }

    fn runs(&mut self) -> ([u8; 3], String<24>) {
        (VERSION, String::from_str(B::NAME).unwrap_or_default())
    }

    fn memory_size(&mut self) -> u32 {
        self.works.logger.memory().size()
    }

    fn clock(&mut self) -> Result<Clock, Refusal> {
        let now = self.now()?;
        let time = &self.works.time;
        let utc = match time.wall() {
            WallKnown::Set => Some(now.utc),
            WallKnown::Unset => None,
        };
        let (offset_minutes, state) = (time.offset_minutes(), self.works.clock_state());
        Ok(Clock { utc, offset_minutes, at: now.at.seconds(), state })
    }

    fn is_clock_failed(&mut self) -> bool {
        self.works.is_clock_failed()
    }

    fn set_clock(&mut self, utc: i64, offset_minutes: i16) -> Result<(), Refusal> {
        self.with(|works, board| works.set_clock(board, utc, offset_minutes))
    }

    fn running(&mut self) -> Option<u8> {
        over_log::running(&self.works.logger)
    }

    fn load(&mut self, job: &LoadedJob<'_>) -> Result<(), Refusal> {
        self.with(|works, board| works.load(board, job))
    }

    fn log(&mut self) -> Log {
        let works = &*self.works;
        match works.phase {
            Phase::Refused(error) => over_log::unmounted(&error, works.logger.memory().size()),
            Phase::Starved { .. } | Phase::NoMemory { .. } => {
                let error = holdoff_core::log::MountError::Memory(MemoryError::NoAnswer);
                over_log::unmounted(&error, works.logger.memory().size())
            }
            Phase::Awaited(_) | Phase::Up => over_log::log(&works.logger),
        }
    }

    fn group(&mut self) -> Group {
        let now = self.now().ok().map(|now| now.at.seconds());
        let works = &*self.works;
        Group {
            loaded: if works.knows_job() { over_log::loaded(&works.logger) } else { None },
            now,
            ahead: match works.time.wall() {
                WallKnown::Set => Some(works.time.ahead()),
                WallKnown::Unset => None,
            },
            offset_minutes: works.time.offset_minutes(),
            reading: over_log::reading(&works.logger),
            clock: works.clock_state(),
            probe: match (works.probed, works.stuck) {
                (Probed::Unasked, _) => Probe::Unasked,
                (Probed::Count, Stuck::At(_)) => Probe::Stuck,
                (Probed::Count, Stuck::No) => Probe::Answers,
                (Probed::None(holdoff_core::probe::Refusal::Bus, _), _) => Probe::NoAnswer,
                (Probed::None(..), _) => Probe::Unusable,
            },
            trust: match works.phase {
                Phase::NoMemory { .. } | Phase::Refused(_) => Trust::Untrusted,
                // nothing is known of it yet
                Phase::Starved { .. } => Trust::Trusted,
                Phase::Awaited(_) | Phase::Up => over_log::trust(&works.logger),
            },
            readings: match works.phase {
                Phase::NoMemory { .. } | Phase::Refused(_) => Readings::Lost,
                Phase::Awaited(_) if works.memory_failed => Readings::Lost,
                Phase::Starved { .. } | Phase::Awaited(_) => Readings::NotTaken,
                Phase::Up => over_log::readings(&works.logger),
            },
            battery_mv: works.battery_mv,
        }
    }

    fn ties(&mut self) -> Vec<Tie, MOST_HOLDS> {
        if self.works.has_job() { over_log::ties(&self.works.logger) } else { Vec::new() }
    }

    fn fixing(&mut self, number: u8) -> Result<Fixing, Refusal> {
        if !self.works.knows_job() {
            return Err(match self.works.phase {
                Phase::Up => Refusal::NoJob,
                Phase::NoMemory { .. } => Refusal::Memory,
                Phase::Refused(_) => Refusal::NoLog,
                Phase::Starved { .. } | Phase::Awaited(_) => Refusal::NotNow,
            });
        }
        let fixing = FixingNumber::new(number).ok_or(Refusal::Number)?;
        let named = self.works.name(fixing).map_err(|_| Refusal::Memory)?;
        over_log::fixing(number, named.label.text(), &self.works.logger)
    }

    fn read(&mut self, offset: u32, into: &mut [u8]) -> Result<(), Refusal> {
        let memory = self.works.logger.memory_mut();
        let size = memory.size();
        if let Some((at, _)) = self.works.talk {
            let pages = |bytes: u32| bytes / PAGE as u32;
            self.works.talk = Some((at, Link::ReadingOut { done: pages(offset), of: pages(size) }));
        }
        memory.read(offset, into).map_err(|error| match error {
            MemoryError::OutOfRange { .. } => Refusal::OutOfRange { size },
            MemoryError::NoAnswer | MemoryError::ReadOnly => Refusal::Memory,
        })
    }

    #[inline(never)] // what signing takes of the stack is given back
    fn head(&mut self, challenge: [u8; CHALLENGE]) -> Result<Vec<u8, MOST_SEALED_HEAD>, Refusal> {
        self.with(|works, board| {
            match works.phase {
                Phase::Up => {}
                Phase::NoMemory { .. } => return Err(Refusal::Memory),
                Phase::Refused(_) => return Err(Refusal::NoLog),
                Phase::Starved { .. } | Phase::Awaited(_) => return Err(Refusal::NotNow),
            }
            let now = works.tell_time(board).ok_or_else(|| works.no_clock())?;
            board.feed_watchdog();
            let key = secret_key(board).ok_or(Refusal::NoKey)?;
            over_log::head(now.at, challenge, &key, &works.logger)
        })
    }

    fn read_out(&mut self, below: u32) -> Result<(), Refusal> {
        self.works.may_change()?;
        self.with(|works, board| {
            works.sign_head(board);
            Ok(())
        })?;
        self.works.logger.read_out(below).map_err(over_log::refusal)
    }
}
