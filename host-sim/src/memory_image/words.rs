//! What can be said of a log, in words.

use crate::words::{EvidencePhrase as P, recorded};
use holdoff_core::log::{Amiss, Finding, LogError, MountError, PageError, Trust, Why};

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

/// Whether a log can be trusted, and if not, why: in English, as it is recorded.
pub fn trust_words(trust: Trust) -> Option<String> {
    let Trust::Untrusted(why) = trust else { return None };
    let page = |phrase: P, number: u32| recorded(phrase, &[("number", &number.to_string())]);
    Some(match why {
        Why::PageLost { number } => page(P::Lost, number),
        Why::Unlinked { number } => page(P::Unlinked, number),
        Why::Items { number, .. } => page(P::Items, number),
        Why::Evidence { number, item } => {
            recorded(P::Evidence, &[("number", &number.to_string()), ("item", &item.to_string())])
        }
        Why::Tail => recorded(P::Tail, &[]),
        Why::Recorded => recorded(P::Recorded, &[]),
    })
}

/// What is amiss with a slot: in English, as it is recorded.
pub fn finding_words(finding: &Finding) -> String {
    let slot = finding.slot.to_string();
    let slot = ("slot", slot.as_str());
    let page = |phrase: P, number: u32| recorded(phrase, &[("number", &number.to_string()), slot]);
    match finding.what {
        Amiss::NoPage(PageError::Blank) => recorded(P::SlotBlank, &[slot]),
        Amiss::NoPage(PageError::Damaged) => recorded(P::SlotDamaged, &[slot]),
        Amiss::NoPage(PageError::Version { found }) => recorded(P::SlotVersion, &[slot, ("found", &found.to_string())]),
        Amiss::NoPage(PageError::Header) => recorded(P::SlotHeader, &[slot]),
        Amiss::Misplaced { number } => page(P::SlotMisplaced, number),
        Amiss::Lost { number } => page(P::LostAt, number),
        Amiss::Unlinked { number } => page(P::UnlinkedAt, number),
        Amiss::Items { number, .. } => page(P::ItemsAt, number),
        Amiss::Evidence { number, item } => {
            recorded(P::EvidenceAt, &[("number", &number.to_string()), ("item", &item.to_string()), slot])
        }
    }
}
