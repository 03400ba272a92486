//! Records: what happened, and what came of it.
//!
//! What for: everything that is not a reading. Readings are coded into the page's stream (`super::item`); a record is a
//! tag, a length and a body of bytes in the same stream. The highest bit of a tag is its *mark*: a reader that does not know the
//! record passes over it where the mark is set, since it bears on no cure; where it is not, the page can't be read.
//! Terms: a *happening* is an input of the step (action, power-up, loss, distrust); *evidence* is what the step made of
//! it (stage, confirmed candidate) and is compared when the log is mounted; the rest names things (identity, resin,
//! job, fixing, batch, clock tie, read-out, release).
//! Invariants: encoding and decoding are inverse; a decoded resin, job or fixing has passed the checks of its own type.
//! What it does not do: judge. What is assumed is never recorded as measured: a declared cartridge temperature stands in
//! the action as declared, a lost reading is a count.

mod action;
mod body;
mod demands;
mod people;
mod session;
mod stage;
mod text;

pub use body::{BodyError, MOST_BODY};
pub use people::{MOST_PEOPLE, Person, PersonNumber};
pub use session::{Batch, DeviceId, FileHash, FixingRecord, Identity, Job, ResinRecord, Source};
pub use stage::StageSeen;
pub use text::Bytes;

use crate::fixing::{Action, Demands};
use crate::group::{Darkness, FixingNumber};
use crate::quantity::{Count, Instant};
pub(super) use body::BodyWriter;
use body::{BodyReader, Wrong};

/// Why the logger came up.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum ResetCause {
    /// Nobody knows.
    Unknown,
    /// Power was put on.
    PowerOn,
    /// The supply fell too low.
    BrownOut,
    /// The watchdog.
    Watchdog,
    /// The firmware itself asked for it.
    Software,
    /// The reset pin.
    Pin,
}

impl ResetCause {
    const ALL: [Self; 6] = [Self::Unknown, Self::PowerOn, Self::BrownOut, Self::Watchdog, Self::Software, Self::Pin];
}

/// The tie between the monotonic and the wall clock (rule Q2).
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct ClockTie {
    /// The instant on the monotonic clock.
    pub at: Instant,
    /// Seconds since 1970-01-01T00:00:00Z at that instant, by the wall clock.
    pub utc: i64,
    /// Offset of local time in minutes.
    pub offset_minutes: i16,
}

/// Readings that could not be written.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Loss {
    /// How many since the loss before this one, or since readings were last written.
    pub count: u32,
    /// Time of the first of them.
    pub first: Instant,
    /// Time of the last of them. The engine is told that readings up to then are lost.
    pub last: Instant,
}

/// One record.
#[derive(Clone, PartialEq, Eq, Debug)]
#[allow(clippy::large_enum_variant, reason = "there is no heap; records are made and read one at a time")]
pub enum Record {
    /// Who writes, and into what: the first record of a session.
    Identity(Identity),
    /// The resin as loaded.
    Resin(ResinRecord),
    /// The job as loaded.
    Job(Job),
    /// A fixing.
    Fixing(FixingRecord),
    /// A fixing's resin batch.
    Batch(Batch),
    /// Somebody did something to a fixing.
    Action {
        /// When.
        at: Instant,
        /// To which.
        fixing: FixingNumber,
        /// What.
        action: Action,
    },
    /// The logger came up again.
    PowerUp {
        /// How long it was dark.
        dark: Darkness,
        /// Why it came up.
        cause: ResetCause,
    },
    /// The clocks were tied anew: at a start or a correction, or in an hour without a reading.
    ClockTie(ClockTie),
    /// Readings were lost.
    Loss(Loss),
    /// The log cannot be trusted (rule E4).
    Untrusted,
    /// Pages with a lower number were read out and may be overwritten.
    ReadOut {
        /// The first page that may not.
        below: u32,
    },
    /// The owner said that pages with a lower number may be overwritten.
    Freed {
        /// The first page that may not.
        below: u32,
    },
    /// A signed release record.
    Release {
        /// Of which fixing.
        fixing: FixingNumber,
        /// The record with its signature, as the seal made it.
        signed: Bytes<255>,
    },
    /// A signed head: the log up to here is the logger's.
    Head {
        /// The head with its signature, as the seal made it.
        signed: Bytes<255>,
    },
    /// The supply of the probe as it was measured, when it changed by 0.1 V and once a day (rule R7).
    Supply {
        /// When.
        at: Instant,
        /// Millivolts; `None` where it could not be measured.
        millivolts: Option<u16>,
    },
    /// What the job demands of hands.
    Demands(Demands),
    /// A person of the job.
    Person(Person),
    /// Whose hands act from here on; nobody's that the job names where it is `None`.
    Hands {
        /// The person.
        of: Option<PersonNumber>,
    },
    /// A record of a kind that this reader does not know and may pass over. No writer writes it.
    PassedOver {
        /// Its tag.
        tag: u8,
    },
    /// Evidence: the fixing stands at this stage now.
    Stage {
        /// Which fixing.
        fixing: FixingNumber,
        /// Where it stands.
        seen: StageSeen,
    },
    /// Evidence: a reading that was refused when it came is accepted after all.
    CandidateAccepted {
        /// Its own time.
        at: Instant,
        /// Its count.
        count: Count,
    },
}

