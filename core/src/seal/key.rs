//! Keys and bare signatures (Ed25519, RFC 8032).
//!
//! Invariants: a secret key is never shown, not by `Debug` either, and never leaves this value; it is overwritten when it
//! is dropped, as far as safe code can. Signing needs no random source (RFC 8032, 5.1.6). What was signed is verified
//! before it is given out, since a signature made while a bit fell over could give the key away ([`super::ed25519`]).
//! A library verifies for others; it shares no code with the signing.
//! What it does not do: make keys. Whoever has a good random source gives 32 bytes of it.

use super::ed25519::Key;
use super::identity::KeyId;
use crate::log::PageKey;
#[cfg(feature = "verify")]
use ed25519_compact::{PublicKey as Point, Signature};

/// A signature's 64 bytes.
pub type SignatureBytes = [u8; 64];

/// A public key: 32 bytes as RFC 8032 encodes them. Whether they are a usable key shows when a signature is verified.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct PublicKey([u8; 32]);

impl PublicKey {
    /// The key with these bytes.
    pub const fn from_bytes(bytes: [u8; 32]) -> Self {
        Self(bytes)
    }

    /// The key's bytes.
    pub const fn bytes(&self) -> &[u8; 32] {
        &self.0
    }

    /// The key's number.
    pub fn id(&self) -> KeyId {
        KeyId::of(self)
    }

    /// Whether the signature of the message is by this key.
    #[cfg(feature = "verify")]
    pub(super) fn has_signed(&self, message: &[u8], signature: &SignatureBytes) -> bool {
        Point::new(self.0).verify(message, &Signature::new(*signature)).is_ok()
    }
}

/// A secret key.
pub struct SecretKey(Key);

/// Why 32 bytes are no secret key, or a signature came out wrong.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum KeyError {
    /// All bytes are zero: memory that was never written.
    Zero,
    /// The signature just made does not verify: the memory or the processor has erred.
    Erred,
}

impl SecretKey {
    /// From 32 bytes of a good random source.
    ///
    /// # Errors
    /// [`KeyError::Zero`] when all of them are zero.
    pub fn from_seed(seed: [u8; 32]) -> Result<Self, KeyError> {
        if seed == [0; 32] {
            return Err(KeyError::Zero);
        }
        Ok(Self(Key::of(seed)))
    }

    /// The public key that belongs to it.
    pub fn public(&self) -> PublicKey {
        PublicKey(*self.0.public())
    }

    /// What tags the pages of this key's logger.
    pub fn page_key(&self) -> PageKey {
        PageKey::of_seed(self.0.seed())
    }

    /// Signs a message.
    ///
    /// # Errors
    /// [`KeyError::Erred`] when the signature does not verify.
    pub(super) fn sign(&self, message: &[u8]) -> Result<SignatureBytes, KeyError> {
        self.0.sign(message).ok_or(KeyError::Erred)
    }
}

impl core::fmt::Debug for SecretKey {
    /// Shows which key it is, and nothing secret.
    fn fmt(&self, formatter: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        formatter.debug_tuple("SecretKey").field(&self.public().id()).finish()
    }
}

#[cfg(test)]
#[allow(clippy::expect_used, reason = "a broken expectation must stop the test")]
mod tests {
    extern crate std;

    use super::{KeyError, PublicKey, SecretKey};

    fn bytes<const N: usize>(hex: &str) -> [u8; N] {
        let mut made = [0; N];
        for (byte, pair) in made.iter_mut().zip(hex.as_bytes().chunks(2)) {
            let pair = core::str::from_utf8(pair).expect("ASCII");
            *byte = u8::from_str_radix(pair, 16).expect("hex");
        }
        made
    }

    /// RFC 8032, section 7.1: TEST 1, TEST 2, TEST 3 and TEST SHA(abc): secret key, public key, message, signature.
    const VECTORS: [(&str, &str, &str, &str); 4] = [
        (
            "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
            "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
            "",
            "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b",
        ),
        (
            "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
            "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
            "72",
            "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00",
        ),
        (
            "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
            "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
            "af82",
            "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a",
        ),
        (
            "833fe62409237b9d62ec77587520911e9a759cec1d19755b7da901b96dca3d42",
            "ec172b93ad5e563bf4932c70e1245034c35467ef2efd4d64ebf819683467e2bf",
            "ddaf35a193617abacc417349ae20413112e6fa4e89a97ea20a9eeee64b55d39a2192992a274fc1a836ba3c23a3feebbd454d4423643ce80e2a9ac94fa54ca49f",
            "dc2a4459e7369633a52b1bf277839a00201009a3efbf3ecb69bea2186c26b58909351fc9ac90b3ecfdfbc7c66431e0303dca179c138ac17ad9bef1177331a704",
        ),
    ];

    #[test]
    fn the_published_vectors_come_out() {
        for (secret, public, message, signature) in VECTORS {
            let key = SecretKey::from_seed(bytes(secret)).expect("a key");
            assert_eq!(key.public(), PublicKey::from_bytes(bytes(public)));
            let long: [u8; 64] = bytes(message);
            let message = long.get(..message.len() / 2).expect("within");
            assert_eq!(key.sign(message), Ok(bytes(signature)));
            #[cfg(feature = "verify")]
            {
                assert!(key.public().has_signed(message, &bytes(signature)));
                assert!(!key.public().has_signed(b"another message", &bytes(signature)));
            }
        }
    }

    #[test]
    fn memory_never_written_is_no_key() {
        assert_eq!(SecretKey::from_seed([0; 32]).err(), Some(KeyError::Zero));
    }

    #[test]
    fn a_secret_key_does_not_show_itself() {
        let key = SecretKey::from_seed([0xA5; 32]).expect("a key");
        let shown = std::format!("{key:?} {key:#?}").to_lowercase();
        assert!(!shown.contains("a5") && !shown.contains("165"), "{shown}");
    }
}
