//! What the register keeps of a session and of a fixing: plain values, as they stand in its tables.
//!
//! Terms: times are seconds of the logger's monotonic clock; *ahead* is how far the wall clock is ahead of it.
//! Invariants: a row is made from a memory by the engine, or read back from the tables; it is a record of a stage, never
//! a stage.

use crate::decision::Decided;
use crate::keys::Ring;
use crate::{
    Claim, CodeClaim, Conflict, Cover, Grounds, LogPlace, NotProved, Passed, RecordFault, StageFacts, Untrusted, Why,
    claim, claim_of_code, prove_code,
};
use holdoff_core::cure::Laxer;
use holdoff_core::fixing::TorqueRange;
use holdoff_core::log::StageSeen;
use holdoff_core::quantity::{Count, Instant, Torque};
use holdoff_core::seal::CodeError;
use holdoff_files::deeds::called;
use holdoff_files::stamp::Clock;
use holdoff_files::stamp::Wall;

/// What holding a release against the keys came to.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Verdict {
    /// Chain, signature and engine agree; of a release code alone, the signature.
    Proved,
    /// It was held against keys and failed.
    NotProved,
    /// No keys were given yet.
    NotChecked,
}

impl Verdict {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Proved, Self::NotProved, Self::NotChecked];

    /// The short fixed word of `docs/register.md`.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Proved => "proved",
            Self::NotProved => "not-proved",
            Self::NotChecked => "not-checked",
        }
    }
}

/// A session as its newest view has it.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct KeptSession {
    /// The device, in hexadecimal digits.
    pub device: String,
    /// How often the device's memory was declared to have been made blank before.
    pub life: u32,
    /// Which of several histories of that life it is told from, that contradict each other.
    pub side: i64,
    /// Number of the first page.
    pub first_page: u32,
    /// Number of the last page, and how many items it has.
    pub end: (u32, u16),
    /// What its fixings' labels begin with; empty where that is nothing, and the group is called by its logger.
    pub group: String,
    /// SHA-256 of the job file, in hexadecimal digits.
    pub job: String,
    /// The resin's name.
    pub resin: String,
    /// SHA-256 of the resin file, in hexadecimal digits.
    pub resin_file: String,
    /// Whether the resin is an invented one.
    pub demo: bool,
    /// The rule of the count.
    pub rule: &'static str,
    /// Settings laxer than their default, with commas between.
    pub laxer: String,
    /// Readings of any kind, and those that were lost.
    pub readings: (u64, u64),
    /// Whether its readings come from a recorded trace, and not from a logger's probe.
    pub of_trace: bool,
    /// Why its log cannot be trusted; `None` when it can.
    pub untrusted: Option<Untrusted>,
    /// Why a signature in it fails; `None` where none does, or it was held against no keys.
    pub failed: Option<NotProved>,
    /// How far signatures of known keys cover it.
    pub cover: Cover,
    /// Time of the first and of the last thing recorded.
    pub span: Option<(i64, i64)>,
    /// Which ties of the clocks labels its instants.
    pub wall: Wall,
    /// When the logger was read out over its line last, and how its clock went then; `None` where it never was.
    pub read: Option<ReadOut>,
}

/// A reading over the line.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct ReadOut {
    /// When, by the clock of the computer, seconds since 1970-01-01T00:00:00Z.
    pub at: i64,
    /// Seconds that the logger's clock was ahead of the computer's; `None` where it was not set.
    pub ahead: Option<i64>,
}

impl ReadOut {
    /// The most that a logger's clock may be from the computer's before that is a warning, seconds. ASSUMED: a clock chip
    /// of 20 parts in a million takes ten weeks to it, so that more was set wrongly; and from it on a time to seat, which is
    /// told to the minute and is a few minutes in all, is read wrongly off a wrist watch.
    pub const MOST_APART: u64 = 120;

    /// Whether the logger's clock was so far from the computer's, or not set, that its times mislead.
    pub fn misleads(&self) -> bool {
        self.ahead.is_none_or(|ahead| ahead.unsigned_abs() > Self::MOST_APART)
    }
}

