//! Why a memory or a code is none, and why something cannot be logged: for an error, in English.

use crate::words::{Speech, Worded};
use holdoff_core::log::{LogError, MemoryError, MountError, StoreError};
use holdoff_core::seal::{Base45Error, CodeError, KeyError, PREFIX, SealError, Unrecordable};
use holdoff_evidence::recorder::NotRecorded;
use holdoff_evidence::{RecordFault, RecordField};

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
pub fn log_error(error: &LogError) -> String {
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

/// Why a replay leaves no memory: what went wrong, and what to do about it.
pub fn not_recorded(error: &NotRecorded) -> (String, &'static str) {
    let what = match error {
        NotRecorded::Unsuited(what) => {
            return (what.clone(), "give a shorter --settle, or a longer --interval; 3min always fit");
        }
        NotRecorded::Mount(error) => mount_error(error),
        NotRecorded::Log(error) => log_error(error),
        NotRecorded::Release { place, why } => {
            format!("the release of fixing {} can't be recorded: {}", place + 1, unrecordable(*why))
        }
        NotRecorded::Seal(error) => format!("signing failed: {}", seal_error(*error)),
        NotRecorded::TooLong => "the signed release is too long".to_owned(),
    };
    (what, "give a larger --image-size, or a shorter trace")
}

/// Why a text is no release code.
pub fn code_error(error: CodeError) -> String {
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
        CodeError::Record(error) => {
            format!("its record cannot be read: {}", RecordFault::from(error).words(Speech::PLAIN))
        }
    };
    format!("this is no release code: {why}")
}

/// Why a release cannot be recorded.
fn unrecordable(error: Unrecordable) -> String {
    match error {
        Unrecordable::NoSuchFixing => "there is no such fixing".to_owned(),
        Unrecordable::Stage => "it is not released".to_owned(),
        Unrecordable::OutOfBounds { field } => {
            format!("a record has no room for this value: {}", RecordField(field).words(Speech::PLAIN))
        }
    }
}

/// Why a release cannot be signed.
const fn seal_error(error: SealError) -> &'static str {
    match error {
        SealError::OtherKey { .. } => "the release names another key than the one that is to sign",
        SealError::Key(KeyError::Zero) => "the key is all zeros",
        SealError::Key(KeyError::Erred) => "the signature that was made does not hold",
    }
}
