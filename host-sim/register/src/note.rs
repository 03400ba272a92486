//! What is told of an addition besides its releases.

use holdoff_evidence::{Finding, Piece};
use holdoff_present::words::{EvidencePhrase as P, Speech, Worded};
use serde::Serialize;

/// Something amiss with what was taken in, or what it changes of what was held.
#[derive(Clone, PartialEq, Eq, Debug, Serialize)]
#[serde(untagged)]
pub enum Note {
    /// Something is amiss with the image.
    Found(Finding),
    /// Something about what the register holds.
    Held(HeldNote),
}

/// What an addition means for what the register holds.
#[derive(Clone, PartialEq, Eq, Debug, Serialize)]
#[serde(tag = "code", rename_all = "kebab-case")]
pub enum HeldNote {
    /// Of a session a later view is held already.
    LaterView {
        /// The first page of the session.
        page: u32,
    },
    /// A release that was held is replaced by this one (rule A4).
    ReplacedByThis {
        /// Where the replaced one came from.
        held: Piece,
    },
}

impl Worded for Note {
    fn words(&self, speech: Speech) -> String {
        match self {
            Self::Found(finding) => finding.words(speech),
            Self::Held(note) => note.words(speech),
        }
    }
}

impl Worded for HeldNote {
    fn words(&self, speech: Speech) -> String {
        match self {
            Self::LaterView { page } => speech.fill(P::LaterView, &[("page", &page.to_string())]),
            Self::ReplacedByThis { held } => speech.fill(P::ReplacedByThis, &[("source", &held.words(speech))]),
        }
    }
}
