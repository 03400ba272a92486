//! Uptime and sleep, on the 32 768 Hz crystal.
//!
//! The library's time driver counts on RTC1, which goes on while the processor sleeps. Sleep is System ON with the
//! processor waiting for an event; every interrupt is one, so that nothing that comes between the last look and the sleep is
//! slept over.

use core::task::Waker;
use embassy_time::{Duration, Instant};

/// Milliseconds since the start; wraps after 49 days.
pub(super) fn uptime_ms() -> u32 {
    Instant::now().as_millis() as u32 // the low half is what is asked for
}

/// Sleeps until the uptime, or until `wakes` says so after an interrupt.
pub(super) fn sleep_until(uptime: u32, wakes: &mut impl FnMut() -> bool) {
    loop {
        let left = uptime.wrapping_sub(uptime_ms());
        if left == 0 || left > u32::MAX / 2 || wakes() {
            return;
        }
        let end = Instant::now().saturating_add(Duration::from_millis(u64::from(left)));
        // nobody is woken; the interrupt alone is what ends the waiting
        embassy_time_driver::schedule_wake(end.as_ticks(), Waker::noop());
        cortex_m::asm::wfe();
    }
}