impl KeptSession {
    /// Its settings laxer than their default.
    pub fn laxer(&self) -> Laxer {
        Laxer::of_words(self.laxer.split(','))
    }
}

/// A fixing as its session's newest view has it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct KeptFixing {
    /// Number in its group, from 0.
    pub number: u8,
    /// What it is called; empty where it has no label.
    pub label: String,
    /// Stage, since when, grounds.
    pub seen: StageSeen,
    /// Where its log has the stage from; `None` where that is not recorded yet.
    pub stage_at: Option<LogPlace>,
    /// Hole condition in force.
    pub hole: &'static str,
    /// Specified torque.
    pub range: Option<TorqueRange>,
    /// The torque that released it, or the last that was applied.
    pub torque: Option<Torque>,
    /// Start of the injection.
    pub injected_at: Option<i64>,
    /// Seating.
    pub seated_at: Option<i64>,
    /// Last second at which it may be seated, while the working time runs.
    pub seat_by: Option<i64>,
    /// The second of the cure.
    pub cured_at: Option<i64>,
    /// Forecast of the cure.
    pub announced_at: Option<i64>,
    /// Seconds required and served by the coldest-band rule.
    pub required: u64,
    /// See `required`.
    pub served: u64,
    /// Seconds since seating by class: counted, held, unobserved.
    pub seconds: [u64; 3],
    /// The coldest `low` of rule C3, counts of 1/256 °C.
    pub coldest: Option<i32>,
    /// The reading between injection and seating that lay furthest outside the installation limits (rule A5).
    pub outside_at_seating: Option<Count>,
    /// What is printed on the cartridge.
    pub batch: Option<String>,
    /// What holding its release against the keys came to; `None` where there is no release.
    pub verdict: Option<Verdict>,
    /// Why; `None` where there is no verdict, or no keys were given.
    pub why: Option<Why>,
    /// What contradicts what its log says of it.
    pub conflicts: Vec<Conflict>,
    /// The signed decision on it, where the register has one.
    pub decided: Option<Decided>,
}

impl KeptFixing {
    /// What is told of it.
    pub fn stage_facts(&self) -> StageFacts {
        let instant = |at: Option<i64>| at.map(Instant::from_seconds);
        StageFacts {
            seen: self.seen,
            torque: self.torque,
            range: self.range,
            seat_by: instant(self.seat_by),
            announced_at: instant(self.announced_at),
            required: self.required,
            served: self.served,
        }
    }

    /// What may be said of it.
    pub fn claim<'r>(&'r self, session: &'r KeptSession) -> Claim<'r> {
        claim(&Grounds {
            stage: self.seen.word,
            stage_at: self.stage_at,
            untrusted: session.untrusted,
            conflicts: &self.conflicts,
            not_proved: self.why.as_ref().and_then(Why::not),
            failed: session.failed.as_ref(),
            cover: session.cover,
        })
    }

    /// What is said of it when its time has passed by this computer's clock (seconds since 1970-01-01T00:00:00Z); `None` where
    /// nothing is.
    pub fn passed(&self, session: &KeptSession, now: i64) -> Option<Passed> {
        let clock = session.wall.latest()?;
        self.claim(session).stage()?;
        self.stage_facts().passed(Instant::from_seconds(now.saturating_sub(clock.utc(0))))
    }

    /// What a job file calls it: its label, or its number in English where it has none.
    pub fn called(&self) -> String {
        called(&self.label, self.number)
    }
}

/// A fixing with what it belongs to.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct FixingRow {
    /// Number of the row; stays the same.
    pub id: i64,
    /// The session.
    pub session: std::sync::Arc<KeptSession>,
    /// The fixing.
    pub fixing: KeptFixing,
}

