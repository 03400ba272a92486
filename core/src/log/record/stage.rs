//! A stage as it is recorded: evidence of what the step made of what happened.

use super::body::{BodyReader, BodyWriter, Wrong};
use super::session::instant_or;
use crate::fixing::{Grounds, Stage};
use crate::group::FixingNumber;
use crate::quantity::Instant;

/// The stages of [`Stage`] without what they carry. A stage read from a log is this and never a `Stage`: `Cured` and
/// `Released` exist only as results of the step.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum StageWord {
    /// Nothing has been injected.
    Planned,
    /// The last start was refused.
    Refused,
    /// Injected.
    Working,
    /// Seated, counting.
    Curing,
    /// Seated, outside the limits.
    Held,
    /// Cured.
    Cured,
    /// Torqued as specified.
    Released,
    /// Rejected.
    Rejected,
    /// Rejected, then accepted as it is.
    AcceptedAsIs,
    /// Rejected, then ordered to be removed.
    Removed,
}

impl StageWord {
    /// All words, in the order of their codes.
    pub const ALL: [Self; 10] = [
        Self::Planned,
        Self::Refused,
        Self::Working,
        Self::Curing,
        Self::Held,
        Self::Cured,
        Self::Released,
        Self::Rejected,
        Self::AcceptedAsIs,
        Self::Removed,
    ];

    /// The stage as a record names it.
    pub const fn of(stage: &Stage) -> Self {
        match stage {
            Stage::Planned => Self::Planned,
            Stage::Refused => Self::Refused,
            Stage::Working => Self::Working,
            Stage::Curing => Self::Curing,
            Stage::Held => Self::Held,
            Stage::Cured(_) => Self::Cured,
            Stage::Released(_) => Self::Released,
            Stage::Rejected(_) => Self::Rejected,
            Stage::AcceptedAsIs(_) => Self::AcceptedAsIs,
            Stage::Removed(_) => Self::Removed,
        }
    }

    /// The short fixed word of `docs/interfaces.md`.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Planned => "planned",
            Self::Refused => "refused",
            Self::Working => "working",
            Self::Curing => "curing",
            Self::Held => "held",
            Self::Cured => "cured",
            Self::Released => "released",
            Self::Rejected => "rejected",
            Self::AcceptedAsIs => "accepted-as-is",
            Self::Removed => "removed",
        }
    }

    const fn code(self) -> u8 {
        self as u8
    }
}

/// What is recorded of a fixing's stage.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct StageSeen {
    /// The stage.
    pub word: StageWord,
    /// The second of the cure, of the release or of the rejection.
    pub since: Option<Instant>,
    /// Grounds of a refusal or rejection.
    pub grounds: Grounds,
}

impl StageSeen {
    /// A fixing of which nothing has been recorded yet.
    pub const PLANNED: Self = Self { word: StageWord::Planned, since: None, grounds: Grounds::NONE };

    /// What is recorded of a stage, and of the grounds of a refusal or rejection.
    pub fn of(stage: Stage, grounds: Grounds) -> Self {
        let since = match stage {
            Stage::Planned | Stage::Refused | Stage::Working | Stage::Curing | Stage::Held => None,
            Stage::Cured(cured) => Some(cured.at()),
            Stage::Released(released) => Some(released.at()),
            Stage::Rejected(rejection) | Stage::AcceptedAsIs(rejection) | Stage::Removed(rejection) => {
                Some(rejection.at)
            }
        };
        Self { word: StageWord::of(&stage), since, grounds }
    }

    pub(in crate::log) fn write<const N: usize>(&self, fixing: FixingNumber, body: &mut BodyWriter<N>) {
        body.byte(fixing.place() as u8 | self.word.code() << 4);
        let flags = u8::from(self.since.is_some()) | u8::from(!self.grounds.is_empty()) << 1;
        body.byte(flags);
        if let Some(since) = self.since {
            body.instant(since);
        }
        if !self.grounds.is_empty() {
            body.number(self.grounds.bits());
        }
    }

    pub(super) fn read(body: &mut BodyReader<'_>) -> Result<(FixingNumber, Self), Wrong> {
        let byte = body.byte()?;
        let fixing = FixingNumber::new(byte & 15).ok_or(Wrong)?;
        let word = StageWord::ALL.get(usize::from(byte >> 4)).copied().ok_or(Wrong)?;
        let flags = body.byte()?;
        let since = instant_or(body, flags & 1 == 1)?;
        let grounds = match flags >> 1 {
            0 => Grounds::NONE,
            1 => Grounds::from_bits(body.number()?).ok_or(Wrong)?,
            2.. => return Err(Wrong),
        };
        Ok((fixing, Self { word, since, grounds }))
    }
}
