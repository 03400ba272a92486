//! Whole seconds: spans and instants.

/// A length of time in whole seconds, 0 to 4 294 967 295 s (136 years).
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Span(u32);

impl Span {
    /// No time at all.
    pub const ZERO: Self = Self(0);

    /// A span of this many seconds.
    #[inline]
    pub const fn from_seconds(seconds: u32) -> Self {
        Self(seconds)
    }

    /// Whole seconds.
    #[inline]
    pub const fn seconds(self) -> u32 {
        self.0
    }
}

/// A point on the logger's monotonic clock, in whole seconds; in a replay, the trace's time stamp in seconds since
/// 1970-01-01T00:00:00Z.
///
/// Readings, the start of an injection, a change of the hole and a torque are rounded down to it, a seating is
/// rounded up (rule Q2). Rounding is done where the time enters; an `Instant` itself is exact.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Instant(i64);

impl Instant {
    /// The instant with this many seconds.
    ///
    /// Kept within ±(2^62 - 1) s so that a difference of two instants always fits; what lies beyond is held at the
    /// bound, which is a hundred thousand million years away.
    #[cfg_attr(not(target_os = "none"), inline)]
    #[cfg_attr(target_os = "none", inline(never))] // it is everywhere: inlined it is half a kilobyte
    pub const fn from_seconds(seconds: i64) -> Self {
        const BOUND: i64 = (1 << 62) - 1;
        if seconds > BOUND {
            Self(BOUND)
        } else if seconds < -BOUND {
            Self(-BOUND)
        } else {
            Self(seconds)
        }
    }

    /// Whole seconds.
    #[inline]
    pub const fn seconds(self) -> i64 {
        self.0
    }

    /// Seconds from `earlier` to `self`; negative when `earlier` is in fact later. Exact: both lie within
    /// ±(2^62 - 1).
    #[inline]
    pub const fn since(self, earlier: Self) -> i64 {
        self.0.wrapping_sub(earlier.0)
    }

    /// This many seconds later (earlier when negative), held at the bounds of [`Instant::from_seconds`].
    #[cfg_attr(not(target_os = "none"), inline)]
    #[cfg_attr(target_os = "none", inline(never))]
    pub const fn after(self, seconds: i64) -> Self {
        Self::from_seconds(self.0.saturating_add(seconds))
    }
}
