//! A signed release on its own, and what can contradict it.
//!
//! What for: a code is a logger's word; the memory behind it says more. Whichever comes second is held against the
//! other, and what they say differently is kept as a contradiction. The rules:
//! - one release a fixing and session: two that speak of the same time contradict each other, unless one replaces the other
//!   (rule A4): in a memory the last one is in force, of two codes the one of the stricter hole;
//! - a memory that knows the seating must know the injection and label too, must not have rejected the fixing before the
//!   instant the code speaks for, and, where it reaches beyond that instant, must hold the very release;
//! - a memory that covers the time of the seating by its wall clock must know the seating.
//!
//! What it does not do: compare clocks that were never set; such a code is then held against equal seatings only.

use super::refusal::Unusable;
use holdoff_core::cure::Laxer;
use holdoff_core::fixing::TorqueRange;
use holdoff_core::quantity::{Count, Torque};
use holdoff_core::resin::{Hole, ResinUse};
use holdoff_core::seal::{
    CONTEXT, CodeBuffer, CodeError, End, MOST_MESSAGE, MOST_SEALED, ReleaseCode, ReleaseRecord, SHORT_TEXT, SealedView,
    ShortForm, read,
};
use holdoff_evidence::is_rejection;
use holdoff_evidence::keys::to_hex;
use holdoff_evidence::row::{KeptFixing, KeptSession};
use holdoff_evidence::{Contradiction, Dated, RecordFault, own_label};
use holdoff_files::stamp::Clock;
use holdoff_present::words::Speech;

/// A release code that can be read; nothing in it is verified yet.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Code {
    /// Record and signature.
    pub sealed: Vec<u8>,
    /// The code's text.
    pub text: String,
    /// Short form.
    pub short: String,
    /// The device, in hexadecimal digits.
    pub device: String,
    /// Number of the fixing, from 0.
    pub number: u8,
    /// What it is called; empty where it was left out.
    pub label: String,
    /// SHA-256 of the job file, the first 12 bytes in hexadecimal digits.
    pub job: String,
    /// Whether the resin is an invented one.
    pub demo: bool,
    /// Settings laxer than their default that it rests on.
    pub laxer: Laxer,
    /// Hole condition in force.
    pub hole: Hole,
    /// The reading between injection and seating that lay furthest outside the installation limits (rule A5).
    pub outside_at_seating: Option<Count>,
    /// Start of the injection, seating, cure, and the instant it speaks for.
    pub injected: i64,
    /// See `injected`.
    pub seated: i64,
    /// See `injected`.
    pub cured: i64,
    /// See `injected`.
    pub speaks_for: i64,
    /// Torque specified, and applied.
    pub torque: Option<(TorqueRange, Torque)>,
    /// The wall clock.
    pub clock: Option<Clock>,
}

impl Code {
    /// Reads the text of a code.
    ///
    /// # Errors
    /// Why it is none.
    pub fn read(text: &str) -> Result<Self, Unusable> {
        let mut buffer = [0; MOST_SEALED];
        let view = view(text, &mut buffer).map_err(Unusable::Code)?;
        let mut message = [0; MOST_MESSAGE];
        let record = view.message(&mut message).get(CONTEXT.len()..).unwrap_or_default();
        let sealed = [record, view.signature().as_slice()].concat();
        Self::of(&sealed).map_err(Unusable::Record)
    }

    /// Reads record and signature.
    ///
    /// # Errors
    /// Why they are none.
    pub fn of(sealed: &[u8]) -> Result<Self, RecordFault> {
        let view = SealedView::parse(sealed)?;
        let text = ReleaseCode::of(sealed)?.text().to_owned();
        let record = view.unverified();
        let mut buffer = [0; SHORT_TEXT];
        let short = ShortForm::of(record).show(&mut buffer).to_owned();
        Ok(Self { sealed: sealed.to_vec(), text, short, ..Self::record(record) })
    }

    fn record(record: &ReleaseRecord) -> Self {
        let particulars = record.particulars();
        Self {
            sealed: Vec::new(),
            text: String::new(),
            short: String::new(),
            device: to_hex(&particulars.device.0),
            number: record.fixing().place() as u8, // at most 15
            label: own_label(record.label(), record.fixing()),
            job: to_hex(&particulars.job.0),
            demo: particulars.resin_use == ResinUse::Demo,
            laxer: record.settings().laxer(),
            hole: record.hole(),
            outside_at_seating: record.outside_at_seating(),
            injected: record.injected_at().seconds(),
            seated: record.seated_at().seconds(),
            cured: record.cured_at().seconds(),
            speaks_for: record.speaks_for().seconds(),
            torque: match record.end() {
                End::Torqued { applied, range } => Some((range, applied)),
                End::NoTorque => None,
            },
            clock: Clock::of_release(particulars.clock),
        }
    }