const IDENTITY: u8 = 1;
const RESIN: u8 = 2;
const JOB: u8 = 3;
const FIXING: u8 = 4;
const BATCH: u8 = 5;
const ACTION: u8 = 6;
const POWER_UP: u8 = 7;
const CLOCK_TIE: u8 = 8;
const LOSS: u8 = 9;
const UNTRUSTED: u8 = 10;
const READ_OUT: u8 = 11;
const FREED: u8 = 12;
const RELEASE: u8 = 13;
pub(super) const STAGE: u8 = 14;
const CANDIDATE: u8 = 15;
const DEMANDS: u8 = 16;
const HEAD: u8 = 17;
/// The mark of a record that a reader may pass over when it does not know it.
const MARK: u8 = 0x80;
const SUPPLY: u8 = MARK;
const PERSON: u8 = MARK | 1;
const HANDS: u8 = MARK | 2;

impl Record {
    /// The tag.
    pub(super) const fn tag(&self) -> u8 {
        match self {
            Self::Identity(_) => IDENTITY,
            Self::Resin(_) => RESIN,
            Self::Job(_) => JOB,
            Self::Fixing(_) => FIXING,
            Self::Batch(_) => BATCH,
            Self::Action { .. } => ACTION,
            Self::PowerUp { .. } => POWER_UP,
            Self::ClockTie(_) => CLOCK_TIE,
            Self::Loss(_) => LOSS,
            Self::Untrusted => UNTRUSTED,
            Self::ReadOut { .. } => READ_OUT,
            Self::Freed { .. } => FREED,
            Self::Release { .. } => RELEASE,
            Self::Stage { .. } => STAGE,
            Self::CandidateAccepted { .. } => CANDIDATE,
            Self::Supply { .. } => SUPPLY,
            Self::Demands(_) => DEMANDS,
            Self::Person(_) => PERSON,
            Self::Hands { .. } => HANDS,
            Self::PassedOver { tag } => *tag,
            Self::Head { .. } => HEAD,
        }
    }

    /// The body; instants are written as differences to `base`.
    pub(super) fn body(&self, base: i64) -> BodyWriter {
        let mut body = BodyWriter::new(base);
        match self {
            Self::Identity(identity) => identity.write(&mut body),
            Self::Resin(resin) => resin.write(&mut body),
            Self::Job(job) => job.write(&mut body),
            Self::Fixing(fixing) => fixing.write(&mut body),
            Self::Batch(batch) => batch.write(&mut body),
            Self::Action { at, fixing, action } => action::write(*at, *fixing, action, &mut body),
            Self::PowerUp { dark, cause } => body.byte(dark_code(*dark) << 7 | *cause as u8),
            Self::ClockTie(tie) => {
                body.instant(tie.at);
                body.signed(tie.utc.wrapping_sub(tie.at.seconds()));
                body.signed(tie.offset_minutes);
            }
            Self::Loss(loss) => {
                body.number(loss.count);
                body.instant(loss.first);
                body.instant(loss.last);
            }
            Self::Untrusted => {}
            Self::ReadOut { below } | Self::Freed { below } => body.number(*below),
            Self::Release { fixing, signed } => {
                body.byte(fixing.place() as u8);
                body.all(signed.bytes());
            }
            Self::Head { signed } => body.all(signed.bytes()),
            Self::Stage { fixing, seen } => seen.write(*fixing, &mut body),
            Self::CandidateAccepted { at, count } => {
                body.instant(*at);
                body.count(*count);
            }
            Self::Demands(made) => demands::write(made, &mut body),
            Self::Person(person) => person.write(&mut body),
            Self::Hands { of } => people::write_hands(*of, &mut body),
            Self::PassedOver { .. } => {}
            Self::Supply { at, millivolts } => {
                body.instant(*at);
                body.number(millivolts.map_or(0, |millivolts| u32::from(millivolts).saturating_add(1)));
            }
        }
        body
    }

    /// From a tag and a body.
    pub(super) fn read(tag: u8, bytes: &[u8], base: i64) -> Result<Self, BodyError> {
        if !(IDENTITY..=HEAD).contains(&tag) && tag & MARK == 0 {
            return Err(BodyError::Tag { found: tag });
        }
        let mut body = BodyReader::new(bytes, base);
        Self::read_fields(tag, bytes.len(), &mut body).map_err(|Wrong| body.why())
    }

