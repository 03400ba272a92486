//! What can't be used is refused with line, column and a remedy.

use super::{Options, read_all};
use crate::problem::{Exit, Problem};

const HEAD: &str = "time,temperature_c\n2026-11-25T06:30:00Z,5.5\n";

fn refused(text: &[u8]) -> Problem {
    read_all(text, &Options::default()).unwrap_err()
}

/// Line, column (0 for none) and words that the message must have.
fn check(text: &[u8], line: u64, column: u64, words: &[&str]) {
    let problem = refused(text);
    let message = problem.to_string();
    let place = (problem.line().unwrap_or(0), problem.column().unwrap_or(0));
    assert_eq!(place, (line, column), "{text:?}: {message}");
    for word in words {
        assert!(message.contains(word), "{word:?} in {message}");
    }
    assert_eq!(problem.exit(), Exit::Unusable);
    assert!(!problem.remedy().is_empty() && message.starts_with("t.csv:"), "{message}");
    assert!(!message.contains(|character: char| character.is_control() && character != '\n'), "{message:?}");
}

#[test]
fn rows_that_say_nothing_certain_are_refused_at_their_field() {
    let cases: [(&str, u64, &[&str]); 24] = [
        ("2026-11-25T06:31:00Z,nan", 22, &["\"nan\"", "finite", "leave the field empty"]),
        ("2026-11-25T06:31:00Z,-inf", 22, &["finite"]),
        ("2026-11-25T06:31:00Z,abc", 22, &["\"abc\"", "no number"]),
        ("2026-11-25T06:31:00Z,  5.5 °C", 22, &["\"5.5 °C\"", "no unit"]),
        ("2026-11-25T06:31:00Z,0x10", 22, &["no number"]),
        ("2026-11-25T06:31:00Z,1_000", 22, &["no number"]),
        ("2026-11-25T06:31:00Z,\"5,5\"", 22, &["comma", "point"]),
        ("2026-11-25T06:31:00Z,5,5", 24, &["3 fields", "header has 2", "decimal comma"]),
        ("2026-11-25T06:31:00Z", 1, &["1 field ", "header has 2", "complete the row"]),
        ("2026-11-25T06:31:00Z,1\u{1b}[2J", 22, &["\\u{1b}"]),
        ("2026-11-25T06:31:00,5.5", 1, &["no offset", "add Z for UTC", "+01:00"]),
        ("2026-02-30T06:31:00Z,5.5", 1, &["does not exist", "2026-02-30"]),
        ("2026-11-25T24:00:00Z,5.5", 1, &["hour 24", "day after"]),
        ("2026-11-25T06:60:00Z,5.5", 1, &["minute 60"]),
        ("2026-11-25T06:31:60Z,5.5", 1, &["leap second"]),
        ("2026-11-25T06:31Z,5.5", 1, &["no seconds"]),
        ("25.11.2026 06:31,5.5", 1, &["RFC 3339"]),
        (",5.5", 1, &["empty"]),
        (",", 1, &["empty"]),
        ("time,temperature_c", 1, &["\"time\"", "RFC 3339"]),
        ("\"2026-11-25T06:31:00Z,5.5", 1, &["quotation mark", "not closed"]),
        ("2026-11-25T06:31:00Z,\"5\"5", 25, &["closing quotation mark"]),
        ("2026-11-25T06:31:00Z,5.5\0", 25, &["zero byte"]),
        ("\u{FEFF}time,temperature_c", 1, &["byte-order mark", "joined"]),
    ];
    for (row, column, words) in cases {
        for (head, more) in [(HEAD.to_owned(), 0), (HEAD.replace('\n', "\r\n"), 0), (format!("\n\u{20}\n{HEAD}\n"), 3)]
        {
            for tail in ["", "\n", "\r\n", "\n2026-11-25T06:32:00Z,5.5\n"] {
                if row.starts_with("\"2026") && tail.len() > 2 {
                    continue;
                }
                check(format!("{head}{row}{tail}").as_bytes(), 3 + more, column, words);
            }
        }
    }
}

