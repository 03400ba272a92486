//! A fixing as a row of the page.

use super::{Section, words};
use crate::words::{ClaimWords, PagePhrase as P, ProofPhrase, Speech};
use holdoff_core::log::StageWord;
use holdoff_evidence::CodeClaim;
use holdoff_evidence::row::{CodeRow, FixingRow, KeptFixing, Verdict};
use holdoff_files::problem::visible;
use holdoff_files::stamp::Clock;
use std::sync::Arc;

/// A time on the clock on the wall.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Moment {
    /// Seconds since 1970-01-01T00:00:00Z.
    pub utc: i64,
    /// Seconds that local time is ahead of it.
    pub offset_seconds: i32,
}

/// Which row.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Id {
    /// A fixing of a memory, by its row in the register.
    Fixing(i64),
    /// A release code, by its row in the register.
    Code(i64),
    /// The fixings of a group of the job that the register knows nothing of, by the place of the group's first in the file.
    Plan(usize),
}

impl std::fmt::Display for Id {
    /// Letters and digits, and never the same for two rows.
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Fixing(row) => write!(formatter, "f{row}"),
            Self::Code(row) => write!(formatter, "c{row}"),
            Self::Plan(place) => write!(formatter, "p{place}"),
        }
    }
}

/// What a logger was loaded from, where the page is limited to a job.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum LoadedFrom {
    /// One of the versions of the job file that were given, or no job is asked for.
    Job,
    /// Another file: perhaps an earlier version, perhaps another job with a fixing of the same name.
    Another,
}

/// A row as it is kept: what the register says, and where it stands. Words are made when somebody looks.
#[derive(Debug)]
pub(super) struct Kept {
    pub(super) id: Id,
    pub(super) section: Section,
    pub(super) key: Arc<str>,
    /// As it is asked for.
    pub(super) group: Arc<str>,
    from: LoadedFrom,
    /// The logger that the group is called by, for want of a name.
    by_logger: Option<String>,
    what: What,
}

#[derive(Debug)]
enum What {
    Fixing(FixingRow),
    Code(CodeRow),
    /// By their places in the file, in order.
    Plan(Vec<(usize, String)>),
}

impl Kept {
    /// Of a fixing in a memory; `group` where a job says it.
    pub(super) fn of_fixing(row: FixingRow, group: Option<Arc<str>>, from: LoadedFrom) -> Self {
        let (session, fixing) = (&row.session, &row.fixing);
        let section = of_file(Section::of(session, fixing), from);
        let at = fixing_time(section, fixing).map(|at| session.wall.utc(at).unwrap_or(at));
        Self {
            id: Id::Fixing(row.id),
            section,
            key: key(section, at, &fixing.called()).into(),
            // a group without a name of its own is called by its logger
            by_logger: (group.is_none() && session.group.is_empty()).then(|| session.device.clone()),
            // it is asked for as it is shown in English
            group: group.unwrap_or_else(|| visible(&Speech::PLAIN.group_name(session)).into()),
            from,
            what: What::Fixing(row),
        }
    }

    /// Of a release that is known by its code alone.
    pub(super) fn of_code(code: CodeRow, group: Option<Arc<str>>, from: LoadedFrom) -> Self {
        let section = of_file(Section::of_code(&code), from);
        let at = code_time(section, &code).map(|at| code.clock.map_or(at, |clock| clock.utc(at)));
        Self {
            id: Id::Code(code.id),
            section,
            key: key(section, at, &code.called()).into(),
            by_logger: group.is_none().then(|| code.device.clone()),
            group: group.unwrap_or_else(|| Speech::PLAIN.logger(&code.device).into()),
            from,
            what: What::Code(code),
        }
    }

    /// Of the fixings of a group that the register knows nothing of; `first` is the place of the group's first in the file.
    pub(super) fn of_plan(first: usize, fixings: Vec<(usize, String)>, group: &str) -> Self {
        Self {
            id: Id::Plan(first),
            section: Section::Planned,
            key: key(Section::Planned, None, fixings.first().map_or("", |(_, name)| name)).into(),
            group: group.into(),
            by_logger: None,
            from: LoadedFrom::Job,
            what: What::Plan(fixings),
        }
    }

