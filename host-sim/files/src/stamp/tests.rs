#![allow(clippy::unwrap_used, clippy::panic, reason = "a test that cannot go on should stop there")]

use super::{Quick, Stamp, StampError, WINDOW, format_seconds, parse_date};
use crate::rounds::rounds;
use chrono::{DateTime, NaiveDate};

fn seconds(text: &str) -> i64 {
    Stamp::parse(text).unwrap().floor_seconds()
}

/// RFC 3339 section 5.8; seconds since 1970 worked out with another program's calendar.
#[test]
fn the_examples_of_rfc_3339_are_read() {
    let stamp = Stamp::parse("1985-04-12T23:20:50.52Z").unwrap();
    assert_eq!((stamp.floor_seconds(), stamp.ceil_seconds(), stamp.nanos()), (482_196_050, 482_196_051, 520_000_000));
    assert_eq!(seconds("1996-12-19T16:39:57-08:00"), 851_042_397);
    assert_eq!(seconds("1996-12-20T00:39:57Z"), 851_042_397);
    // the leap second at the end of 1990 counts as the second after it; 662 687 999 is the one before
    assert_eq!(seconds("1990-12-31T23:59:60Z"), 662_688_000);
    assert_eq!(seconds("1990-12-31T15:59:60-08:00"), 662_688_000);
    let stamp = Stamp::parse("1937-01-01T12:00:27.87+00:20").unwrap();
    assert_eq!(
        (stamp.floor_seconds(), stamp.ceil_seconds(), stamp.offset_seconds()),
        (-1_041_337_173, -1_041_337_172, 1200)
    );
}

/// RFC 3339 sections 5.6 and 5.7 and appendix C; seconds worked out with another program's calendar.
#[test]
fn limits_of_clock_and_calendar_are_kept() {
    let cases = [
        ("2038-01-19T03:14:07Z", 2_147_483_647),
        ("2106-02-07T06:28:15Z", 4_294_967_295),
        ("2000-02-29T00:00:00Z", 951_782_400),
        ("2024-02-29T12:00:00Z", 1_709_208_000),
        ("2026-11-25T07:30:00+01:00", 1_795_588_200),
        ("2026-11-25t06:30:00z", 1_795_588_200),
        ("2026-11-25 06:30:00-00:00", 1_795_588_200),
        ("1970-01-01T00:00:00Z", 0),
        ("0000-01-01T00:00:00Z", -62_167_219_200),
        ("9999-12-31T23:59:59-23:59", 253_402_387_139),
        ("2016-06-30T23:59:60Z", 1_467_331_200),
    ];
    for (text, expected) in cases {
        assert_eq!(seconds(text), expected, "{text}");
    }
}

#[test]
fn what_is_no_point_in_time_is_refused_with_its_reason() {
    let form = |character| StampError::Form { character };
    let no_day = |year, month, day| StampError::NoSuchDay { year, month, day };
    let cases = [
        ("", StampError::Empty),
        ("2026-11-25T07:30:00", StampError::OffsetMissing),
        ("2026-11-25 07:30:00.5", StampError::OffsetMissing),
        ("2026-11-25T07:30Z", StampError::SecondsMissing),
        ("2026-11-25T07:30", StampError::SecondsMissing),
        ("2026-11-25T07:30+01:00", StampError::SecondsMissing),
        ("2026-11-25", form(11)),
        ("25.11.2026 07:30", form(3)),
        ("2026/11/25T07:30:00Z", form(5)),
        ("2026-11-25T07:30:00 Z", form(20)),
        ("2026-11-25T07:30:00,5Z", form(20)),
        ("2026-11-25T07:30:00.Z", form(21)),
        ("2026-11-25T07:30:00Z ", form(21)),
        (" 2026-11-25T07:30:00Z", form(1)),
        ("2026-11-25T07:30:00+0100", form(23)),
        ("2026-11-25T07:30:00+01", form(23)),
        ("2026-11-25T07:30:00\u{2212}01:00", form(20)),
        ("+2026-11-25T07:30:00Z", form(1)),
        ("1795588200", form(5)),
        ("1900-02-29T00:00:00Z", no_day(1900, 2, 29)),
        ("2100-02-29T00:00:00Z", no_day(2100, 2, 29)),
        ("2026-02-30T00:00:00Z", no_day(2026, 2, 30)),
        ("2026-13-01T00:00:00Z", no_day(2026, 13, 1)),
        ("2026-00-01T00:00:00Z", no_day(2026, 0, 1)),
        ("2026-01-00T00:00:00Z", no_day(2026, 1, 0)),
        ("2026-11-25T24:00:00Z", StampError::Hour { hour: 24 }),
        ("2026-11-25T23:60:00Z", StampError::Minute { minute: 60 }),
        ("2026-11-25T23:59:61Z", StampError::Second { second: 61 }),
        ("2026-11-25T23:59:60Z", StampError::NoLeapSecond),
        ("2026-12-31T23:59:60+01:00", StampError::NoLeapSecond),
        ("2026-12-31T12:00:60Z", StampError::NoLeapSecond),
        ("2026-09-30T23:59:60Z", StampError::NoLeapSecond),
        ("2026-11-25T07:30:00+24:00", StampError::Offset),
        ("2026-11-25T07:30:00-01:60", StampError::Offset),
    ];
    for (text, error) in cases {
        assert_eq!(Stamp::parse(text).err(), Some(error), "{text:?}");
        assert!(!error.to_string().is_empty() && !error.remedy().is_empty());
    }
}

