//! Readings, the tie of the clocks, and the sealing of releases: what happens without anybody's doing.
//!
//! Why exactly so: for the same readings and actions a log must be the same bytes as a replay's. So the tie is told once in
//! every hour, right before that hour's first happening, and a release is sealed right after the happening that made it.
//! What it does not do: judge a reading. The engine does; what the probe could not give is recorded with its cause.

use super::settle::beat_after;
use super::time::Now;
use super::{Key, Probed, RETRY_MS, Stuck, Works};
use crate::board::{Board, Bus, Lines};
use crate::tell::tell;
use holdoff_core::fixing::Grounds;
use holdoff_core::group::{Event, FixingNumber, Happening};
use holdoff_core::log::{Acknowledged, ClockTie, LogError, StageSeen, StoreError};
use holdoff_core::probe::Refusal;
use holdoff_core::quantity::Instant;
use holdoff_core::seal::{BatchHash, NotSealed, SecretKey, Unlogged, WallClock, is_head_due, seal_head, seal_release};

/// A head is signed so long after what it is due for: what came of that is shown first.
pub(super) const HEAD_MS: u32 = 1_500;

/// The signing key.
pub(super) fn secret_key(board: &impl Board) -> Option<SecretKey> {
    board.key_seed().and_then(|seed| SecretKey::from_seed(seed).ok())
}

/// Why a release is not sealed yet.
enum Unsealed {
    /// The memory failed; it is tried again.
    Memory,
    /// Trying again would change nothing.
    Never,
}

impl<B: Board> Works<B> {
    /// Takes a reading when one is due.
    #[inline(never)] // its own stack, given back before the next part of a step
    pub(super) fn measure_when_due(&mut self, board: &mut B, now: Option<Now>) {
        let (Some(now), true) = (now, self.has_job()) else { return };
        if self.probe.settles_in(now.uptime) == 0 {
            if self.due.is_some_and(|due| due <= now.at) {
                self.due = self.due.map(|due| self.next_due(due, now.at));
                if self.read_at != Some(now.at) {
                    self.measure(board, now);
                }
            }
            self.watch_hole(board, now);
        }
        if self.seal_again_at.is_some_and(|at| now.uptime.wrapping_sub(at) < u32::MAX / 2) {
            self.seal_releases(board, now);
            self.sign_head(board);
            self.sign_head_in(RETRY_MS, now.uptime);
        }
    }

    /// The first of the beat after `now`.
    pub(super) fn next_due(&self, due: Instant, now: Instant) -> Instant {
        beat_after(due, i64::from(self.logger.session().job().map_or(1, |job| job.period.seconds())), now)
    }

    /// Takes a reading now and records it, or what the probe gave instead.
    pub(super) fn measure(&mut self, board: &mut B, now: Now) {
        let read = self.ask_probe(board, now);
        self.sign_head(board);
        self.record_supply(now);
        self.tie_when_due(now);
        let what = match read {
            Ok(count) => Happening::Reading { at: now.at, count },
            Err(cause) => Happening::Unusable { at: now.at, cause },
        };
        self.probed = match read {
            Ok(_) => Probed::Count,
            Err(Refusal::Bus) => Probed::None(Refusal::Bus, board.bus().free()),
            Err(
                cause @ (Refusal::PowerUp | Refusal::OutOfRange | Refusal::NotLater | Refusal::Step | Refusal::Supply),
            ) => Probed::None(cause, Lines::Free),
        };
        match (self.stuck, read) {
            (Stuck::At(same), Ok(count)) if same != count => self.stuck = Stuck::No,
            (Stuck::At(_) | Stuck::No, _) => {}
        }
        self.read_at = Some(now.at);
        let mut stuck = false;
        let taken = self.logger.happen(what, &mut |event| {
            tell!(event(&event));
            if let Event::Stuck { .. } = event {
                stuck = true;
            }
        });
        tell!(reading(read, &taken));
        if let (true, Ok(count)) = (stuck, read) {
            self.stuck = Stuck::At(count);
        }
        match taken {
            Ok(Acknowledged::Stored(_)) => {
                self.memory_failed = false;
                self.seal(board, now);
            }
            Ok(Acknowledged::Lost { .. }) => self.memory_failed = !self.is_full(),
            Err(error) => self.memory_failed |= is_of_memory(error),
        }
    }

