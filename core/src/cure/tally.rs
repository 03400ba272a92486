//! Seconds by class.

use crate::resin::MOST_BANDS;

/// What one second of a cure is (rule C1).
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Class {
    /// In the band with this place, 0 to 15.
    Counted(usize),
    /// Outside the limits.
    Held,
    /// Not seen.
    Unobserved,
}

impl Class {
    /// The band's place, for counted seconds.
    pub(crate) const fn counted(self) -> Option<usize> {
        match self {
            Self::Counted(place) => Some(place),
            Self::Held | Self::Unobserved => None,
        }
    }
}

/// Seconds by class since the group began to read. A fixing's own tally is the difference to what stood here when it
/// was seated: sixteen fixings cost no more a reading than one.
///
/// Counted seconds are kept by edge instead of by band: at each edge the seconds at or above it. Every reading then
/// touches the same places whatever its temperature, which makes a random series as fast as a smooth one.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) struct Running {
    /// Counted seconds at or above each edge, modulo 2^32 (see [`Tally`]).
    above: [u32; MOST_BANDS],
    held: u64,
    unobserved: u64,
}

impl Running {
    pub(crate) const ZERO: Self = Self { above: [0; MOST_BANDS], held: 0, unobserved: 0 };

    /// Adds what [`Recent`] has kept.
    pub(crate) fn take_in(&mut self, recent: &Recent, elapsed: u64) {
        for (above, recent) in self.above.iter_mut().zip(recent.above) {
            *above = above.wrapping_add(u32::from(recent));
        }
        // no second counts below the lowest edge
        let [counted, ..] = recent.above;
        self.held = self.held.wrapping_add(elapsed.saturating_sub(u64::from(counted)));
    }

    /// Adds seconds to a class.
    pub(crate) fn add(&mut self, class: Class, seconds: u64) {
        match class {
            Class::Counted(place) => {
                for above in self.above.iter_mut().take(place.saturating_add(1)) {
                    *above = above.wrapping_add(seconds as u32);
                }
            }
            Class::Held => self.held = self.held.wrapping_add(seconds),
            Class::Unobserved => self.unobserved = self.unobserved.wrapping_add(seconds),
        }
    }

    /// What has been added since `then`, as a tally.
    pub(crate) fn since(&self, then: &Self) -> Tally {
        let mut made = Tally::ZERO;
        let mut warmer = 0u32;
        // each is turned round by itself: turning the pairs round costs a look at their lengths for every one
        let places = made.bands.iter_mut().rev().zip(self.above.iter().rev()).zip(then.above.iter().rev());
        for ((band, now), then) in places {
            let above = now.wrapping_sub(*then);
            *band = above.wrapping_sub(warmer);
            warmer = above;
        }
        made.held = self.held.wrapping_sub(then.held);
        made.unobserved = self.unobserved.wrapping_sub(then.unobserved);
        made
    }
}

/// Counted seconds of the last few hours, before they go into [`Running`]: sixteen bits an edge, so that two vector
/// operations add a reading. What was observed and not counted was held.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) struct Recent {
    above: [u16; MOST_BANDS],
}

impl Recent {
    pub(crate) const NONE: Self = Self { above: [0; MOST_BANDS] };

    /// Adds a stretch whose colder end has the raw count `coldest`: `seconds` at every edge not above it. The caller
    /// sees to it that no more than 65 535 s come together.
    #[inline]
    pub(crate) fn add(&mut self, edges: &[i16; MOST_BANDS], coldest: i16, seconds: u16) {
        for (above, edge) in self.above.iter_mut().zip(edges) {
            let here = if *edge <= coldest { seconds } else { 0 };
            *above = above.wrapping_add(here);
        }
    }
}

/// Seconds since seating by class (rule C1): counted in each band, held, unobserved.
///
/// Counted seconds of a cure that is still open stay below 14 d x 10 / 0.99, so 32 bits are enough and differences
/// taken modulo 2^32 are exact; held and unobserved ones have no bound and take 64 bits.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Tally {
    /// Counted seconds, by place of the band.
    pub bands: [u32; MOST_BANDS],
    /// Held seconds.
    pub held: u64,
    /// Unobserved seconds.
    pub unobserved: u64,
}

impl Tally {
    /// No seconds.
    pub const ZERO: Self = Self { bands: [0; MOST_BANDS], held: 0, unobserved: 0 };

    /// All counted seconds.
    pub fn counted(&self) -> u64 {
        self.bands.iter().map(|&seconds| u64::from(seconds)).sum()
    }

    /// Counted, held and unobserved seconds together (rule C6).
    pub fn elapsed(&self) -> u64 {
        self.counted().saturating_add(self.not_counted())
    }

    /// Held and unobserved seconds together, which the longest hold limits (rule C5).
    pub fn not_counted(&self) -> u64 {
        self.held.saturating_add(self.unobserved)
    }

    /// Takes seconds back out of a class: those of an interval that lie after the instant of the cure.
    pub(crate) fn take(&mut self, class: Class, seconds: u64) {
        match class {
            Class::Counted(place) => {
                if let Some(band) = self.bands.get_mut(place) {
                    *band = band.wrapping_sub(seconds as u32);
                }
            }
            Class::Held => self.held = self.held.wrapping_sub(seconds),
            Class::Unobserved => self.unobserved = self.unobserved.wrapping_sub(seconds),
        }
    }

    /// The same seconds under an in-hole reading (rule A3): no second counts in a band warmer than the one at `place`.
    pub(crate) fn capped_at_band(mut self, place: usize) -> Self {
        let mut moved = 0u32;
        for band in self.bands.iter_mut().skip(place.saturating_add(1)) {
            moved = moved.wrapping_add(*band);
            *band = 0;
        }
        if let Some(band) = self.bands.get_mut(place) {
            *band = band.wrapping_add(moved);
        }
        self
    }

    /// The same seconds under an in-hole reading outside the limits (rules A3 and S2): none counts.
    pub(crate) fn all_held(mut self) -> Self {
        self.held = self.held.saturating_add(self.counted());
        self.bands = [0; MOST_BANDS];
        self
    }
}
