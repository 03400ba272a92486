//! Quantities as they are shown: temperature, torque, time left, time of day.
//!
//! Roundings: a temperature is rounded half away from zero, for reading only, as on the PC; time left and required is
//! rounded up, time served down; a clock time that is waited for is rounded up to the minute, a time limit down.

use super::line::Line;
use super::words;
use crate::view::{Wall, Which};
use holdoff_core::quantity::{Count, Date, Fine, Torque};

const MINUTE: u64 = 60;
const HOUR: u64 = 60 * MINUTE;
const DAY: u64 = 24 * HOUR;

/// `3 of 6`.
pub(super) fn which(line: &mut Line, which: Which) -> &mut Line {
    line.number(u64::from(which.number)).and(words::OF).number(u64::from(which.of))
}

/// A temperature in °C with one decimal, rounded half away from zero; without its unit.
pub(super) fn degrees(line: &mut Line, temperature: Fine) -> &mut Line {
    let tenths = temperature.raw().unsigned_abs().saturating_mul(20).saturating_add(256) / 512;
    if temperature.raw() < 0 && tenths > 0 {
        line.byte(b'-');
    }
    line.number(u64::from(tenths / 10)).byte(b'.').number(u64::from(tenths % 10))
}

/// The last accepted reading, or dashes; without its unit.
pub(super) fn reading(line: &mut Line, reading: Option<Count>) -> &mut Line {
    match reading {
        Some(count) => degrees(line, count.fine()),
        None => line.and(words::NO_TEMPERATURE),
    }
}

/// A limit in °C, without `.0` where it is whole; without its unit.
pub(super) fn tidy_degrees(line: &mut Line, limit: Count) -> &mut Line {
    match i8::try_from(limit.raw() >> 8) {
        Ok(whole) if limit.raw() & 255 == 0 => whole_degrees(line, whole),
        Ok(_) | Err(_) => degrees(line, limit.fine()),
    }
}

/// Whole degrees Celsius, without their unit.
pub(super) fn whole_degrees(line: &mut Line, degrees: i8) -> &mut Line {
    if degrees < 0 {
        line.byte(b'-');
    }
    line.number(u64::from(degrees.unsigned_abs()))
}

/// A torque in N·m, without needless zeros and without its unit.
pub(super) fn torque(line: &mut Line, torque: Torque) -> &mut Line {
    let (whole, rest) = (torque.hundredths() / 100, torque.hundredths() % 100);
    line.number(u64::from(whole));
    match rest {
        0 => line,
        rest if rest % 10 == 0 => line.byte(b'.').number(u64::from(rest / 10)),
        rest => line.byte(b'.').padded(u64::from(rest), 2),
    }
}

/// A torque with its unit.
pub(super) fn newton_metres(line: &mut Line, of: Torque) -> &mut Line {
    torque(line, of).and(words::BLANK_NEWTON_METRES)
}

/// `14:05`.
pub(super) fn clock(line: &mut Line, wall: Wall) -> &mut Line {
    line.padded(u64::from(wall.hour()), 2).byte(b':').padded(u64::from(wall.minute()), 2)
}

/// `14:05` where it is today; else `Thu 14:05` within six days, else `12 Dec 14:05`.
pub(super) fn clock_and_day(line: &mut Line, wall: Wall, now: Option<Wall>) -> &mut Line {
    match now.map(|now| wall.day_number().saturating_sub(now.day_number())) {
        Some(0) => {}
        Some(1..=6) => {
            line.and(words::weekday(wall.weekday())).byte(b' ');
        }
        Some(_) | None => {
            day_and_month(line, wall.date());
        }
    }
    clock(line, wall)
}

/// `2 Nov 2026`; a year that nobody lives to see stays at four digits.
pub(super) fn date(line: &mut Line, wall: Wall) -> &mut Line {
    let date = wall.date();
    day_and_month(line, date).number(date.year.clamp(0, 9999).unsigned_abs())
}

/// `2 Nov `
fn day_and_month(line: &mut Line, date: Date) -> &mut Line {
    line.number(u64::from(date.day)).byte(b' ').and(words::month(date.month)).byte(b' ')
}

/// Time left, in the two largest units, rounded up.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Left {
    /// Days and hours, from 24 h on.
    Days(u64, u64),
    /// Hours and minutes, from 1 h on.
    Hours(u64, u64),
    /// Minutes.
    Minutes(u64),
}

