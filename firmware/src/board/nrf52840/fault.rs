//! Why the board started, and the watchdog.
//!
//! The watchdog of the part runs on the crystal, also while the processor sleeps, and nothing but a reset stops it. The reset
//! register collects its bits until they are cleared, so they are, at every start.

use crate::board::restart::{Mark, found, restart};
use embassy_nrf::wdt::{Config, HaltConfig, SleepConfig, Watchdog, WatchdogHandle};
use embassy_nrf::{Peri, pac, peripherals};
use holdoff_core::log::ResetCause;

/// How long the run loop may take, in ticks of 1/32768 s: forty seconds. [`crate::board`] says why at least thirty.
const PATIENCE: u32 = 40 * 32_768;

/// Why the board started; read it before anything else can reset the part, and once.
///
/// A dip of the supply resets with no bit set, as power coming on does, but the RAM still holds its mark. A supply that was
/// gone for so short that the RAM kept it is taken for a dip as well.
pub(super) fn cause() -> ResetCause {
    let reasons = pac::POWER.resetreas().read();
    pac::POWER.resetreas().write_value(reasons); // a one clears
    let mark = found();
    if reasons.dog() {
        ResetCause::Watchdog
    } else if reasons.lockup() || reasons.sreq() {
        ResetCause::Software
    } else if reasons.resetpin() {
        ResetCause::Pin
    } else {
        match mark {
            Some(Mark::Running | Mark::Watchdog | Mark::Fault) => ResetCause::BrownOut,
            None => ResetCause::PowerOn,
        }
    }
}

/// Starts the watchdog. After a reset that left it running it goes on as it was, with the same patience.
pub(super) fn watch(wdt: Peri<'static, peripherals::WDT>) -> Option<WatchdogHandle> {
    let mut config = Config::default();
    config.timeout_ticks = PATIENCE;
    config.action_during_sleep = SleepConfig::Run;
    config.action_during_debug_halt = HaltConfig::Pause;
    match Watchdog::try_new(wdt, config) {
        Ok((_, [handle])) => Some(handle),
        // one that was started otherwise will bite, and be started rightly then
        Err(_) => None,
    }
}

/// An interrupt that nobody asked for.
#[cortex_m_rt::exception]
unsafe fn DefaultHandler(_: i16) {
    restart()
}
