//! A stage as it is recorded: evidence of what the step made of what happened.

use super::body::{BodyReader, BodyWriter, Wrong};
use super::session::instant_or;
use crate::fixing::{Grounds, Stage, StageWord};
use crate::group::FixingNumber;
use crate::quantity::Instant;

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
        body.byte(fixing.place() as u8 | (self.word as u8) << 4);
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