    /// Whether readings find no room any more.
    pub(super) fn is_full(&self) -> bool {
        let room = self.logger.room();
        room.left <= room.reserved
    }

    /// Whether there is an accepted reading of this very second.
    pub(super) fn has_reading_at(&self, at: Instant) -> bool {
        self.logger.group().and_then(|group| group.last_reading()).is_some_and(|(last, _)| last == at)
            && self.read_at == Some(at)
    }

    /// Tells the log what the wall clock says, once in an hour, right before its first happening.
    pub(super) fn tie_when_due(&mut self, now: Now) {
        let hour = now.at.seconds().div_euclid(3600);
        if self.hour.is_some_and(|before| hour <= before) {
            return;
        }
        if self.tie(now).is_ok() {
            self.hour = Some(hour);
        }
    }

    pub(super) fn tie(&mut self, now: Now) -> Result<(), LogError> {
        let offset_minutes = self.time.offset_minutes();
        self.logger.clock(ClockTie { at: now.at, utc: now.utc, offset_minutes })
    }

    /// Signs and records what is released and not sealed yet; a head follows as soon as what happened is shown.
    pub(super) fn seal(&mut self, board: &mut B, now: Now) {
        self.seal_releases(board, now);
        self.sign_head_in(HEAD_MS, now.uptime);
    }

    fn seal_releases(&mut self, board: &mut B, now: Now) {
        self.seal_again_at = None;
        if self.key == Key::Missing {
            return;
        }
        for fixing in self.logger.session().unsealed() {
            board.feed_watchdog();
            match self.seal_one(board, fixing) {
                Ok(()) => tell!(sealed(fixing)),
                Err(Unsealed::Never) => {}
                Err(Unsealed::Memory) => self.seal_again_at = Some(now.uptime.wrapping_add(RETRY_MS)),
            }
        }
    }

    /// Has a head signed, where that is due, so many milliseconds later.
    pub(super) fn sign_head_in(&mut self, milliseconds: u32, uptime: u32) {
        if self.key == Key::There && self.seal_again_at.is_none() && is_head_due(&self.logger) {
            self.seal_again_at = Some(uptime.wrapping_add(milliseconds));
        }
    }

    /// Signs where the log stands, if that is due: also before anything else is recorded. One that could not be signed or
    /// recorded is tried again like a release.
    pub(super) fn sign_head(&mut self, board: &mut B) {
        if self.key == Key::Missing || !is_head_due(&self.logger) {
            return;
        }
        board.feed_watchdog();
        if let Some(key) = secret_key(board) {
            let _ = seal_head(&mut self.logger, &key);
        }
    }

    fn seal_one(&mut self, board: &B, fixing: FixingNumber) -> Result<(), Unsealed> {
        let named = self.name(fixing).map_err(|_| Unsealed::Memory)?;
        let (label, batch) = (named.label, BatchHash::of_text(named.batch.text().unwrap_or_default()));
        let key = secret_key(board).ok_or(Unsealed::Never)?;
        // by the tie that was in force when it was released, also where it is signed later
        let stage = self.logger.group().and_then(|group| group.stage(fixing));
        let at = stage.and_then(|stage| StageSeen::of(stage, Grounds::NONE).since);
        let clock = at.map_or(WallClock::Unknown, |at| WallClock::at(self.logger.session().holds(), at));
        let unlogged = Unlogged { label, batch, clock };
        seal_release(&mut self.logger, fixing, &unlogged, &key).map_err(|error| match error {
            // a signature that does not verify is a memory or a processor that erred: it is made again
            NotSealed::Seal(_) | NotSealed::Log(_) => Unsealed::Memory,
            NotSealed::NoSession | NotSealed::Record(_) | NotSealed::TooLong => Unsealed::Never,
        })
    }
}

/// Whether the memory itself is at fault.
pub(super) const fn is_of_memory(error: LogError) -> bool {
    match error {
        LogError::Store(StoreError::Memory(_)) => true,
        LogError::Store(StoreError::Full { .. } | StoreError::TooLong)
        | LogError::NotMounted
        | LogError::NoSession
        | LogError::PowerUpFirst
        | LogError::Running { .. }
        | LogError::NoRoom { .. }
        | LogError::Untrusted
        | LogError::GroupFull
        | LogError::AccrualNotPermitted => false,
    }
}
