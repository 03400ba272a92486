//! Proof tests on the page: what was asked for, what was handed in, and what it comes to.

use super::objection::Objection;
use super::specification::sampling;
use super::values::table;
use crate::words::{ReportPhrase as P, Speech};
use holdoff_files::job::sampling::SampleState;
use holdoff_files::job::{Group, kilonewtons, thousandths};
use holdoff_files::proof_test::{Asked, Judged, NotCounted, ProofTest, ProofTests, Tally, Verdict, is_early, judge};
use holdoff_files::stamp::format_seconds;
use maud::{Markup, html};

/// What a test is held against on this page.
#[derive(Clone, Copy, Debug)]
pub(super) struct Against<'a> {
    pub(super) speech: Speech,
    /// The group of the fixing in the job file.
    pub(super) group: Option<&'a Group>,
    /// What was handed in; `None` where nothing was.
    pub(super) tests: Option<&'a ProofTests>,
}

impl Against<'_> {
    /// What comes of a test; `None` where the job file asks for none.
    fn judged(&self, test: &ProofTest, cured: Option<i64>) -> Option<Judged> {
        let proof = self.group?.proof.as_ref()?;
        Some(judge(test, Asked { proof, cured }))
    }

    /// What the tests of a fixing say against it; `cured` on the wall clock.
    pub(super) fn objections(&self, label: &str, cured: Option<i64>) -> Vec<Objection> {
        let own = self.tests.iter().flat_map(|tests| &tests.tests).filter(|test| test.fixing == label);
        own.flat_map(|test| Objection::of_test(test, self.judged(test, cured), cured)).collect()
    }

    /// Whether the job file asks for tests of the group.
    fn asked(&self) -> bool {
        self.group.is_some_and(|group| group.proof.is_some())
    }

    /// The section on the sheet of a fixing; `cured` on the wall clock.
    pub(super) fn of_fixing(&self, label: &str, cured: Option<i64>) -> Markup {
        let speech = self.speech;
        let own: Vec<&ProofTest> =
            self.tests.iter().flat_map(|tests| &tests.tests).filter(|test| test.fixing == label).collect();
        html! {
            section.tests {
                h3 { (speech.say(P::ProofTests)) }
                @if own.is_empty() {
                    p { (speech.say(if self.tests.is_none() { P::NoTestsGiven } else { P::NotTested })) }
                } @else {
                    (self.table(&own, &|_| cured))
                }
                @if self.group.is_some() && !self.asked() { p { (speech.say(P::NoTestsAsked)) } }
            }
        }
    }

    /// The part about proof tests of a group; `cured` gives the cure of a fixing on the wall clock.
    pub(super) fn of_group(&self, cured: &dyn Fn(&str) -> Option<i64>) -> Markup {
        let speech = self.speech;
        let Some(group) = self.group else { return html! {} };
        let handed: Vec<&ProofTest> = self
            .tests
            .iter()
            .flat_map(|tests| &tests.tests)
            .filter(|test| group.fixings.iter().any(|fixing| fixing.name == test.fixing))
            .collect();
        let mut tally = Tally::default();
        for test in &handed {
            if let Some(judged) = self.judged(test, cured(&test.fixing)) {
                tally.take(&test.fixing, judged);
            }
        }
        html! {
            h3 { (speech.say(P::ProofTests)) }
            @match &group.proof {
                Some(proof) => {
                    (sampling(speech, group, proof))
                    @let standing = proof.standing(group.number(), tally.tested(), tally.failed());
                    p class=(if matches!(standing, SampleState::Passed { .. }) { "standing panel" } else { "standing alarm" }) {
                        @if self.tests.is_none() { (speech.say(P::NoTestsGiven)) " " }
                        (self.standing(standing, &tally))
                    }
                }
                None => { p { (speech.say(P::NoTestsAsked)) } }
            }
            @if !handed.is_empty() { (self.table(&handed, cured)) }
        }
    }

    fn standing(&self, standing: SampleState, tally: &Tally) -> String {
        let number = |number: u32| number.to_string();
        let (tested, failures) = (number(tally.tested()), number(tally.failed()));
        let with = |phrase, required: u32, more: u32| {
            self.speech.fill(
                phrase,
                &[
                    ("tested", &*tested),
                    ("failed", &failures),
                    ("required", &number(required)),
                    ("more", &number(more)),
                ],
            )
        };
        match standing {
            SampleState::Missing { required, more } => with(P::MoreTests, required, more),
            SampleState::Passed { required } => with(P::AllPassed, required, 0),
            SampleState::Failures { required, .. } => with(P::SomeFailed, required, 0),
            SampleState::EngineerDecides { .. } => with(P::FailedDecides, 0, 0),
        }
    }

    fn table(&self, tests: &[&ProofTest], cured: &dyn Fn(&str) -> Option<i64>) -> Markup {
        let speech = self.speech;
        let heads = [P::Fixing, P::When, P::LoadOf, P::HeldOf, P::Displacement, P::SaidByTester, P::CountsAs];
        let heads = heads.map(|head| speech.say(head));
        let not_said = || speech.say(P::NotSaid).to_owned();
        table(
            "proof-tests",
            &heads,
            &html! {
                @for test in tests {
                    @let at = format_seconds(test.at.floor_seconds(), test.at.offset_seconds());
                    @let judged = self.judged(test, cured(&test.fixing));
                    tr {
                        th scope="row" { (test.fixing) }
                        td { time datetime=(at) { (at) } }
                        td { (speech.decimal(kilonewtons(test.load))) " kN" }
                        td { (test.hold.map_or_else(not_said, |hold| speech.length(u64::from(hold.seconds())))) }
                        td { (test.displacement.map_or_else(not_said, |found| format!("{} mm", speech.decimal(thousandths(found.into()))))) }
                        td {
                            (speech.say(said(test.verdict))) ", " (test.tester)
                            @if let Some(note) = &test.note { (speech.colon()) (note) }
                        }
                        td { (self.counts(test, judged, cured(&test.fixing))) }
                    }
                }
            },
        )
    }

    /// What a test counts as; that a fixing was loaded early is said whatever else there is to say.
    fn counts(&self, test: &ProofTest, judged: Option<Judged>, cured: Option<i64>) -> String {
        let speech = self.speech;
        let not = |why: P| speech.fill(P::CountsNot, &[("why", speech.say(why))]);
        let word = match judged {
            None => speech.say(P::NotJudged).to_owned(),
            Some(Judged::Passed) => speech.say(P::TestPassed).to_owned(),
            Some(Judged::Failed) if test.verdict == Verdict::Passed => speech.say(P::FailedBeyond).to_owned(),
            Some(Judged::Failed) => speech.say(P::TestFailed).to_owned(),
            Some(Judged::NotCounted(NotCounted::BeforeCure)) => return not(P::BeforeCure),
            Some(Judged::NotCounted(NotCounted::CureUnknown)) => not(P::CureUnknown),
            Some(Judged::NotCounted(NotCounted::Load)) => not(P::LoadTooLow),
            Some(Judged::NotCounted(NotCounted::Hold)) => not(P::HoldTooShort),
            Some(Judged::NotCounted(NotCounted::HoldNotSaid)) => not(P::HoldNotSaid),
            Some(Judged::NotCounted(NotCounted::DisplacementNotSaid)) => not(P::DisplacementNotSaid),
        };
        if is_early(test, cured) { speech.listed(&[&*word, speech.say(P::BeforeCure)]) } else { word }
    }
}

const fn said(verdict: Verdict) -> P {
    match verdict {
        Verdict::Passed => P::TestPassed,
        Verdict::Failed => P::TestFailed,
    }
}
