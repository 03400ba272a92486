//! What the link asks of the device.

use super::load::LoadedJob;
use heapless::{String, Vec};
use holdoff_core::log::MOST_HOLDS;
use holdoff_core::seal::{CHALLENGE, MOST_SEALED_HEAD};
use holdoff_link::message::{Clock, Identity, Log, Refusal, Tie};
use holdoff_link::status::{Fixing, Group};

/// The device, as the link sees it.
///
/// What for: the session knows messages, order and repeats; what they mean is done here. `super::over_log` does most of
/// it from a [`Logger`](holdoff_core::log::Logger).
/// Contract: while [`Self::running`] names a fixing, the session calls no method that changes anything ([`Self::set_clock`],
/// [`Self::load`], [`Self::read_out`]), except to set a clock that failed; the device refuses them then as well. A method that
/// returns an error has changed nothing.
pub trait Host {
    /// Who it is. It is asked behind every greeting: the public key is worked out once, at the start.
    fn identity(&mut self) -> Identity;

    /// Its firmware, and what it runs on.
    fn runs(&mut self) -> ([u8; 3], String<24>);

    /// Size of the log's memory in bytes.
    fn memory_size(&mut self) -> u32;

    /// What its clock says.
    ///
    /// # Errors
    /// The clock chip does not answer.
    fn clock(&mut self) -> Result<Clock, Refusal>;

    /// Whether its clock failed and does not go. Nothing is counted then, so it may be set whatever runs; nothing else may.
    fn is_clock_failed(&mut self) -> bool;

    /// Sets the clock to `utc` seconds since 1970-01-01T00:00:00Z and local time to `offset_minutes` ahead of it, and
    /// records the new tie where there is a session. The monotonic clock goes on as it did.
    ///
    /// # Errors
    /// Why not.
    fn set_clock(&mut self, utc: i64, offset_minutes: i16) -> Result<(), Refusal>;

    /// The first fixing that is between its injection and its end; `None` when none is.
    fn running(&mut self) -> Option<u8>;

    /// Begins a session with this job, as a whole or not at all, and takes its first reading.
    ///
    /// # Errors
    /// Why not.
    fn load(&mut self, job: &LoadedJob<'_>) -> Result<(), Refusal>;

    /// How the log stands.
    fn log(&mut self) -> Log;

    /// How the group stands.
    fn group(&mut self) -> Group;

    /// Which ties of the clocks were in force when, the last of them.
    fn ties(&mut self) -> Vec<Tie, MOST_HOLDS>;

    /// How a fixing stands.
    ///
    /// # Errors
    /// There is no such fixing.
    fn fixing(&mut self, number: u8) -> Result<Fixing, Refusal>;

    /// Fills `into` with the bytes of the log's memory from `offset` on; nothing but that memory can be read so.
    ///
    /// # Errors
    /// It does not answer, or the range lies outside it.
    fn read(&mut self, offset: u32, into: &mut [u8]) -> Result<(), Refusal>;

    /// Signs where the log ends over a challenge; nothing is recorded.
    ///
    /// # Errors
    /// There is no key, no log, or no time.
    fn head(&mut self, challenge: [u8; CHALLENGE]) -> Result<Vec<u8, MOST_SEALED_HEAD>, Refusal>;

    /// Records that all pages with a lower number were read out.
    ///
    /// # Errors
    /// Why not.
    fn read_out(&mut self, below: u32) -> Result<(), Refusal>;
}
