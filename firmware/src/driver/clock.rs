//! The battery-backed clock chip: seconds since 1970-01-01T00:00:00Z, or the reason why it has none.
//!
//! What for: chips with the time as binary-coded decimals in seven registers at address 68h (DS1307, DS1338, DS3231, PCF8523 data
//! sheets). They differ in where they say that their oscillator stood still, and one of them in where its time stands.
//! Terms: a clock that stopped *tells nothing*: its registers may look like a time, and are not one.
//! Invariants: a value that is no date of 2000 to 2099 is refused, and so is one in 12-hour form, which nobody here wrote;
//! a time is told only when two readings agree to the second or follow each other; a time that was set is read back.
//! What it does not do: zones, leap seconds, or deciding whether a time is right.

use super::probe::retry;
use crate::board::Bus;

/// The chips' address.
pub const ADDRESS: u8 = 0x68;
/// 2000-01-01T00:00:00Z.
pub const FIRST: i64 = 946_684_800;
/// 2099-12-31T23:59:59Z.
pub const LAST: i64 = 4_102_444_799;

const DAY: i64 = 86_400;
/// Days of 2000 to 2003, and of every four years up to 2099.
const FOUR_YEARS: i64 = 1461;
/// Days before each month of a year that is no leap year.
const BEFORE_MONTH: [i64; 12] = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334];

/// Bit of the seconds register that halts the clock (DS1307, DS1338).
const HALT: u8 = 0x80;
/// PCF8523, registers 0 to 2: it runs, in 24-hour form, with a crystal of 7 pF, no interrupts; its own battery takes over when
/// the supply falls. That last one is what it does not do by itself after power comes on.
const RUNS_ON_BATTERY: [u8; 4] = [0x00, 0x00, 0x00, 0x00];
/// PCF8523, register 15: nothing on its clock output, which would cost more current than the clock.
const NO_OUTPUT: [u8; 2] = [0x0F, 0x38];
/// Tries until two readings agree.
const TRIES: u8 = 4;

/// Which chip.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum ClockKind {
    /// Halt bit only.
    Ds1307,
    /// Halt bit, and a stop flag in bit 5 of register 7.
    Ds1338,
    /// Stop flag in bit 7 of register 15, temperature-compensated.
    Ds3231,
    /// Time from register 3 on, the day before the weekday, Sunday 0; stop flag in bit 7 of its seconds. Draws a tenth of what
    /// the others do.
    Pcf8523,
}

impl ClockKind {
    /// Register and bit of the stop flag.
    const fn stop_flag(self) -> Option<(u8, u8)> {
        match self {
            Self::Ds1307 | Self::Pcf8523 => None,
            Self::Ds1338 => Some((0x07, 0x20)),
            Self::Ds3231 => Some((0x0F, 0x80)),
        }
    }

    /// Bits of the seconds register that are no seconds.
    const fn halt_bit(self) -> u8 {
        match self {
            Self::Ds1307 | Self::Ds1338 | Self::Pcf8523 => HALT,
            Self::Ds3231 => 0,
        }
    }

    /// The register of the seconds.
    const fn seconds_at(self) -> u8 {
        match self {
            Self::Ds1307 | Self::Ds1338 | Self::Ds3231 => 0,
            Self::Pcf8523 => 3,
        }
    }

    /// What is written before a time is set.
    const fn before_setting(self) -> &'static [&'static [u8]] {
        match self {
            Self::Ds1307 | Self::Ds1338 | Self::Ds3231 => &[],
            Self::Pcf8523 => &[&RUNS_ON_BATTERY, &NO_OUTPUT],
        }
    }

    /// The time's registers in the order of the chip, from those of [`registers`].
    const fn in_its_order(self, [second, minute, hour, weekday, day, month, year]: [u8; 7]) -> [u8; 7] {
        match self {
            Self::Ds1307 | Self::Ds1338 | Self::Ds3231 => [second, minute, hour, weekday, day, month, year],
            Self::Pcf8523 => [second, minute, hour, day, weekday % 7, month, year],
        }
    }

    /// The time's registers as [`seconds`] takes them, from those of the chip.
    const fn in_our_order(self, registers: [u8; 7]) -> [u8; 7] {
        match self {
            Self::Ds1307 | Self::Ds1338 | Self::Ds3231 => registers,
            Self::Pcf8523 => {
                let [second, minute, hour, day, weekday, month, year] = registers;
                let weekday = match weekday {
                    0 => 7, // Sunday
                    7 => 0, // there is none
                    other => other,
                };
                [second, minute, hour, weekday, day, month, year]
            }
        }
    }
}

