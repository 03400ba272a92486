//! Signing with Ed25519 (RFC 8032, section 5.1): what a logger does, and no more.
//!
//! Why own code: the libraries that were measured take 21 to 24 KB of a small processor's 128, or link panics; this takes 6
//! and has no index and no assertion. What it signs is held against another library and the vectors of the RFC,
//! on a PC it is verified by two others, and the device verifies its own signatures before it gives them out.
//!
//! What a device's self-check is for: whoever has two signatures of one message that differ because a bit fell over while one
//! was made can work out the key. So the challenge and the nonce are worked out a second time, from the message as it is by
//! then; the public key must still be that of its point; and the signature must fulfil the equation that a verifier looks at,
//! with that point. A bit that falls over once in the message, in a hash, in the seed or in a product spoils one of the three.
//!
//! Time: the steps and places do not depend on the key. On a processor whose multiplication takes longer for larger numbers
//! (Cortex-M3) the time still does; it can be measured by somebody with the logger in his hands only, who can as well open it.
//! What it does not do: verify for others, make keys, wipe the stack.

mod field;
mod point;
mod scalar;
#[cfg(all(test, feature = "verify"))] // held against the library that verifies
mod tests;

use core::hint::black_box;
use point::Point;
use scalar::Scalar;
use sha2::{Digest, Sha512};

/// What a seed is expanded to.
struct Expanded {
    scalar: Scalar,
    prefix: [u8; 32],
}

impl Expanded {
    /// RFC 8032, section 5.1.5, steps 1 and 2. The base point comes back to itself after L, so the rest divided by L does.
    fn of(seed: &[u8; 32]) -> Self {
        let hash = Sha512::digest(seed);
        let mut halves = hash.chunks_exact(32).map(|half| half.first_chunk().copied().unwrap_or_default());
        let (mut lower, prefix): ([u8; 32], _) = (halves.next().unwrap_or_default(), halves.next().unwrap_or_default());
        let [first, .., last] = &mut lower;
        *first &= 0xF8;
        *last = *last & 0x7F | 0x40;
        Self { scalar: Scalar::of_bytes(&lower), prefix }
    }

    /// RFC 8032, section 5.1.6, step 2: what nobody else can know, and no other message has.
    fn nonce(&self, message: &[u8]) -> Scalar {
        hash(&[&self.prefix, message])
    }
}

/// The SHA-512 of the parts, modulo L.
#[inline(never)]
fn hash(parts: &[&[u8]]) -> Scalar {
    let hash = parts.iter().fold(Sha512::new(), |hash, part| hash.chain_update(part)).finalize();
    Scalar::of_bytes(&hash)
}

/// A secret key, with what belongs to it.
pub(super) struct Key {
    seed: [u8; 32],
    point: Point,
    public: [u8; 32],
}

impl Key {
    /// That of a seed.
    pub(super) fn of(seed: [u8; 32]) -> Self {
        let point = Point::base_times(&Expanded::of(&seed).scalar);
        Self { seed, public: point.bytes(), point }
    }

    /// The public key, as RFC 8032 writes it.
    pub(super) const fn public(&self) -> &[u8; 32] {
        &self.public
    }

    /// What it is made from.
    pub(super) const fn seed(&self) -> &[u8; 32] {
        &self.seed
    }

    /// Signs a message. `None` when something went wrong on the way.
    pub(super) fn sign(&self, message: &[u8]) -> Option<[u8; 64]> {
        let secret = Expanded::of(&self.seed);
        let nonce = secret.nonce(message);
        let commitment = Point::base_times(&nonce).bytes();
        let answer = hash(&[&commitment, &self.public, message]).times(&secret.scalar).plus(&nonce);

        let message = black_box(message); // worked out again, not remembered
        let challenge = hash(&[&commitment, &self.public, message]);
        let again = self.point.negated().times_and_base(&answer, &challenge);
        let holds = self.point.bytes() == self.public && secret.nonce(message) == nonce && again.bytes() == commitment;
        let mut signature = commitment.into_iter().chain(answer.bytes());
        holds.then(|| [0; 64].map(|_: u8| signature.next().unwrap_or_default()))
    }
}

impl Drop for Key {
    fn drop(&mut self) {
        self.seed = [0; 32];
        black_box(&self.seed); // or the compiler would leave it out
    }
}
