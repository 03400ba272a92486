//! What a record names: device, key, job, resin, batch, and where the log stood.
//!
//! Files are named by truncated SHA-256 (FIPS 180-4). How long a name has to be depends on who might want another file
//! under it:
//!
//! | name | bytes | to find another file for a given name | why not longer |
//! | --- | --- | --- | --- |
//! | job, resin | 12 | 2^96 trials | who writes *both* files beforehand needs 2^48, but may as well write the false schedule into the only one; the log has all 32 bytes, and the signature binds the log |
//! | batch | 6 | 2^48 trials | it is a few printed characters that the installer types in; who lies needs no trial at all |
//! | chain head | 12 | 2^96 trials | it is a link of the log |
//! | key | 4 | no matter | only says which key to try; the signature decides |
//!
//! Sixteen bytes for job and resin would leave no room for the fixing's label in a code of version 8.

use super::key::PublicKey;
use crate::log::DeviceId;
use sha2::{Digest, Sha256};

/// The first `N` bytes of the SHA-256 of all parts, one after another.
fn truncated<const N: usize>(parts: &[&[u8]]) -> [u8; N] {
    let mut hash = Sha256::new();
    for part in parts {
        hash.update(part);
    }
    first_of(&hash.finalize())
}

/// The first `N` bytes; zeros behind what there is.
fn first_of<const N: usize>(bytes: &[u8]) -> [u8; N] {
    let mut first = [0; N];
    for (to, from) in first.iter_mut().zip(bytes) {
        *to = *from;
    }
    first
}

impl DeviceId {
    /// The number of a device that has none of its own: the first 8 bytes of SHA-256 of `holdoff device` and its public
    /// key. What runs on a PC instead of a logger is named so.
    pub fn of_key(key: &PublicKey) -> Self {
        Self(truncated(&[b"holdoff device", key.bytes()]))
    }
}

/// Which key signed: the first 4 bytes of the SHA-256 of the public key's 32 bytes. Only a hint where to look.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct KeyId(pub [u8; 4]);

impl KeyId {
    /// Bytes of a key's number.
    pub const BYTES: usize = 4;

    /// The number of a public key.
    pub fn of(key: &PublicKey) -> Self {
        Self(truncated(&[key.bytes()]))
    }
}

/// The job: the first 12 bytes of the SHA-256 of the job file (of nothing, where there is no file).
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct JobHash(pub [u8; 12]);

impl JobHash {
    /// Bytes of a job's name.
    pub const BYTES: usize = 12;

    /// Of a whole SHA-256, as the log keeps it.
    pub fn of_digest(digest: &[u8; 32]) -> Self {
        Self(first_of(digest))
    }

    /// Of the text of the file.
    pub fn of_file(text: &[u8]) -> Self {
        Self(truncated(&[text]))
    }
}

/// The resin: the first 12 bytes of the SHA-256 of the resin file.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct ResinHash(pub [u8; 12]);

impl ResinHash {
    /// Bytes of a resin's name.
    pub const BYTES: usize = 12;

    /// Of a whole SHA-256, as the log keeps it.
    pub fn of_digest(digest: &[u8; 32]) -> Self {
        Self(first_of(digest))
    }

    /// Of the text of the file.
    pub fn of_file(text: &[u8]) -> Self {
        Self(truncated(&[text]))
    }
}

/// The resin batch: the first 6 bytes of the SHA-256 of what was typed in from the cartridge, UTF-8, without blanks before
/// and after it; six zeros where nothing was declared.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct BatchHash(pub [u8; 6]);

impl BatchHash {
    /// Bytes of a batch's name.
    pub const BYTES: usize = 6;

    /// No batch was declared.
    pub const UNDECLARED: Self = Self([0; 6]);

    /// Of the text as it was typed in.
    pub fn of_text(text: &str) -> Self {
        match text.trim() {
            "" => Self::UNDECLARED,
            text => Self(truncated(&[text.as_bytes()])),
        }
    }

    /// Whether a batch was declared.
    pub fn is_declared(&self) -> bool {
        *self != Self::UNDECLARED
    }
}
