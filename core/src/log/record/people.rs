//! The people of a job, and whose hands act (rule H6).
//!
//! Why a record of its own for the hands: who acts is chosen once and kept until changed, so most actions need no byte for it.

use super::body::{BodyReader, BodyWriter, Wrong};
use super::text::Bytes;
use core::num::NonZeroU8;

/// Most people of a job.
pub const MOST_PEOPLE: usize = 8;

/// A person of the job, by place in its list from 0.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct PersonNumber(NonZeroU8);

impl PersonNumber {
    /// The person with this place, 0 to 7; `None` beyond.
    pub const fn new(place: u8) -> Option<Self> {
        if place as usize >= MOST_PEOPLE {
            return None;
        }
        match NonZeroU8::new(place.saturating_add(1)) {
            Some(code) => Some(Self(code)),
            None => None,
        }
    }

    /// The place, from 0.
    pub const fn place(self) -> usize {
        (self.0.get() as usize).saturating_sub(1)
    }
}

/// A person of the job.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Person {
    /// The number in the job's list.
    pub number: PersonNumber,
    /// The name, as the logger shows it.
    pub name: Bytes<16>,
}

impl Person {
    pub(super) fn write(&self, body: &mut BodyWriter) {
        body.byte(self.number.place() as u8); // at most 7
        body.string(self.name.bytes());
    }

    pub(super) fn read(body: &mut BodyReader<'_>) -> Result<Self, Wrong> {
        let number = PersonNumber::new(body.byte()?).ok_or(Wrong)?;
        Ok(Self { number, name: Bytes::new(body.string()?).ok_or(Wrong)? })
    }
}

/// 0 for nobody, else the number and one.
pub(super) fn write_hands(of: Option<PersonNumber>, body: &mut BodyWriter) {
    body.byte(of.map_or(0, |person| person.0.get()));
}

pub(super) fn read_hands(body: &mut BodyReader<'_>) -> Result<Option<PersonNumber>, Wrong> {
    match body.byte()?.checked_sub(1) {
        None => Ok(None),
        Some(place) => PersonNumber::new(place).ok_or(Wrong).map(Some),
    }
}
