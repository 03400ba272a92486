//! Every symbol is, module for module, that of another encoder.
#![allow(clippy::expect_used, clippy::indexing_slicing, reason = "a broken expectation must stop the test")]

extern crate std;

use super::{MODULES, MOST_CODE, Strength, draw};
use crate::seal::base45::ALPHABET;
use qrcodegen_no_heap::{QrCode, QrCodeEcc, QrSegment, Version};
use std::string::String;

/// Texts of every length; the first four rounds draw each of the levels, the others any.
const ROUNDS: usize = 10;

const LEVELS: [(Strength, QrCodeEcc); 4] = [
    (Strength::Low, QrCodeEcc::Low),
    (Strength::Medium, QrCodeEcc::Medium),
    (Strength::Quartile, QrCodeEcc::Quartile),
    (Strength::High, QrCodeEcc::High),
];

/// A text that has no shorter mode than the alphanumeric one.
fn text(random: &mut fastrand::Rng, length: usize) -> String {
    // few different characters in some, so that long runs and look-alikes come up
    let few = random.usize(1..=ALPHABET.len());
    let rest = (1..length).map(|_| char::from(ALPHABET[random.usize(..few)]));
    std::iter::once('H').chain(rest).collect()
}

#[test]
fn every_symbol_is_that_of_another_encoder_module_for_module() {
    let mut random = fastrand::Rng::with_seed(18_004);
    let version = Version::new(8);
    let (mut one, mut two) = ([0; 302], [0; 302]);
    let (mut rows, mut fitted, mut masks) = ([0; MODULES as usize], 0, [0; 8]);
    for round in 0..ROUNDS {
        for length in 1..=MOST_CODE + 1 {
            let text = text(&mut random, length);
            let (strength, level) = LEVELS[if round < 4 { round } else { random.usize(..4) }];
            let theirs = QrCode::encode_text(&text, &mut one, &mut two, level, version, version, None, false);
            let ours = draw(&text, strength, &mut rows);
            assert_eq!(ours.is_some(), theirs.is_ok(), "{strength:?} {text}");
            assert!(Strength::of(length).is_none_or(|strongest| (strength <= strongest) == ours.is_some()));
            let Ok(theirs) = theirs else { continue };
            for (y, row) in rows.iter().enumerate() {
                let row_of_theirs = (0..i32::from(MODULES))
                    .rev()
                    .fold(0, |row, x| row << 1 | u64::from(theirs.get_module(x, y as i32)));
                assert_eq!(*row, row_of_theirs, "row {y}, {strength:?} {text}");
            }
            fitted += 1;
            masks[usize::from(theirs.mask().value())] += 1;
        }
    }
    assert!(fitted > ROUNDS * 170 && masks.iter().all(|&times| times > ROUNDS / 2), "{fitted} {masks:?}");
}

#[test]
fn a_character_of_no_alphanumeric_text_is_refused() {
    assert!(QrSegment::is_alphanumeric("HOR:") && !QrSegment::is_alphanumeric("hor:"));
    let mut rows = [0; MODULES as usize];
    assert_eq!(draw("hor:", Strength::Low, &mut rows), None);
}
