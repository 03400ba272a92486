//! What goes wrong in the processor itself: hard faults and a run loop that does not come back. Both reset the board.
//!
//! Why a watchdog on a timer: the machine's own cannot be stopped, and armed while the processor sleeps it would make
//! the emulator skip time. Its timer runs only while the processor is awake.
//! The cause of a reset stands in a word of RAM that no start clears; power coming on leaves anything but one of the
//! marks in it.

use super::register::write;
use core::mem::MaybeUninit;
use core::ptr;
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

const RUNNING: u32 = 0x686F_6C64;
const WATCHDOG: u32 = 0x686F_6C65;
const FAULT: u32 = 0x686F_6C66;

#[unsafe(link_section = ".uninit.HOLDOFF_MARK")]
#[unsafe(no_mangle)]
static mut HOLDOFF_MARK: MaybeUninit<u32> = MaybeUninit::uninit();

fn mark(what: u32) {
    // SAFETY: a word that only this file uses; it is written whole, and handlers that write it never return.
    unsafe { ptr::addr_of_mut!(HOLDOFF_MARK).cast::<u32>().write_volatile(what) }
}

/// Why the board started; from now on it counts as running.
pub(super) fn cause() -> ResetCause {
    // SAFETY: as above; whatever the word holds is a number.
    let found = unsafe { ptr::addr_of!(HOLDOFF_MARK).cast::<u32>().read_volatile() };
    mark(RUNNING);
    match found {
        RUNNING => ResetCause::Pin,
        WATCHDOG => ResetCause::Watchdog,
        FAULT => ResetCause::Software,
        _ => ResetCause::PowerOn,
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
    mark(WATCHDOG);
    SCB::sys_reset()
}

/// Resets the board, as a fault does.
pub fn restart() -> ! {
    mark(FAULT);
    SCB::sys_reset()
}

/// The processor cannot go on.
#[cortex_m_rt::exception(trampoline = false)]
unsafe fn HardFault() -> ! {
    restart()
}
