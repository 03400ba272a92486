//! The readings of a session, as its image holds them.
//!
//! What for: the export, and the hand-over record. Readings stay in the raw images, packed to a fraction of a byte each; the tables of the register
//! hold none, so that it opens at once however many there are.
//! Terms: a reading refused for its step and confirmed by the next one is *accepted late*; every other refusal stays.

use super::refusal::Refusal;
use super::table::session_by_id;
use super::{Register, Session};
use crate::memory_image::mount_error;
use crate::replay::refusal_word;
use holdoff_core::group::Verdict;
use holdoff_core::log::read::Log;
use holdoff_core::log::{Item, Outcome};
use holdoff_core::probe::Refusal as Cause;

/// What became of a reading.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Became {
    /// Accepted when it came.
    Accepted,
    /// Refused for its step, and accepted with the next reading.
    AcceptedLate,
    /// Refused.
    Refused(Cause),
    /// The sensor gave no value.
    Unusable(Cause),
    /// None was taken.
    Missing,
}

impl Became {
    /// The short fixed word of `docs/register.md`.
    pub(super) const fn word(self) -> &'static str {
        match self {
            Self::Accepted => "accepted",
            Self::AcceptedLate => "accepted-late",
            Self::Refused(_) => "refused",
            Self::Unusable(_) => "unusable",
            Self::Missing => "missing",
        }
    }

    /// Why it was refused or gave no value.
    pub(super) fn cause(self) -> Option<&'static str> {
        match self {
            Self::Refused(cause) | Self::Unusable(cause) => Some(refusal_word(cause)),
            Self::Accepted | Self::AcceptedLate | Self::Missing => None,
        }
    }
}

/// A reading.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) struct Reading {
    /// When, seconds of the logger's clock.
    pub(crate) at: i64,
    /// Counts of 1/256 °C; `None` where there is no value.
    pub(crate) count: Option<i16>,
    /// What became of it.
    pub(crate) became: Became,
}

/// What to do with a session and its readings.
pub(super) type Tell<'a> = dyn FnMut(&Session, &[Reading]) -> Result<(), Refusal> + 'a;

impl Register {
    /// The raw image that a session is told from.
    ///
    /// # Errors
    /// The database failed, or knows no such session.
    pub fn image_of(&self, session: &Session) -> Result<Vec<u8>, Refusal> {
        let text = "SELECT bytes FROM session JOIN raw ON raw.image = session.image
             WHERE device = ?1 AND life = ?2 AND first_page = ?3";
        let key = rusqlite::params![session.device, session.life, session.first_page];
        Ok(self.connection.query_row(text, key, |row| row.get(0))?)
    }

    /// Tells of every session in its order, with its readings.
    ///
    /// # Errors
    /// The database failed, an image cannot be read any more, or `tell` says so.
    pub(super) fn readings(&self, tell: &mut Tell<'_>) -> Result<(), Refusal> {
        let mut statement = self.connection.prepare(
            "SELECT session.id, bytes FROM session JOIN raw ON raw.image = session.image
             ORDER BY device, life, first_page",
        )?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            let session = session_by_id(&self.connection, row.get(0)?)?;
            let image = row.get_ref(1)?.as_blob().map_err(|error| Refusal::Database(error.to_string()))?;
            tell(&session, &of_session(image, session.first_page)?)?;
        }
        Ok(())
    }
}

/// The readings of a session while it is replayed, each judged as it came; a candidate that is confirmed is judged anew.
#[derive(Debug, Default)]
pub(crate) struct Readings {
    all: Vec<Reading>,
    /// Place of the last reading, when it was refused for its step.
    candidate: Option<usize>,
}

impl Readings {
    /// Takes an item, which was replayed just now.
    pub(crate) fn take(&mut self, item: &Item, outcome: Outcome) {
        let (at, count, became) = match (item, outcome) {
            (Item::Reading { at, count }, Outcome::Step(Verdict::Refused(cause))) => {
                (at, Some(count.raw()), Became::Refused(cause))
            }
            (Item::Reading { at, count }, Outcome::Step(Verdict::AcceptedWithCandidate)) => {
                if let Some(before) = self.candidate.and_then(|place| self.all.get_mut(place)) {
                    before.became = Became::AcceptedLate;
                }
                (at, Some(count.raw()), Became::Accepted)
            }
            (Item::Reading { at, count }, Outcome::Step(_) | Outcome::Agrees | Outcome::Noted) => {
                (at, Some(count.raw()), Became::Accepted)
            }
            (Item::Unusable { at, cause }, _) => (at, None, Became::Unusable(*cause)),
            (Item::Missing { at, .. }, _) => (at, None, Became::Missing),
            (Item::Refused { .. } | Item::Record(_), _) => return,
        };
        self.candidate = match became {
            Became::Refused(Cause::Step) => Some(self.all.len()),
            Became::Missing => self.candidate,
            Became::Refused(_) | Became::Accepted | Became::AcceptedLate | Became::Unusable(_) => None,
        };
        self.all.push(Reading { at: at.seconds(), count, became });
    }

    /// All of them, in the order of their arrival.
    pub(crate) fn all(self) -> Vec<Reading> {
        self.all
    }
}

fn of_session(image: &[u8], first: u32) -> Result<Vec<Reading>, Refusal> {
    let unreadable = |error| Refusal::Database(format!("a raw image cannot be read any more: {}", mount_error(&error)));
    let log = Log::open(image, &mut |_| {}).map_err(unreadable)?;
    let mut readings = Readings::default();
    log.replay(first, &mut |_, _, _, (read, outcome)| readings.take(&read.item, outcome), &mut |_| {}, &mut |_| {})
        .map_err(unreadable)?;
    Ok(readings.all())
}
