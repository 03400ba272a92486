//! Memory stays bounded, whatever the input is.

use super::super::{BLOCK, MOST_RECORD, Trace};
use super::{Options, Sample};
use crate::problem::Problem;
use std::io::{Error, ErrorKind, Read, Result};

/// Gives a beginning, then one text over and over, then an end; counts what was asked of it.
struct Endless {
    beginning: Vec<u8>,
    again: Vec<u8>,
    times: usize,
    given: usize,
}

impl Read for &mut Endless {
    fn read(&mut self, room: &mut [u8]) -> Result<usize> {
        let beginning = self.beginning.len();
        let end = beginning + self.times * self.again.len();
        let count = room.len().min(end - self.given).min(10_000);
        for place in room.iter_mut().take(count) {
            *place = match self.given.checked_sub(beginning) {
                None => self.beginning[self.given],
                Some(behind) => self.again[behind % self.again.len()],
            };
            self.given += 1;
        }
        Ok(count)
    }
}

fn refused(beginning: &str, again: &str, times: usize) -> (Problem, usize) {
    let mut source = Endless { beginning: beginning.into(), again: again.into(), times, given: 0 };
    let outcome = Trace::new("t.csv", &mut source, &Options::default()).and_then(|mut trace| {
        while trace.next_row()?.is_some() {}
        Ok(())
    });
    (outcome.unwrap_err(), source.given)
}

#[test]
fn a_record_without_end_is_refused_before_much_of_it_is_read() {
    const HEAD: &str = "time,temperature_c\n2026-11-25T06:30:00Z,5.5\n";
    const TEN_MEGABYTES: usize = 10_000_000;
    let cases = [
        (HEAD, "x", 3, "longer than 64 KiB"),
        (HEAD, " ", 3, "longer than 64 KiB"),
        (HEAD, "x,", 3, "more than 4096 fields"),
        (HEAD, "\u{20AC}", 3, "longer than 64 KiB"),
        ("", "x", 1, "longer than 64 KiB"),
        ("", "time,", 1, "more than 4096 fields"),
        ("time,temperature_c\n2026-11-25T06:30:00Z,5.5\n\"2026", "-11\n", 3, "quotation mark"),
        ("time,temperature_c\n2026-11-25T06:30:00Z,\"5.5\n", "2026-11-25T06:30:00Z,5.5\n", 2, "quotation mark"),
        ("time,\"temperature_c\n", "2026-11-25T06:30:00Z,5.5\n", 1, "quotation mark"),
        ("", "\0", 1, "zero byte"),
        (HEAD, "\0", 3, "zero byte"),
    ];
    for (beginning, again, line, word) in cases {
        let (problem, given) = refused(beginning, again, TEN_MEGABYTES / again.len());
        assert!(problem.to_string().contains(word), "{problem}");
        assert_eq!(problem.line(), Some(line), "{problem}");
        assert!(given <= BLOCK + 10_000, "{given} bytes read for {problem}");
    }
}

#[test]
fn the_longest_record_is_read_and_one_byte_more_is_not() {
    for (length, ok) in [(MOST_RECORD, true), (MOST_RECORD + 1, false)] {
        for (opening, closing, line_end) in [("", "", "\n"), ("\"", "\"", "\n"), ("\"", "\"", "\r\n"), ("", "", "\r\n")]
        {
            for tail in ["", "2026-11-25T06:31:00Z,6,\n"] {
                let row = format!("2026-11-25T06:30:00Z,5,{opening}{closing}");
                let filling = "n".repeat(length - row.len() - 1);
                let row = format!("2026-11-25T06:30:00Z,5,{opening}{filling}{closing}{line_end}");
                // of the line end only its first byte counts
                let text = format!("time,temperature_c,note\n{row}{tail}");
                let found = super::read_all(text.as_bytes(), &Options::default());
                if line_end == "\r\n" && length == MOST_RECORD {
                    continue; // one more than the longest, with two bytes of line end: either is right
                }
                assert_eq!(found.is_ok(), ok, "{length} {opening} {line_end:?} {:?}", found.err());
            }
        }
    }
}

/// Gives its bytes in pieces of the lengths asked for, with an interruption before each.
struct Pieces<'a> {
    text: &'a [u8],
    length: usize,
    interrupted: bool,
}

impl Read for Pieces<'_> {
    fn read(&mut self, room: &mut [u8]) -> Result<usize> {
        self.interrupted = !self.interrupted;
        if self.interrupted {
            return Err(Error::from(ErrorKind::Interrupted));
        }
        let count = room.len().min(self.length).min(self.text.len());
        let (piece, rest) = self.text.split_at(count);
        room[..count].copy_from_slice(piece);
        self.text = rest;
        Ok(count)
    }
}

#[test]
fn a_source_may_give_its_bytes_in_pieces_of_any_length() {
    let text: String = "time,temperature_c\n".to_owned() + &"2026-11-25T06:30:00Z,5.5\n".repeat(30_000);
    for length in [1, 7, 4096, 1 << 20] {
        let source = Pieces { text: text.as_bytes(), length, interrupted: false };
        let mut trace = Trace::new("-", source, &Options::default()).unwrap();
        let mut count = 0;
        while let Some(row) = trace.next_row().unwrap() {
            assert_eq!(row.reading, super::count(1408));
            count += 1;
        }
        assert_eq!(count, 30_000);
    }
}

struct Broken;

impl Read for Broken {
    fn read(&mut self, room: &mut [u8]) -> Result<usize> {
        static TEXT: &[u8] = b"time,temperature_c\n2026-11-25T06:30:00Z,5.5\n";
        match room.len() {
            BLOCK => {
                room[..TEXT.len()].copy_from_slice(TEXT);
                Ok(TEXT.len())
            }
            _ => Err(Error::other("the medium is gone")),
        }
    }
}

#[test]
fn a_medium_that_fails_is_no_end_of_the_file() {
    let problem = Trace::new("t.csv", Broken, &Options::default()).map(|_| Sample::Missing).unwrap_err();
    assert!(problem.to_string().contains("reading failed: the medium is gone"), "{problem}");
}