/// Time left, rounded up.
pub(super) const fn left(seconds: u64) -> Left {
    let minutes = seconds.div_ceil(MINUTE);
    if minutes < HOUR / MINUTE {
        return Left::Minutes(minutes);
    }
    if minutes < DAY / MINUTE {
        return Left::Hours(minutes / 60, minutes % 60);
    }
    let hours = seconds.div_ceil(HOUR);
    Left::Days(hours / 24, hours % 24)
}

/// Which way a length is rounded to a minute.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Round {
    Down,
    Up,
}

/// A length of time in its two largest units, `13 d 23 h` or `3 h 21 min`; under a minute in seconds.
pub(super) fn length(line: &mut Line, seconds: u64, round: Round) -> &mut Line {
    let whole = |unit: u64| match round {
        Round::Down => seconds / unit,
        Round::Up => seconds.div_ceil(unit),
    };
    let (minutes, hours) = (whole(MINUTE), whole(HOUR));
    let (large, unit, small, smaller) = if seconds < MINUTE {
        (seconds, words::S, 0, "")
    } else if minutes < HOUR / MINUTE {
        (minutes, words::MIN, 0, "")
    } else if minutes < DAY / MINUTE {
        (minutes / 60, words::H, minutes % 60, words::MIN)
    } else {
        (hours / 24, words::D, hours % 24, words::H)
    };
    line.number(large).and(unit);
    if small == 0 { line } else { line.byte(b' ').number(small).and(smaller) }
}

#[cfg(test)]
mod tests {
    use super::{Left, Line, Round, clock_and_day, degrees, left, length, torque};
    use crate::view::Wall;
    use holdoff_core::quantity::{Fine, Torque};

    fn text(write: impl FnOnce(&mut Line) -> &mut Line) -> String {
        write(&mut Line::of("")).bytes().iter().map(|&byte| char::from(byte)).collect()
    }

    #[test]
    fn temperatures_are_rounded_half_away_from_zero() {
        let of = |raw| text(|line| degrees(line, Fine::new(raw)));
        assert_eq!([of(0), of(243), of(244), of(256), of(-1), of(-256)], ["0.0", "0.9", "1.0", "1.0", "0.0", "-1.0"]);
        assert_eq!([of(64), of(-64), of(63), of(-63)], ["0.3", "-0.3", "0.2", "-0.2"]);
        assert_eq!([of(-32768), of(127 * 256)], ["-128.0", "127.0"]);
    }

    #[test]
    fn torques_drop_needless_zeros() {
        let of = |hundredths| text(|line| torque(line, Torque::from_hundredths(hundredths)));
        assert_eq!([of(2000), of(2050), of(2005), of(5)], ["20", "20.5", "20.05", "0.05"]);
    }

    #[test]
    fn time_left_is_rounded_up() {
        assert_eq!(left(0), Left::Minutes(0));
        assert_eq!(left(1), Left::Minutes(1));
        assert_eq!(left(59 * 60), Left::Minutes(59));
        assert_eq!(left(59 * 60 + 1), Left::Hours(1, 0));
        assert_eq!(left(24 * 3600 - 60), Left::Hours(23, 59));
        assert_eq!(left(24 * 3600 - 59), Left::Days(1, 0));
        assert_eq!(left(14 * 24 * 3600), Left::Days(14, 0));
        assert_eq!(left(25 * 3600 + 1), Left::Days(1, 2));
    }

    #[test]
    fn lengths_name_only_the_units_they_have() {
        let of = |seconds, round| text(|line| length(line, seconds, round));
        assert_eq!([of(59, Round::Down), of(60, Round::Down), of(61, Round::Up)], ["59 s", "1 min", "2 min"]);
        assert_eq!([of(3600 + 61, Round::Up), of(3600 + 61, Round::Down)], ["1 h 2 min", "1 h 1 min"]);
        assert_eq!([of(86_400 - 1, Round::Up), of(86_400 - 1, Round::Down)], ["1 d", "23 h 59 min"]);
        assert_eq!([of(14 * 86_400 - 1, Round::Down), of(13 * 86_400 + 1, Round::Up)], ["13 d 23 h", "13 d 1 h"]);
    }

    #[test]
    fn a_day_is_named_unless_it_is_today() {
        let wall = |days: i64| Wall::new(1_795_588_200 + days * 86_400, 0); // Wednesday 25 November, 06:30
        let of = |days| text(|line| clock_and_day(line, wall(days), Some(wall(0))));
        assert_eq!([of(0), of(1), of(6)], ["06:30", "Thu 06:30", "Tue 06:30"]);
        assert_eq!([of(7), of(-1)], ["2 Dec 06:30", "24 Nov 06:30"]);
        assert_eq!(text(|line| clock_and_day(line, wall(0), None)), "25 Nov 06:30");
    }
}
