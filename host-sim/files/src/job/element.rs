//! What is set into the hole.

use super::Length;
use std::fmt;

/// An ISO metric screw thread with coarse pitch.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Thread {
    /// Nominal diameter, mm.
    nominal: u8,
    /// Pitch, µm.
    pitch: u16,
}

/// Nominal diameter (mm) and coarse pitch (µm), as ISO 261 and the tables of ISO 898-1 have them; from memory.
const COARSE: [(u8, u16); 16] = [
    (6, 1_000),
    (8, 1_250),
    (10, 1_500),
    (12, 1_750),
    (14, 2_000),
    (16, 2_000),
    (18, 2_500),
    (20, 2_500),
    (22, 2_500),
    (24, 3_000),
    (27, 3_000),
    (30, 3_500),
    (33, 3_500),
    (36, 4_000),
    (39, 4_000),
    (42, 4_500),
];

impl Thread {
    /// The coarse thread of a nominal diameter in mm, where there is one from M6 to M42.
    pub fn coarse(nominal: u8) -> Option<Self> {
        let found = COARSE.iter().find(|(diameter, _)| *diameter == nominal);
        found.map(|(nominal, pitch)| Self { nominal: *nominal, pitch: *pitch })
    }

    /// A size as drawings write it: `M16`.
    pub fn parse(size: &str) -> Option<Self> {
        let digits = size.strip_prefix('M')?;
        let plain = digits.bytes().all(|byte| byte.is_ascii_digit()) && !digits.starts_with('0');
        digits.parse().ok().filter(|_| plain).and_then(Self::coarse)
    }

    /// All threads that are known, small to large.
    pub fn all() -> impl Iterator<Item = Self> {
        COARSE.iter().map(|(nominal, pitch)| Self { nominal: *nominal, pitch: *pitch })
    }

    /// Nominal diameter, mm.
    pub const fn nominal(self) -> u8 {
        self.nominal
    }

    /// Pitch, µm.
    pub const fn pitch(self) -> u16 {
        self.pitch
    }

    /// Nominal diameter as a length.
    pub fn diameter(self) -> Length {
        // 6 to 42 mm
        Length::from_micrometres(u32::from(self.nominal) * 1000).unwrap_or(Length::GREATEST)
    }
}

impl fmt::Display for Thread {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "M{}", self.nominal)
    }
}

/// What is set into the hole.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Element {
    /// A threaded stud.
    Stud {
        /// Its thread.
        size: Thread,
    },
    /// A sleeve with a thread inside, closed at its end.
    Sleeve {
        /// The thread inside.
        size: Thread,
        /// Its outer diameter.
        outer: Length,
    },
    /// A reinforcing bar.
    Bar {
        /// Its nominal diameter.
        diameter: Length,
    },
}

impl Element {
    /// As the job file names its kind.
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Stud { .. } => "threaded-stud",
            Self::Sleeve { .. } => "internally-threaded-sleeve",
            Self::Bar { .. } => "reinforcing-bar",
        }
    }

    /// Diameter of what goes through the mouth of the hole: nominal for studs and bars, outer for sleeves.
    pub fn diameter(&self) -> Length {
        match self {
            Self::Stud { size } => size.diameter(),
            Self::Sleeve { outer, .. } => *outer,
            Self::Bar { diameter } => *diameter,
        }
    }

    /// The thread that is tightened; `None` for a bar.
    pub const fn thread(&self) -> Option<Thread> {
        match self {
            Self::Stud { size } | Self::Sleeve { size, .. } => Some(*size),
            Self::Bar { .. } => None,
        }
    }
}

impl fmt::Display for Element {
    /// As a foreman calls it: `threaded stud M16`.
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Stud { size } => write!(formatter, "threaded stud {size}"),
            Self::Sleeve { size, outer } => write!(formatter, "internally threaded sleeve {size}, {outer} mm outside"),
            Self::Bar { diameter } => write!(formatter, "reinforcing bar {diameter} mm"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Thread;

    #[test]
    fn a_size_is_read_as_drawings_write_it() {
        assert_eq!(Thread::parse("M16").map(|thread| (thread.nominal(), thread.pitch())), Some((16, 2_000)));
        for wrong in ["m16", "M016", "16", "M17", "M", "M 16", "M16x1.5", "M-8", "M+8", "M99999999999"] {
            assert_eq!(Thread::parse(wrong), None, "{wrong}");
        }
        assert!(Thread::all().all(|thread| Thread::parse(&thread.to_string()) == Some(thread)));
    }
}
