//! The lines.

use crate::view::Link;
use core::sync::atomic::{AtomicU32, Ordering};
use defmt::{info, warn};
use holdoff_core::fixing::{Action, Decision, Declaration};
use holdoff_core::group::{Darkness, Event, FixingNumber, Verdict};
use holdoff_core::log::{Acknowledged, LogError, ResetCause};
use holdoff_core::probe::Refusal;
use holdoff_core::quantity::Count;

/// What faults are called: as their screens are (docs/screens.md), by the kind that the run loop gives them.
const FAULTS: [&str; 23] = [
    "probe-silent",
    "bus-stuck",
    "probe-wrong",
    "probe-stuck",
    "clock-not-set",
    "clock-stopped",
    "clock-back",
    "clock-fast",
    "clock-silent",
    "memory-silent",
    "losing",
    "memory-full",
    "battery-low",
    "battery-very-low",
    "log-untrusted",
    "log-foreign",
    "log-version",
    "memory-size",
    "no-log",
    "restarted",
    "supply-low",
    "supply-unknown",
    "log-not-own",
];

/// Kinds of faults that were told and are not over.
static FAULTY: AtomicU32 = AtomicU32::new(0);
/// What was told of the link last.
static LINK: AtomicU32 = AtomicU32::new(0);

const fn refusal(cause: Refusal) -> &'static str {
    match cause {
        Refusal::NotLater => "not later than the last",
        Refusal::Bus => "the bus",
        Refusal::OutOfRange => "out of range",
        Refusal::PowerUp => "power-up value",
        Refusal::Step => "too far from the last",
        Refusal::Supply => "supply too low, or not measured",
    }
}

/// Fixings are numbered from 1 for people.
fn of(fixing: FixingNumber) -> usize {
    fixing.place().saturating_add(1)
}

/// The board came up.
pub(crate) fn start(version: [u8; 3], board: &str, cause: ResetCause) {
    let [major, minor, patch] = version;
    let cause = match cause {
        ResetCause::PowerOn => "power on",
        ResetCause::BrownOut => "brown-out",
        ResetCause::Watchdog => "watchdog",
        ResetCause::Software => "software",
        ResetCause::Pin => "pin",
        ResetCause::Unknown => "unknown",
    };
    info!("start: holdoff {=u8}.{=u8}.{=u8} on {=str}, reset by {=str}", major, minor, patch, board, cause);
}

/// A power-up was recorded.
pub(crate) fn power_up(dark: Darkness, running: bool) {
    let dark = match dark {
        Darkness::Known => "known",
        Darkness::Unknown => "unknown",
    };
    info!("power-up recorded: dark time {=str}, a fixing runs: {=bool}", dark, running);
}

/// A reading was taken, or not, and recorded, or not.
pub(crate) fn reading(read: Result<Count, Refusal>, taken: &Result<Acknowledged, LogError>) {
    match (read, taken) {
        (_, Ok(Acknowledged::Lost { .. })) => warn!("reading lost: not recorded"),
        (_, Err(_)) => warn!("reading not taken by the log"),
        (Err(cause), Ok(Acknowledged::Stored(_))) => warn!("no reading: {=str}", refusal(cause)),
        (Ok(count), Ok(Acknowledged::Stored(Verdict::Refused(cause)))) => {
            warn!("reading {=i16}/256 C refused: {=str}", count.raw(), refusal(*cause));
        }
        (Ok(count), Ok(Acknowledged::Stored(_))) => info!("reading {=i16}/256 C accepted", count.raw()),
    }
}

