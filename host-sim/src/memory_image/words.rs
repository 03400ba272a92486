//! What can be said of a log, in words.

use crate::words::{EvidencePhrase as P, recorded};
use holdoff_core::log::{Amiss, Finding, LogError, MemoryError, MountError, PageError, StoreError, Trust, Why};
use holdoff_core::seal::{
    Base45Error, CodeError, Departure, Field, KeyError, PREFIX, RecordError, SealError, Unrecordable,
};

/// Why a memory or image cannot be opened.
pub fn mount_error(error: &MountError) -> String {
    match error {
        MountError::Memory(error) => format!("it can't be read: {}", memory_error(*error)),
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
        MountError::Foreign { .. } => "its log was not written by this device".to_owned(),
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
        LogError::Store(StoreError::Memory(error)) => format!("the memory failed: {}", memory_error(*error)),
        LogError::Store(StoreError::Full { left, reserved }) => {
            format!(
                "the memory is full: {left} pages are left, and {reserved} are kept for what must still be recorded"
            )
        }
        LogError::Store(StoreError::TooLong) => "what is to be recorded fits no page of the memory".to_owned(),
    }
}

const fn memory_error(error: MemoryError) -> &'static str {
    match error {
        MemoryError::NoAnswer => "it does not answer",
        MemoryError::OutOfRange { .. } => "more was asked for than it has",
        MemoryError::ReadOnly => "it can be read only",
    }
}

/// Why a text is no release code.
pub(crate) fn code_error(error: CodeError) -> String {
    // counted from 1, over the whole text
    let place = |offset: usize| offset + PREFIX.len() + 1;
    let why = match error {
        CodeError::Prefix => format!("it does not begin with {PREFIX}"),
        CodeError::TooLong { found } => format!("it has {found} characters, more than any code"),
        CodeError::Base45(Base45Error::Character { offset, .. }) => {
            format!("character {} is none that a code has", place(offset))
        }
        CodeError::Base45(Base45Error::Length { .. }) => "a character is missing, or there is one too many".to_owned(),
        CodeError::Base45(Base45Error::Value { offset, .. }) => {
            format!("the characters from {} on stand for nothing", place(offset))
        }
        CodeError::Base45(Base45Error::Room { .. }) => "it is longer than any code".to_owned(),
        CodeError::Record(error) => format!("its record cannot be read: {}", record_error(error)),
    };
    format!("this is no release code: {why}")
}

/// Why bytes are no release record: in English, as it is recorded.
pub(crate) fn record_error(error: RecordError) -> String {
    match error {
        RecordError::TooShort { .. } => recorded(P::RecordShort, &[]),
        RecordError::TooLong { .. } | RecordError::Trailing { .. } => recorded(P::RecordLong, &[]),
        RecordError::Version { found } => recorded(P::RecordVersion, &[("found", &found.to_string())]),
        RecordError::Meaningless { .. } | RecordError::LabelText { .. } | RecordError::Number { .. } => {
            recorded(P::RecordForm, &[])
        }
        RecordError::OutOfBounds { field, .. } => {
            recorded(P::RecordBounds, &[("field", &recorded(of_field(field), &[]))])
        }
        RecordError::Shortfall { .. } => recorded(P::RecordShortfall, &[]),
    }
}

/// How a record departs from what the engine makes of the readings: in English, as it is recorded.
pub(super) fn departure(departure: Departure) -> String {
    match departure {
        Departure::None(_) => recorded(P::MakesNone, &[]),
        Departure::Differs { field } => recorded(P::Differs, &[("field", &recorded(of_field(field), &[]))]),
    }
}

/// Why a release cannot be recorded.
pub(super) fn unrecordable(error: Unrecordable) -> String {
    match error {
        Unrecordable::NoSuchFixing => "there is no such fixing".to_owned(),
        Unrecordable::Stage => "it is not released".to_owned(),
        Unrecordable::OutOfBounds { field } => {
            format!("a record has no room for this value: {}", recorded(of_field(field), &[]))
        }
    }
}

/// Why a release cannot be signed.
pub(super) const fn seal_error(error: SealError) -> &'static str {
    match error {
        SealError::OtherKey { .. } => "the release names another key than the one that is to sign",
        SealError::Key(KeyError::Zero) => "the key is all zeros",
        SealError::Key(KeyError::Erred) => "the signature that was made does not hold",
    }
}

const fn of_field(field: Field) -> P {
    match field {
        Field::Device => P::FieldDevice,
        Field::Key => P::FieldKey,
        Field::Job => P::FieldJob,
        Field::Resin => P::FieldResin,
        Field::Batch => P::FieldBatch,
        Field::Chain => P::FieldChain,
        Field::Fixing => P::FieldFixing,
        Field::Label => P::FieldLabel,
        Field::Use => P::FieldUse,
        Field::Rule => P::FieldRule,
        Field::Hole => P::FieldHole,
        Field::Seated => P::FieldSeated,
        Field::Working => P::FieldWorking,
        Field::Since => P::FieldSince,
        Field::Ahead => P::FieldAhead,
        Field::Offset => P::FieldOffset,
        Field::Required => P::FieldRequired,
        Field::Counted => P::FieldCounted,
        Field::Held => P::FieldHeld,
        Field::Unobserved => P::FieldUnobserved,
        Field::Coldest => P::FieldColdest,
        Field::Uncertainty => P::FieldUncertainty,
        Field::LongestGap => P::FieldLongestGap,
        Field::ClockPpm => P::FieldClockPpm,
        Field::Settle => P::FieldSettle,
        Field::OutsideAtSeating => P::FieldOutsideAtSeating,
        Field::End => P::FieldEnd,
        Field::TorqueLeast => P::FieldTorqueLeast,
        Field::TorqueOver => P::FieldTorqueOver,
        Field::TorqueSpare => P::FieldTorqueSpare,
    }
}

/// Whether a log can be trusted, and if not, why: in English, as it is recorded.
pub fn trust_words(trust: Trust) -> Option<String> {
    let Trust::Untrusted(why) = trust else { return None };
    let page = |phrase: P, number: u32| recorded(phrase, &[("number", &number.to_string())]);
    Some(match why {
        Why::PageLost { number } => page(P::Lost, number),
        Why::Foreign { number } => page(P::Foreign, number),
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
        Amiss::Foreign { number } => page(P::ForeignAt, number),
        Amiss::Unlinked { number } => page(P::UnlinkedAt, number),
        Amiss::Items { number, .. } => page(P::ItemsAt, number),
        Amiss::Evidence { number, item } => {
            recorded(P::EvidenceAt, &[("number", &number.to_string()), ("item", &item.to_string()), slot])
        }
    }
}
