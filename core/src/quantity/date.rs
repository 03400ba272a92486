//! The calendar day of a second, for labels.

/// Seconds of a day.
const DAY: i64 = 86_400;
/// Days from 0000-03-01 to 1970-01-01 in the Gregorian calendar, carried back.
const EPOCH: i64 = 719_468;
/// Days of 400 years.
const ERA: i64 = 146_097;

/// A day of the Gregorian calendar, carried back and forth without end.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Date {
    /// The year.
    pub year: i64,
    /// The month, 1 to 12.
    pub month: u8,
    /// The day of the month, 1 to 31.
    pub day: u8,
}

impl Date {
    /// The day that a second since 1970-01-01T00:00:00 falls on, without a zone. The year is counted from March, so that
    /// the leap day comes last (the algorithm `civil_from_days` of H. Hinnant, chrono-Compatible Low-Level Date Algorithms;
    /// from memory).
    #[inline(never)] // divisions of 64 bits are calls on a small processor
    pub const fn of(seconds: i64) -> Self {
        let days = seconds.div_euclid(DAY) + EPOCH; // far from the ends
        let era = days.div_euclid(ERA);
        let day = (days - era * ERA) as u32; // from here on 32 bits are enough
        let year = (day - day / 1_460 + day / 36_524 - day / 146_096) / 365;
        let of_year = day - (365 * year + year / 4 - year / 100);
        let month = (5 * of_year + 2) / 153;
        let of_month = of_year - (153 * month + 2) / 5 + 1;
        let (month, next) = if month < 10 { (month + 3, 0) } else { (month - 9, 1) };
        Self { year: era * 400 + (year + next) as i64, month: month as u8, day: of_month as u8 }
    }
}

#[cfg(test)]
mod tests {
    use super::Date;

    #[test]
    fn days_that_are_published_come_out() {
        // 2000-02-29T00:00:00Z = 951782400, 2024-02-29T12:00Z = 1709208000, 2026-11-25T06:30Z = 1795588200,
        // 2038-01-19T03:14:07Z = 2^31 - 1, 2106-02-07T06:28:15Z = 2^32 - 1 (computed with CPython's datetime);
        // 1990-12-31T23:59:59Z = 662687999 (RFC 3339, 5.8)
        let days = [
            (0, (1970, 1, 1)),
            (-1, (1969, 12, 31)),
            (951_782_400, (2000, 2, 29)),
            (951_868_799, (2000, 2, 29)),
            (951_868_800, (2000, 3, 1)),
            (1_709_208_000, (2024, 2, 29)),
            (1_795_588_200, (2026, 11, 25)),
            (2_147_483_647, (2038, 1, 19)),
            (4_294_967_295, (2106, 2, 7)),
            (662_687_999, (1990, 12, 31)),
        ];
        for (seconds, (year, month, day)) in days {
            assert_eq!(Date::of(seconds), Date { year, month, day }, "{seconds}");
        }
    }

    #[test]
    fn days_follow_each_other_through_four_centuries_either_way() {
        const DAYS: i64 = 146_097;
        let mut before = Date::of(-DAYS * 86_400);
        for day in -DAYS + 1..=DAYS {
            let now = Date::of(day * 86_400);
            let next_day = now == Date { day: before.day + 1, ..before };
            let next_month = now.day == 1 && before.day >= 28 && now.month == before.month % 12 + 1;
            let next_year = now.year - before.year == i64::from((now.month, now.day) == (1, 1));
            assert!((next_day || next_month) && next_year && before.day <= 31, "{before:?} {now:?}");
            before = now;
        }
        for extreme in [i64::MIN, i64::MAX] {
            let date = Date::of(extreme);
            assert!((1..=12).contains(&date.month) && (1..=31).contains(&date.day), "{date:?}");
        }
    }
}
