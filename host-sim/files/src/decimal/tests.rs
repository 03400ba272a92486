#![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop there")]

use super::{Decimal, DecimalError, Short};
use crate::rounds::rounds;
use num::bigint::BigInt;
use num::rational::BigRational;
use num::traits::{Pow, ToPrimitive};
use std::cmp::Ordering;

/// What the text says, as a fraction; knows nothing of the code under test.
fn fraction(text: &str) -> BigRational {
    let (number, exponent) = match text.split_once(['e', 'E']) {
        Some((number, exponent)) => (number, exponent.parse::<i64>().unwrap()),
        None => (text, 0),
    };
    let places = number.split_once('.').map_or(0, |(_, places)| places.len() as i64);
    let digits: BigInt = number.replace(['.', '+'], "").parse().unwrap();
    let scale = exponent - places;
    let power = BigRational::from_integer(BigInt::from(10).pow(scale.unsigned_abs()));
    let digits = BigRational::from_integer(digits);
    if scale < 0 { digits / power } else { digits * power }
}

fn floor_of(fraction: &BigRational, multiplier: u16) -> i64 {
    (fraction * BigInt::from(multiplier)).floor().to_integer().to_i64().unwrap()
}

fn ceil_of(fraction: &BigRational, multiplier: u16) -> i64 {
    (fraction * BigInt::from(multiplier)).ceil().to_integer().to_i64().unwrap()
}

fn digits(random: &mut fastrand::Rng, most: usize) -> String {
    let count = random.usize(0..=most);
    // half of them with long runs, where carries run far
    let run = random.bool().then(|| random.choice(['0', '9', '5']).unwrap());
    (0..count).map(|_| run.filter(|_| random.u8(0..8) != 0).unwrap_or_else(|| random.char('0'..='9'))).collect()
}

fn random_decimal(random: &mut fastrand::Rng) -> String {
    loop {
        let sign = random.choice(["", "-", "+"]).unwrap();
        let (whole, most) = (digits(random, 5), random.choice([3, 9, 40]).unwrap());
        let part = digits(random, most);
        if whole.is_empty() && part.is_empty() {
            continue;
        }
        let point = if part.is_empty() { random.choice(["", "."]).unwrap() } else { "." };
        let exponent = match random.u8(0..6) {
            0 => format!("{}{}", random.choice(["e", "E", "e+", "e-"]).unwrap(), random.u8(0..6)),
            _ => String::new(),
        };
        return format!("{sign}{whole}{point}{part}{exponent}");
    }
}

#[test]
fn rounding_agrees_with_fractions_of_any_size() {
    let mut random = fastrand::Rng::with_seed(1);
    for _ in 0..rounds(50_000) {
        let text = random_decimal(&mut random);
        let (decimal, expected) = (Decimal::parse(&text).unwrap(), fraction(&text));
        for multiplier in [1, 256, 1280] {
            assert_eq!(
                decimal.floor_times(multiplier),
                floor_of(&expected, multiplier),
                "floor of {text} x {multiplier}"
            );
            assert_eq!(decimal.ceil_times(multiplier), ceil_of(&expected, multiplier), "ceil of {text} x {multiplier}");
        }
    }
}

#[test]
fn values_beside_a_whole_count_are_told_apart_at_any_distance() {
    let mut random = fastrand::Rng::with_seed(2);
    for _ in 0..20_000 {
        let count = random.i32(-32_768..=32_767);
        // a count is a whole number of 256ths: its decimal ends after at most eight places
        let exact = format!("{:.8}", f64::from(count) / 256.0);
        let decimal = Decimal::parse(&exact).unwrap();
        assert_eq!((decimal.floor_counts(), decimal.ceil_counts()), (count, count), "{exact}");
        let further = format!("{exact}{}1", "0".repeat(random.usize(0..60)));
        let decimal = Decimal::parse(&further).unwrap();
        let (low, high) = if exact.starts_with('-') { (count - 1, count) } else { (count, count + 1) };
        assert_eq!((decimal.floor_counts(), decimal.ceil_counts()), (low, high), "{further}");
    }
}

