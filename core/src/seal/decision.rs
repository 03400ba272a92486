//! Signing an engineer's decision on a rejected fixing.
//!
//! What for: a decision is signed with the same kind of key as a release, and neither can be taken for the other.
//! Why a digest: what a decision says is text of any length, which the PC puts together (`docs/decision.md`); the core signs
//! its SHA-256 behind a context of its own.
//! What it does not do: know what a decision says, or verify one.

use super::key::{KeyError, SecretKey, SignatureBytes};
use super::signature::joined;

/// What every signed message of a decision begins with, and of nothing else.
pub const DECISION_CONTEXT: [u8; 24] = *b"holdoff decision record\n";

/// Bytes of the message that is signed.
pub const DECISION_MESSAGE: usize = DECISION_CONTEXT.len() + 32;

/// The message that is signed for a decision with this SHA-256.
pub fn decision_message(digest: &[u8; 32]) -> [u8; DECISION_MESSAGE] {
    let mut message = [0; DECISION_MESSAGE];
    joined(&DECISION_CONTEXT, digest, &mut message);
    message
}

impl SecretKey {
    /// Signs the decision with this SHA-256.
    ///
    /// # Errors
    /// [`KeyError::Erred`] when the signature does not verify.
    pub fn sign_decision(&self, digest: &[u8; 32]) -> Result<SignatureBytes, KeyError> {
        self.sign(&decision_message(digest))
    }
}
