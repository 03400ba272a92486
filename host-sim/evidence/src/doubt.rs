//! Why a release is not proved: codes with their fields, as a register keeps them.

use super::Untrusted;
use holdoff_core::log::StageWord;
use holdoff_core::seal::{Departure, Field, RecordError};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// Why a release is not proved.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
#[serde(tag = "code", rename_all = "kebab-case")]
pub enum NotProved {
    /// The log that holds it cannot be trusted.
    LogUntrusted {
        /// Why not.
        why: Untrusted,
    },
    /// Its record cannot be read.
    RecordUnreadable {
        /// What is wrong with it.
        error: RecordFault,
    },
    /// A signed head of its log cannot be read.
    HeadUnreadable,
    /// Its record is that of another fixing.
    RecordOfOtherFixing,
    /// Its record is that of another device.
    RecordOfOtherDevice,
    /// Its record was not signed over this log.
    SignedOverOtherLog,
    /// The engine makes another release of the readings, or none.
    EngineDiffers {
        /// The first value that differs; `None` where the engine makes no release.
        field: Option<RecordField>,
    },
    /// It was released, and is something else since.
    ReleasedAndSince {
        /// What it is.
        #[serde(with = "stage")]
        stage: StageWord,
    },
    /// A later release of the same fixing replaced it (rule A4).
    Replaced,
    /// The hole was made stricter since it was signed, and the cure in force is not signed yet (rule A4).
    CureMovedSince,
    /// There is no release.
    NoRelease {
        /// What the fixing is.
        #[serde(with = "stage")]
        stage: StageWord,
    },
    /// The engine knows no such fixing.
    UnknownFixing,
    /// None of the keys given is the one that signed it.
    KeyNotGiven {
        /// The key that it names, in hexadecimal digits.
        named: String,
    },
    /// The key that signed it is that of another device.
    KeyOfOtherDevice {
        /// What the key is called.
        key: String,
        /// The device of the key, in hexadecimal digits.
        expected: String,
        /// The device that the record names, in hexadecimal digits.
        found: String,
    },
    /// Record or signature was changed.
    SignatureFails {
        /// What the key is called.
        key: String,
    },
    /// The job file that it was held against is not the one that the logger was loaded with.
    JobFileDiffers {
        /// SHA-256 of the one that was loaded, or its first 12 bytes.
        loaded: String,
        /// SHA-256 of the one that was given.
        given: String,
    },
    /// The same of the resin file.
    ResinFileDiffers {
        /// SHA-256 of the one that was loaded, or its first 12 bytes.
        loaded: String,
        /// SHA-256 of the one that was given.
        given: String,
    },
}

impl From<Departure> for NotProved {
    fn from(departure: Departure) -> Self {
        Self::EngineDiffers {
            field: match departure {
                Departure::None(_) => None,
                Departure::Differs { field } => Some(RecordField(field)),
            },
        }
    }
}

/// Why bytes are no release record.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
#[serde(tag = "code", rename_all = "kebab-case")]
pub enum RecordFault {
    /// It ends too early.
    TooShort,
    /// It is longer than a record may be.
    TooLong,
    /// It is of another version.
    Version {
        /// Which.
        found: u8,
    },
    /// It is not written as a record is.
    Form,
    /// A value is out of its bounds.
    Bounds {
        /// Which.
        field: RecordField,
    },
    /// Less cure was served than was required.
    Shortfall,
}

impl From<RecordError> for RecordFault {
    fn from(error: RecordError) -> Self {
        match error {
            RecordError::TooShort { .. } => Self::TooShort,
            RecordError::TooLong { .. } | RecordError::Trailing { .. } => Self::TooLong,
            RecordError::Version { found } => Self::Version { found },
            RecordError::Meaningless { .. } | RecordError::LabelText { .. } | RecordError::Number { .. } => Self::Form,
            RecordError::OutOfBounds { field, .. } => Self::Bounds { field: RecordField(field) },
            RecordError::Shortfall { .. } => Self::Shortfall,
        }
    }
}

/// A part of a release record, kept by its code.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct RecordField(pub Field);