    /// What it is called, for an error.
    pub fn name(&self) -> String {
        Speech::PLAIN.name(&self.label, self.number)
    }

    /// Whether it replaces an earlier release of its fixing: the same injection and seating, and a cure that a stricter hole
    /// moved (rule A4).
    pub fn replaces(&self, earlier: &Self) -> bool {
        let same = (&self.device, self.number, &self.label, &self.job)
            == (&earlier.device, earlier.number, &earlier.label, &earlier.job)
            && (self.injected, self.seated) == (earlier.injected, earlier.seated);
        // what was torqued as specified is released, and its hole is not changed any more
        same && earlier.torque.is_none() && self.hole > earlier.hole && self.speaks_for >= earlier.speaks_for
    }

    /// Whether it and another release of the same device and fixing speak of the same time.
    pub fn overlaps(&self, seated: i64, speaks_for: i64, clock: Option<Clock>) -> bool {
        let utc = |clock: Option<Clock>, at: i64| clock.map_or(at, |clock| clock.utc(at));
        // where one of the clocks is not known, both are taken by the monotonic one
        let (mine, theirs) = match (self.clock, clock) {
            (Some(mine), Some(theirs)) => (Some(mine), Some(theirs)),
            (Some(_), None) | (None, Some(_) | None) => (None, None),
        };
        let begins = utc(mine, self.seated) <= utc(theirs, speaks_for);
        let ends = utc(theirs, seated) <= utc(mine, self.speaks_for);
        begins && ends
    }

    /// Holds it against a session of its device, `fixings` being those with its number.
    ///
    /// # Errors
    /// What contradicts it. `Ok` says whether the session is the one that it comes from.
    pub fn against(&self, session: &KeptSession, fixing: Option<&KeptFixing>) -> Result<bool, Contradiction> {
        let as_of = session.span.map(|span| span.1);
        if let Some(fixing) = fixing.filter(|fixing| fixing.seated_at == Some(self.seated)) {
            self.against_fixing(session, fixing, as_of)?;
            return Ok(true);
        }
        let covers =
            session.span.and_then(|(began, as_of)| Some(session.wall.utc_from(began)?..session.wall.utc(as_of)?));
        if let (Some(mine), Some(covers)) = (self.clock, covers)
            && covers.contains(&mine.utc(self.seated))
        {
            return Err(Contradiction::NoSuchSeating { seated: Dated { at_s: self.seated, clock: self.clock } });
        }
        Ok(false)
    }

    fn against_fixing(
        &self,
        session: &KeptSession,
        fixing: &KeptFixing,
        as_of: Option<i64>,
    ) -> Result<(), Contradiction> {
        let dated = |at| Dated { at_s: at, clock: session.wall.clock(at) };
        if fixing.injected_at != Some(self.injected) {
            return Err(Contradiction::OtherInjection);
        }
        if !self.label.is_empty() && self.label != fixing.label {
            return Err(Contradiction::OtherLabel { label: fixing.label.clone() });
        }
        let rejected = fixing.seen.since.filter(|_| is_rejection(fixing.seen.word));
        if let Some(since) = rejected.map(holdoff_core::quantity::Instant::seconds)
            && since <= self.speaks_for
        {
            return Err(Contradiction::RejectedBefore { rejected: dated(since) });
        }
        // a memory of before its hole was made stricter cannot hold it (rule A4)
        let stricter = Hole::ALL.into_iter().any(|held| held.word() == fixing.hole && self.hole > held);
        match as_of.filter(|_| !stricter) {
            Some(as_of) if as_of > self.speaks_for => {
                Err(Contradiction::NoSuchRelease { as_of: dated(as_of), released: dated(self.speaks_for) })
            }
            Some(_) | None => Ok(()),
        }
    }
}

fn view<'b>(text: &str, buffer: &'b mut CodeBuffer) -> Result<SealedView<'b>, CodeError> {
    read(text.trim().as_bytes(), buffer)
}

/// The settings laxer than their default that a code rests on, and its reading outside the installation limits (rule A5).
pub(super) fn rests_on(text: &str) -> Result<(Laxer, Option<Count>), CodeError> {
    let mut buffer = [0; MOST_SEALED];
    let record = *view(text, &mut buffer)?.unverified();
    Ok((record.settings().laxer(), record.outside_at_seating()))
}
