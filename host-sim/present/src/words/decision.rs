//! The engineer's decision in words, and why one is not taken.

use super::{DecisionPhrase as P, Speech};
use holdoff_core::fixing::Decision;
use holdoff_core::log::StageWord;
use holdoff_evidence::Conflict;
use holdoff_evidence::decision::{Beside, Decided, NotEngineers, beside};
use holdoff_files::problem::visible;

impl Speech {
    /// What is said of the engineer's decision beside a fixing of this stage; `None` where there is none.
    pub fn decision_beside(
        self,
        stage: StageWord,
        decided: Option<&Decided>,
        conflicts: &[Conflict],
    ) -> Option<String> {
        Some(match beside(stage, decided, conflicts)? {
            Beside::Signed(decided) => self.decided(decided),
            Beside::Entered => self.say(P::Entered).to_owned(),
        })
    }

    /// Who decided what, and where it is written.
    pub fn decided(self, decided: &Decided) -> String {
        let decision = self.say(match decided.decision {
            Decision::Accept => P::Accept,
            Decision::Remove => P::Remove,
        });
        let (name, document) = (visible(&decided.name), visible(&decided.document));
        self.fill(P::Signed, &[("name", &name), ("document", &document), ("decision", decision)])
    }
}

/// Why a decision is none of an engineer of the job, and what to do: in English, as every message about a file.
pub fn not_engineers(why: &NotEngineers) -> (String, &'static str) {
    match why {
        NotEngineers::UnknownKey => (
            "no [[engineer]] of the job has the key that it names".to_owned(),
            "give with --job the job file that names the engineer, whose key the engineer confirms",
        ),
        NotEngineers::OtherName { engineer } => (
            format!("its key is that of engineer {}, and it names somebody else", visible(engineer)),
            "ask the engineer for a decision in their own name",
        ),
        NotEngineers::NotInJob => (
            "the job that names its engineer has no fixing of this name".to_owned(),
            "give with --job the job file that the fixing is in",
        ),
        NotEngineers::SignatureFails => (
            "its signature fails: it was changed, or the key did not sign it".to_owned(),
            "believe nothing in it, and ask the engineer for the file as it was signed",
        ),
    }
}
