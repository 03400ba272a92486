//! Which scene reaches which screens.

/// Sixteen fixings, `life.rs`.
pub(crate) const LIFE: &[&str] = &[
    "start",
    "no-job",
    "settling",
    "hole-settling",
    "may-inject",
    "do-not-inject-past-date",
    "menu",
    "in-the-hole",
    "enter-cartridge-none",
    "enter-cartridge",
    "question-inject",
    "seat-now",
    "menu-long",
    "not-yet-not-seated",
    "question-seat",
    "question-yes",
    "leave-alone",
    "not-yet",
    "question-wet",
    "enter-torque",
    "question-early",
    "do-not-load-loaded-early",
    "question-flooded",
    "do-not-load-hole",
    "menu-engineer",
    "question-accept",
    "accepted-as-is",
    "question-remove",
    "removed",
    "too-late",
    "question-seated-late",
    "do-not-load-not-seated",
    "do-not-load-seated-late",
    "leave-alone-minutes",
    "dark",
    "torque-now",
    "question-torqued",
    "may-be-loaded",
    "code",
    "short",
    "materials",
    "cartridge",
    "times",
    "counting",
    "setting",
    "cured",
    "cartridge-undeclared",
    "torque-now-one",
    "torque-too-low",
    "do-not-load-over-torque",
    "start-refused-cartridge",
    "held-too-cold",
    "not-yet-held",
    "do-not-inject-too-cold",
    "do-not-inject-many",
    "reasons",
    "start-refused",
    "question-carried-out",
    "do-not-load-too-cold",
    "do-not-load-two",
    "do-not-load-below-reject",
    "start-refused-again",
    "held-too-warm",
    "do-not-inject-too-warm",
    "do-not-load-above-reject",
    "probe-wrong",
    "held-no-readings",
    "do-not-inject-no-reading",
    "do-not-load-held-too-long",
    "do-not-inject-hole",
    "overview-sixteen",
];
/// A demo resin and power cuts, `world.rs`.
pub(crate) const DEMO: &[&str] = &[
    "demo-may-inject",
    "demo-menu",
    "demo-torque-now",
    "demo-cured",
    "demo-may-be-loaded",
    "no-key",
    "overview",
    "restarted",
    "clock-back",
];
/// A clock that was never set, `world.rs`.
pub(crate) const UNSET: &[&str] = &["clock-not-set", "do-not-inject-clock", "leave-alone-no-clock"];
/// A slow resin, `world.rs`.
pub(crate) const SLOW: &[&str] = &["seat-now-long", "leave-alone-tomorrow", "leave-alone-days", "setting-laxer"];

/// No probe, `world.rs`.
pub(crate) const NO_PROBE: &[&str] = &["probe-silent"];

/// A PC at the line, `world.rs`.
pub(crate) const LINK: &[&str] = &["pc-connected", "pc-loading", "pc-reading-out"];

/// Memories that hold what they hold, `memories.rs`.
pub(crate) const MEMORIES: &[&[&str]] = &[UNTRUSTED, FULL, LOSING, STUCK, FOREIGN];
/// A damaged log.
pub(crate) const UNTRUSTED: &[&str] = &["log-untrusted", "do-not-load-log", "do-not-inject-log"];
/// No room for another fixing.
pub(crate) const FULL: &[&str] = &["memory-full", "do-not-inject-memory-full"];
/// No room for a reading.
pub(crate) const LOSING: &[&str] = &["losing"];
/// Six hours of the same.
pub(crate) const STUCK: &[&str] = &["probe-stuck"];
/// None of this logger's.
pub(crate) const FOREIGN: &[&str] = &["log-foreign", "log-not-own", "log-version", "memory-size", "no-log"];

/// What only the parts of the fake board can do, `fake.rs`.
pub(crate) const FAKE: &[&str] = &[
    "bus-stuck",
    "clock-stopped",
    "clock-fast",
    "clock-silent",
    "do-not-inject-clock-silent",
    "clock-failed",
    "do-not-inject-clock-failed",
    "memory-silent",
    "do-not-inject-memory-silent",
    "notice",
    "supply-low",
    "supply-unknown",
    "battery-low",
    "battery-very-low",
    "do-not-inject-battery",
    "restarted-watchdog",
];
