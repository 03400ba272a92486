//! Sealing a record, and telling whether a seal holds.
//!
//! What is signed is [`CONTEXT`] followed by the record's bytes, so that no signature made for another purpose with the
//! same key can pass for one of a release. A sealed record is the record's bytes and then the signature's 64.
//!
//! What it proves: that somebody who had the secret key signed exactly these bytes. What it does not prove stands in
//! `docs/release-code.md`: a stolen key, a probe on a radiator and a lying operator all sign well.

use super::field::RecordError;
use super::identity::KeyId;
#[cfg(feature = "verify")]
use super::key::PublicKey;
use super::key::{KeyError, SecretKey, SignatureBytes};
use super::layout::MOST_RECORD;
use super::record::ReleaseRecord;

/// What stands before the record in the signed message.
pub const CONTEXT: [u8; 23] = *b"holdoff release record\n";

/// Bytes of a signature.
const SIGNATURE: usize = 64;

/// Most bytes of a sealed record.
pub const MOST_SEALED: usize = MOST_RECORD + SIGNATURE;

/// Most bytes of a signed message.
pub const MOST_MESSAGE: usize = CONTEXT.len() + MOST_RECORD;

/// A record with the signature that this device put on it.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct Sealed {
    bytes: [u8; MOST_SEALED],
    used: usize,
}

/// Why a record could not be sealed.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum SealError {
    /// The record names another key.
    OtherKey {
        /// The key that the record names.
        named: KeyId,
        /// The key that was to sign.
        given: KeyId,
    },
    /// The key erred.
    Key(KeyError),
}

impl Sealed {
    /// Signs a record with the key that it names.
    ///
    /// # Errors
    /// [`SealError::OtherKey`] when the record names another key; [`SealError::Key`] when the signature does not verify.
    pub fn new(record: &ReleaseRecord, key: &SecretKey) -> Result<Self, SealError> {
        let (named, given) = (record.particulars().key, key.public().id());
        if named != given {
            return Err(SealError::OtherKey { named, given });
        }
        let mut buffer = [0; MOST_RECORD];
        let record = record.emit(&mut buffer);
        let mut message = [0; MOST_MESSAGE];
        let signature = key.sign(joined(&CONTEXT, record, &mut message)).map_err(SealError::Key)?;
        let mut made = Self { bytes: [0; MOST_SEALED], used: 0 };
        made.used = joined(record, &signature, &mut made.bytes).len();
        Ok(made)
    }

    /// The record's bytes, then the signature's: what the log keeps and the release code carries.
    pub fn bytes(&self) -> &[u8] {
        self.bytes.get(..self.used).unwrap_or_default()
    }
}

impl core::fmt::Debug for Sealed {
    fn fmt(&self, formatter: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(formatter, "Sealed({:02x?})", self.bytes())
    }
}

/// Sealed bytes taken apart; the signature is not verified yet.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct SealedView<'a> {
    bytes: &'a [u8],
    record: ReleaseRecord,
    signature: SignatureBytes,
}

#[cfg(feature = "verify")]
/// A record whose signature holds. Nothing outside the seal can make one.
#[must_use = "what was signed is in it"]
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Verified {
    record: ReleaseRecord,
}

#[cfg(feature = "verify")]
/// Why a signature does not hold.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum VerifyError {
    /// The record names another key.
    OtherKey {
        /// The key that the record names.
        named: KeyId,
        /// The key that was given.
        given: KeyId,
    },
    /// The record, or the signature, is not what the key signed.
    Signature,
}

impl<'a> SealedView<'a> {
    /// Takes sealed bytes apart.
    ///
    /// # Errors
    /// [`RecordError`] when there is no valid record before the last 64 bytes; offsets count from the first byte.
    pub fn parse(sealed: &'a [u8]) -> Result<Self, RecordError> {
        let short = RecordError::TooShort { needed: SIGNATURE.saturating_add(1), found: sealed.len() };
        let (bytes, signature) = sealed.split_last_chunk::<SIGNATURE>().ok_or(short)?;
        Ok(Self { bytes, record: ReleaseRecord::parse(bytes)?, signature: *signature })
    }

    /// What the record says, believed by nobody yet.
    pub const fn unverified(&self) -> &ReleaseRecord {
        &self.record
    }

    /// The signature.
    pub const fn signature(&self) -> &SignatureBytes {
        &self.signature
    }

    /// What was signed: the context and the record's bytes. For verifying by other means.
    pub fn message<'b>(&self, buffer: &'b mut [u8; MOST_MESSAGE]) -> &'b [u8] {
        joined(&CONTEXT, self.bytes, buffer)
    }

    #[cfg(feature = "verify")]
    /// Verifies the signature with a key.
    ///
    /// # Errors
    /// [`VerifyError`] when the record names another key, or the key did not sign exactly this.
    pub fn verify(&self, key: &PublicKey) -> Result<Verified, VerifyError> {
        let (named, given) = (self.record.particulars().key, key.id());
        if named != given {
            return Err(VerifyError::OtherKey { named, given });
        }
        let mut buffer = [0; MOST_MESSAGE];
        if key.has_signed(self.message(&mut buffer), &self.signature) {
            Ok(Verified { record: self.record })
        } else {
            Err(VerifyError::Signature)
        }
    }
}

#[cfg(feature = "verify")]
impl Verified {
    /// What was signed.
    pub const fn record(&self) -> &ReleaseRecord {
        &self.record
    }
}

/// Two pieces one behind the other; nothing where the buffer has no room for both.
pub(super) fn joined<'b>(first: &[u8], second: &[u8], buffer: &'b mut [u8]) -> &'b [u8] {
    for (to, from) in buffer.iter_mut().zip(first.iter().chain(second)) {
        *to = *from;
    }
    buffer.get(..first.len().saturating_add(second.len())).unwrap_or_default()
}
