//! What errors say: one line each, no two of a type the same, and what caused them.

use holdoff_core::cure::SettingsError;
use holdoff_core::fixing::NotApplicable;
use holdoff_core::group::GroupError;
use holdoff_core::probe::Refusal;
use holdoff_core::quantity::Count;
use holdoff_core::resin::{ResinError, Which};
use std::collections::BTreeSet;
use std::error::Error;

/// Holds the lines of one type against what a line is.
fn lines<E: Error>(errors: &[E]) {
    let mut said = BTreeSet::new();
    for error in errors {
        let line = error.to_string();
        assert!(!line.is_empty() && line.trim() == line && !line.contains('\n'), "{line:?}");
        assert!(!line.ends_with('.'), "{line}");
        assert!(said.insert(line.clone()), "{line} is said of two");
    }
}

/// The lines from an error to its first cause.
#[cfg(feature = "log")]
fn causes(error: &(dyn Error + 'static)) -> Vec<String> {
    let causes = std::iter::successors(Some(error), |&error| error.source());
    causes.map(|error| error.to_string()).collect()
}

#[test]
fn errors_of_the_engine_say_what_is_wrong_in_one_line() {
    use ResinError::*;
    let (edge, greatest) = (Count::from_degrees(1), Count::from_degrees(40));
    lines(&[
        LeastAboveGreatest { which: Which::Install },
        LeastAboveGreatest { which: Which::Cure },
        LeastAboveGreatest { which: Which::Cartridge },
        NoHole,
        WetFactor { found: 1 },
        NoBand,
        TooManyBands { found: 17 },
        EdgeNotRising { band: 1 },
        WorkingZero { band: 1 },
        WorkingRising { band: 1 },
        CureZero { band: 1 },
        CureTooLong { band: 1 },
        CureRising { band: 1 },
        RejectBelowTooWarm { edge },
        RejectAboveTooCold { greatest },
        HoldZero,
    ]);
    assert_eq!(CureZero { band: 1 }.to_string(), "band 2: a cure time of zero");
    assert_eq!(WetFactor { found: 1 }.to_string(), "the wet factor is 1, and must be 2 to 10");
    lines(&[SettingsError::Uncertainty, SettingsError::LongestGap, SettingsError::ClockPpm, SettingsError::Settle]);
    lines(&[GroupError::AccrualNotPermitted, GroupError::Full]);
    lines(&[
        NotApplicable::NoSuchFixing,
        NotApplicable::Stage,
        NotApplicable::Earlier,
        NotApplicable::NotStricter,
        NotApplicable::InHoleTime,
        NotApplicable::InHoleRange,
        NotApplicable::Cured,
    ]);
    lines(&[Refusal::NotLater, Refusal::Bus, Refusal::OutOfRange, Refusal::PowerUp, Refusal::Step, Refusal::Supply]);
}

#[cfg(feature = "log")]
#[test]
fn errors_of_the_log_name_what_caused_them() {
    use holdoff_core::group::FixingNumber;
    use holdoff_core::log::{BodyError, DeviceId, ItemError, LogError, MemoryError, MountError, PageError, StoreError};

    let away = MemoryError::OutOfRange { offset: 512, length: 8 };
    lines(&[MemoryError::NoAnswer, away, MemoryError::ReadOnly]);
    let full = StoreError::Full { left: 3, reserved: 2 };
    lines(&[StoreError::Memory(away), full, StoreError::TooLong]);
    let fixing = FixingNumber::new(2).expect("a third fixing");
    lines(&[
        LogError::Store(full),
        LogError::NotMounted,
        LogError::NoSession,
        LogError::PowerUpFirst,
        LogError::Running { fixing },
        LogError::NoRoom { needed: 9, left: 8 },
        LogError::Untrusted,
        LogError::GroupFull,
        LogError::AccrualNotPermitted,
    ]);
    let (found, expected) = (DeviceId([0xAB; 8]), DeviceId([1; 8]));
    let device = MountError::Device { found, expected };
    lines(&[
        MountError::Memory(away),
        MountError::Size { found: 5000 },
        MountError::Version { found: 9, expected: 1 },
        MountError::Geometry { found: 4096, expected: 8192 },
        device,
        MountError::Foreign { number: 7 },
        MountError::NoLog,
    ]);
    lines(&[PageError::Blank, PageError::Damaged, PageError::Version { found: 9 }, PageError::Header]);
    let body = BodyError::Tag { found: 99 };
    lines(&[body, BodyError::Length { offset: 3, found: 4 }, BodyError::Field { offset: 3 }]);
    let items = [ItemError::Short, ItemError::Code { found: 7 }, ItemError::Length { found: 999 }];
    lines(&[items.as_slice(), &[ItemError::Body(body), ItemError::Ending]].concat());

    assert_eq!(device.to_string(), "the log is of device abababababababab, and this is 0101010101010101");
    assert_eq!(LogError::Running { fixing }.to_string(), "fixing 3 is between injection and its end");
    let expected = [
        "the log could not be written",
        "the memory failed; the item may or may not be in it after a power cut",
        "8 bytes from offset 512 lie outside the memory",
    ];
    assert_eq!(causes(&LogError::Store(StoreError::Memory(away))), expected);
    assert_eq!(causes(&MountError::Memory(away)), ["the memory could not be read", expected[2]]);
    assert_eq!(causes(&ItemError::Body(body)), ["the body of a record is wrong", "no record has the tag 99"]);
}

#[cfg(feature = "seal")]
#[test]
fn errors_of_the_seal_name_what_caused_them() {
    use holdoff_core::log::LogError;
    use holdoff_core::seal::{
        Base45Error, CodeError, Field, HeadError, KeyError, KeyId, LabelError, NotSealed, RecordError, SealError,
        ShortError, SymbolError, Unrecordable,
    };

    let other = Base45Error::Character { offset: 4, found: b'!' };
    lines(&[
        other,
        Base45Error::Length { found: 4 },
        Base45Error::Value { offset: 3, found: 70_000 },
        Base45Error::Room { needed: 9, found: 8 },
    ]);
    let (field, offset) = (Field::Held, 3);
    let record = RecordError::Version { found: 9 };
    lines(&[
        record,
        RecordError::TooShort { needed: 65, found: 3 },
        RecordError::TooLong { most: 119, found: 130 },
        RecordError::Meaningless { offset, found: 8 },
        RecordError::LabelText { offset },
        RecordError::Number { offset },
        RecordError::OutOfBounds { field, offset, found: 9 },
        RecordError::Shortfall { required: 60, served: 59 },
        RecordError::Trailing { offset, found: 2 },
    ]);
    lines(&[CodeError::Prefix, CodeError::TooLong { found: 300 }, CodeError::Base45(other), CodeError::Record(record)]);
    let none = Unrecordable::OutOfBounds { field };
    lines(&[Unrecordable::NoSuchFixing, Unrecordable::Stage, none]);
    lines(&[HeadError::Length { found: 3 }, HeadError::Version { found: 9 }, HeadError::Meaningless { offset }]);
    lines(&[KeyError::Zero, KeyError::Erred]);
    let (named, given) = (KeyId([0xAB; 4]), KeyId([1; 4]));
    let seal = SealError::OtherKey { named, given };
    lines(&[seal, SealError::Key(KeyError::Erred)]);
    let log = NotSealed::Log(LogError::NotMounted);
    lines(&[NotSealed::NoSession, NotSealed::Record(none), NotSealed::Seal(seal), NotSealed::TooLong, log]);
    lines(&[LabelError::TooLong { found: 17 }, LabelError::NotText { offset }]);
    let short = ShortError::Character { offset, found: b'x' };
    lines(&[short, ShortError::Length { found: 23 }, ShortError::Check, ShortError::Nothing]);
    lines(&[SymbolError { found: 300 }]);

    assert_eq!(seal.to_string(), "the key abababab is named, and 01010101 was given");
    assert_eq!(causes(&log), ["it could not be recorded", "the memory is not mounted"]);
    let erred = NotSealed::Seal(SealError::Key(KeyError::Zero));
    assert_eq!(causes(&erred), ["it could not be signed", "the key could not sign", "all bytes of the key are zero"]);
    assert_eq!(causes(&CodeError::Record(record)).len(), 2);
    #[cfg(feature = "verify")]
    {
        use holdoff_core::seal::VerifyError;
        lines(&[VerifyError::OtherKey { named, given }, VerifyError::Signature]);
        assert_eq!(VerifyError::OtherKey { named, given }.to_string(), seal.to_string());
    }
}
