//! Local time, for labels only: no cure time is ever worked out from it (rule Q2).

use holdoff_core::quantity::Date;

/// Seconds of a day.
const DAY: i64 = 86_400;

/// A second of local time.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Wall(i64);

/// A day of the week.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
#[allow(missing_docs, reason = "the names say it")]
pub enum Weekday {
    Monday,
    Tuesday,
    Wednesday,
    Thursday,
    Friday,
    Saturday,
    Sunday,
}

impl Weekday {
    const ALL: [Self; 7] = [
        Self::Thursday, // 1970-01-01
        Self::Friday,
        Self::Saturday,
        Self::Sunday,
        Self::Monday,
        Self::Tuesday,
        Self::Wednesday,
    ];
}

impl Wall {
    /// From seconds since 1970-01-01T00:00:00Z and the offset of local time in minutes. What lies further than the
    /// numbers reach is held at their end.
    pub const fn new(utc: i64, offset_minutes: i16) -> Self {
        Self(utc.saturating_add(offset_minutes as i64 * 60))
    }

    /// Hour of the day, 0 to 23.
    pub const fn hour(self) -> u8 {
        (left(self.0, DAY) / 3600) as u8 // under 24
    }

    /// Minute of the hour, 0 to 59; seconds are left off.
    pub const fn minute(self) -> u8 {
        (left(self.0, 3600) / 60) as u8 // under 60
    }

    /// The full minute that it lies in.
    #[must_use]
    pub const fn floor_minute(self) -> Self {
        Self(whole(self.0, 60).saturating_mul(60))
    }

    /// The first full minute that is not earlier: what is announced for then is never announced too early.
    #[must_use]
    pub const fn ceil_minute(self) -> Self {
        Self(whole(self.0.saturating_add(59), 60).saturating_mul(60))
    }

    /// Days since 1970-01-01.
    pub const fn day_number(self) -> i64 {
        whole(self.0, DAY)
    }

    /// The day of the week.
    pub fn weekday(self) -> Weekday {
        let place = left(self.day_number(), 7) as usize;
        Weekday::ALL.get(place).copied().unwrap_or(Weekday::Thursday)
    }

    /// The day of the Gregorian calendar.
    pub const fn date(self) -> Date {
        Date::of(self.0)
    }
}

/// Whole parts, rounded down. A division of 64 bits is a call on a small processor; it stands here once.
#[inline(never)]
const fn whole(number: i64, part: i64) -> i64 {
    match number.checked_div_euclid(part) {
        Some(whole) => whole,
        None => 0, // no part is zero
    }
}

/// What is left over whole parts, under one part; parts are below 2^32.
const fn left(number: i64, part: i64) -> u32 {
    number.wrapping_sub(whole(number, part).wrapping_mul(part)) as u32
}

#[cfg(test)]
mod tests {
    use super::{Wall, Weekday};
    use holdoff_core::quantity::Date;

    #[test]
    fn days_that_are_published_come_out() {
        // 2000-02-29T00:00:00Z = 951782400, a Tuesday; 2026-11-25T06:30Z = 1795588200, a Wednesday; 2038-01-19T03:14:07Z =
        // 2^31 - 1, a Tuesday (computed with CPython's datetime); 1990-12-31T23:59:59Z = 662687999 (RFC 3339, 5.8), a Monday
        let days = [
            (0, (1970, 1, 1), Weekday::Thursday, (0, 0)),
            (-1, (1969, 12, 31), Weekday::Wednesday, (23, 59)),
            (951_782_400, (2000, 2, 29), Weekday::Tuesday, (0, 0)),
            (951_868_800, (2000, 3, 1), Weekday::Wednesday, (0, 0)),
            (1_795_588_200, (2026, 11, 25), Weekday::Wednesday, (6, 30)),
            (2_147_483_647, (2038, 1, 19), Weekday::Tuesday, (3, 14)),
            (662_687_999, (1990, 12, 31), Weekday::Monday, (23, 59)),
        ];
        for (seconds, day, weekday, (hour, minute)) in days {
            let wall = Wall::new(seconds, 0);
            let Date { year, month, day: of_month } = wall.date();
            assert_eq!((year, month, of_month), day, "{seconds}");
            assert_eq!((wall.weekday(), wall.hour(), wall.minute()), (weekday, hour, minute), "{seconds}");
        }
    }

    #[test]
    fn an_offset_is_minutes_and_a_full_minute_is_never_earlier() {
        let wall = Wall::new(1_795_588_200, -7 * 60);
        assert_eq!((wall.hour(), wall.minute(), wall.date().day), (23, 30, 24));
        assert_eq!(wall.ceil_minute(), wall);
        assert_eq!(Wall::new(1, 0).ceil_minute().minute(), 1);
        for extreme in [i64::MIN, i64::MAX] {
            let wall = Wall::new(extreme, i16::MAX).ceil_minute();
            assert!(wall.hour() < 24 && wall.minute() < 60 && wall.date().day <= 31);
        }
    }
}