#[test]
fn a_long_text_is_shown_shortened() {
    let problem = refused(format!("{HEAD}2026-11-25T06:31:00Z,{}\n", "x".repeat(1000)).as_bytes());
    assert!(problem.to_string().len() < 250, "{problem}");
    assert!(problem.what().contains("...\""), "{problem}");
}

#[test]
fn a_byte_that_is_no_utf_8_is_named_with_its_place() {
    check(&[HEAD.as_bytes(), b"2026-11-25T06:31:00Z,5\xB0\n"].concat(), 3, 23, &["UTF-8"]);
    check(b"time,temp \xB0C\n", 1, 11, &["UTF-8"]);
    check(&[HEAD.as_bytes(), b"2026-11-25T06:31:00Z,5\xC3"].concat(), 3, 23, &["UTF-8"]);
}

#[test]
fn places_inside_a_record_of_several_lines_are_counted_on() {
    let text = "note,time,temperature_c\n\"one\ntwo\r\nthree\",2026-11-25T06:31:00Z,x\n";
    check(text.as_bytes(), 4, 29, &["\"x\""]);
    let text = "note,time,temperature_c\n\"one\ntwo\",2026-11-25T06:31:00Z,1\n,2026-11-25T06:32:00Z,y\n";
    check(text.as_bytes(), 4, 23, &["\"y\""]);
}

#[test]
fn files_that_are_no_trace_are_refused_by_what_they_are() {
    check(b"", 0, 0, &["empty"]);
    check(b"\n \n\r\n", 0, 0, &["empty"]);
    check(b"\xEF\xBB\xBF", 0, 0, &["empty"]);
    check(b"time,temperature_c", 1, 0, &["no rows"]);
    check(b"\ntime,temperature_c\n\n \n", 2, 0, &["no rows"]);
    check(b"\xFF\xFEt\0i\0m\0e\0", 0, 0, &["UTF-16"]);
    check(b"PK\x03\x04\x14\0", 0, 0, &["spreadsheet"]);
    check(b"\x1F\x8B\x08\0", 0, 0, &["compressed", "unpack"]);
    check(b"\x7FELF\x02\x01\x01\0\0", 1, 8, &["zero byte"]);
    check(b"time;temperature_c\n2026-11-25T06:30:00Z;5,5\n", 1, 0, &["semicolons", "\"time;temperature_c\""]);
    check(b"time\ttemperature_c\n", 1, 0, &["tabs"]);
    check(b"Time,Temperature_C\n", 1, 0, &["--time-column \"Time\"", "\"Temperature_C\""]);
    check(
        b"time,temp,humidity\n",
        1,
        0,
        &["no column \"temperature_c\"", "\"time\", \"temp\", \"humidity\"", "--temperature-column"],
    );
    check(b"2026-11-25T06:30:00Z,5.5\n", 1, 0, &["header", "above it"]);
    check(b"time,temperature_c,time\n", 1, 0, &["\"time\"", "twice", "columns 1 and 3"]);
    check(b"time,temperature_c,temperature_c\n", 1, 0, &["twice", "--temperature-column"]);
    check(b"a,b,c,d,e,f,g,h,i,j,k\n", 1, 0, &["\"h\", 3 more"]);
    // a column that nobody asked for may stand there twice
    assert!(read_all(b"time,temperature_c,x,x\n2026-11-25T06:30:00Z,5,,\n", &Options::default()).is_ok());
}

#[test]
fn one_name_for_both_columns_is_wrong_usage() {
    let options = Options { temperature_column: "time".to_owned(), ..Options::default() };
    let problem = read_all(HEAD.as_bytes(), &options).unwrap_err();
    assert_eq!(problem.exit(), Exit::Usage);
}
