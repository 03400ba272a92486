//! Why a reading is refused.

/// Why a reading is never used (rule R2).
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Refusal {
    /// Not later than the last accepted reading (R2a).
    NotLater,
    /// The bus did not answer or the check of the transfer failed (R2b).
    Bus,
    /// Outside the sensor's own range (R2b).
    OutOfRange,
    /// The value the sensor holds before its first conversion (R2b).
    PowerUp,
    /// Too far from the last accepted reading; kept as a candidate until the next one confirms it or not (R2c).
    Step,
    /// The supply was below what the probe or its converter needs, or could not be measured (R7).
    Supply,
}

impl core::fmt::Display for Refusal {
    fn fmt(&self, formatter: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        formatter.write_str(match self {
            Self::NotLater => "it is not later than the last accepted reading",
            Self::Bus => "the bus did not answer, or the check of the transfer failed",
            Self::OutOfRange => "it is outside the sensor's range",
            Self::PowerUp => "it is what the sensor holds before its first conversion",
            Self::Step => "it is too far from the last accepted reading",
            Self::Supply => "the supply is too low for the probe, or could not be measured",
        })
    }
}

impl core::error::Error for Refusal {}