    /// The same without the fixing at a place of the file; `None` where none is left.
    pub(super) fn without(&self, place: usize) -> Option<Self> {
        match (&self.what, self.id) {
            (What::Plan(fixings), Id::Plan(first)) => {
                let left: Vec<_> = fixings.iter().filter(|(other, _)| *other != place).cloned().collect();
                (!left.is_empty()).then(|| Self::of_plan(first, left, &self.group))
            }
            (What::Plan(_) | What::Fixing(_) | What::Code(_), _) => None,
        }
    }

    /// How many fixings it tells of.
    pub(super) fn fixings(&self) -> usize {
        match &self.what {
            What::Plan(fixings) => fixings.len(),
            What::Fixing(_) | What::Code(_) => 1,
        }
    }

    /// What its group is called.
    pub(super) fn group_name(&self, speech: Speech) -> String {
        self.by_logger.as_ref().map_or_else(|| self.group.to_string(), |device| speech.logger(device))
    }

    /// Whether its resin is an invented one.
    pub(super) fn demo(&self) -> bool {
        match &self.what {
            What::Fixing(row) => row.session.demo,
            What::Code(code) => code.demo,
            What::Plan(_) => false,
        }
    }

    /// When its logger recorded last.
    pub(super) fn as_of(&self) -> Option<Moment> {
        match &self.what {
            What::Fixing(row) => row.session.span.and_then(|(_, at)| moment(row.session.wall.clock(at), Some(at))),
            What::Code(code) => moment(code.clock, Some(code.speaks_for)),
            What::Plan(_) => None,
        }
    }

    /// What is wrong with its logger's clock, where that misleads.
    pub(super) fn warning(&self, speech: Speech) -> Option<String> {
        match &self.what {
            What::Fixing(row) => speech.clock_warning(&row.session.device, row.session.read.as_ref()?),
            What::Code(_) | What::Plan(_) => None,
        }
    }

    /// In words.
    pub(super) fn entry(&self, speech: Speech) -> BoardEntry {
        match &self.what {
            What::Fixing(row) => BoardEntry::of_fixing(self, row, speech),
            What::Code(code) => BoardEntry::of_code(self, code, speech),
            What::Plan(fixings) => BoardEntry::of_plan(self, &runs(fixings, speech), speech),
        }
    }
}

/// Where a row stands by what its logger was loaded from: what another file specified lets nobody torque or load here.
const fn of_file(section: Section, from: LoadedFrom) -> Section {
    match from {
        LoadedFrom::Another if lets_load(section) => Section::DoNotLoad,
        LoadedFrom::Job | LoadedFrom::Another => section,
    }
}

/// Whether a section lets somebody torque or load what stands in it.
const fn lets_load(section: Section) -> bool {
    match section {
        Section::TorqueNow | Section::NotSigned | Section::Released => true,
        Section::SeatNow
        | Section::Next
        | Section::Held
        | Section::DoNotLoad
        | Section::DoNotInject
        | Section::Planned => false,
    }
}

/// The time that counts in a section, on the logger's clock.
fn fixing_time(section: Section, fixing: &KeptFixing) -> Option<i64> {
    match section {
        Section::SeatNow => fixing.seat_by,
        Section::TorqueNow => fixing.cured_at,
        Section::Next => fixing.announced_at,
        Section::Released => fixing.seen.since.map(holdoff_core::quantity::Instant::seconds),
        Section::NotSigned | Section::Held | Section::DoNotLoad | Section::DoNotInject | Section::Planned => None,
    }
}

fn code_time(section: Section, code: &CodeRow) -> Option<i64> {
    match (section, code.torque) {
        (Section::DoNotLoad, _) => None,
        (_, Some(_)) => Some(code.speaks_for),
        (_, None) => Some(code.cured),
    }
}

/// A row in words.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct BoardEntry {
    /// Which.
    pub id: Id,
    /// Where it stands.
    pub section: Section,
    /// Where it stands in its section: texts compared byte by byte.
    pub key: Arc<str>,
    /// Its group, as it is asked for.
    pub group: Arc<str>,
    /// What its group is called.
    pub group_name: String,
    /// What it is called; of several fixings that stand one behind another in the job file, the first and the last.
    pub label: String,
    /// What it is called when it changes.
    pub said: String,
    /// How many fixings it tells of.
    pub fixings: usize,
    /// Its status in capitals.
    pub headline: &'static str,
    /// The same as a sentence.
    pub sentence: String,
    /// What is said in weight: that no signature covers it, or that it was held against no key.
    pub weight: Option<String>,
    /// What else is to be said.
    pub notes: Vec<String>,
    /// The time that counts in its section: to seat, of the cure, of the forecast, of the torque.
    pub moment: Option<Moment>,
    /// What is wrong with its logger's clock, where that misleads.
    pub warning: Option<String>,
    /// When its logger was read out over its line last, and how its clock went, in words.
    pub read: Option<String>,
    /// When its logger recorded last, in words.
    pub as_of: String,
    /// The same as a time, where the wall clock was set.
    pub as_of_at: Option<Moment>,
    /// Whether its resin is an invented one.
    pub demo: bool,
}

