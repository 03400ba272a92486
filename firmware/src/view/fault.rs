//! What is wrong with the logger, what it is doing with a PC, and what was not done.

use holdoff_core::fixing::NotApplicable;
use holdoff_core::log::{DeviceId, ResetCause};
use holdoff_core::quantity::Span;

/// Something is wrong with the logger, or was.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Fault {
    /// The probe does not answer.
    ProbeSilent,
    /// A part holds the bus down.
    BusStuck,
    /// The probe answers with what can't be true (its power-up value, or outside its range).
    ProbeWrong,
    /// The same reading for six hours (rule R5).
    ProbeStuck,
    /// The supply is below what the probe needs: no reading is taken (rule R7).
    SupplyLow,
    /// The supply of the probe can't be measured: no reading is taken (rule R7).
    SupplyUnknown,
    /// The wall clock is not set.
    ClockNotSet,
    /// The battery-backed clock failed, and was not set since.
    ClockFailed {
        /// How.
        how: ClockFailure,
        /// Whether it goes again.
        goes: Goes,
    },
    /// The battery-backed clock does not answer.
    ClockSilent,
    /// The memory does not answer.
    MemorySilent,
    /// Readings are being lost; so many of this session.
    Losing {
        /// How many.
        count: u32,
    },
    /// The memory has no room for another fixing.
    MemoryFull,
    /// The battery is low.
    BatteryLow,
    /// The battery is so low that no injection is allowed.
    BatteryVeryLow,
    /// The log cannot be trusted (rule E4).
    LogUntrusted,
    /// The memory holds the log of another device.
    LogForeign {
        /// Whose.
        device: DeviceId,
    },
    /// The memory holds a log that names this logger, and that this logger has not written.
    LogNotOwn,
    /// The memory holds a log of another version.
    LogVersion {
        /// Which.
        found: u8,
    },
    /// The memory has another size than its log was written for, or one that no log is written for.
    MemorySize,
    /// The memory holds something that is no log.
    NoLog,
    /// The logger restarted while a fixing was running.
    Restarted {
        /// Why.
        cause: ResetCause,
        /// How long it was dark; `None` where the clock can't tell.
        dark: Option<Span>,
    },
}

/// How the battery-backed clock failed.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum ClockFailure {
    /// It stopped, or holds no time.
    Stopped,
    /// It went backwards.
    Back,
    /// It ran away from the logger's own time.
    Fast,
}

/// Whether a clock that failed goes again: it was started anew, without a time of day.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Goes {
    /// It does: readings are taken.
    Again,
    /// It does not: nothing is measured and nothing can be recorded until it is set, or goes when it is tried again.
    Not,
}

/// What goes on with a PC.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Link {
    /// It is connected.
    Connected,
    /// It loads a job.
    Loading,
    /// The memory is being read out.
    ReadingOut {
        /// Pages so far.
        done: u32,
        /// All of them.
        of: u32,
    },
}

/// Why something was not done; nothing has changed.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Notice {
    /// It does not apply.
    NotApplicable(NotApplicable),
    /// The memory does not answer, so it was not recorded.
    NotRecorded,
    /// The memory is full.
    MemoryFull,
    /// The log cannot be trusted, so nothing may be begun in it.
    LogUntrusted,
    /// There is no reading to take for the hole.
    NoReading,
    /// The reading in the hole did not settle in all the time it was given (rule R6).
    HoleUnsettled,
    /// The clock failed, and nothing is recorded without a time.
    ClockFailed,
    /// The clock does not answer, and nothing is recorded without a time.
    ClockSilent,
}
