//! What a foreman does with a fixing.

use holdoff_core::log::StageWord;
use holdoff_evidence::row::{CodeRow, KeptFixing, KeptSession};
use holdoff_evidence::{Claim, CodeClaim};

/// A section of the page, in the order in which a foreman needs them.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Section {
    /// Injected and not seated: the working time runs.
    SeatNow,
    /// Cured: may be torqued.
    TorqueNow,
    /// Cured or torqued by what its memory says, and no signature covers that.
    NotSigned,
    /// Curing, with a forecast.
    Next,
    /// Curing without a forecast: held, or the readings have stopped.
    Held,
    /// Rejected, not proved, contradicted, or with a log that cannot be trusted.
    DoNotLoad,
    /// The last start was refused.
    DoNotInject,
    /// Nothing has been injected.
    Planned,
    /// Released.
    Released,
}

impl Section {
    /// All of them, in their order.
    pub const ALL: [Self; 9] = [
        Self::SeatNow,
        Self::TorqueNow,
        Self::NotSigned,
        Self::Next,
        Self::Held,
        Self::DoNotLoad,
        Self::DoNotInject,
        Self::Planned,
        Self::Released,
    ];

    /// A short fixed word, for scripts and style.
    pub const fn word(self) -> &'static str {
        match self {
            Self::SeatNow => "seat-now",
            Self::TorqueNow => "torque-now",
            Self::NotSigned => "not-signed",
            Self::Next => "next",
            Self::Held => "held",
            Self::DoNotLoad => "do-not-load",
            Self::DoNotInject => "do-not-inject",
            Self::Planned => "planned",
            Self::Released => "released",
        }
    }

    /// Where a fixing stands.
    pub fn of(session: &KeptSession, fixing: &KeptFixing) -> Self {
        let claim = fixing.claim(session);
        let Some(word) = claim.stage() else { return Self::DoNotLoad };
        match word {
            StageWord::Cured | StageWord::Released if matches!(claim, Claim::NotCovered(..)) => Self::NotSigned,
            StageWord::Planned => Self::Planned,
            StageWord::Refused => Self::DoNotInject,
            StageWord::Rejected | StageWord::AcceptedAsIs | StageWord::Removed => Self::DoNotLoad,
            StageWord::Working => Self::SeatNow,
            StageWord::Curing if fixing.announced_at.is_some() => Self::Next,
            StageWord::Curing | StageWord::Held => Self::Held,
            StageWord::Cured => Self::TorqueNow,
            StageWord::Released => Self::Released,
        }
    }

    /// Where a release stands that is known by its code alone. One that nobody proved releases nothing here.
    pub fn of_code(code: &CodeRow) -> Self {
        match (code.claim(), code.torque) {
            (CodeClaim::Signed, Some(_)) => Self::Released,
            (CodeClaim::Signed, None) => Self::TorqueNow,
            (CodeClaim::Contradicted(_) | CodeClaim::Void(_) | CodeClaim::NotChecked, _) => Self::DoNotLoad,
        }
    }
}