/// An action was recorded, or not.
pub(crate) fn action(fixing: FixingNumber, action: &Action, taken: &Result<Acknowledged, LogError>) {
    let what = match action {
        Action::Inject(_) => "inject",
        Action::Seat => "seat",
        Action::Hole(_) => "hole stricter",
        Action::CarriedOut => "injected all the same",
        Action::Torque(_) => "torque",
        Action::TorquedEarly(_) => "torqued early",
        Action::Decide(Decision::Accept) => "accept as it is",
        Action::Decide(Decision::Remove) => "remove",
        Action::Declare(Declaration::Cleaned(_)) => "cleaned",
        Action::Declare(Declaration::NewNozzle) => "new nozzle",
        Action::Declare(Declaration::Discarded) => "discarded",
        Action::Declare(Declaration::Seating(_)) => "seating declared",
    };
    match taken {
        Ok(Acknowledged::Stored(Verdict::NotApplicable(_))) => {
            warn!("action: {=str}, fixing {=usize}: does not apply", what, of(fixing));
        }
        Ok(Acknowledged::Stored(_)) => info!("action: {=str}, fixing {=usize}: recorded", what, of(fixing)),
        Ok(Acknowledged::Lost { .. }) | Err(_) => {
            warn!("action: {=str}, fixing {=usize}: not recorded, not done", what, of(fixing));
        }
    }
}

/// What came of a step.
pub(crate) fn event(event: &Event) {
    match event {
        Event::Interval { .. } => {}
        Event::CandidateAccepted { count, .. } => info!("reading {=i16}/256 C accepted after all", count.raw()),
        Event::Stuck { .. } => warn!("reading the same for six hours"),
        Event::StartRefused { fixing, .. } => warn!("stage: fixing {=usize} refused", of(*fixing)),
        Event::Started { fixing, .. } => info!("stage: fixing {=usize} working", of(*fixing)),
        Event::Seated { fixing, .. } => info!("stage: fixing {=usize} curing", of(*fixing)),
        Event::HoleStricter { fixing, .. } => info!("hole of fixing {=usize} stricter", of(*fixing)),
        Event::Cured { fixing, at, .. } => info!("stage: fixing {=usize} cured at {=i64}", of(*fixing), at.seconds()),
        Event::Withdrawn { fixing, .. } => warn!("stage: fixing {=usize} curing, the cure withdrawn", of(*fixing)),
        Event::CureMoved { fixing, cured, .. } => {
            info!("stage: fixing {=usize} cured at {=i64}, moved", of(*fixing), cured.seconds());
        }
        Event::TorqueNoted { fixing, .. } => warn!("torque of fixing {=usize} noted, releases nothing", of(*fixing)),
        Event::Released { fixing, .. } => info!("stage: fixing {=usize} released", of(*fixing)),
        Event::Rejected { fixing, .. } => warn!("stage: fixing {=usize} rejected", of(*fixing)),
        Event::Decided { fixing, .. } => info!("stage: fixing {=usize} decided on", of(*fixing)),
    }
}

/// A release was signed and recorded.
pub(crate) fn sealed(fixing: FixingNumber) {
    info!("release of fixing {=usize} signed and recorded", of(fixing));
}

/// The kinds of faults there are, a bit each: tells which are new and which are over.
pub(crate) fn faults(now: u32) {
    let before = FAULTY.load(Ordering::Relaxed);
    FAULTY.store(now, Ordering::Relaxed);
    for (kind, name) in FAULTS.iter().enumerate() {
        match (before >> kind & 1, now >> kind & 1) {
            (0, 1) => warn!("fault: {=str}", *name),
            (1, 0) => info!("fault over: {=str}", *name),
            _ => {}
        }
    }
}

/// What goes on with a PC: tells a change.
pub(crate) fn link(talking: Option<Link>) {
    let (now, what) = match talking {
        None => (0, "over"),
        Some(Link::Connected) => (1, "connected"),
        Some(Link::Loading) => (2, "loading a job"),
        Some(Link::ReadingOut { .. }) => (3, "reading out"),
    };
    if LINK.load(Ordering::Relaxed) != now {
        LINK.store(now, Ordering::Relaxed);
        info!("link: {=str}", what);
    }
}

/// A job was loaded, with the reading it begins with.
pub(crate) fn job(fixings: usize) {
    info!("job loaded: {=usize} fixings", fixings);
}