impl BoardEntry {
    fn of_fixing(kept: &Kept, row: &FixingRow, speech: Speech) -> Self {
        let (session, fixing) = (&row.session, &row.fixing);
        let lets_load = lets_load(Section::of(session, fixing));
        let standing = of_other(kept.from, &session.job, lets_load, speech.standing_of(fixing, session), speech);
        let mut notes: Vec<String> = other_note(kept.from, &session.job, speech).into_iter().collect();
        // beside a doubt no word of a proof
        match fixing.claim(session).stage().and(fixing.verdict) {
            None => {}
            Some(Verdict::Proved) => notes.push(speech.say(P::Proved).to_owned()),
            Some(Verdict::NotChecked) => notes.push(speech.say(P::Unchecked).to_owned()),
            Some(Verdict::NotProved) => notes.extend(fixing.why.as_ref().map(|why| speech.do_not_load(why))),
        }
        notes.extend(speech.decision_beside(fixing.seen.word, fixing.decided.as_ref(), &fixing.conflicts));
        if session.of_trace {
            notes.push(speech.say(P::OfTrace).to_owned());
        }
        notes.extend(speech.laxer_note(session.laxer()));
        notes.extend(speech.outside_note(fixing.outside_at_seating));
        let last = session.span.map(|span| span.1);
        let offset = session.wall.latest().map_or(0, |clock| clock.offset_seconds);
        Self {
            warning: kept.warning(speech),
            read: session.read.map(|read| speech.read_words(&read, offset)),
            headline: standing.headline,
            sentence: standing.sentence,
            weight: standing.weight,
            notes,
            moment: fixing_time(kept.section, fixing).and_then(|at| moment(session.wall.clock(at), Some(at))),
            as_of: last.map_or_else(String::new, |at| as_of(speech, &speech.dated(session.wall.clock(at), at))),
            ..Self::bare(kept, &speech.fixing_name(fixing), speech)
        }
    }

    fn of_code(kept: &Kept, code: &CodeRow, speech: Speech) -> Self {
        let time = speech.dated(code.clock, code.speaks_for);
        let by_code = words::by_code(speech, &time, code.torque.map(|torque| speech.torque(torque)).as_deref());
        let (head, sentence) = match code.claim() {
            CodeClaim::Contradicted(why) => (speech.say(ProofPhrase::ContradictedHead), speech.do_not_load(why)),
            CodeClaim::Void(why) => (speech.say(ProofPhrase::VoidHead), speech.do_not_load(why)),
            CodeClaim::NotChecked => (speech.say(P::NotChecked), by_code),
            CodeClaim::Signed if code.torque.is_some() => (speech.headline(StageWord::Released), by_code),
            CodeClaim::Signed => (speech.headline(StageWord::Cured), by_code),
        };
        let lets_load = lets_load(Section::of_code(code));
        let standing = ClaimWords { headline: head, sentence, weight: None };
        let ClaimWords { headline, sentence, .. } = of_other(kept.from, &code.job, lets_load, standing, speech);
        Self {
            headline,
            sentence,
            notes: other_note(kept.from, &code.job, speech)
                .into_iter()
                .chain(speech.laxer_note(code.laxer))
                .chain(speech.outside_note(code.outside_at_seating))
                .collect(),
            moment: moment(code.clock, code_time(kept.section, code)),
            as_of: as_of(speech, &time),
            ..Self::bare(kept, &speech.name(&code.label, code.number), speech)
        }
    }

    fn of_plan(kept: &Kept, label: &str, speech: Speech) -> Self {
        let bare = Self::bare(kept, label, speech);
        // whose names they are does not change with every fixing that is injected
        Self { sentence: speech.say(P::NoRecord).to_owned(), said: bare.group_name.clone(), ..bare }
    }

