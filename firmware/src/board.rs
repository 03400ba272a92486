//! What a board gives the logger.
//!
//! Why one small trait: the same run loop stands on the emulated board, on a real one, and on the fake one of the tests.
//! The parts on the bus (probe, clock chip, memory) are driven by the library, so that a fake bus tests their drivers.
//! A board only says which parts there are.
//!
//! Watchdog: the longest a step takes without [`Board::feed_watchdog`] is a mount of a full memory: it reads twice the memory
//! over the bus, 12 s for 64 KiB at 100 kHz. A watchdog must wait for at least 30 s.

use crate::driver::clock::ClockKind;
use crate::driver::memory::MemoryPart;
use embedded_hal::delay::DelayNs;
use embedded_hal::i2c::I2c;
use holdoff_core::log::ResetCause;

#[cfg(all(target_os = "none", feature = "board-emulated"))]
pub mod emulated;
#[cfg(all(target_os = "none", feature = "board-nrf52840"))]
pub mod nrf52840;
#[cfg(all(target_os = "none", any(feature = "board-emulated", feature = "board-nrf52840")))]
mod restart;

/// Lines of the display.
pub const DISPLAY_HEIGHT: u32 = 64;
/// Columns of the display.
pub const DISPLAY_WIDTH: u32 = 128;

/// Eight lines of the display: one byte a column, its lowest bit the topmost line.
pub type Strip = [u8; DISPLAY_WIDTH as usize];

/// Which buttons are down.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Buttons {
    /// Up.
    pub up: bool,
    /// Down.
    pub down: bool,
    /// Left.
    pub left: bool,
    /// Right.
    pub right: bool,
    /// Select.
    pub select: bool,
}

/// The two lines of a bus.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Lines {
    /// Both are high: the bus is free.
    Free,
    /// A part, or a short, holds one of them down.
    Held,
}

/// A handle to the two-wire bus with the probe, the clock chip and the memory. Transfers are bounded in time: one that
/// does not end is an error.
pub trait Bus: I2c + DelayNs {
    /// Frees a bus that a part holds down: up to nine clock pulses and a stop ([`crate::driver::wires::free`] does it over
    /// two pins).
    fn free(&mut self) -> Lines;
}

/// What feeds the board.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Supply {
    /// A bench, over wires: there is nothing to measure, and nothing of it is logged.
    Bench,
    /// A battery, which is measured with every reading (rule R7).
    Battery(BatteryLimits),
}

/// From which voltage on the battery is said to be low, nothing new is begun, and nothing is measured any more.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct BatteryLimits {
    /// Below these millivolts a warning is shown.
    pub low: u16,
    /// Below these millivolts no injection is offered: the battery might not outlast the cure. Nothing but a button lights the
    /// display then, and a start waits before it records anything (`docs/device.md`).
    pub empty: u16,
    /// Below these millivolts the probe, or what makes its supply, has less than it needs: no reading is taken (rule R7).
    pub probe: u16,
}

/// A board.
pub trait Board {
    /// A handle to the bus.
    type Bus: Bus;

    /// What the board is called, at most 24 bytes.
    const NAME: &'static str;
    /// The clock chip.
    const CLOCK: ClockKind;
    /// The memory.
    const MEMORY: MemoryPart;
    /// The probe's address on the bus.
    const PROBE: u8;
    /// What feeds it.
    const SUPPLY: Supply;
    /// One part in this many is what [`Self::uptime_ms`] may be wrong by: how much faster or slower than it the clock chip may
    /// run unnoticed. A board whose uptime comes from a crystal says more.
    const UPTIME_PARTS: u32 = 32;

    /// Another handle to the bus.
    fn bus(&self) -> Self::Bus;

    /// The board's own number; `None` where it has none: then the logger's key names it, as the PC names itself.
    fn number(&self) -> Option<[u8; 8]>;

    /// Milliseconds since the board started, also while it slept; right to [`Self::UPTIME_PARTS`], so that it can be held
    /// against the clock chip. Wraps after 49 days.
    fn uptime_ms(&mut self) -> u32;

    /// Sleeps until a button, the link or this uptime wakes it, whichever is first. May wake early.
    fn sleep_until(&mut self, uptime_ms: u32);

    /// The buttons as they are now, not debounced.
    fn buttons(&mut self) -> Buttons;

    /// Shows eight lines; `place` counts strips from the top, 0 to 7.
    fn show(&mut self, place: u8, strip: &Strip);

    /// Switches the display on or off.
    fn light(&mut self, on: bool);

    /// Takes bytes that came over the link; returns how many.
    fn receive(&mut self, into: &mut [u8]) -> usize;

    /// Sends bytes over the link, and waits until they are on their way.
    fn send(&mut self, bytes: &[u8]);

    /// The battery in millivolts; `None` where it could not be measured, or where there is none ([`Supply::Bench`]).
    fn battery_mv(&mut self) -> Option<u16>;

    /// Why the board started.
    fn reset_cause(&self) -> ResetCause;

    /// What [`Self::keep`] was given last, where a reset has left it; `None` after the power was gone, and on a board that keeps
    /// nothing over a reset.
    fn kept(&mut self) -> Option<u8> {
        None
    }

    /// Keeps a number over a reset, where the board can.
    fn keep(&mut self, _number: u8) {}

    /// Tells the watchdog that all is well.
    fn feed_watchdog(&mut self);

    /// The seed of the device's signing key; `None` where none was put in.
    fn key_seed(&self) -> Option<[u8; 32]>;
}

/// A key's seed as a board read it; `None` where it was never written (all ones, or all zeros).
#[cfg(all(target_os = "none", any(feature = "board-emulated", feature = "board-nrf52840")))]
fn seed_of(bytes: [u8; 32]) -> Option<[u8; 32]> {
    let never_written = [0x00, 0xFF].iter().any(|blank| bytes.iter().all(|byte| byte == blank));
    if never_written { None } else { Some(bytes) }
}
