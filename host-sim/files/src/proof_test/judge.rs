//! A proof test held against what the job file asks for and against the cure.
//!
//! Invariants: a failure always counts; a pass counts only where all that was asked for is known to have been kept, and only
//! after the cure. Where that leaves room, the sample stays open: more tests are asked for, never fewer.

use super::{ProofTest, Verdict};
use crate::job::sampling;

/// What a test is held against.
#[derive(Clone, Copy, Debug)]
pub struct Asked<'a> {
    /// The job file's proof tests of the fixing's group.
    pub proof: &'a sampling::ProofTests,
    /// The cure on the wall clock, seconds since 1970-01-01T00:00:00Z; `None` where no log tells of one.
    pub cured: Option<i64>,
}

/// What a test comes to.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Judged {
    /// It counts as passed.
    Passed,
    /// It counts as failed.
    Failed,
    /// It does not count as a test.
    NotCounted(NotCounted),
}

/// Why a test that was passed does not count.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum NotCounted {
    /// No log tells of a cure.
    CureUnknown,
    /// The fixing was loaded before it was cured.
    BeforeCure,
    /// The load was lower than asked for.
    Load,
    /// The load was held for a shorter time than asked for.
    Hold,
    /// It is not said how long the load was held.
    HoldNotSaid,
    /// The displacement is not said, and a greatest one is asked for.
    DisplacementNotSaid,
}

/// Whether a fixing was loaded before it was cured, whatever was asked for.
pub const fn is_early(test: &ProofTest, cured: Option<i64>) -> bool {
    match cured {
        Some(cured) => test.at.floor_seconds() < cured,
        None => false,
    }
}

/// Judges a test.
pub fn judge(test: &ProofTest, asked: Asked<'_>) -> Judged {
    let proof = asked.proof;
    let beyond = match (proof.displacement, test.displacement) {
        (Some(most), Some(found)) => found > most.micrometres(),
        (Some(_), None) | (None, _) => false,
    };
    if test.verdict == Verdict::Failed || beyond {
        return Judged::Failed;
    }
    let not = match (asked.cured, proof.hold, test.hold) {
        (None, _, _) => Some(NotCounted::CureUnknown),
        _ if is_early(test, asked.cured) => Some(NotCounted::BeforeCure),
        (Some(_), _, _) if test.load < proof.load => Some(NotCounted::Load),
        (Some(_), Some(_), None) => Some(NotCounted::HoldNotSaid),
        (Some(_), Some(asked), Some(found)) if found < asked => Some(NotCounted::Hold),
        (Some(_), Some(_), Some(_)) | (Some(_), None, _) => {
            let missing = proof.displacement.is_some() && test.displacement.is_none();
            missing.then_some(NotCounted::DisplacementNotSaid)
        }
    };
    not.map_or(Judged::Passed, Judged::NotCounted)
}

/// Tests of a group, counted by fixing: one that failed once has failed.
#[derive(Clone, Debug, Default)]
pub struct Tally {
    passed: Vec<String>,
    failed: Vec<String>,
}

impl Tally {
    /// Takes a judged test in.
    pub fn take(&mut self, fixing: &str, judged: Judged) {
        let list = match judged {
            Judged::Passed => &mut self.passed,
            Judged::Failed => &mut self.failed,
            Judged::NotCounted(_) => return,
        };
        if !list.iter().any(|name| name == fixing) {
            list.push(fixing.to_owned());
        }
    }

    /// Fixings of which a test counts.
    pub fn tested(&self) -> u32 {
        let passed = self.passed.iter().filter(|name| !self.failed.contains(name)).count();
        u32::try_from(passed + self.failed.len()).unwrap_or(u32::MAX)
    }

    /// Fixings that failed.
    pub fn failed(&self) -> u32 {
        u32::try_from(self.failed.len()).unwrap_or(u32::MAX)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a broken expectation must stop the test")]
mod tests {
    use super::{Asked, Judged, NotCounted, Tally, judge};
    use crate::job::Length;
    use crate::job::sampling::{Force, ProofTests, Sample};
    use crate::proof_test::ProofTests as File;
    use holdoff_core::quantity::Span;

    fn judged(lines: &str, cured: Option<i64>) -> Judged {
        let proof = ProofTests {
            sample: Sample::All,
            load: Force::from_newtons(9000).unwrap(),
            hold: Some(Span::from_seconds(180)),
            displacement: Length::from_micrometres(200),
            after_one_failure: None,
            after_more_failures: None,
        };
        let text = format!("[[test]]\nfixing = \"a\"\nat = 1970-01-01T01:00:00Z\ntester = \"b\"\n{lines}");
        judge(File::parse("t", &text).unwrap().tests.first().unwrap(), Asked { proof: &proof, cured })
    }

    #[test]
    fn a_pass_counts_only_where_all_that_was_asked_for_was_kept_after_the_cure() {
        let whole = "load_kn = 9\nhold = \"3min\"\ndisplacement_mm = 0.2\nverdict = \"passed\"\n";
        assert_eq!(judged(whole, Some(3600)), Judged::Passed);
        let cases = [
            (whole.to_owned(), None, NotCounted::CureUnknown),
            (whole.to_owned(), Some(3601), NotCounted::BeforeCure),
            (whole.replace("= 9", "= 8.999"), Some(0), NotCounted::Load),
            (whole.replace("3min", "179s"), Some(0), NotCounted::Hold),
            (whole.replace("hold = \"3min\"\n", ""), Some(0), NotCounted::HoldNotSaid),
            (whole.replace("displacement_mm = 0.2\n", ""), Some(0), NotCounted::DisplacementNotSaid),
        ];
        for (lines, cured, why) in cases {
            assert_eq!(judged(&lines, cured), Judged::NotCounted(why), "{lines}");
        }
    }

    #[test]
    fn a_failure_counts_whatever_else_is_missing() {
        assert_eq!(judged("load_kn = 1\nverdict = \"failed\"\n", None), Judged::Failed);
        let beyond = "load_kn = 9\nhold = \"3min\"\ndisplacement_mm = 0.201\nverdict = \"passed\"\n";
        assert_eq!(judged(beyond, Some(0)), Judged::Failed);
    }

    #[test]
    fn a_fixing_counts_once_and_a_failure_stays() {
        let mut tally = Tally::default();
        let tests = [("a", Judged::Passed), ("a", Judged::Failed), ("a", Judged::Passed), ("b", Judged::Passed)];
        for (fixing, judged) in tests {
            tally.take(fixing, judged);
        }
        tally.take("c", Judged::NotCounted(NotCounted::Load));
        assert_eq!((tally.tested(), tally.failed()), (2, 1));
    }
}
