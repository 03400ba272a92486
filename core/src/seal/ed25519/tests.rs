//! Every signature is that of another implementation, and the self-check catches what it is there for.

#![allow(clippy::expect_used, clippy::indexing_slicing, reason = "a broken expectation must stop the test")]

use super::Key;
use ed25519_compact::{KeyPair, Seed};

/// Keys, each with a message, of every length up to 200 bytes in turn.
const ROUNDS: usize = 2_000;

fn bytes<const N: usize>(random: &mut fastrand::Rng) -> [u8; N] {
    [0; N].map(|_| random.u8(..))
}

#[test]
fn keys_and_signatures_are_those_of_another_implementation() {
    let mut random = fastrand::Rng::with_seed(8_032);
    for round in 0..ROUNDS {
        let (seed, message): ([u8; 32], [u8; 200]) = (bytes(&mut random), bytes(&mut random));
        let message = message.get(..round % 201).expect("within");
        let theirs = KeyPair::from_seed(Seed::new(seed));
        let ours = Key::of(seed);
        assert_eq!(*ours.public(), *theirs.pk);
        assert_eq!(ours.sign(message), Some(*theirs.sk.sign(message, None)), "{seed:?} {message:?}");
    }
}

#[test]
fn a_key_with_a_bit_fallen_over_signs_nothing() {
    let mut random = fastrand::Rng::with_seed(1);
    let seed: [u8; 32] = bytes(&mut random);
    for bit in (0..256).step_by(5) {
        let (mut one, mut other, mut third) = (Key::of(seed), Key::of(seed), Key::of(seed));
        one.seed[bit / 8] ^= 1 << (bit % 8);
        other.public[bit / 8] ^= 1 << (bit % 8);
        third.point = third.point.negated();
        assert!(one.sign(b"message").is_none() && other.sign(b"message").is_none() && third.sign(b"message").is_none());
        assert!(Key::of(seed).sign(b"message").is_some());
    }
}