#[test]
fn comparison_agrees_with_fractions() {
    let mut random = fastrand::Rng::with_seed(3);
    for _ in 0..rounds(25_000) {
        let (left, mut right) = (random_decimal(&mut random), random_decimal(&mut random));
        if random.bool() {
            right = format!("{left}{}", if left.contains(['.', 'e', 'E']) { "" } else { ".0000" });
        }
        let found = Decimal::parse(&left).unwrap().cmp(&Decimal::parse(&right).unwrap());
        assert_eq!(found, fraction(&left).cmp(&fraction(&right)), "{left} and {right}");
        let whole = random.i64(-150..150);
        let expected = fraction(&left).cmp(&BigRational::from_integer(BigInt::from(whole)));
        assert_eq!(Decimal::parse(&left).unwrap().cmp_whole(whole), expected, "{left} and {whole}");
    }
}

#[test]
fn the_short_form_agrees_with_the_long_one() {
    let mut random = fastrand::Rng::with_seed(4);
    let (all, mut taken) = (rounds(100_000), 0);
    for _ in 0..all {
        let text = random_decimal(&mut random);
        let decimal = Decimal::parse(&text).unwrap();
        let Some(short) = Short::from_bytes(text.as_bytes()) else { continue };
        taken += 1;
        assert_eq!(short.to_decimal(), decimal, "{text}");
        for multiplier in [1, 256, 1280, u16::MAX] {
            assert_eq!(short.floor_times(multiplier), decimal.floor_times(multiplier), "{text} x {multiplier}");
        }
        for whole in [-67, -55, 0, 125, 257, i16::MAX, i16::MIN] {
            assert_eq!(short.cmp_whole(whole), decimal.cmp_whole(i64::from(whole)), "{text} and {whole}");
        }
    }
    assert!(taken * 4 > all);
}

#[test]
fn the_window_form_agrees_with_the_field_form_and_takes_the_line_end() {
    let mut random = fastrand::Rng::with_seed(5);
    let (all, mut taken) = (rounds(100_000), 0);
    for _ in 0..all {
        let mut text = random_decimal(&mut random).into_bytes();
        if random.u8(0..4) == 0 {
            let place = random.usize(0..=text.len());
            text.insert(place, random.choice([b'.', b' ', b',', b'-', b':', b'/', 0, 0xFF, b'\r', b'x']).unwrap());
        }
        let line_end = if text.ends_with(b"\r") { "\n" } else { random.choice(["\n", "\r\n"]).unwrap() };
        let mut line = text.clone();
        line.extend_from_slice(line_end.as_bytes());
        line.extend(std::iter::repeat_with(|| random.choice([b'\n', b'.', b'7', b',', 0]).unwrap()).take(17));
        let Some((short, used)) = Short::until_newline(line.first_chunk().unwrap()) else { continue };
        taken += 1;
        assert_eq!(used, text.len() + line_end.len(), "{text:?}");
        // a carriage return put in as the last byte belongs to the line end
        assert_eq!(Some(short), Short::from_bytes(text.strip_suffix(b"\r").unwrap_or(&text)), "{text:?}");
    }
    assert!(taken * 8 > all);
}

#[test]
fn every_measured_form_takes_the_window() {
    for text in ["7.994", "-10.59725", "0", "-0", ".5", "5.", "125", "-55.0", "99999999", "-9999.9999"] {
        let mut line = format!("{text}\n").into_bytes();
        line.resize(17, b'2');
        let (short, used) = Short::until_newline(line.first_chunk().unwrap()).unwrap();
        assert_eq!((Some(short), used), (Short::from_bytes(text.as_bytes()), text.len() + 1));
    }
}