#[test]
fn rounding_up_sees_every_digit_of_a_fraction() {
    let second = "2026-11-25T07:30:00";
    for digits in [1, 9, 10, 30, 1000] {
        let zeros = Stamp::parse(&format!("{second}.{}Z", "0".repeat(digits))).unwrap();
        assert_eq!((zeros.ceil_seconds(), zeros.nanos()), (zeros.floor_seconds(), 0));
        let more = Stamp::parse(&format!("{second}.{}1Z", "0".repeat(digits))).unwrap();
        assert_eq!(more.ceil_seconds(), more.floor_seconds() + 1, "{digits} zeros before a one");
        let nines = Stamp::parse(&format!("{second}.{}Z", "9".repeat(digits))).unwrap();
        assert_eq!((nines.floor_seconds(), nines.ceil_seconds()), (zeros.floor_seconds(), zeros.floor_seconds() + 1));
    }
}

#[test]
fn a_date_is_that_of_the_stamps_own_offset() {
    let late = Stamp::parse("2026-11-25T00:30:00+01:00").unwrap();
    assert_eq!(late.local_date(), parse_date("2026-11-25").unwrap());
    let same = Stamp::parse("2026-11-24T23:30:00Z").unwrap();
    assert_eq!(same.local_date(), NaiveDate::from_ymd_opt(2026, 11, 24).unwrap());
    for text in ["2026-11-25T", "2026-1-5", "25.11.2026", "", "2026-11-25 "] {
        assert_eq!(parse_date(text), Err(StampError::DateForm), "{text:?}");
    }
    assert_eq!(parse_date("2026-02-29"), Err(StampError::NoSuchDay { year: 2026, month: 2, day: 29 }));
}

#[test]
fn instants_are_written_in_the_offset_asked_for() {
    assert_eq!(format_seconds(1_795_588_200, 3600), "2026-11-25T07:30:00+01:00");
    assert_eq!(format_seconds(1_795_588_200, 0), "2026-11-25T06:30:00Z");
    assert_eq!(format_seconds(-1_041_337_173, 1200), "1937-01-01T12:00:27+00:20");
    assert_eq!(format_seconds(253_402_300_799, 60), "+10000-01-01T00:00:59+00:01");
    assert_eq!(format_seconds(i64::MAX, 0), "9223372036854775807 s after 1970-01-01T00:00:00Z");
    assert_eq!(format_seconds(i64::MIN, -86_399), "-9223372036854775808 s after 1970-01-01T00:00:00Z");
    let least = DateTime::<chrono::Utc>::MIN_UTC.timestamp();
    for offset in [-86_340, 86_340, i32::MAX] {
        assert!(!format_seconds(least, offset).is_empty() && !format_seconds(-least, offset).is_empty());
    }
}

fn random_stamp(random: &mut fastrand::Rng) -> String {
    let (year, month, day) = (random.u32(1900..2110), random.u32(0..14), random.u32(0..33));
    let (hour, minute, second) = (random.u32(0..25), random.u32(0..61), random.u32(0..62));
    let letter = random.choice(["T", "T", "T", "t", " "]).unwrap();
    let fraction = match random.u8(0..6) {
        0 => format!(".{}", random.u64(..)),
        1 => format!(".{:09}", random.u32(0..1_000_000_000)),
        _ => String::new(),
    };
    let zone = match random.u8(0..5) {
        0..=1 => "Z".to_owned(),
        2 => "z".to_owned(),
        _ => format!("{}{:02}:{:02}", random.choice(["+", "-"]).unwrap(), random.u8(0..25), random.u8(0..61)),
    };
    // years at the ends of leap-year rules more often
    let year = if random.bool() { year } else { random.choice([1900, 1970, 2000, 2024, 2100, 1969]).unwrap() };
    let date = format!("{year:04}-{month:02}-{day:02}");
    let clock = format!("{hour:02}:{minute:02}:{second:02}");
    format!("{date}{letter}{clock}{fraction}{zone}")
}

