//! Quantities as they are shown: temperature, torque, time left, time of day.
//!
//! Roundings: a temperature is rounded half away from zero, for reading only, as on the PC; time left and required is
//! rounded up, time served down; a clock time that is waited for is rounded up to the minute, a time limit down.

use super::line::Line;
use super::words;
use crate::view::{Wall, Which};
use holdoff_core::quantity::{Count, Fine, Torque};

const MINUTE: u64 = 60;
const HOUR: u64 = 60 * MINUTE;
const DAY: u64 = 24 * HOUR;

/// `3 of 6`.
pub(super) fn which(which: Which) -> Line {
    Line::EMPTY.number(u64::from(which.number)).and(words::OF).number(u64::from(which.of))
}

/// A temperature in °C with one decimal, rounded half away from zero; without its unit.
pub(super) fn degrees(temperature: Fine) -> Line {
    let raw = i64::from(temperature.raw());
    let tenths = (raw.unsigned_abs() * 20 + 256) / 512;
    let line = if raw < 0 && tenths > 0 { Line::of("-") } else { Line::EMPTY };
    line.number(tenths / 10).byte(b'.').number(tenths % 10)
}

/// A limit in °C behind a line, without `.0` where it is whole; without its unit.
pub(super) fn tidy_degrees(line: Line, limit: Count) -> Line {
    if limit.raw() % 256 == 0 {
        let whole = limit.raw() / 256;
        let line = if whole < 0 { line.byte(b'-') } else { line };
        return line.number(u64::from(whole.unsigned_abs()));
    }
    line.and_line(&degrees(limit.fine()))
}

/// Whole degrees Celsius, without their unit.
pub(super) fn whole_degrees(degrees: i8) -> Line {
    let line = if degrees < 0 { Line::of("-") } else { Line::EMPTY };
    line.number(u64::from(degrees.unsigned_abs()))
}

/// A torque in N·m behind a line, without needless zeros and without its unit.
pub(super) fn torque(line: Line, torque: Torque) -> Line {
    let (whole, rest) = (torque.hundredths() / 100, torque.hundredths() % 100);
    let line = line.number(u64::from(whole));
    match rest {
        0 => line,
        rest if rest % 10 == 0 => line.byte(b'.').number(u64::from(rest / 10)),
        rest => line.byte(b'.').padded(u64::from(rest), 2),
    }
}

/// `14:05`.
pub(super) fn clock(line: Line, wall: Wall) -> Line {
    line.padded(u64::from(wall.hour()), 2).byte(b':').padded(u64::from(wall.minute()), 2)
}

/// `14:05` where it is today; else `Thu 14:05` within six days, else `12 Dec 14:05`.
pub(super) fn clock_and_day(line: Line, wall: Wall, now: Option<Wall>) -> Line {
    match day(wall, now) {
        Some(day) => clock(line.and_line(&day).byte(b' '), wall),
        None => clock(line, wall),
    }
}

/// The day, if it is another one than today: `Thu` within six days, else `12 Dec`.
pub(super) fn day(wall: Wall, now: Option<Wall>) -> Option<Line> {
    let ahead = now.map(|now| wall.day_number().saturating_sub(now.day_number()));
    match ahead {
        Some(0) => None,
        Some(1..=6) => Some(Line::of(words::weekday(wall.weekday()))),
        Some(_) | None => {
            let (day, month) = wall.day_and_month();
            Some(Line::EMPTY.number(u64::from(day)).byte(b' ').and(words::month(month)))
        }
    }
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
pub(super) fn length(seconds: u64, round: Round) -> Line {
    let whole = |unit: u64| match round {
        Round::Down => seconds / unit,
        Round::Up => seconds.div_ceil(unit),
    };
    let (minutes, hours) = (whole(MINUTE), whole(HOUR));
    if seconds < MINUTE {
        Line::EMPTY.number(seconds).and(words::S)
    } else if minutes < HOUR / MINUTE {
        Line::EMPTY.number(minutes).and(words::MIN)
    } else if minutes < DAY / MINUTE {
        two(minutes / 60, words::H, minutes % 60, words::MIN)
    } else {
        two(hours / 24, words::D, hours % 24, words::H)
    }
}

/// Two units, the smaller one only where there is something of it.
fn two(large: u64, unit: &str, small: u64, smaller: &str) -> Line {
    let line = Line::EMPTY.number(large).and(unit);
    if small == 0 { line } else { line.byte(b' ').number(small).and(smaller) }
}

#[cfg(test)]
mod tests {
    use super::{Left, Line, Round, clock_and_day, degrees, left, length, torque};
    use crate::view::Wall;
    use holdoff_core::quantity::{Fine, Torque};

    fn text(line: Line) -> String {
        line.bytes().iter().map(|&byte| char::from(byte)).collect()
    }

    #[test]
    fn temperatures_are_rounded_half_away_from_zero() {
        let of = |raw| text(degrees(Fine::new(raw)));
        assert_eq!([of(0), of(243), of(244), of(256), of(-1), of(-256)], ["0.0", "0.9", "1.0", "1.0", "0.0", "-1.0"]);
        assert_eq!([of(64), of(-64), of(63), of(-63)], ["0.3", "-0.3", "0.2", "-0.2"]);
        assert_eq!([of(-32768), of(i32::MAX)], ["-128.0", "8388608.0"]);
    }

    #[test]
    fn torques_drop_needless_zeros() {
        let of = |hundredths| text(torque(Line::EMPTY, Torque::from_hundredths(hundredths)));
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
        let of = |seconds, round| text(length(seconds, round));
        assert_eq!([of(59, Round::Down), of(60, Round::Down), of(61, Round::Up)], ["59 s", "1 min", "2 min"]);
        assert_eq!([of(3600 + 61, Round::Up), of(3600 + 61, Round::Down)], ["1 h 2 min", "1 h 1 min"]);
        assert_eq!([of(86_400 - 1, Round::Up), of(86_400 - 1, Round::Down)], ["1 d", "23 h 59 min"]);
        assert_eq!([of(14 * 86_400 - 1, Round::Down), of(13 * 86_400 + 1, Round::Up)], ["13 d 23 h", "13 d 1 h"]);
    }

    #[test]
    fn a_day_is_named_unless_it_is_today() {
        let wall = |days: i64| Wall::new(1_795_588_200 + days * 86_400, 0); // Wednesday 25 November, 06:30
        let of = |days| text(clock_and_day(Line::EMPTY, wall(days), Some(wall(0))));
        assert_eq!([of(0), of(1), of(6)], ["06:30", "Thu 06:30", "Tue 06:30"]);
        assert_eq!([of(7), of(-1)], ["2 Dec 06:30", "24 Nov 06:30"]);
        assert_eq!(text(clock_and_day(Line::EMPTY, wall(0), None)), "25 Nov 06:30");
    }
}
