//! The short form: what it says, and every mistake that it finds.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

use crate::seal_support::{Cure, particulars, steady};
use holdoff_core::log::DeviceId;
use holdoff_core::seal::{Particulars, ReleaseRecord, SHORT_TEXT, ShortError, ShortForm, WallClock};
use holdoff_tests::random::numbers;

fn record(cure: &Cure, particulars: &Particulars) -> ReleaseRecord {
    let (group, fixing) = cure.play(steady);
    ReleaseRecord::of(&group, fixing, particulars).expect("a record")
}

fn shown(form: &ShortForm) -> String {
    form.show(&mut [0; SHORT_TEXT]).to_owned()
}

#[test]
fn a_short_form_says_device_fixing_and_day() {
    // 1795500000 s + about a day: 2026-11-25 (CPython's datetime: 1795588200 is 2026-11-25T07:30+01:00)
    let record = record(&Cure { fixings: 3, ..Cure::usual() }, &particulars());
    let form = ShortForm::of(&record);
    let device = u64::from_be_bytes(particulars().device.0) % 100_000;
    assert_eq!((u64::from(form.device()), form.fixing(), form.day()), (device, 3, Some((26, 11, 25))));
    assert_eq!(ShortForm::parse(&shown(&form)), Ok(form));
    assert!(form.names(&record));
    assert_eq!(form.to_string(), shown(&form));
}

#[test]
fn the_day_is_that_of_local_time() {
    let at = |offset_minutes| {
        // the release is at 23:59:30 UTC on 2024-02-29
        let plain = record(&Cure::usual(), &particulars());
        let ahead = 1_709_251_170 - plain.speaks_for().seconds();
        let clock = WallClock::Tied { ahead, offset_minutes };
        ShortForm::of(&record(&Cure::usual(), &Particulars { clock, ..particulars() })).day()
    };
    assert_eq!([at(0), at(1), at(-1)], [Some((24, 2, 29)), Some((24, 3, 1)), Some((24, 2, 29))]);
    let unknown = Particulars { clock: WallClock::Unknown, ..particulars() };
    let form = ShortForm::of(&record(&Cure::usual(), &unknown));
    assert_eq!(form.day(), None);
    assert_eq!(ShortForm::parse(&shown(&form)), Ok(form));
}

#[test]
fn another_record_has_another_short_form() {
    let one = record(&Cure::usual(), &particulars());
    let form = ShortForm::of(&one);
    assert!(!form.names(&record(&Cure { wait: 1_235, ..Cure::usual() }, &particulars())));
    let device = Particulars { device: DeviceId([7; 8]), ..particulars() };
    assert!(!form.names(&record(&Cure::usual(), &device)));
}

#[test]
fn every_wrong_digit_and_every_pair_changed_over_is_found() {
    let mut next = numbers(97);
    for round in 0..40 {
        let device = Particulars { device: DeviceId(next().to_be_bytes()), ..particulars() };
        let cure = Cure { wait: (next() % 100_000) as i64, fixings: 1 + (next() % 16) as u8, ..Cure::usual() };
        let good = shown(&ShortForm::of(&record(&cure, &device))).replace(' ', "");
        assert!(ShortForm::parse(&good).is_ok());
        let digits = good.as_bytes();
        let refused = |changed: Vec<u8>, what: &str| {
            let text = String::from_utf8(changed).expect("digits");
            assert_eq!(ShortForm::parse(&text), Err(ShortError::Check), "{round}: {what} {text} {good}");
        };
        for place in 0..digits.len() {
            for other in (b'0'..=b'9').filter(|other| *other != digits[place]) {
                let mut changed = digits.to_vec();
                changed[place] = other;
                refused(changed, "wrong digit");
            }
            let mut missing = digits.to_vec();
            missing.remove(place);
            let text = String::from_utf8(missing).expect("digits");
            assert_eq!(ShortForm::parse(&text), Err(ShortError::Length { found: 23 }));
        }
        // neighbours, and the two beside one digit (ISO/IEC 7064 claims both for MOD 97-10)
        for distance in [1, 2] {
            for place in 0..digits.len() - distance {
                if digits[place] != digits[place + distance] {
                    let mut changed = digits.to_vec();
                    changed.swap(place, place + distance);
                    refused(changed, "changed over");
                }
            }
        }
        // a pair of equal digits heard as another pair
        for place in 0..digits.len() - 1 {
            if digits[place] == digits[place + 1] {
                for other in (b'0'..=b'9').filter(|other| *other != digits[place]) {
                    let mut changed = digits.to_vec();
                    changed[place..=place + 1].fill(other);
                    refused(changed, "twins");
                }
            }
        }
    }
}

#[test]
fn whatever_else_is_wrong_is_found_in_ninety_six_of_ninety_seven() {
    let mut next = numbers(96);
    let (mut taken, total) = (0u32, 97_000);
    for _ in 0..total {
        let text: String = (0..24).map(|_| (b'0' + (next() % 10) as u8) as char).collect();
        if !matches!(ShortForm::parse(&text), Err(ShortError::Check)) {
            taken += 1;
        }
    }
    assert!((850..1_150).contains(&taken), "{taken} of {total}");
}

#[test]
fn blanks_and_hyphens_do_not_matter() {
    let good = shown(&ShortForm::of(&record(&Cure::usual(), &particulars())));
    let form = ShortForm::parse(&good).expect("a short form");
    for text in [good.replace(' ', ""), good.replace(' ', "-"), format!("  {good}\n"), good.replace(' ', " - ")] {
        assert_eq!(ShortForm::parse(&text), Ok(form), "{text}");
    }
    assert_eq!(ShortForm::parse(&good.replace(' ', ".")), Err(ShortError::Character { offset: 4, found: b'.' }));
}
