//! A claim in words: the headline and the sentence that every output shows of a fixing.
//!
//! Invariant: nothing here says that a fixing may be torqued, is released, or may be loaded, but of a stage that the order of
//! claims (`holdoff_evidence::claim()`) let through.

use super::{ProofPhrase as P, Speech, StatusPhrase, Worded};
use holdoff_core::log::StageWord;
use holdoff_core::quantity::Instant;
use holdoff_evidence::{Backing, Claim, Conflict, Cover, Piece, StageFacts, leads_on};
use holdoff_files::problem::shown_file;
use holdoff_files::stamp::format_seconds;

/// What is said of a fixing.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ClaimWords {
    /// In capitals.
    pub headline: &'static str,
    /// The same as a sentence.
    pub sentence: String,
    /// What is said in weight beside it: that no signature covers it, or that it was held against no key.
    pub weight: Option<String>,
}

impl Speech {
    /// A claim in words; `told` is the fixing as the engine has it, `time` shows an instant as the clock on the wall did.
    pub fn standing(&self, claim: &Claim<'_>, told: &StageFacts, time: &dyn Fn(Instant) -> String) -> ClaimWords {
        let plain = |headline: P, sentence: String| ClaimWords { headline: self.say(headline), sentence, weight: None };
        match claim {
            Claim::NotTrusted(why) => plain(P::UntrustedHead, self.do_not_load(why)),
            Claim::Contradicted(conflicts) => plain(P::ContradictedHead, self.contradicted(conflicts)),
            Claim::Void(why) => plain(P::VoidHead, self.do_not_load(*why)),
            Claim::LogVoid(why) => plain(P::LogVoidHead, self.fill(P::LogVoid, &[("why", &why.words(*self))])),
            Claim::NotCovered(word, cover) => {
                let (headline, sentence) = self.uncovered(*word, told, time);
                ClaimWords { headline, sentence, weight: Some(self.not_covered(*cover)) }
            }
            Claim::Stage(word, backing) => {
                let weight = self.rests_on(*word, *backing);
                ClaimWords { headline: self.told_headline(told), sentence: self.told_sentence(told, time), weight }
            }
        }
    }

    /// Headline and sentence of a stage that no signature covers.
    fn uncovered(
        &self,
        word: StageWord,
        told: &StageFacts,
        time: &dyn Fn(Instant) -> String,
    ) -> (&'static str, String) {
        let since = told.seen.since.map_or_else(|| self.say(StatusPhrase::UnknownTime).to_owned(), time);
        match word {
            StageWord::Cured => (self.say(P::CuredUncoveredHead), self.fill(P::CuredUncovered, &[("since", &since)])),
            StageWord::Released => {
                let torque = told
                    .torque
                    .map_or_else(|| self.say(StatusPhrase::UnknownTorque).to_owned(), |torque| self.torque(torque));
                let sentence = self.fill(P::TorquedUncovered, &[("since", &since), ("torque", &torque)]);
                (self.say(P::TorquedUncoveredHead), sentence)
            }
            StageWord::AcceptedAsIs => (self.say(P::DecidedUncoveredHead), self.say(P::DecidedUncovered).to_owned()),
            StageWord::Planned
            | StageWord::Refused
            | StageWord::Working
            | StageWord::Curing
            | StageWord::Held
            | StageWord::Rejected
            | StageWord::Removed => (self.told_headline(told), self.told_sentence(told, time)),
        }
    }

    /// What a stage that lets somebody torque or load rests on, where no signature was asked for; `None` elsewhere.
    fn rests_on(&self, word: StageWord, backing: Backing) -> Option<String> {
        (backing == Backing::NoKeys && leads_on(word)).then(|| self.say(P::HeldAgainstNone).to_owned())
    }

    /// That no signature covers something, and how far one does.
    fn not_covered(&self, cover: Cover) -> String {
        match cover {
            Cover::NoKeys | Cover::Nothing => self.say(P::NotCovered).to_owned(),
            Cover::UpTo { page, items } => {
                self.fill(P::NotCoveredSince, &[("page", &page.to_string()), ("item", &items.to_string())])
            }
        }
    }

    /// That evidence contradicts itself: what differs, and both pieces.
    fn contradicted(&self, conflicts: &[Conflict]) -> String {
        let all: Vec<String> = conflicts.iter().map(|conflict| conflict.words(*self)).collect();
        self.fill(P::DoNotLoad, &[("why", &self.listed(&all))])
    }
}

impl Worded for Conflict {
    fn words(&self, speech: Speech) -> String {
        let [held, came] = &self.pieces;
        let gaps = [("what", self.what.words(speech)), ("held", held.words(speech)), ("came", came.words(speech))];
        let gaps: Vec<(&str, &str)> = gaps.iter().map(|(name, text)| (*name, text.as_str())).collect();
        speech.fill(P::Conflict, &gaps)
    }
}

impl Worded for Piece {
    fn words(&self, speech: Speech) -> String {
        let source = if self.source.is_empty() {
            speech.say(super::EvidencePhrase::TypedIn).to_owned()
        } else {
            shown_file(&self.source)
        };
        let gaps = [("source", source.as_str()), ("time", &*format_seconds(self.taken_in, 0))];
        speech.fill(super::EvidencePhrase::Source, &gaps)
    }
}
