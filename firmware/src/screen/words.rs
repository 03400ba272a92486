//! Every word on the display, in one place.
//!
//! The words are those of the log, the PC and the docs, cut to what a line holds. What is said never goes further than the
//! engine: nothing here calls a fixing safe, and what may be loaded the foreman decides.

use crate::view::{ClockFailure, Fault, Glance, Goes, Item, Lack, Notice, Question, Weekday};
use holdoff_core::fixing::{Ground, NotApplicable};
use holdoff_core::log::ResetCause;
use holdoff_core::resin::Hole;

/// A few large words, and a line of small ones that say more.
pub(super) struct Said {
    pub(super) large: &'static str,
    pub(super) small: &'static str,
}

const fn said(large: &'static str, small: &'static str) -> Said {
    Said { large, small }
}

// units and small words
pub(super) const OF: &str = " of ";
pub(super) const TO: &str = " to ";
pub(super) const DEGREES: &str = "\u{b0}C";
pub(super) const DEGREE: &str = "\u{b0}";
pub(super) const NEWTON_METRES: &str = "N\u{b7}m";
pub(super) const BLANK_NEWTON_METRES: &str = " N\u{b7}m";
pub(super) const D: &str = " d";
pub(super) const H: &str = " h";
pub(super) const MIN: &str = " min";
pub(super) const S: &str = " s";
pub(super) const PPM: &str = " ppm";
pub(super) const NO_TEMPERATURE: &str = "--.-";
pub(super) const NO_CLOCK: &str = "--:--";
pub(super) const NONE_YET: &str = "--";
pub(super) const NO: &str = "NO";
pub(super) const YES: &str = "YES";

// cautions
pub(super) const DEMO: &str = "DEMO";
pub(super) const NEVER_ON_SITE: &str = "demo: never on site";
pub(super) const NOT_ON_SITE: &str = "not on site";
pub(super) const NOT_ON: &str = "not on";
pub(super) const SITE: &str = "site";
pub(super) const CAUTION: [&str; 4] =
    ["Maker's instructions,", "approval, engineer and", "local codes come first", "An aid, not a licence."];
pub(super) const FOREMAN_DECIDES: &str = "foreman decides";
pub(super) const ASK_ENGINEER: &str = "ask the engineer";

// what may be done now
pub(super) const MAY_INJECT: &str = "MAY INJECT";
pub(super) const DO_NOT_INJECT: &str = "DO NOT INJECT";
pub(super) const SETTLING: &str = "SETTLING";
pub(super) const START_REFUSED: &str = "START REFUSED";
pub(super) const DO_NOT_INJECT_YET: &str = "do not inject";
pub(super) const IS_SETTLING: &str = "the probe is settling";
pub(super) const TRY_AGAIN: &str = "may be tried again";
pub(super) const SEAT_NOW: &str = "SEAT NOW";
pub(super) const TOO_LATE: &str = "TOO LATE";
pub(super) const LEAVE_ALONE: &str = "LEAVE ALONE";
pub(super) const HELD_TOO_COLD: &str = "HELD: TOO COLD";
pub(super) const HELD_TOO_WARM: &str = "HELD: TOO WARM";
pub(super) const NO_READINGS: &str = "NO READINGS";
pub(super) const TORQUE_NOW: &str = "TORQUE NOW";
pub(super) const CURED: &str = "CURED";
pub(super) const MAY_BE_LOADED: &str = "MAY BE LOADED";
pub(super) const DO_NOT_LOAD: &str = "DO NOT LOAD";
pub(super) const REJECTED: &str = "REJECTED";
pub(super) const TO_BE_REMOVED: &str = "TO BE REMOVED";
pub(super) const NOT_YET: &str = "NOT YET";

