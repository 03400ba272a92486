//! Verifying a release, or a head of a log, with an implementation other than the one that signed.
//!
//! What for: a mistake in what signs must not vouch for itself. On the device signs our own code (`seal::ed25519` of the
//! core); here verifies `ed25519-dalek`, strictly (`verify_strict`: no key of small order, no second spelling of a signature or key).
//! Everything but the record's own bytes is put together anew.

use super::{NamedKey, Ring, to_hex};
use crate::NotProved;
use ed25519_dalek::{Signature, VerifyingKey};
use holdoff_core::log::DeviceId;
use holdoff_core::seal::{
    Head, HeadView, KeyId, MOST_HEAD_MESSAGE, MOST_MESSAGE, PublicKey, ReleaseRecord, SealedView, SignatureBytes,
};

/// A release whose signature holds, and whose key counts for its device.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Proved<'r> {
    /// The key that signed.
    pub key: &'r NamedKey,
    record: ReleaseRecord,
}

impl Proved<'_> {
    /// What was signed.
    pub fn record(&self) -> &ReleaseRecord {
        &self.record
    }
}

/// Holds a sealed record against the keys of a ring.
///
/// # Errors
/// [`NotProved`] says why it proves nothing.
pub fn prove<'r>(sealed: &SealedView<'_>, ring: &'r Ring) -> Result<Proved<'r>, NotProved> {
    let record = sealed.unverified();
    let (named, device) = (record.particulars().key, record.particulars().device);
    let mut buffer = [0; MOST_MESSAGE];
    let signed = (sealed.message(&mut buffer), sealed.signature());
    signer(signed, (named, device), ring).map(|key| Proved { key, record: *record })
}

/// Holds a sealed head against the keys of a ring: the key that signed it, and what it says.
///
/// # Errors
/// [`NotProved`] says why it proves nothing.
pub fn prove_head<'r>(sealed: &HeadView<'_>, ring: &'r Ring) -> Result<(&'r NamedKey, Head), NotProved> {
    let head = *sealed.unverified();
    let mut buffer = [0; MOST_HEAD_MESSAGE];
    let signed = (sealed.message(&mut buffer), sealed.signature());
    signer(signed, (head.key, head.device), ring).map(|key| (key, head))
}

/// The key that signed, among those that count for the device.
fn signer<'r>(
    (message, signature): (&[u8], &SignatureBytes),
    (named, device): (KeyId, DeviceId),
    ring: &'r Ring,
) -> Result<&'r NamedKey, NotProved> {
    let mut why = NotProved::KeyNotGiven { named: to_hex(&named.0) };
    for key in ring.keys().iter().filter(|key| key.public.id() == named) {
        if !holds(message, signature, &key.public) {
            why = NotProved::SignatureFails { key: key.name.clone() };
            continue;
        }
        match key.device {
            Some(expected) if expected != device => {
                why = NotProved::KeyOfOtherDevice {
                    key: key.name.clone(),
                    expected: to_hex(&expected.0),
                    found: to_hex(&device.0),
                };
            }
            Some(_) | None => return Ok(key),
        }
    }
    Err(why)
}

/// Whether the signature is that of the key.
pub(crate) fn holds(message: &[u8], signature: &SignatureBytes, key: &PublicKey) -> bool {
    let signature = Signature::from_bytes(signature);
    VerifyingKey::from_bytes(key.bytes()).is_ok_and(|key| key.verify_strict(message, &signature).is_ok())
}

/// Whether the bytes are an Ed25519 key of full order.
pub(super) fn is_usable(key: &PublicKey) -> bool {
    VerifyingKey::from_bytes(key.bytes()).is_ok_and(|key| !key.is_weak())
}
