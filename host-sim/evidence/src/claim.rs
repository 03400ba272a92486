//! What an output may say of a fixing: the one order of claims, asked by every output.
//!
//! | | claim | what it stands for |
//! | --- | --- | --- |
//! | 1 | not trusted | the log that says it has a hole, or contradicts itself |
//! | 2 | contradicted | other evidence says otherwise |
//! | 3 | void | a release that does not hold, or any signature of the session that does not |
//! | 4 | not covered | keys were given, and no signature of theirs covers the stage |
//! | 5 | stage | as the engine has it |
//!
//! Invariant: only the last may lead anybody to torque or load a fixing. A rejection needs nobody to vouch for it: it is
//! passed on as it is, unless other evidence contradicts the log.
//! What it does not do: make words, or know where the evidence is kept.

use super::contradiction::Conflict;
use super::cover::Cover;
use super::doubt::NotProved;
use super::finding::Untrusted;
use super::memory::{Fixing, LogPlace, Proving, Session};
use super::proof::Why;
use holdoff_core::log::StageWord;

/// What a claim is made of.
#[derive(Clone, Copy, Debug)]
pub struct Grounds<'e> {
    /// The stage as the engine has it.
    pub stage: StageWord,
    /// Where the log has it from; `None` where that is not recorded yet.
    pub stage_at: Option<LogPlace>,
    /// Why the log cannot be trusted; `None` where it can.
    pub untrusted: Option<Untrusted>,
    /// What contradicts it.
    pub conflicts: &'e [Conflict],
    /// Why the release of the fixing is not proved; `None` where it is, or nobody held it against keys, or there is none.
    pub not_proved: Option<&'e NotProved>,
    /// Why a signature of the session fails, its own or another fixing's.
    pub failed: Option<&'e NotProved>,
    /// How far signatures of known keys cover the session.
    pub cover: Cover,
}

/// What may be said of a fixing.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Claim<'e> {
    /// Its log cannot be trusted.
    NotTrusted(Untrusted),
    /// Other evidence says otherwise; there is one conflict at least.
    Contradicted(&'e [Conflict]),
    /// Its release does not hold.
    Void(&'e NotProved),
    /// A signature in its log does not hold, so that nothing in it is believed.
    LogVoid(&'e NotProved),
    /// Its stage, which no signature of a known key covers.
    NotCovered(StageWord, Cover),
    /// Its stage.
    Stage(StageWord, Backing),
}

/// What stands behind a stage.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Backing {
    /// A signature of a known key covers it.
    Signed,
    /// It was held against no keys.
    NoKeys,
    /// It forbids to load, and needs nothing behind it.
    Needless,
}

/// What may be said of a fixing.
pub fn claim<'e>(of: &Grounds<'e>) -> Claim<'e> {
    let forbids = match of.stage {
        StageWord::Rejected | StageWord::Removed => true,
        StageWord::Planned
        | StageWord::Refused
        | StageWord::Working
        | StageWord::Curing
        | StageWord::Held
        | StageWord::Cured
        | StageWord::Released
        | StageWord::AcceptedAsIs => false,
    };
    if let Some(why) = of.untrusted
        && !forbids
    {
        return Claim::NotTrusted(why);
    }
    if !of.conflicts.is_empty() {
        return Claim::Contradicted(of.conflicts);
    }
    if forbids {
        return Claim::Stage(of.stage, Backing::Needless);
    }
    match (of.stage, of.not_proved, of.failed) {
        (StageWord::Cured | StageWord::Released, Some(why), _) => return Claim::Void(why),
        (_, _, Some(why)) => return Claim::LogVoid(why),
        (_, _, None) => {}
    }
    match of.cover {
        Cover::NoKeys => Claim::Stage(of.stage, Backing::NoKeys),
        Cover::Nothing | Cover::UpTo { .. } if of.stage_at.is_some_and(|place| of.cover.reaches(place)) => {
            Claim::Stage(of.stage, Backing::Signed)
        }
        Cover::Nothing | Cover::UpTo { .. } => Claim::NotCovered(of.stage, of.cover),
    }
}

/// What may be said of a release that is known by its code alone.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum CodeClaim<'e> {
    /// Other evidence says otherwise.
    Contradicted(&'e Conflict),
    /// Its signature does not hold.
    Void(&'e NotProved),
    /// It was held against no keys, so that anybody may have made it up.
    NotChecked,
    /// A known key signed it.
    Signed,
}

/// The same order, of a release code alone: its log is not there, and its own signature is all that covers it.
pub const fn claim_of_code<'e>(conflict: Option<&'e Conflict>, why: Option<&'e Why>) -> CodeClaim<'e> {
    match (conflict, why) {
        (Some(conflict), _) => CodeClaim::Contradicted(conflict),
        (None, Some(Why::Not(why))) => CodeClaim::Void(why),
        (None, None) => CodeClaim::NotChecked,
        (None, Some(Why::Proved(_))) => CodeClaim::Signed,
    }
}

impl CodeClaim<'_> {
    /// The short fixed word of `docs/interfaces.md`.
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Contradicted(_) => "contradicted",
            Self::Void(_) => "void",
            Self::NotChecked => "not-covered",
            Self::Signed => "stage",
        }
    }
}