// what stands beside and below
pub(super) const LEFT: &str = "left";
pub(super) const LEAVE_THE: &str = "leave the";
pub(super) const PROBE_ON: &str = "probe on";
pub(super) const BLANK_LEFT: &str = " left";
pub(super) const DAYS: &str = "d";
pub(super) const H_LEFT: &str = "h left";
pub(super) const MIN_LEFT: &str = "min left";
pub(super) const SEAT_BY: &str = "seat by";
pub(super) const DO_NOT_SEAT: [&str; 3] = ["working time is over", "do not seat: take out", "ask the engineer"];
pub(super) const EARLIEST: &str = "earliest";
pub(super) const CLOCK: &str = "clock";
pub(super) const NOT_SET: &str = "not set";
pub(super) const LEAVE: &str = "leave";
pub(super) const ALONE: &str = "alone";
pub(super) const LEAVE_IT_ALONE: &str = "leave alone";
pub(super) const DOES_NOT_COUNT: &str = "cure does not count";
pub(super) const IS_HELD_COLD: &str = "held: too cold";
pub(super) const IS_HELD_WARM: &str = "held: too warm";
pub(super) const IS_NO_READINGS: &str = "no readings";
pub(super) const NOT_SEATED: Said = said("not seated", "seat it first");
pub(super) const TOO_LOW: &str = " too low";
pub(super) const NO_TORQUE_SHORT: &str = "load as specified";
pub(super) const NO_TORQUE: [&str; 3] = ["no torque specified:", "load as specified when", "the foreman decides"];
pub(super) const ACCEPTED: Said = said("accepted as it is", "engineer: see decision");
pub(super) const DO_NOT_LOAD_IT: &str = "do not load";
pub(super) const ENGINEERS_DECISION: &str = "engineer's decision";
pub(super) const AND: &str = "and ";
pub(super) const AND_ONE_MORE: &str = "and one reason more";
pub(super) const AND_MORE: &str = " reasons more";
pub(super) const MORE_ASK: &str = " more; ask engineer";

// entering
pub(super) const TORQUED_WITH: &str = "torqued with";
pub(super) const SPECIFIED: &str = "specified ";
pub(super) const STEPS: &str = "up, down 1; sides 0.1";
pub(super) const CARTRIDGE: &str = "cartridge";
pub(super) const NOT_DECLARED: &str = "not declared";
pub(super) const ALLOWED: &str = "allowed ";
pub(super) const UP_DOWN: &str = "up, down; then select";
pub(super) const IN_THE_HOLE: &str = "IN THE HOLE";
pub(super) const COUNTS_FOR: &str = "good for";
pub(super) const HOLE_SETTLING: &str = "HOLE SETTLING";
pub(super) const LEAVE_IT_IN: &str = "leave it in";

// details
pub(super) const RESIN: &str = "resin";
pub(super) const BATCH: &str = "batch";
pub(super) const HOLE: &str = "hole";
pub(super) const USE_BY: &str = "use by";
pub(super) const INJECTED: &str = "injected";
pub(super) const SEATED: &str = "seated";
pub(super) const CURED_AT: &str = "cured";
pub(super) const TORQUE: &str = "torque";
pub(super) const REQUIRED: &str = "required";
pub(super) const SERVED: &str = "served";
pub(super) const HELD: &str = "held";
pub(super) const UNOBSERVED: &str = "unobs.";
pub(super) const COLDEST: &str = "coldest";
pub(super) const RULE: &str = "rule";
pub(super) const COLDEST_BAND: &str = "coldest band";
pub(super) const ACCRUAL: &str = "accrual";
pub(super) const UNCERTAINTY: &str = "uncertainty";
pub(super) const LONGEST_GAP: &str = "longest gap";
pub(super) const ALLOWANCE: &str = "allowance";
pub(super) const SETTLE: &str = "settle";
pub(super) const LAXER: &str = "! laxer than default";
pub(super) const LAX: &str = "!";

// codes
pub(super) const RELEASE: &str = "release";
pub(super) const CODE: &str = "code";
pub(super) const NO_CODE: &str = "NO CODE";
pub(super) const NO_KEY: Said = said("no key put in", "release is recorded");

// the group, a job, a PC
pub(super) const MAY_LOAD: &str = "load ";
pub(super) const MAY_TORQUE: &str = "  torque ";
pub(super) const NAME: &str = "holdoff ";
pub(super) const DEVICE: &str = "no.";
pub(super) const NO_JOB: &str = "NO JOB";
pub(super) const LOAD_ONE: Said = said("load a job", "connect it to the PC");
pub(super) const PC: &str = "PC CONNECTED";
pub(super) const LINKED: Said = said("ready", "readings go on");
pub(super) const LOADING: Said = said("loading a job", "keep the cable in");
pub(super) const READING_OUT: &str = "READING OUT";
pub(super) const PAGES: &str = " pages";

// faults
pub(super) const PAGE_VERSION: &str = "version ";
pub(super) const READINGS_LOST: &str = " readings lost";
pub(super) const DARK_FOR: &str = "dark for ";
pub(super) const DARK_UNKNOWN: &str = "dark for unknown time";
pub(super) const NOT_DONE: &str = "NOT DONE";