/// Why the chip tells no time.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum ClockFault {
    /// It does not answer.
    NoAnswer,
    /// Its oscillator is, or was, stopped.
    Stopped,
    /// What it holds is no time, or changes without order.
    Impossible,
    /// The time to set lies outside 2000 to 2099.
    OutOfRange,
}

/// The clock chip.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct ClockChip {
    kind: ClockKind,
}

impl ClockChip {
    /// A chip of this kind.
    pub const fn new(kind: ClockKind) -> Self {
        Self { kind }
    }

    /// Seconds since 1970-01-01T00:00:00Z.
    ///
    /// # Errors
    /// Why it tells none.
    pub fn now(&self, bus: &mut impl Bus) -> Result<i64, ClockFault> {
        if let Some((register, bit)) = self.kind.stop_flag() {
            let mut flags = [0u8; 1];
            read(bus, register, &mut flags)?;
            let [flags] = flags;
            if flags & bit != 0 {
                return Err(ClockFault::Stopped);
            }
        }
        // a bit that fell over on the way must not become a time: two readings have to agree
        let mut before = self.once(bus)?;
        for _ in 0..TRIES {
            let after = self.once(bus)?;
            if after == before || after.saturating_sub(before) == 1 {
                return Ok(after);
            }
            before = after;
        }
        Err(ClockFault::Impossible)
    }

    /// Sets it, starts it, clears the stop flag, and reads back.
    ///
    /// # Errors
    /// The time is out of range, or the chip did not take it.
    pub fn set(&self, bus: &mut impl Bus, utc: i64) -> Result<(), ClockFault> {
        let time = registers(utc).ok_or(ClockFault::OutOfRange)?;
        for bytes in self.kind.before_setting() {
            write(bus, bytes)?;
        }
        let [second, minute, hour, fourth, fifth, month, year] = self.kind.in_its_order(time);
        write(bus, &[self.kind.seconds_at(), second, minute, hour, fourth, fifth, month, year])?;
        if let Some((register, bit)) = self.kind.stop_flag() {
            let mut flags = [0u8; 1];
            read(bus, register, &mut flags)?;
            let [flags] = flags;
            write(bus, &[register, flags & !bit])?;
        }
        let told = self.now(bus)?;
        if (0..=1).contains(&told.saturating_sub(utc)) { Ok(()) } else { Err(ClockFault::Impossible) }
    }

    fn once(&self, bus: &mut impl Bus) -> Result<i64, ClockFault> {
        let mut registers = [0u8; 7];
        read(bus, self.kind.seconds_at(), &mut registers)?;
        let [second, ..] = registers;
        if second & self.kind.halt_bit() != 0 {
            return Err(ClockFault::Stopped);
        }
        seconds(&self.kind.in_our_order(registers)).ok_or(ClockFault::Impossible)
    }
}

fn read(bus: &mut impl Bus, register: u8, into: &mut [u8]) -> Result<(), ClockFault> {
    retry(bus, |bus| bus.write_read(ADDRESS, &[register], into)).map_err(|_| ClockFault::NoAnswer)
}

fn write(bus: &mut impl Bus, bytes: &[u8]) -> Result<(), ClockFault> {
    retry(bus, |bus| bus.write(ADDRESS, bytes)).map_err(|_| ClockFault::NoAnswer)
}

/// Seconds since 1970 of registers 0 to 6; `None` when they are no time.
pub fn seconds(registers: &[u8; 7]) -> Option<i64> {
    let [second, minute, hour, weekday, day, month, year] = *registers;
    let second = decimal(second, 0, 59)?;
    let minute = decimal(minute, 0, 59)?;
    let hour = decimal(hour, 0, 23)?; // the bit of the 12-hour form makes it greater
    decimal(weekday, 1, 7)?;
    let month = decimal(month, 1, 12)?; // so does the bit of the next century
    let year = decimal(year, 0, 99)?;
    let day = decimal(day, 1, days_of(year, month))?;
    let days = days_before(year, month).saturating_add(day - 1);
    Some(FIRST + days * DAY + hour * 3600 + minute * 60 + second)
}