impl Claim<'_> {
    /// The short fixed word of `docs/interfaces.md`.
    pub const fn word(&self) -> &'static str {
        match self {
            Self::NotTrusted(_) => "not-trusted",
            Self::Contradicted(_) => "contradicted",
            Self::Void(_) => "void",
            Self::LogVoid(_) => "log-void",
            Self::NotCovered(..) => "not-covered",
            Self::Stage(..) => "stage",
        }
    }

    /// The stage as the engine has it, covered or not; `None` where something stands against it.
    pub const fn stage(&self) -> Option<StageWord> {
        match self {
            Self::NotTrusted(_) | Self::Contradicted(_) | Self::Void(_) | Self::LogVoid(_) => None,
            Self::NotCovered(stage, _) | Self::Stage(stage, _) => Some(*stage),
        }
    }
}

impl Fixing {
    /// What a claim about it is made of.
    pub fn grounds<'e>(&'e self, session: &'e Session) -> Grounds<'e> {
        Grounds {
            stage: self.seen().word,
            stage_at: self.stage_at,
            untrusted: session.untrusted,
            conflicts: &self.conflicts,
            not_proved: match &self.proving {
                Proving::NotProved(why) => Some(why),
                Proving::Proved(_) | Proving::NoKeys | Proving::NoRelease => None,
            },
            failed: session.failed.as_ref(),
            cover: session.cover,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::contradiction::{Conflict, Contradiction, Piece};
    use super::{Backing, Claim, Cover, Grounds, LogPlace, NotProved, StageWord, Untrusted, claim};

    const SIGNED: Cover = Cover::UpTo { page: 2, items: 5 };

    fn conflicts() -> [Conflict; 1] {
        let piece = |source: &str| Piece { source: source.to_owned(), taken_in: 0 };
        [Conflict { what: Contradiction::OtherInjection, pieces: [piece("a.bin"), piece("b.bin")] }]
    }

    /// Whether the claim is a stage that may lead anybody to torque or load.
    fn leads_on(claim: &Claim<'_>) -> bool {
        matches!(claim, Claim::Stage(StageWord::Cured | StageWord::Released | StageWord::AcceptedAsIs, _))
    }

    #[test]
    fn the_first_doubt_in_the_order_is_what_is_said() {
        let (conflicts, why) = (conflicts(), NotProved::SignedOverOtherLog);
        let all = Grounds {
            stage: StageWord::Released,
            stage_at: Some(LogPlace { page: 2, item: 5 }),
            untrusted: Some(Untrusted::TailMissing),
            conflicts: &conflicts,
            not_proved: Some(&why),
            failed: Some(&why),
            cover: SIGNED,
        };
        let no_hole = Grounds { untrusted: None, ..all };
        let agreed = Grounds { conflicts: &[], ..no_hole };
        let own_holds = Grounds { not_proved: None, ..agreed };
        let all_hold = Grounds { failed: None, ..own_holds };
        let covered = Grounds { stage_at: Some(LogPlace { page: 2, item: 4 }), ..all_hold };
        assert_eq!(claim(&all), Claim::NotTrusted(Untrusted::TailMissing));
        assert_eq!(claim(&no_hole), Claim::Contradicted(&conflicts));
        assert_eq!(claim(&agreed), Claim::Void(&why));
        assert_eq!(claim(&own_holds), Claim::LogVoid(&why));
        assert_eq!(claim(&all_hold), Claim::NotCovered(StageWord::Released, SIGNED));
        assert_eq!(claim(&covered), Claim::Stage(StageWord::Released, Backing::Signed));
        assert_eq!(
            claim(&Grounds { cover: Cover::NoKeys, ..all_hold }),
            Claim::Stage(StageWord::Released, Backing::NoKeys)
        );
        assert_eq!(
            claim(&Grounds { stage_at: None, ..covered }),
            Claim::NotCovered(StageWord::Released, SIGNED),
            "a stage that the power was cut before it was recorded"
        );
    }

    #[test]
    fn no_stage_with_any_doubt_leads_on() {
        let (conflicts, why) = (conflicts(), NotProved::Replaced);
        for stage in StageWord::ALL {
            let sound = Grounds {
                stage,
                stage_at: Some(LogPlace { page: 0, item: 0 }),
                untrusted: None,
                conflicts: &[],
                not_proved: None,
                failed: None,
                cover: SIGNED,
            };
            let doubts = [
                Grounds { untrusted: Some(Untrusted::Recorded), ..sound },
                Grounds { conflicts: &conflicts, ..sound },
                Grounds { failed: Some(&why), ..sound },
                Grounds { cover: Cover::Nothing, ..sound },
            ];
            assert!(doubts.iter().all(|doubt| !leads_on(&claim(doubt))), "{stage:?}");
        }
    }

    #[test]
    fn a_rejection_stays_what_it_is_unless_it_is_contradicted() {
        let (conflicts, why) = (conflicts(), NotProved::Replaced);
        for stage in [StageWord::Rejected, StageWord::Removed] {
            let grounds = Grounds {
                stage,
                stage_at: None,
                untrusted: Some(Untrusted::Recorded),
                conflicts: &[],
                not_proved: Some(&why),
                failed: Some(&why),
                cover: Cover::Nothing,
            };
            assert_eq!(claim(&grounds), Claim::Stage(stage, Backing::Needless));
            assert_eq!(claim(&Grounds { conflicts: &conflicts, ..grounds }), Claim::Contradicted(&conflicts));
        }
    }
}
