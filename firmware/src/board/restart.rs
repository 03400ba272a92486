//! Starting anew when the processor cannot go on, and knowing afterwards why: the same on every board.
//!
//! The reason stands in a word of RAM that no start clears. Power coming on leaves anything but one of the marks in it; a supply
//! that only dipped leaves the mark that was there. A second word keeps a number for the run loop in the same way.
#![allow(unsafe_code, reason = "a word that outlives a reset is none that Rust knows how to share")]

use core::mem::MaybeUninit;
use core::ptr;
use cortex_m::peripheral::SCB;

const RUNNING: u32 = 0x686F_6C64;
const WATCHDOG: u32 = 0x686F_6C65;
const FAULT: u32 = 0x686F_6C66;

/// What was going on when the last run ended.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Mark {
    /// It ran.
    Running,
    /// A watchdog of the board's own making bit.
    Watchdog,
    /// A fault of the processor.
    Fault,
}

#[unsafe(link_section = ".uninit.HOLDOFF_MARK")]
#[unsafe(no_mangle)]
static mut HOLDOFF_MARK: MaybeUninit<u32> = MaybeUninit::uninit();

/// Leaves a mark for the next run.
pub(super) fn mark(what: Mark) {
    let word = match what {
        Mark::Running => RUNNING,
        Mark::Watchdog => WATCHDOG,
        Mark::Fault => FAULT,
    };
    // SAFETY: a word that only this file uses; it is written whole, and handlers that write it never return.
    unsafe { ptr::addr_of_mut!(HOLDOFF_MARK).cast::<u32>().write_volatile(word) }
}

/// The mark of the last run, `None` when the RAM has forgotten it. From now on this run counts as running.
pub(super) fn found() -> Option<Mark> {
    // SAFETY: as above; whatever the word holds is a number.
    let found = unsafe { ptr::addr_of!(HOLDOFF_MARK).cast::<u32>().read_volatile() };
    mark(Mark::Running);
    match found {
        RUNNING => Some(Mark::Running),
        WATCHDOG => Some(Mark::Watchdog),
        FAULT => Some(Mark::Fault),
        _ => None,
    }
}

/// Marks a number that was kept.
const KEPT: u32 = 0x686F_0000;

#[unsafe(link_section = ".uninit.HOLDOFF_KEPT")]
#[unsafe(no_mangle)]
static mut HOLDOFF_KEPT: MaybeUninit<u32> = MaybeUninit::uninit();

/// Keeps a number over a reset.
pub(super) fn keep(number: u8) {
    let word = KEPT | u32::from(number) << 8 | u32::from(!number);
    // SAFETY: a word that only this file uses; it is written whole, and by nobody that could be interrupted by another.
    unsafe { ptr::addr_of_mut!(HOLDOFF_KEPT).cast::<u32>().write_volatile(word) }
}

/// The number that was kept last, `None` when the RAM has forgotten it.
pub(super) fn kept() -> Option<u8> {
    // SAFETY: as above; whatever the word holds is a number.
    let word = unsafe { ptr::addr_of!(HOLDOFF_KEPT).cast::<u32>().read_volatile() };
    let [check, number, ..] = word.to_le_bytes();
    (word & 0xFFFF_0000 == KEPT && check == !number).then_some(number)
}

/// Resets the board, as a fault does.
pub fn restart() -> ! {
    mark(Mark::Fault);
    SCB::sys_reset()
}

/// The processor cannot go on.
#[cortex_m_rt::exception(trampoline = false)]
unsafe fn HardFault() -> ! {
    restart()
}