/// Registers 0 to 6 of a time; `None` outside 2000 to 2099.
pub fn registers(utc: i64) -> Option<[u8; 7]> {
    if !(FIRST..=LAST).contains(&utc) {
        return None;
    }
    let (days, second) = ((utc - FIRST) / DAY, (utc - FIRST) % DAY);
    let year = days / FOUR_YEARS * 4 + (days % FOUR_YEARS - 1).max(0) / 365;
    let month = (1..=12).rev().find(|month| days_before(year, *month) <= days)?;
    let day = days - days_before(year, month) + 1;
    let weekday = (days + 5) % 7 + 1; // 2000-01-01 was a Saturday; Monday is 1
    let [second, minute, hour] = [second % 60, second / 60 % 60, second / 3600];
    Some([second, minute, hour, weekday, day, month, year].map(coded))
}

/// Days from 2000-01-01 to the first of a month.
fn days_before(year: i64, month: i64) -> i64 {
    let leap_day = i64::from(year % 4 == 0 && month > 2);
    let month = usize::try_from(month - 1).ok().and_then(|month| BEFORE_MONTH.get(month)).copied().unwrap_or(0);
    year / 4 * FOUR_YEARS + year % 4 * 365 + i64::from(year % 4 != 0) + month + leap_day
}

fn days_of(year: i64, month: i64) -> i64 {
    match month {
        2 => 28 + i64::from(year % 4 == 0),
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

/// A binary-coded decimal between two bounds.
fn decimal(byte: u8, least: i64, greatest: i64) -> Option<i64> {
    let (tens, ones) = (i64::from(byte >> 4), i64::from(byte & 15));
    let value = tens * 10 + ones;
    (tens <= 9 && ones <= 9 && (least..=greatest).contains(&value)).then_some(value)
}

/// 0 to 99 as a binary-coded decimal.
const fn coded(value: i64) -> u8 {
    (value / 10 % 10 * 16 + value % 10) as u8
}

#[cfg(test)]
mod tests {
    use super::{FIRST, LAST, registers, seconds};

    #[test]
    fn every_day_from_2000_to_2099_goes_into_the_registers_and_back() {
        let mut utc = FIRST;
        let mut days = 0;
        while utc <= LAST {
            assert_eq!(registers(utc).and_then(|registers| seconds(&registers)), Some(utc));
            (utc, days) = (utc + 86_400, days + 1);
        }
        assert_eq!(days, 36_525);
        assert_eq!(registers(LAST).and_then(|registers| seconds(&registers)), Some(LAST));
    }

    #[test]
    fn published_dates_stand_in_the_registers_as_they_are_written() {
        // 2000-02-29T00:00:00Z = 951782400, 2024-02-29T12:00:00Z = 1709208000, 2038-01-19T03:14:07Z = 2^31 - 1 (computed with
        // CPython's datetime); weekday 1 is Monday
        assert_eq!(registers(951_782_400), Some([0, 0, 0, 2, 0x29, 2, 0]));
        assert_eq!(registers(1_709_208_000), Some([0, 0, 0x12, 4, 0x29, 2, 0x24]));
        assert_eq!(registers(2_147_483_647), Some([7, 0x14, 3, 2, 0x19, 1, 0x38]));
        assert_eq!(registers(FIRST - 1), None);
        assert_eq!(registers(LAST + 1), None);
    }

    #[test]
    fn what_is_no_time_is_refused() {
        let good = [0x59, 0x59, 0x23, 7, 0x28, 2, 0x23];
        assert!(seconds(&good).is_some());
        let wrong: [(usize, u8); 16] = [
            (0, 0x60), // no such second
            (0, 0x5A), // no decimal
            (1, 0x60),
            (1, 0xFF),
            (2, 0x24),
            (2, 0x4B), // 12-hour form
            (2, 0x1A),
            (3, 0),
            (3, 8),
            (4, 0),
            (4, 0x29), // 2023 is no leap year
            (5, 0),
            (5, 0x13),
            (5, 0x82), // the next century
            (6, 0xA0),
            (6, 0x9A),
        ];
        for (place, byte) in wrong {
            let mut registers = good;
            registers.iter_mut().skip(place).take(1).for_each(|register| *register = byte);
            assert_eq!(seconds(&registers), None, "register {place} {byte:#04x}");
        }
        assert_eq!(seconds(&[0xFF; 7]), None);
        assert_eq!(seconds(&[0; 7]), None);
    }
}
