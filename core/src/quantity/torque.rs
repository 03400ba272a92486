//! Tightening torque.

/// A torque in hundredths of a newton metre, 0 to 42 949 672.95 N·m.
///
/// A measured torque is given as read; a decimal finer than 0.01 N·m is rounded where it enters, and always so that
/// the fixing is judged the more strictly.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Torque(u32);

impl Torque {
    /// From hundredths of a newton metre.
    #[inline]
    pub const fn from_hundredths(hundredths: u32) -> Self {
        Self(hundredths)
    }

    /// Hundredths of a newton metre.
    #[inline]
    pub const fn hundredths(self) -> u32 {
        self.0
    }
}
