//! What can be said of a log, in words.

use holdoff_core::log::{Amiss, Finding, LogError, MountError, PageError, Source, Trust, Why};
use holdoff_core::probe::SensorKind;

/// Why a memory or image cannot be opened.
pub fn mount_error(error: &MountError) -> String {
    match error {
        MountError::Memory(error) => format!("it can't be read: {error:?}"),
        MountError::Size { found } => {
            format!("{found} bytes are no memory of a logger; those have a power of two from 4 KiB to 256 KiB")
        }
        MountError::Version { found, expected } => {
            format!("its log is of format version {found}; this program reads version {expected}")
        }
        MountError::Geometry { found, expected } => {
            format!("its log was written for a memory of {found} bytes, and the image has {expected}")
        }
        MountError::Device { .. } => "its log was written by another device".to_owned(),
        MountError::NoLog => "there is no log in it".to_owned(),
    }
}

/// Why something could not be logged.
pub(super) fn log_error(error: &LogError) -> String {
    match error {
        LogError::NoRoom { needed, left } => {
            format!("the memory has no room left for another cure: {needed} pages may be needed and {left} are left")
        }
        LogError::GroupFull => "the group has sixteen fixings".to_owned(),
        LogError::AccrualNotPermitted => "the resin does not permit the accrual rule".to_owned(),
        LogError::Untrusted => "its log cannot be trusted".to_owned(),
        LogError::Running { fixing } => format!("fixing {} is running", fixing.place() + 1),
        LogError::NotMounted => "the memory is not mounted".to_owned(),
        LogError::NoSession => "no job is loaded".to_owned(),
        LogError::PowerUpFirst => "the restart is not recorded yet".to_owned(),
        LogError::Store(error) => format!("the memory failed: {error:?}"),
    }
}

/// Where readings come from.
pub(super) const fn source_words(source: Source) -> &'static str {
    match source {
        Source::Sensor(SensorKind::TwelveBit) => "a 12-bit sensor",
        Source::Sensor(SensorKind::ThirteenBit) => "a 13-bit sensor",
        Source::Sensor(SensorKind::SixteenBit) => "a 16-bit sensor",
        Source::Sensor(SensorKind::OneWire) => "a 1-wire sensor",
        Source::Trace => "a recorded trace",
    }
}

/// Whether a log can be trusted, and if not, why.
pub fn trust_words(trust: Trust) -> Option<String> {
    let Trust::Untrusted(why) = trust else { return None };
    Some(match why {
        Why::PageLost { number } => format!("page {number} is missing or damaged"),
        Why::Unlinked { number } => format!("page {number} does not follow from the page before it"),
        Why::Items { number, .. } => format!("the items of page {number} cannot all be read"),
        Why::Evidence { number, item } => {
            format!("the engine makes something else of page {number}, item {item}, than is recorded")
        }
        Why::Tail => "pages are missing behind the newest one".to_owned(),
        Why::Recorded => "the log itself records that it cannot be trusted".to_owned(),
    })
}

/// What is amiss with a slot.
pub fn finding_words(finding: &Finding) -> String {
    let slot = finding.slot;
    match finding.what {
        Amiss::NoPage(PageError::Blank) => format!("slot {slot} is blank"),
        Amiss::NoPage(PageError::Damaged) => format!("slot {slot} holds a damaged or half-written page"),
        Amiss::NoPage(PageError::Version { found }) => format!("slot {slot} holds a page of version {found}"),
        Amiss::NoPage(PageError::Header) => format!("slot {slot} holds a page with an impossible header"),
        Amiss::Misplaced { number } => format!("slot {slot} holds page {number}, which does not belong there"),
        Amiss::Lost { number } => format!("page {number} is missing or damaged (slot {slot})"),
        Amiss::Unlinked { number } => format!("page {number} does not follow from the page before it (slot {slot})"),
        Amiss::Items { number, .. } => format!("the items of page {number} cannot all be read (slot {slot})"),
        Amiss::Evidence { number, item } => {
            format!("the engine makes something else of page {number}, item {item}, than is recorded (slot {slot})")
        }
    }
}