/// A ground of a refusal or a rejection.
pub(super) const fn ground(ground: Ground) -> Said {
    match ground {
        Ground::PastDate => said("resin past date", "take fresh resin"),
        Ground::NoReading => said("no reading", "look at the probe"),
        Ground::TooCold => said("too cold", "less the probe margin"),
        Ground::TooWarm => said("too warm", "plus the probe margin"),
        Ground::Cartridge => said("cartridge temp.", "outside its range"),
        Ground::HoleExcluded => said("hole condition", "not with this resin"),
        Ground::SeatedLate => said("seated too late", "working time was over"),
        Ground::NotSeated => said("not seated", "working time is over"),
        Ground::BelowReject => said("got too cold", "below reject limit"),
        Ground::HeldTooLong => said("held too long", "held or unobserved"),
        Ground::LoadedEarly => said("torqued early", "before it was cured"),
        Ground::AboveReject => said("got too warm", "above reject limit"),
        Ground::OverTorque => said("over-torqued", "beyond the tolerance"),
        Ground::UntrustedLog => said("log not trusted", "its check failed"),
        Ground::ProbeNotSettled => said("probe settling", "wait, it is not steady"),
        Ground::NotCleaned => said("hole not clean", "clean it, declare it"),
        Ground::Nozzle => said("nozzle", "discard until even"),
        Ground::Underfilled => said("underfilled", "no resin came out"),
        Ground::NotToDepth => said("not to depth", "the mark not reached"),
    }
}

/// What the logger lacks.
pub(super) const fn lack(lack: Lack) -> Said {
    match lack {
        Lack::MemoryFull => said("memory full", "read it out on the PC"),
        Lack::MemorySilent => said("memory silent", "it does not answer"),
        Lack::Battery => said("battery empty", "put in a fresh one"),
        Lack::Clock => said("clock not set", "set it from the PC"),
        Lack::ClockFailed => said("clock failed", "set it from the PC"),
        Lack::ClockSilent => said("clock silent", "it does not answer"),
    }
}

/// What can be done.
pub(super) const fn item(item: Item) -> &'static str {
    match item {
        Item::Inject => "inject",
        Item::MeasureInHole => "measure in hole",
        Item::CarriedOut => "injected anyway",
        Item::Seat => "seated",
        Item::SeatedLate => "seated too late",
        Item::MayItBeTorqued => "may I torque it?",
        Item::Torqued => "torqued",
        Item::TorquedEarly => "torqued early",
        Item::HoleWet => "hole got wet",
        Item::HoleFlooded => "hole flooded",
        Item::Accept => "accept as it is",
        Item::Remove => "to be removed",
    }
}

/// What is asked once more, but for a torque, whose number stands in between.
pub(super) const fn question(question: Question) -> Said {
    match question {
        Question::Inject => said("inject now?", "working time starts"),
        Question::CarriedOut => said("injected anyway?", "that rejects it"),
        Question::Seat => said("seated?", "the cure starts"),
        Question::SeatedLate => said("seated too late?", "that rejects it"),
        Question::Hole(Hole::Dry) => said("hole dry?", "cannot be undone"),
        Question::Hole(Hole::Wet) => said("hole got wet?", "the cure takes longer"),
        Question::Hole(Hole::Flooded) => said("hole flooded?", "the cure takes longer"),
        Question::Torqued(_) => said("torqued ", "cannot be undone"),
        Question::TorquedEarly(_) => said("torqued ", "too early: rejects it"),
        Question::Accept => said("accept as it is?", "engineer's decision"),
        Question::Remove => said("remove it?", "engineer's decision"),
    }
}

/// A hole condition.
pub(super) const fn hole(hole: Hole) -> &'static str {
    match hole {
        Hole::Dry => "dry",
        Hole::Wet => "wet",
        Hole::Flooded => "flooded",
    }
}

/// A fixing in a word, in the overview.
pub(super) const fn glance(glance: Glance) -> &'static str {
    match glance {
        Glance::NotInjected => "planned",
        Glance::Settling => "settling",
        Glance::Refused => "refused",
        Glance::SeatNow => "seat now",
        Glance::TooLate => "TOO LATE",
        Glance::LeaveAlone => "wait",
        Glance::Held => "held",
        Glance::Torque => "torque",
        Glance::Cured => "cured",
        Glance::Load => "load",
        Glance::DoNotLoad => "REJECTED",
        Glance::AsIs => "as it is",
        Glance::Removed => "REMOVE",
    }
}

