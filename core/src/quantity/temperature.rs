//! Temperature as a count of 1/256 °C.

/// A temperature: a signed 16-bit count of 1/256 °C, left-justified as two's-complement digital sensors deliver it.
///
/// Range -128 to 127 255/256 °C. Which way a decimal is rounded to a count is decided where it enters (rule Q1:
/// readings and greatest limits down, least limits, band edges and reject temperatures up); a `Count` itself is exact.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Count(i16);

impl Count {
    /// Counts in one degree Celsius.
    pub const PER_DEGREE: i32 = 256;

    /// The count with these raw bits.
    #[inline]
    pub const fn new(raw: i16) -> Self {
        Self(raw)
    }

    /// A whole number of degrees Celsius, -128 to 127.
    #[inline]
    pub const fn from_degrees(degrees: i8) -> Self {
        Self((degrees as i16) << 8)
    }

    /// The raw count, 1/256 °C each.
    #[inline]
    pub const fn raw(self) -> i16 {
        self.0
    }

    /// The same temperature where guard bands can be added without overflow.
    #[inline]
    pub const fn fine(self) -> Fine {
        Fine(self.0 as i32)
    }
}

/// A temperature in counts of 1/256 °C with room for guard bands: what a reading becomes when its uncertainty is
/// taken off or put on. Sums are formed in 32 bits, so no count and no admissible uncertainty can overflow it.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Fine(i32);

impl Fine {
    /// From raw counts of 1/256 °C.
    #[inline]
    pub const fn new(raw: i32) -> Self {
        Self(raw)
    }

    /// The raw count, 1/256 °C each.
    #[inline]
    pub const fn raw(self) -> i32 {
        self.0
    }
}
