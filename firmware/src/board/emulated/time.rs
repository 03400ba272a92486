//! Uptime and sleep, on the processor's own timer.
//!
//! Why so: the emulator skips time when a timer reloads itself, or when two are armed, while the processor sleeps. So the
//! one timer runs down once for a hop of sleep, and stays at zero; awake it runs around, and its turns are counted. Every
//! use of it adds what has run to the uptime and starts it anew.

use super::published::{HOLDOFF_WORDS, count};
use core::sync::atomic::{AtomicU32, Ordering};
use cortex_m::peripheral::SYST;
use cortex_m::peripheral::syst::SystClkSource;

/// Ticks of the timer in a millisecond.
const TICKS_IN_MS: u32 = 12_500;
/// The longest the timer runs.
const LONGEST: u32 = 0x00FF_FFFF;
/// A hop is no longer than this,
const HOP_MS: u32 = 1000;
/// and ends this long after a full second of the uptime, so that hops fall on the same place of a second all day.
const HOP_PLACE_MS: u32 = 500;
/// What starting the timer anew takes, and does not count itself.
const START_TICKS: u32 = 30;

pub(super) struct Time {
    timer: SYST,
    /// Up to the last start of the timer.
    milliseconds: u32,
    /// And ticks beyond these.
    rest: u32,
    /// What the timer was started with.
    started: u32,
    runs: Runs,
}

/// How the timer runs.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Runs {
    /// Down to zero, and wakes the processor then.
    Once,
    /// Around, awake.
    Around,
}

/// How often the timer came to zero since its start.
static TURNS: AtomicU32 = AtomicU32::new(0);

impl Time {
    pub(super) fn new(timer: SYST) -> Self {
        let mut time = Self { timer, milliseconds: 0, rest: 0, started: 0, runs: Runs::Once };
        time.timer.set_clock_source(SystClkSource::Core);
        time.start(LONGEST, Runs::Around);
        time
    }

    pub(super) fn uptime_ms(&mut self) -> u32 {
        self.restart(LONGEST, Runs::Around);
        self.milliseconds
    }

    /// Sleeps until the uptime, or until `wakes`. There is an idle even when there is nothing to sleep, so that the harness
    /// never loses hold of a board that is late.
    pub(super) fn sleep_until(&mut self, uptime_ms: u32, wakes: &mut impl FnMut() -> bool) {
        let left = uptime_ms.wrapping_sub(self.uptime_ms());
        if left == 0 || left > u32::MAX / 2 || wakes() {
            holdoff_idle();
            return;
        }
        loop {
            let now = self.uptime_ms();
            let left = uptime_ms.wrapping_sub(now);
            if left == 0 || left > u32::MAX / 2 {
                return;
            }
            let hop = left.min(HOP_MS.saturating_sub(now.wrapping_add(HOP_PLACE_MS) % HOP_MS)).max(1);
            let ticks = hop.saturating_mul(TICKS_IN_MS).saturating_sub(self.rest);
            let woken = cortex_m::interrupt::free(|_| {
                if wakes() {
                    return true;
                }
                self.restart(ticks.max(1), Runs::Once);
                holdoff_idle();
                cortex_m::asm::wfi();
                false
            });
            // what woke it has been served by now
            if woken || wakes() {
                self.uptime_ms();
                return;
            }
        }
    }

    /// Adds what has run to the uptime, and starts the timer anew.
    fn restart(&mut self, ticks: u32, runs: Runs) {
        let ran = self.ran();
        self.start(ticks, runs);
        self.rest = self.rest.saturating_add(ran);
        self.milliseconds = self.milliseconds.wrapping_add(self.rest / TICKS_IN_MS);
        self.rest %= TICKS_IN_MS;
        HOLDOFF_WORDS.uptime_ms.store(self.milliseconds, Ordering::Relaxed);
    }

    /// Ticks since the timer was started.
    fn ran(&self) -> u32 {
        let (turns, left) = loop {
            let turns = TURNS.load(Ordering::Relaxed);
            let left = SYST::get_current();
            if turns == TURNS.load(Ordering::Relaxed) {
                break (turns, left);
            }
        };
        let whole = match self.runs {
            Runs::Once => 0,
            Runs::Around => turns.saturating_mul(LONGEST + 1),
        };
        whole.saturating_add(self.started.saturating_sub(left)).saturating_add(START_TICKS)
    }

    fn start(&mut self, ticks: u32, runs: Runs) {
        self.timer.disable_counter();
        let ticks = ticks.min(LONGEST);
        self.timer.set_reload(ticks);
        self.timer.clear_current();
        self.timer.enable_interrupt();
        self.timer.enable_counter();
        // once it has taken the value, it gets no other: it will stop at zero
        while SYST::get_current() == 0 {}
        match runs {
            Runs::Once => self.timer.set_reload(0),
            Runs::Around => {}
        }
        TURNS.store(0, Ordering::Relaxed);
        (self.started, self.runs) = (ticks, runs);
    }
}

/// Where the harness holds the machine: right before every hop of sleep.
#[unsafe(no_mangle)]
#[inline(never)]
extern "C" fn holdoff_idle() {
    cortex_m::asm::nop();
}

/// The end of a hop, or of a turn.
#[cortex_m_rt::exception]
fn SysTick() {
    count(&TURNS, 1);
}
