//! What a board gives the logger.
//!
//! Why one small trait: the same run loop stands on the emulated board, on a real one, and on the fake one of the tests.
//! The parts on the bus (probe, clock chip, memory) are driven by the library, so that a fake bus tests their drivers.

use embedded_hal::i2c::I2c;
use holdoff_core::log::ResetCause;

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

/// A board.
pub trait Board {
    /// A handle to the two-wire bus with the probe, the clock chip and the memory.
    type Bus: I2c;

    /// Another handle to the bus.
    fn bus(&self) -> Self::Bus;

    /// Frees a bus that a part holds down: up to nine clock pulses and a stop. Returns whether both lines are high
    /// afterwards.
    fn free_bus(&mut self) -> bool;

    /// Milliseconds since the board started, also while it slept. Wraps after 49 days.
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

    /// The battery in millivolts; `None` where it could not be measured.
    fn battery_mv(&mut self) -> Option<u16>;

    /// Why the board started.
    fn reset_cause(&self) -> ResetCause;

    /// Tells the watchdog that all is well.
    fn feed_watchdog(&mut self);

    /// The seed of the device's signing key; `None` where none was put in.
    fn key_seed(&self) -> Option<[u8; 32]>;
}