fn mutated(random: &mut fastrand::Rng, text: &str) -> String {
    let mut text: Vec<u8> = text.bytes().collect();
    for _ in 0..random.usize(0..3) {
        let place = random.usize(0..text.len());
        let byte = random.choice(*b"0123456789-+:.,TZtz \0/x\"").unwrap();
        match random.u8(0..3) {
            0 => text[place] = byte,
            1 => text.insert(place, byte),
            _ => drop(text.remove(place)),
        }
    }
    String::from_utf8(text).unwrap()
}

/// The calendar library reads the same format; the one known difference is that it takes second 60 in any minute.
#[test]
fn reading_agrees_with_the_calendar_library() {
    let mut random = fastrand::Rng::with_seed(1);
    let (all, mut taken, mut refused) = (rounds(150_000), 0, 0);
    for _ in 0..all {
        let whole = random_stamp(&mut random);
        let text = mutated(&mut random, &whole);
        let theirs = DateTime::parse_from_rfc3339(&text);
        match (Stamp::parse(&text), theirs) {
            (Ok(ours), Ok(theirs)) => {
                taken += 1;
                // it keeps second 60 as second 59 and a thousand million nanoseconds and more
                let carried = i64::from(theirs.timestamp_subsec_nanos() / 1_000_000_000);
                assert_eq!(ours.floor_seconds(), theirs.timestamp() + carried, "{text}");
                assert_eq!(ours.offset_seconds(), theirs.offset().local_minus_utc(), "{text}");
                let nanos = theirs.timestamp_subsec_nanos() % 1_000_000_000;
                assert!(ours.nanos() == nanos || (nanos == 0 && ours.nanos() == 1), "{text}");
            }
            (Err(StampError::NoLeapSecond), Ok(_)) => assert!(text.contains(":60"), "{text}"),
            (Err(_), Err(_)) => refused += 1,
            (ours, theirs) => panic!("{text:?}: {ours:?} but {theirs:?}"),
        }
    }
    assert!(taken * 6 > all && refused * 6 > all, "{taken} {refused}");
}

#[test]
fn the_quick_way_agrees_with_the_full_one() {
    let mut random = fastrand::Rng::with_seed(2);
    let mut quick = Quick::new();
    let (all, mut taken) = (rounds(250_000), 0);
    let mut last = "2026-11-25T06:30:00Z".to_owned();
    for _ in 0..all {
        // often the day or the offset of the row before, sometimes with something wrong in it
        last = match random.u8(0..4) {
            0 => random_stamp(&mut random),
            1 if last.len() > 19 => last[..11].to_owned() + &random_stamp(&mut random)[11..],
            2 if last.len() > 19 => random_stamp(&mut random)[..19].to_owned() + &last[19..],
            _ => last,
        };
        let text = if random.bool() { mutated(&mut random, &last) } else { last.clone() };
        let mut window = [b','; WINDOW];
        for (place, byte) in window.iter_mut().zip(text.bytes()) {
            *place = byte;
        }
        let found = quick.read(&window);
        if !last.is_ascii() || last.is_empty() {
            last = "2026-11-25T06:30:00Z".to_owned();
        }
        let Some(found) = found else { continue };
        taken += 1;
        let full = Stamp::from_bytes(&window[..found.length]).unwrap();
        assert_eq!((found.seconds, found.offset_seconds), (full.floor_seconds(), full.offset_seconds()), "{text}");
        assert_eq!(full.nanos(), 0);
    }
    assert!(taken * 10 > all, "{taken}");
}

/// Every form the quick way is for is taken by it, so that speed does not quietly go.
#[test]
fn the_quick_way_takes_every_second_and_offset_that_exists() {
    let mut random = fastrand::Rng::with_seed(3);
    let mut quick = Quick::new();
    for _ in 0..rounds(50_000) {
        let (seconds, offset) = (random.i64(86_400..253_402_214_400), random.i32(-1439..=1439) * 60);
        let offset = if random.bool() { 0 } else { offset };
        let text = format_seconds(seconds, offset);
        let mut window = [b'9'; WINDOW];
        window[..text.len()].copy_from_slice(text.as_bytes());
        let found = quick.read(&window).unwrap();
        assert_eq!((found.seconds, found.offset_seconds, found.length), (seconds, offset, text.len()), "{text}");
    }
    // nothing that merely resembles the state before the first row
    assert_eq!(Quick::new().read(b"\0\0\0\0\0\0\0\0\0\0\x0012:00:00Z     "), None);
    assert_eq!(Quick::new().read(b"2026-11-25T12:00:00\0\0\0\0\0\0"), None);
}
