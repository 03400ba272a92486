//! What goes wrong in the processor itself: hard faults and a run loop that does not come back. Both reset the board.
//!
//! Why a watchdog on a timer: the machine's own cannot be stopped, and armed while the processor sleeps it would make
//! the emulator skip time. Its timer runs only while the processor is awake.

use super::register::write;
use crate::board::restart::{Mark, found, mark};
use cortex_m::peripheral::{NVIC, SCB};
use holdoff_core::log::ResetCause;

/// The interrupt of the watchdog's timer.
pub(super) const TIMER_0A: u16 = 19;

const TIMER: usize = 0x4003_0000;
const MODE: usize = TIMER + 4;
const CONTROL: usize = TIMER + 0xC;
const MASK: usize = TIMER + 0x18;
const CLEAR: usize = TIMER + 0x24;
const LOAD: usize = TIMER + 0x28;
/// How long the run loop may take: thirty seconds.
const PATIENCE: u32 = 30 * 12_500_000;

/// Why the board started.
pub(super) fn cause() -> ResetCause {
    match found() {
        Some(Mark::Running) => ResetCause::Pin,
        Some(Mark::Watchdog) => ResetCause::Watchdog,
        Some(Mark::Fault) => ResetCause::Software,
        None => ResetCause::PowerOn,
    }
}

pub(super) fn set_up(nvic: &mut NVIC) {
    // SAFETY: its handler does not return, so no priority can harm what it interrupts.
    unsafe { nvic.set_priority(super::register::Source(TIMER_0A), 0) };
    write(CONTROL, 0);
    write(TIMER, 0);
    write(MODE, 1); // runs down once
    write(MASK, 1);
    watch();
}

/// The watchdog begins anew.
pub(super) fn watch() {
    write(CONTROL, 0);
    write(LOAD, PATIENCE);
    write(CONTROL, 1);
}

/// The watchdog rests, while the processor sleeps.
pub(super) fn rest() {
    write(CONTROL, 0);
}

/// The watchdog has waited too long.
pub(super) fn bite() -> ! {
    write(CLEAR, 1);
    mark(Mark::Watchdog);
    SCB::sys_reset()
}
