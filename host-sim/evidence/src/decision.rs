//! Signed decisions of the engineer: signing one, holding one against the engineers of a job, and against a log.
//!
//! What for: what somebody enters at a logger as the engineer's decision is a note; it counts as the engineer's only when a key
//! that the job file names signed it (rule H8, `docs/decision.md`).
//! Invariants: a [`Decided`] is made of a decision that [`engineer_of`] let through, or read back from a register that took it in
//! so; it makes nothing loadable: the stage of the fixing stays the log's.
//! Why another implementation verifies than signs: see [`crate::keys::verify`].
//! What it does not do: keep decisions, open files, or make words.

use crate::contradiction::Conflict;
use crate::keys::verify::holds;
use holdoff_core::fixing::{Decision, Grounds};
use holdoff_core::log::{StageSeen, StageWord};
use holdoff_core::seal::{KeyError, SecretKey, decision_message};
use holdoff_files::decision::{Said, Signed};
use holdoff_files::job::{Engineer, Job};

/// A decision whose signature held against a job's engineer when it was taken in.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Decided {
    /// What becomes of the fixing.
    pub decision: Decision,
    /// Who decided.
    pub name: String,
    /// Where it is written.
    pub document: String,
    /// Why.
    pub reason: String,
    /// When, as the engineer wrote it.
    pub at: String,
    /// The engineer's public key.
    pub public: [u8; 32],
}

impl Decided {
    /// Of a decision that an engineer of the job signed.
    pub fn of(signed: &Signed) -> Self {
        let said = signed.said.clone();
        Self {
            decision: said.decision,
            name: said.name,
            document: said.document,
            reason: said.reason,
            at: said.at,
            public: *signed.public.bytes(),
        }
    }
}

/// Why a decision is none of an engineer of the job.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum NotEngineers {
    /// No job file that was given names its key.
    UnknownKey,
    /// The job file names the key for somebody else.
    OtherName {
        /// For whom.
        engineer: String,
    },
    /// The job file that names the key has no such fixing.
    NotInJob,
    /// What it says was changed, or its key did not sign it.
    SignatureFails,
}

/// Signs a decision.
///
/// # Errors
/// The signature did not verify: the memory or the processor has erred.
pub fn sign(said: Said, key: &SecretKey) -> Result<Signed, KeyError> {
    let signature = key.sign_decision(&said.digest())?;
    Ok(Signed { said, public: key.public(), signature })
}

/// The engineer of a job who signed a decision, and the place of that job among those given.
///
/// # Errors
/// [`NotEngineers`]: it counts as nobody's.
pub fn engineer_of<'j>(
    signed: &Signed,
    jobs: impl IntoIterator<Item = &'j Job>,
) -> Result<(usize, &'j Engineer), NotEngineers> {
    let mut why = NotEngineers::UnknownKey;
    for (place, job) in jobs.into_iter().enumerate() {
        let Some(engineer) = job.engineers.iter().find(|engineer| engineer.public == signed.public) else { continue };
        if engineer.name != signed.said.name {
            why = NotEngineers::OtherName { engineer: engineer.name.clone() };
            continue;
        }
        if !job.groups.iter().flat_map(|group| &group.fixings).any(|fixing| fixing.name == signed.said.fixing) {
            why = NotEngineers::NotInJob;
            continue;
        }
        if !holds(&decision_message(&signed.said.digest()), &signed.signature, &signed.public) {
            return Err(NotEngineers::SignatureFails);
        }
        return Ok((place, engineer));
    }
    Err(why)
}

/// What a log says otherwise than a decision on a fixing in it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Otherwise {
    /// The fixing is not rejected.
    NotRejected(StageWord),
    /// It is rejected for other grounds.
    OtherGrounds(Grounds),
    /// The logger was told the other decision.
    OtherDecision,
}

/// Holds what was decided against what the log says of its fixing; `None` where they agree.
pub fn otherwise(grounds: Grounds, decision: Decision, seen: &StageSeen) -> Option<Otherwise> {
    let entered = match seen.word {
        StageWord::Rejected => None,
        StageWord::AcceptedAsIs => Some(Decision::Accept),
        StageWord::Removed => Some(Decision::Remove),
        word @ (StageWord::Planned
        | StageWord::Refused
        | StageWord::Working
        | StageWord::Curing
        | StageWord::Held
        | StageWord::Cured
        | StageWord::Released) => return Some(Otherwise::NotRejected(word)),
    };
    if seen.grounds != grounds {
        return Some(Otherwise::OtherGrounds(seen.grounds));
    }
    entered.filter(|entered| *entered != decision).map(|_| Otherwise::OtherDecision)
}