    fn read_fields(tag: u8, length: usize, body: &mut BodyReader<'_>) -> Result<Self, Wrong> {
        let record = match tag {
            IDENTITY => Self::Identity(Identity::read(body)?),
            RESIN => Self::Resin(ResinRecord::read(body)?),
            JOB => Self::Job(Job::read(body)?),
            FIXING => Self::Fixing(FixingRecord::read(body)?),
            BATCH => Self::Batch(Batch::read(body)?),
            ACTION => {
                let (at, fixing, action) = action::read(body)?;
                Self::Action { at, fixing, action }
            }
            POWER_UP => {
                let byte = body.byte()?;
                let dark = if byte >> 7 == dark_code(Darkness::Known) { Darkness::Known } else { Darkness::Unknown };
                let cause = ResetCause::ALL.get(usize::from(byte & 0x7F)).copied().ok_or(Wrong)?;
                Self::PowerUp { dark, cause }
            }
            CLOCK_TIE => {
                let at = body.instant()?;
                let ahead: i64 = body.signed()?;
                Self::ClockTie(ClockTie { at, utc: at.seconds().wrapping_add(ahead), offset_minutes: body.signed()? })
            }
            LOSS => Self::Loss(Loss { count: body.number()?, first: body.instant()?, last: body.instant()? }),
            UNTRUSTED => Self::Untrusted,
            READ_OUT => Self::ReadOut { below: body.number()? },
            FREED => Self::Freed { below: body.number()? },
            RELEASE => {
                let fixing = session::fixing(body)?;
                let signed = Bytes::new(body.all(length.saturating_sub(1))?).ok_or(Wrong)?;
                Self::Release { fixing, signed }
            }
            STAGE => {
                let (fixing, seen) = StageSeen::read(body)?;
                Self::Stage { fixing, seen }
            }
            CANDIDATE => Self::CandidateAccepted { at: body.instant()?, count: body.count()? },
            SUPPLY => {
                let at = body.instant()?;
                let code: u32 = body.number()?;
                let millivolts = code.checked_sub(1).map(u16::try_from).transpose().map_err(|_| Wrong)?;
                Self::Supply { at, millivolts }
            }
            HEAD => Self::Head { signed: Bytes::new(body.all(length)?).ok_or(Wrong)? },
            DEMANDS => Self::Demands(demands::read(body)?),
            PERSON => Self::Person(Person::read(body)?),
            HANDS => Self::Hands { of: people::read_hands(body)? },
            _ if tag & MARK != 0 => {
                body.all(length)?;
                Self::PassedOver { tag }
            }
            _ => return Err(Wrong), // seen to by `read`
        };
        body.end()?;
        Ok(record)
    }
}

const fn dark_code(dark: Darkness) -> u8 {
    match dark {
        Darkness::Known => 0,
        Darkness::Unknown => 1,
    }
}

#[cfg(test)]
mod tests {
    extern crate std;

    use super::{BodyError, MARK, Person, PersonNumber, Record};
    use crate::fixing::{CleaningKind, CleaningStep, Demands, Needs};
    use crate::log::Bytes;
    use std::vec::Vec;

    #[test]
    fn a_record_that_is_not_known_is_passed_over_where_its_mark_is_set_and_stops_the_reader_where_not() {
        for tag in MARK + 3..=u8::MAX {
            assert_eq!(Record::read(tag, &[1, 2, 3], 0), Ok(Record::PassedOver { tag }));
        }
        for tag in (18..MARK).chain([0]) {
            assert_eq!(Record::read(tag, &[], 0), Err(BodyError::Tag { found: tag }));
        }
    }

    #[test]
    fn demands_people_and_hands_read_back_and_what_nobody_writes_is_refused() {
        let step = |kind, count| CleaningStep { kind, count };
        let steps = [step(CleaningKind::Blow, 4), step(CleaningKind::Brush, 200), step(CleaningKind::ExtractingBit, 1)];
        let name = Bytes::cut("A. Hand");
        let mut records = Vec::new();
        for needs in [Needs::Required, Needs::Noted] {
            records.extend(Demands::new(steps, needs, Needs::Noted).map(Record::Demands));
            records.extend(Demands::new(steps, Needs::Noted, needs).map(Record::Demands));
        }
        for number in (0..8).filter_map(PersonNumber::new) {
            records.push(Record::Person(Person { number, name }));
            records.push(Record::Hands { of: Some(number) });
        }
        records.push(Record::Hands { of: None });
        assert_eq!(records.len(), 21);
        for record in records {
            let body = record.body(7);
            let bytes = body.bytes().unwrap_or_default();
            assert_eq!(Record::read(record.tag(), bytes, 7).as_ref(), Ok(&record));
            for short in 0..bytes.len() {
                assert!(Record::read(record.tag(), bytes.get(..short).unwrap_or_default(), 7).is_err(), "{record:?}");
            }
        }
        // no cleaning is prescribed and its record required; a step of no times; neighbours of one kind; laxer and not said so
        for wrong in [&[1, 100, 0][..], &[0, 100, 1, 0, 0], &[0, 100, 2, 0, 1, 0, 1], &[0, 0xFF, 0xFF, 0x3F, 0]] {
            assert!(Record::read(super::DEMANDS, wrong, 0).is_err(), "{wrong:?}");
        }
        for wrong in [&[9][..], &[]] {
            assert!(Record::read(super::HANDS, wrong, 0).is_err(), "{wrong:?}");
        }
    }
}