/// A release that is known by its code alone.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct CodeRow {
    /// Number of the row; stays the same.
    pub id: i64,
    /// The device, in hexadecimal digits.
    pub device: String,
    /// Number of the fixing, from 0.
    pub number: u8,
    /// What it is called.
    pub label: String,
    /// SHA-256 of the job file, the first 12 bytes in hexadecimal digits.
    pub job: String,
    /// Whether the resin is an invented one.
    pub demo: bool,
    /// Settings laxer than their default that it rests on.
    pub laxer: Laxer,
    /// The reading between injection and seating that lay furthest outside the installation limits (rule A5).
    pub outside_at_seating: Option<Count>,
    /// The second of the cure.
    pub cured: i64,
    /// The instant it speaks for: of a torqued fixing the release.
    pub speaks_for: i64,
    /// Torque applied; `None` where none is specified.
    pub torque: Option<Torque>,
    /// The wall clock.
    pub clock: Option<Clock>,
    /// What holding it against the keys came to.
    pub verdict: Verdict,
    /// Why; `None` where no keys were given.
    pub why: Option<Why>,
    /// What contradicts it.
    pub contradicted: Option<Conflict>,
    /// Short form.
    pub short: String,
    /// The code's text.
    pub text: String,
    /// Whether something else tells of the fixing: its memory, which may stand contradicted by this, or a later release.
    pub told_otherwise: bool,
}

impl CodeRow {
    /// What a job file calls it: its label, or its number in English where it has none.
    pub fn called(&self) -> String {
        called(&self.label, self.number)
    }

    /// The same, held against these keys now.
    #[must_use]
    pub fn held_against(self, ring: &Ring) -> Self {
        let (verdict, why) = held_against(&self.text, ring);
        Self { verdict, why, ..self }
    }

    /// What may be said of it.
    pub fn claim(&self) -> CodeClaim<'_> {
        claim_of_code(self.contradicted.as_ref(), self.why.as_ref())
    }

    /// Whether its release is void: contradicted, or held against keys and not proved.
    pub fn void(&self) -> bool {
        matches!(self.claim(), CodeClaim::Contradicted(_) | CodeClaim::Void(_))
    }
}

/// What holding the text of a code against keys comes to, and why.
pub fn held_against(text: &str, ring: &Ring) -> (Verdict, Option<Why>) {
    let why = match prove_code(text, ring) {
        Ok(proof) => Why::from(proof.verdict),
        // the register writes codes out of records that can be read
        Err(CodeError::Record(error)) => Why::Not(NotProved::RecordUnreadable { error: error.into() }),
        Err(CodeError::Prefix | CodeError::TooLong { .. } | CodeError::Base45(_)) => {
            Why::Not(NotProved::RecordUnreadable { error: RecordFault::Form })
        }
    };
    (if why.not().is_none() { Verdict::Proved } else { Verdict::NotProved }, Some(why))
}

/// A revision of a register.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Revision {
    /// Counts the additions.
    pub number: i64,
    /// What marks it; `None` where nothing does.
    pub mark: Option<Vec<u8>>,
}

/// What changed in a register since a revision of it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Changes {
    /// Fixings, by session and number.
    pub fixings: Vec<FixingRow>,
    /// Releases known by their codes alone, and those that are told otherwise now.
    pub codes: Vec<CodeRow>,
    /// The revision that they lead to.
    pub revision: Revision,
}

/// The words that all labels begin with; empty where there are none.
pub fn shared_words(labels: &[&str]) -> String {
    let Some((first, rest)) = labels.split_first() else { return String::new() };
    let mut shared: Vec<&str> = first.split(' ').collect();
    for label in rest {
        let same = shared.iter().zip(label.split(' ')).take_while(|(one, other)| *one == other).count();
        shared.truncate(same);
    }
    shared.join(" ").trim().to_owned()
}

#[cfg(test)]
mod tests {
    use super::shared_words;

    #[test]
    fn a_group_is_called_what_its_labels_begin_with() {
        assert_eq!(shared_words(&["bollard 3 stud 1", "bollard 3 stud 2"]), "bollard 3 stud");
        assert_eq!(shared_words(&["stair a", "stair b", "steps c"]), "");
        assert_eq!(shared_words(&["stud 1", "stud 11"]), "stud");
        assert_eq!(shared_words(&["ladder 7"]), "ladder 7");
        assert_eq!(shared_words(&[]), "");
        assert_eq!(shared_words(&["", ""]), "");
    }
}
