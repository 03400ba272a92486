//! Raw registers of the usual two's-complement digital sensors.

use super::{Refusal, SENSOR_GREATEST, SENSOR_LEAST};
use crate::quantity::Count;

/// How a sensor's temperature register is laid out, and what it holds before its first conversion.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum SensorKind {
    /// 12 bit, left-justified in 16, 1/16 °C; 0000h before the first conversion.
    TwelveBit,
    /// 13 bit, left-justified in 16, 1/16 °C; 0000h before the first conversion.
    ThirteenBit,
    /// 16 bit, 1/128 °C; 8000h before the first conversion.
    SixteenBit,
    /// 1-Wire, right-justified in 16, 1/16 °C; 0550h (85 °C) before the first conversion.
    OneWire,
}

impl SensorKind {
    /// Converts a register to a count: exact, 1/256 °C, bits below the sensor's resolution ignored.
    ///
    /// # Errors
    /// [`Refusal::PowerUp`] for the value held before the first conversion (a true reading of that value is refused
    /// with it: it cannot be told apart, and a refused reading only ever makes the wait longer);
    /// [`Refusal::OutOfRange`] outside -55 to 125 °C.
    pub const fn count(self, register: u16) -> Result<Count, Refusal> {
        let signed = register as i16;
        // arithmetic shifts keep the sign
        let (value, before_first) = match self {
            Self::TwelveBit => ((signed >> 4) as i32 * 16, 0x0000),
            Self::ThirteenBit => ((signed >> 3) as i32 * 16, 0x0000),
            Self::SixteenBit => (signed as i32 * 2, 0x8000),
            Self::OneWire => (signed as i32 * 16, 0x0550),
        };
        let unused = match self {
            Self::TwelveBit => 0x000F,
            Self::ThirteenBit => 0x0007,
            Self::SixteenBit | Self::OneWire => 0,
        };
        if register & !unused == before_first {
            return Err(Refusal::PowerUp);
        }
        if value < SENSOR_LEAST.raw() as i32 || value > SENSOR_GREATEST.raw() as i32 {
            return Err(Refusal::OutOfRange);
        }
        Ok(Count::new(value as i16)) // -55 to 125 °C fits
    }
}