    fn bare(kept: &Kept, label: &str, speech: Speech) -> Self {
        Self {
            id: kept.id,
            section: kept.section,
            key: kept.key.clone(),
            group: kept.group.clone(),
            group_name: kept.group_name(speech),
            label: label.to_owned(),
            said: label.to_owned(),
            fixings: kept.fixings(),
            headline: speech.headline(StageWord::Planned),
            sentence: String::new(),
            weight: None,
            notes: Vec::new(),
            moment: None,
            warning: None,
            read: None,
            as_of: String::new(),
            as_of_at: kept.as_of(),
            demo: kept.demo(),
        }
    }

    /// What is said when its time has passed; `None` where nothing is.
    pub const fn passed(&self) -> Option<P> {
        match self.section {
            Section::SeatNow => Some(P::SeatPassed),
            Section::Next => Some(P::ForecastPassed),
            Section::TorqueNow
            | Section::NotSigned
            | Section::Held
            | Section::DoNotLoad
            | Section::DoNotInject
            | Section::Planned
            | Section::Released => None,
        }
    }
}

/// The names of fixings, those that stand one behind another in the job file as the first and the last.
fn runs(fixings: &[(usize, String)], speech: Speech) -> String {
    let runs = fixings.chunk_by(|(one, _), (next, _)| one + 1 == *next);
    let run = |run: &[(usize, String)]| match run {
        [] => String::new(),
        [(_, only)] => only.clone(),
        [(_, first), .., (_, last)] => speech.fill(P::FromTo, &[("first", first), ("last", last)]),
    };
    runs.map(run).collect::<Vec<_>>().join(", ")
}

/// What is said of a row by what its logger was loaded from: under another file than the job's nothing is told that lets
/// somebody torque or load it.
fn of_other(from: LoadedFrom, job: &str, lets_load: bool, standing: ClaimWords, speech: Speech) -> ClaimWords {
    match from {
        LoadedFrom::Another if lets_load => {
            let gaps = [("headline", standing.headline), ("hash", short_hash(job))];
            let sentence = speech.fill(P::OtherFileSentence, &gaps);
            ClaimWords { headline: speech.say(P::OtherFileHead), sentence, weight: standing.weight }
        }
        LoadedFrom::Job | LoadedFrom::Another => standing,
    }
}

/// That its logger was loaded from another file than the job's.
fn other_note(from: LoadedFrom, job: &str, speech: Speech) -> Option<String> {
    match from {
        LoadedFrom::Job => None,
        LoadedFrom::Another => Some(speech.fill(P::OtherFile, &[("hash", short_hash(job))])),
    }
}

/// The first 12 of the digits of a hash.
fn short_hash(job: &str) -> &str {
    job.get(..12).unwrap_or(job)
}

/// Of when what is said of a row is.
fn as_of(speech: Speech, time: &str) -> String {
    speech.fill(P::AsOf, &[("time", time)])
}

fn moment(clock: Option<Clock>, at: Option<i64>) -> Option<Moment> {
    clock.zip(at).map(|(clock, at)| Moment { utc: clock.utc(at), offset_seconds: clock.offset_seconds })
}

/// Times first where they count, then labels with their numbers as numbers.
fn key(section: Section, at: Option<i64>, label: &str) -> String {
    let mut key = String::new();
    if matches!(section, Section::SeatNow | Section::Next) {
        // above zero, so that digits sort as the numbers do
        let at = i128::from(at.unwrap_or(i64::MAX)) + (1i128 << 64);
        key.push_str(&format!("{at:040} "));
    }
    let mut digits = String::new();
    for character in label.chars().chain([' ']) {
        if character.is_ascii_digit() {
            digits.push(character);
            continue;
        }
        if !digits.is_empty() {
            key.push_str(&format!("{digits:0>20}"));
            digits.clear();
        }
        key.push(character);
    }
    key
}

#[cfg(test)]
mod tests {
    use super::{Section, key};

    #[test]
    fn labels_sort_by_their_numbers_and_forecasts_by_their_time() {
        let mut labels = ["stud 10", "stud 2", "stud 1", "bar 3"];
        labels.sort_by_key(|label| key(Section::Released, None, label));
        assert_eq!(labels, ["bar 3", "stud 1", "stud 2", "stud 10"]);
        let next = |at, label| key(Section::Next, at, label);
        assert!(next(Some(-5), "b") < next(Some(3), "a"));
        assert!(next(Some(999), "b") < next(Some(1_000), "a"));
        assert!(next(Some(i64::MAX - 1), "b") < next(None, "a"));
    }
}