#[test]
fn what_is_no_decimal_is_refused_with_its_reason() {
    let cases = [
        ("", DecimalError::Empty),
        ("nan", DecimalError::NotFinite),
        ("NaN", DecimalError::NotFinite),
        ("-inf", DecimalError::NotFinite),
        ("Infinity", DecimalError::NotFinite),
        ("7,5", DecimalError::Comma),
        ("-1.234,5", DecimalError::Comma),
        (".", DecimalError::NoNumber),
        ("+", DecimalError::NoNumber),
        ("--5", DecimalError::NoNumber),
        ("1e", DecimalError::NoNumber),
        ("1e+", DecimalError::NoNumber),
        ("e5", DecimalError::NoNumber),
        ("1e5.0", DecimalError::NoNumber),
        ("0x10", DecimalError::NoNumber),
        ("1_000", DecimalError::NoNumber),
        ("1.2.3", DecimalError::NoNumber),
        (" 1", DecimalError::NoNumber),
        ("1 ", DecimalError::NoNumber),
        ("5°C", DecimalError::NoNumber),
        ("\u{0661}", DecimalError::NoNumber),
        ("\u{2212}5", DecimalError::NoNumber),
    ];
    for (text, error) in cases {
        assert_eq!(Decimal::parse(text), Err(error), "{text:?}");
        assert_eq!(Short::from_bytes(text.as_bytes()), None, "{text:?}");
    }
}

#[test]
fn numbers_far_outside_are_held_at_the_bounds() {
    let huge = Decimal::parse("1e99999999999999999999999").unwrap();
    assert_eq!((huge.floor_counts(), huge.ceil_counts()), (i32::MAX, i32::MAX));
    assert_eq!((huge.floor_count(), huge.to_f64()), (None, f64::MAX));
    let low = Decimal::parse("-1e13").unwrap();
    assert_eq!((low.floor_times(256), low.ceil_counts()), (i64::MIN, i32::MIN));
    let tiny = Decimal::parse("1e-99999999999999999999999").unwrap();
    assert_eq!((tiny.floor_counts(), tiny.ceil_counts()), (0, 1));
    let tiny = Decimal::parse("-1e-99999999999999999999999").unwrap();
    assert_eq!((tiny.floor_counts(), tiny.ceil_counts()), (-1, 0));
    assert_eq!(huge.cmp_whole(125), Ordering::Greater);
}

#[test]
fn equal_values_written_differently_are_equal() {
    for (left, right) in [("5", "5.000"), ("-0", "0"), ("50e-1", "5."), ("0.0e9", ".0"), ("1e3", "1000"), ("+7", "007")]
    {
        assert_eq!(Decimal::parse(left), Decimal::parse(right));
    }
    assert_eq!(Decimal::from_whole(-40), Decimal::parse("-40").unwrap());
    assert_eq!(Decimal::from_whole(0), Decimal::ZERO);
}

#[test]
fn display_is_exact_and_reads_back() {
    let cases =
        [("-5.0", "-5"), ("1200", "1200"), ("0.00125", "0.00125"), ("12.50", "12.5"), ("-.5", "-0.5"), ("0", "0")];
    for (text, shown) in cases {
        assert_eq!(Decimal::parse(text).unwrap().to_string(), shown);
    }
    let mut random = fastrand::Rng::with_seed(6);
    for _ in 0..20_000 {
        let text = format!("{}e{}", random_decimal(&mut random).split(['e', 'E']).next().unwrap(), random.i32(-60..60));
        let decimal = Decimal::parse(&text).unwrap();
        assert_eq!(Decimal::parse(&decimal.to_string()), Ok(decimal), "{text}");
    }
    assert_eq!(Decimal::parse("-10.59725").unwrap().to_f64(), -10.59725);
}

#[test]
fn a_shift_by_places_is_exact_or_not_made() {
    let mut random = fastrand::Rng::with_seed(5);
    let (all, mut made) = (rounds(25_000), 0);
    for _ in 0..all {
        let (text, places) = (random_decimal(&mut random), random.u8(0..10));
        let expected = fraction(&text) * BigInt::from(10).pow(u32::from(places));
        let within = expected.is_integer() && expected.to_integer().to_string().trim_start_matches('-').len() <= 18;
        let expected = within.then(|| expected.to_integer().to_i64().unwrap());
        assert_eq!(Decimal::parse(&text).unwrap().whole_shifted(places), expected, "{text} by {places}");
        made += u32::from(within);
    }
    assert!(u64::from(made) * 10 > all);
}