/// What is wrong: a heading, a large line, a small one.
pub(super) const fn fault(fault: Fault) -> (&'static str, Said) {
    match fault {
        Fault::ProbeSilent => ("PROBE SILENT", said("plugged in?", "no answer: cure waits")),
        Fault::BusStuck => ("CABLE FAULT", said("wet plug?", "no part answers")),
        Fault::ProbeWrong => ("PROBE WRONG", said("look at it", "readings not used")),
        Fault::ProbeStuck => ("PROBE STUCK?", said("clipped on?", "6 h without a change")),
        Fault::SupplyLow => ("SUPPLY LOW", said("change the cells", "too low for the probe")),
        Fault::SupplyUnknown => ("SUPPLY FAULT", said("needs repair", "it can't be measured")),
        Fault::ClockNotSet => ("CLOCK NOT SET", said("set from PC", "cure time goes on")),
        Fault::ClockFailed { how, goes } => ("CLOCK FAILED", said(failed(how), put_right(goes))),
        Fault::ClockSilent => ("CLOCK SILENT", said("needs repair", "it does not answer")),
        Fault::MemorySilent => ("MEMORY SILENT", said("nothing kept", "it does not answer")),
        Fault::Losing { .. } => ("LOSING DATA", said("", "not kept: cure waits")),
        Fault::MemoryFull => ("MEMORY FULL", said("read it out", "no new injection")),
        Fault::BatteryLow => ("BATTERY LOW", said("change it soon", "the clock goes on")),
        Fault::BatteryVeryLow => ("BATTERY EMPTY", said("change it now", "no new injection")),
        Fault::LogUntrusted => ("LOG UNTRUSTED", said("nothing released", "read out, ask engineer")),
        Fault::LogForeign { .. } => ("FOREIGN LOG", said("other logger's", "")),
        Fault::LogNotOwn => ("FOREIGN LOG", said("not written here", "though it says so")),
        Fault::LogVersion { .. } => ("UNKNOWN LOG", said("", "read it out on the PC")),
        Fault::MemorySize => ("WRONG MEMORY", said("another size", "than its log is for")),
        Fault::NoLog => ("NO LOG", said("other data in it", "needs a blank memory")),
        Fault::Restarted { cause, .. } => ("RESTARTED", said(reset(cause), "")),
    }
}

/// How the clock failed.
const fn failed(how: ClockFailure) -> &'static str {
    match how {
        ClockFailure::Stopped => "it stopped",
        ClockFailure::Back => "it ran back",
        ClockFailure::Fast => "it ran too fast",
    }
}

/// What is to be done about a clock that failed. One that goes again is not set while a fixing runs.
const fn put_right(goes: Goes) -> &'static str {
    match goes {
        Goes::Again => "set it once none runs",
        Goes::Not => "cure waits: set it",
    }
}

/// Why the logger came up.
const fn reset(cause: ResetCause) -> &'static str {
    match cause {
        ResetCause::Unknown => "cause unknown",
        ResetCause::PowerOn => "power came on",
        ResetCause::BrownOut => "power too low",
        ResetCause::Watchdog => "watchdog",
        ResetCause::Software => "by itself",
        ResetCause::Pin => "reset pin",
    }
}

/// Why something was not done.
pub(super) const fn notice(notice: Notice) -> Said {
    match notice {
        Notice::NotApplicable(why) => match why {
            NotApplicable::NoSuchFixing => said("no such fixing", "nothing was changed"),
            NotApplicable::Stage => said("not at this stage", "nothing was changed"),
            NotApplicable::Earlier => said("clock ran back", "nothing was changed"),
            NotApplicable::NotStricter => said("hole not stricter", "nothing was changed"),
            NotApplicable::InHoleTime => said("in-hole too old", "measure it again"),
            NotApplicable::InHoleRange => said("in-hole wrong", "measure it again"),
            NotApplicable::Cured => said("cured before it", "so it was not early"),
        },
        Notice::NotRecorded => said("memory silent", "do it again later"),
        Notice::MemoryFull => said("memory full", "read it out on the PC"),
        Notice::LogUntrusted => said("log not trusted", "nothing may begin"),
        Notice::NoReading => said("no reading", "look at the probe"),
        Notice::HoleUnsettled => said("not steady", "leave the probe in it"),
        Notice::ClockFailed => said("clock failed", "set it from the PC"),
        Notice::ClockSilent => said("clock silent", "do it again later"),
    }
}

/// A day of the week.
pub(super) const fn weekday(day: Weekday) -> &'static str {
    match day {
        Weekday::Monday => "Mon",
        Weekday::Tuesday => "Tue",
        Weekday::Wednesday => "Wed",
        Weekday::Thursday => "Thu",
        Weekday::Friday => "Fri",
        Weekday::Saturday => "Sat",
        Weekday::Sunday => "Sun",
    }
}

/// A month, from 1.
pub(super) fn month(month: u8) -> &'static str {
    const NAMES: [&str; 12] = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
    NAMES.get(usize::from(month).wrapping_sub(1)).copied().unwrap_or_default()
}