/// What is said of the engineer's decision beside a fixing. It says who decided and nothing more: the claim of the fixing is the
/// same with it and without it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Beside<'d> {
    /// An engineer of the job signed it.
    Signed(&'d Decided),
    /// Somebody entered it at the logger, and no signed decision is there.
    Entered,
}

/// What is said of the engineer's decision beside a fixing of this stage; `None` where there is none, or where evidence
/// contradicts itself: a decision may be what it contradicts.
pub const fn beside<'d>(stage: StageWord, decided: Option<&'d Decided>, conflicts: &[Conflict]) -> Option<Beside<'d>> {
    if !conflicts.is_empty() {
        return None;
    }
    match (stage, decided) {
        (StageWord::Rejected | StageWord::AcceptedAsIs | StageWord::Removed, Some(decided)) => {
            Some(Beside::Signed(decided))
        }
        (StageWord::AcceptedAsIs | StageWord::Removed, None) => Some(Beside::Entered),
        (StageWord::Rejected, None)
        | (
            StageWord::Planned
            | StageWord::Refused
            | StageWord::Working
            | StageWord::Curing
            | StageWord::Held
            | StageWord::Cured
            | StageWord::Released,
            _,
        ) => None,
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a broken expectation must stop the test")]
mod tests {
    use super::{Beside, Decided, Otherwise, beside, otherwise, sign};
    use crate::keys::verify::holds;
    use holdoff_core::fixing::{Decision, Ground, Grounds};
    use holdoff_core::log::{DeviceId, StageSeen, StageWord};
    use holdoff_core::seal::{SecretKey, decision_message};
    use holdoff_files::decision::{Said, Signed};

    fn signed() -> Signed {
        let said = Said {
            fixing: "B3-2".to_owned(),
            device: DeviceId([7; 8]),
            grounds: Grounds::only(Ground::SeatedLate),
            decision: Decision::Accept,
            reason: "the load is small".to_owned(),
            document: "D-17".to_owned(),
            name: "E. Invented".to_owned(),
            at: "2026-12-01T10:00:00+01:00".to_owned(),
        };
        sign(said, &SecretKey::from_seed([5; 32]).unwrap()).unwrap()
    }

    #[test]
    fn a_signature_holds_for_the_very_bytes_behind_the_context_of_a_decision() {
        let made = signed();
        let message = decision_message(&made.said.digest());
        assert!(holds(&message, &made.signature, &made.public));
        assert!(!holds(&made.said.digest(), &made.signature, &made.public), "without the context");
        for bit in 0..message.len() * 8 {
            let mut flipped = message;
            flipped[bit / 8] ^= 1 << (bit % 8);
            assert!(!holds(&flipped, &made.signature, &made.public), "bit {bit}");
        }
        for bit in 0..512 {
            let mut flipped = made.signature;
            flipped[bit / 8] ^= 1 << (bit % 8);
            assert!(!holds(&message, &flipped, &made.public), "bit {bit}");
        }
        let other = SecretKey::from_seed([6; 32]).unwrap().public();
        assert!(!holds(&message, &made.signature, &other));
    }

    #[test]
    fn a_decision_agrees_with_the_rejection_it_was_made_on_alone() {
        let grounds = Grounds::only(Ground::SeatedLate);
        for word in StageWord::ALL {
            let seen = StageSeen { word, since: None, grounds };
            let found = otherwise(grounds, Decision::Accept, &seen);
            match word {
                StageWord::Rejected | StageWord::AcceptedAsIs => assert_eq!(found, None),
                StageWord::Removed => assert_eq!(found, Some(Otherwise::OtherDecision)),
                other => assert_eq!(found, Some(Otherwise::NotRejected(other))),
            }
        }
        let more = StageSeen { word: StageWord::Rejected, since: None, grounds: grounds.with(Ground::OverTorque) };
        assert_eq!(otherwise(grounds, Decision::Remove, &more), Some(Otherwise::OtherGrounds(more.grounds)));
    }

    #[test]
    fn a_decision_is_told_beside_a_rejection_and_nowhere_else() {
        let decided = Decided::of(&signed());
        for word in StageWord::ALL {
            let rejected = matches!(word, StageWord::Rejected | StageWord::AcceptedAsIs | StageWord::Removed);
            assert_eq!(beside(word, Some(&decided), &[]), rejected.then_some(Beside::Signed(&decided)));
            let entered = matches!(word, StageWord::AcceptedAsIs | StageWord::Removed);
            assert_eq!(beside(word, None, &[]), entered.then_some(Beside::Entered));
        }
    }
}
