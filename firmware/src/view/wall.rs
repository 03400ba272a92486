//! Local time, for labels only: no cure time is ever worked out from it (rule Q2).

/// Seconds of a day.
const DAY: i64 = 86_400;
/// Days from 0000-03-01 to 1970-01-01 in the Gregorian calendar, carried back.
const EPOCH: i64 = 719_468;
/// Days of 400 years.
const ERA: i64 = 146_097;

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

/// A month.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
#[allow(missing_docs, reason = "the names say it")]
pub enum Month {
    January,
    February,
    March,
    April,
    May,
    June,
    July,
    August,
    September,
    October,
    November,
    December,
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

impl Month {
    /// From March on, so that the leap day comes last.
    const ALL: [Self; 12] = [
        Self::March,
        Self::April,
        Self::May,
        Self::June,
        Self::July,
        Self::August,
        Self::September,
        Self::October,
        Self::November,
        Self::December,
        Self::January,
        Self::February,
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

    /// Day of the month, 1 to 31, and the month (the algorithm `civil_from_days` of H. Hinnant, chrono-Compatible
    /// Low-Level Date Algorithms; from memory).
    pub fn day_and_month(self) -> (u8, Month) {
        let (day, month, _) = self.date();
        (day, month)
    }

    /// Day of the month, 1 to 31, the month, and the year of the Gregorian calendar, by the same algorithm.
    pub fn date(self) -> (u8, Month, i64) {
        let days = self.day_number().saturating_add(EPOCH);
        let day = left(days, ERA); // from here on 32 bits are enough
        let year = (day - day / 1_460 + day / 36_524 - day / 146_096) / 365; // from March on
        let of_year = day - (365 * year + year / 4 - year / 100);
        let month = (5 * of_year + 2) / 153;
        let of_month = of_year - (153 * month + 2) / 5 + 1; // 1 to 31
        let year = whole(days, ERA).saturating_mul(400).saturating_add(i64::from(year + u32::from(month >= 10)));
        (of_month as u8, Month::ALL.get(month as usize).copied().unwrap_or(Month::January), year)
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
    use super::{Month, Wall, Weekday};

    #[test]
    fn days_that_are_published_come_out() {
        // 2000-02-29T00:00:00Z = 951782400, a Tuesday; 2026-11-25T06:30Z = 1795588200, a Wednesday; 2038-01-19T03:14:07Z =
        // 2^31 - 1, a Tuesday (computed with CPython's datetime); 1990-12-31T23:59:59Z = 662687999 (RFC 3339, 5.8), a Monday
        let days = [
            (0, (1, Month::January, 1970), Weekday::Thursday, (0, 0)),
            (-1, (31, Month::December, 1969), Weekday::Wednesday, (23, 59)),
            (951_782_400, (29, Month::February, 2000), Weekday::Tuesday, (0, 0)),
            (951_868_800, (1, Month::March, 2000), Weekday::Wednesday, (0, 0)),
            (1_795_588_200, (25, Month::November, 2026), Weekday::Wednesday, (6, 30)),
            (2_147_483_647, (19, Month::January, 2038), Weekday::Tuesday, (3, 14)),
            (662_687_999, (31, Month::December, 1990), Weekday::Monday, (23, 59)),
        ];
        for (seconds, day, weekday, (hour, minute)) in days {
            let wall = Wall::new(seconds, 0);
            assert_eq!(
                (wall.date(), wall.weekday(), wall.hour(), wall.minute()),
                (day, weekday, hour, minute),
                "{seconds}"
            );
        }
    }

    #[test]
    fn days_follow_each_other_through_four_centuries() {
        let mut before = Wall::new(-146_098 * 86_400, 0).day_and_month();
        for day in -146_097..=146_097 {
            let now = Wall::new(day * 86_400, 0).day_and_month();
            let next_day = now.1 == before.1 && now.0 == before.0 + 1;
            let next_month = now.1 != before.1 && now.0 == 1 && before.0 >= 28;
            assert!(next_day || next_month, "{before:?} {now:?}");
            before = now;
        }
    }

    #[test]
    fn an_offset_is_minutes_and_a_full_minute_is_never_earlier() {
        let wall = Wall::new(1_795_588_200, -7 * 60);
        assert_eq!((wall.hour(), wall.minute(), wall.day_and_month().0), (23, 30, 24));
        assert_eq!(wall.ceil_minute(), wall);
        assert_eq!(Wall::new(1, 0).ceil_minute().minute(), 1);
        for extreme in [i64::MIN, i64::MAX] {
            let wall = Wall::new(extreme, i16::MAX).ceil_minute();
            assert!(wall.hour() < 24 && wall.minute() < 60 && wall.day_and_month().0 <= 31);
        }
    }
}
