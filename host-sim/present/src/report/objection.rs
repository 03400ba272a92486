//! What stands against a fixing, whatever its log says of it: a proof test, or a job file that says otherwise.
//!
//! Why: whoever hands over reads the first lines. A release that a proof test or the specification speaks against is none to be
//! loaded on, so it is told first and on the sheet, and no sentence of the log's stage stands beside it.
//! Invariants: an objection never makes anything loadable; where there is none, the stage is told as it is.
//! What it does not do: judge a proof test (`holdoff_files::proof_test`), or know the log's own grounds of rejection.

use crate::words::{ProofPhrase, ReportPhrase as P, Speech};
use holdoff_core::log::StageWord;
use holdoff_evidence::keys::to_hex;
use holdoff_evidence::{Fixing, Session};
use holdoff_files::job::{Group, JobFile};
use holdoff_files::proof_test::{Judged, ProofTest, Verdict, is_early};
use holdoff_files::stamp::format_seconds;

/// Why a fixing is not to be loaded, beside what its log says.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) enum Objection {
    /// A proof test of it failed.
    TestFailed {
        /// When, as the sheet of the test says it.
        at: String,
        /// Who tested.
        tester: String,
    },
    /// It was loaded before it was cured.
    LoadedEarly {
        /// When, as the sheet of the test says it.
        at: String,
    },
    /// The logger was loaded with another resin than the job file names.
    OtherResin,
    /// The logger was loaded from another job file or version, whose SHA-256 this is.
    OtherJobFile(String),
    /// The logger was loaded otherwise than the job file says: in what, in words.
    LoadedOtherwise(String),
    /// The job file knows no fixing of this name.
    NotInJob,
}

impl Objection {
    /// What a proof test says against its fixing. `judged` is `None` where the job file asks for no tests: what whoever tested
    /// says then counts by itself.
    pub(super) fn of_test(test: &ProofTest, judged: Option<Judged>, cured: Option<i64>) -> Vec<Self> {
        let at = || format_seconds(test.at.floor_seconds(), test.at.offset_seconds());
        let failed = match judged {
            Some(Judged::Failed) => true,
            Some(Judged::Passed | Judged::NotCounted(_)) => false,
            None => test.verdict == Verdict::Failed,
        };
        let failed = failed.then(|| Self::TestFailed { at: at(), tester: test.tester.clone() });
        let early = is_early(test, cured).then(|| Self::LoadedEarly { at: at() });
        failed.into_iter().chain(early).collect()
    }

    /// What a job file says against what the logger was loaded with; `same` where it was loaded from this very file.
    pub(super) fn of_job(
        speech: Speech,
        (file, group, same): (&JobFile, &Group, bool),
        session: &Session,
        fixing: &Fixing,
    ) -> Vec<Self> {
        let mut found = Vec::new();
        if !same {
            found.push(Self::OtherJobFile(to_hex(&session.job.file.0)));
        }
        if file.resin().hash() != session.resin.file {
            found.push(Self::OtherResin);
        }
        let (spec, settings) = (group.spec(), file.job().settings);
        let differing = [
            (spec.hole != fixing.spec.hole, P::Drilled),
            (spec.torque != fixing.spec.torque, P::Torque),
            (group.rule != session.job.rule, P::Rule),
            (settings.uncertainty() != session.job.settings.uncertainty(), P::Uncertainty),
            (settings.longest_gap() != session.job.settings.longest_gap(), P::LongestGap),
            (settings.clock_ppm() != session.job.settings.clock_ppm(), P::ClockAllowance),
            (settings.settle() != session.job.settings.settle(), P::Settle),
        ];
        let differing: Vec<&str> =
            differing.into_iter().filter(|(differs, _)| *differs).map(|(_, word)| speech.say(word)).collect();
        if !differing.is_empty() {
            found.push(Self::LoadedOtherwise(differing.join(", ")));
        }
        found
    }

    /// What stands at the head of the sheet.
    pub(super) const fn head(&self) -> P {
        match self {
            Self::TestFailed { .. } => P::HeadTestFailed,
            Self::LoadedEarly { .. } => P::HeadLoadedEarly,
            Self::OtherResin | Self::OtherJobFile(_) | Self::LoadedOtherwise(_) | Self::NotInJob => P::HeadAgainstJob,
        }
    }

    fn why(&self, speech: Speech) -> String {
        match self {
            Self::TestFailed { at, tester } => speech.fill(P::WhyTestFailed, &[("at", at), ("tester", tester)]),
            Self::LoadedEarly { at } => speech.fill(P::WhyLoadedEarly, &[("at", at)]),
            Self::OtherResin => speech.say(P::WhyOtherResin).to_owned(),
            Self::OtherJobFile(hash) => speech.fill(P::WhyOtherJobFile, &[("hash", hash.get(..12).unwrap_or(hash))]),
            Self::LoadedOtherwise(what) => speech.fill(P::WhyLoadedOtherwise, &[("what", what)]),
            Self::NotInJob => speech.say(P::WhyNotInJob).to_owned(),
        }
    }
}

/// All of it as a sentence; `None` where nothing stands against it.
pub(super) fn against(speech: Speech, objections: &[Objection]) -> Option<String> {
    let reasons: Vec<String> = objections.iter().map(|objection| objection.why(speech)).collect();
    (!reasons.is_empty()).then(|| speech.fill(ProofPhrase::DoNotLoad, &[("why", &speech.listed(&reasons))]))
}

/// Whether a stage is told as the log has it beside an objection: nothing was done yet, or it is not to be loaded anyway.
pub(super) const fn keeps_stage(word: StageWord) -> bool {
    match word {
        StageWord::Planned | StageWord::Refused | StageWord::Rejected | StageWord::Removed => true,
        StageWord::Working
        | StageWord::Curing
        | StageWord::Held
        | StageWord::Cured
        | StageWord::Released
        | StageWord::AcceptedAsIs => false,
    }
}