impl RecordField {
    /// Every part of a record.
    const ALL: [Field; 30] = [
        Field::Device,
        Field::Key,
        Field::Job,
        Field::Resin,
        Field::Batch,
        Field::Chain,
        Field::Fixing,
        Field::Label,
        Field::Use,
        Field::Rule,
        Field::Hole,
        Field::Seated,
        Field::Working,
        Field::Since,
        Field::Ahead,
        Field::Offset,
        Field::Required,
        Field::Counted,
        Field::Held,
        Field::Unobserved,
        Field::Coldest,
        Field::Uncertainty,
        Field::LongestGap,
        Field::ClockPpm,
        Field::Settle,
        Field::OutsideAtSeating,
        Field::End,
        Field::TorqueLeast,
        Field::TorqueOver,
        Field::TorqueSpare,
    ];

    const fn code(self) -> &'static str {
        match self.0 {
            Field::Device => "device",
            Field::Key => "key",
            Field::Job => "job",
            Field::Resin => "resin",
            Field::Batch => "batch",
            Field::Chain => "chain",
            Field::Fixing => "fixing",
            Field::Label => "label",
            Field::Use => "use",
            Field::Rule => "rule",
            Field::Hole => "hole",
            Field::Seated => "seated",
            Field::Working => "working",
            Field::Since => "since",
            Field::Ahead => "ahead",
            Field::Offset => "offset",
            Field::Required => "required",
            Field::Counted => "counted",
            Field::Held => "held",
            Field::Unobserved => "unobserved",
            Field::Coldest => "coldest",
            Field::Uncertainty => "uncertainty",
            Field::LongestGap => "longest-gap",
            Field::ClockPpm => "clock-ppm",
            Field::Settle => "settle",
            Field::OutsideAtSeating => "outside-at-seating",
            Field::End => "end",
            Field::TorqueLeast => "torque-least",
            Field::TorqueOver => "torque-over",
            Field::TorqueSpare => "torque-spare",
        }
    }
}

impl Serialize for RecordField {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.code())
    }
}

impl<'de> Deserialize<'de> for RecordField {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let code = String::deserialize(deserializer)?;
        let found = Self::ALL.into_iter().map(RecordField).find(|field| field.code() == code);
        found.ok_or_else(|| serde::de::Error::custom("no part of a release record"))
    }
}

/// A stage by its short fixed word.
mod stage {
    use super::{Deserialize, Deserializer, Serializer, StageWord};

    pub(super) fn serialize<S: Serializer>(stage: &StageWord, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(stage.word())
    }

    pub(super) fn deserialize<'de, D: Deserializer<'de>>(deserializer: D) -> Result<StageWord, D::Error> {
        let word = String::deserialize(deserializer)?;
        let found = StageWord::ALL.into_iter().find(|stage| stage.word() == word);
        found.ok_or_else(|| serde::de::Error::custom("no stage"))
    }
}

#[cfg(test)]
#[allow(clippy::expect_used, reason = "a broken expectation must stop the test")]
mod tests {
    use super::{NotProved, RecordFault, RecordField};
    use crate::Untrusted;
    use holdoff_core::log::StageWord;

    #[test]
    fn every_reason_is_read_back_as_it_was_kept() {
        let mut all = vec![
            NotProved::LogUntrusted { why: Untrusted::PageLost { page: 7 } },
            NotProved::RecordUnreadable { error: RecordFault::Version { found: 9 } },
            NotProved::EngineDiffers { field: None },
            NotProved::KeyOfOtherDevice { key: "held".into(), expected: "aa".into(), found: "bb".into() },
            NotProved::SignatureFails { key: "planned".into() },
        ];
        all.extend(StageWord::ALL.map(|stage| NotProved::ReleasedAndSince { stage }));
        all.extend(RecordField::ALL.map(|field| NotProved::EngineDiffers { field: Some(RecordField(field)) }));
        for why in all {
            let text = serde_json::to_string(&why).expect("JSON");
            assert_eq!(serde_json::from_str::<NotProved>(&text).expect("read back"), why, "{text}");
        }
        assert!(serde_json::from_str::<NotProved>(r#"{"code":"no-release","stage":"loaded"}"#).is_err());
    }
}
