//! Bands and their look-up.

use super::{LONGEST_CURE, MOST_BANDS, ResinError};
use crate::quantity::{Count, Fine, Span};

/// One band of the schedule: from its lower edge up to the next band's.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Band {
    /// Lower edge, inclusive; rounded up to a count (rule Q1).
    pub from: Count,
    /// Working time.
    pub working: Span,
    /// Cure time in a dry hole.
    pub cure: Span,
}

/// Place of a band in the schedule, coldest first, from 0.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct BandNumber(u8);

impl BandNumber {
    /// The place, 0 to 15.
    #[inline]
    pub const fn place(self) -> usize {
        self.0 as usize
    }
}

/// 1 to 16 bands with rising edges and times that do not rise.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Bands {
    /// Lower edges; unused places hold a value no reading reaches.
    edges: [i16; MOST_BANDS],
    working: [u32; MOST_BANDS],
    cure: [u32; MOST_BANDS],
    used: u8,
}

/// Edge of an unused place: above every temperature that is looked up.
const UNUSED: i16 = i16::MAX;

impl Bands {
    pub(super) fn new(bands: &[Band]) -> Result<Self, ResinError> {
        if bands.is_empty() {
            return Err(ResinError::NoBand);
        }
        let used = match u8::try_from(bands.len()) {
            Ok(used) if bands.len() <= MOST_BANDS => used,
            _ => return Err(ResinError::TooManyBands { found: bands.len() }),
        };
        let mut made = Self { edges: [UNUSED; MOST_BANDS], working: [0; MOST_BANDS], cure: [0; MOST_BANDS], used };
        let mut before: Option<&Band> = None;
        let places = made.edges.iter_mut().zip(made.working.iter_mut()).zip(made.cure.iter_mut());
        for (number, (band, ((edge, working), cure))) in bands.iter().zip(places).enumerate() {
            check(number, band, before)?;
            (*edge, *working, *cure) = (band.from.raw(), band.working.seconds(), band.cure.seconds());
            before = Some(band);
        }
        Ok(made)
    }

    /// How many bands, 1 to 16.
    #[inline]
    pub const fn len(&self) -> usize {
        self.used as usize
    }

    /// Never: a schedule has at least one band.
    pub const fn is_empty(&self) -> bool {
        self.used == 0
    }

    /// The bands, coldest first.
    pub fn iter(&self) -> impl Iterator<Item = Band> + '_ {
        (0..self.len()).filter_map(|place| self.at(place))
    }

    /// The band with this place, coldest first; `None` where there is none.
    pub fn at(&self, place: usize) -> Option<Band> {
        if place >= self.len() {
            return None;
        }
        Some(Band {
            from: Count::new(*self.edges.get(place)?),
            working: Span::from_seconds(*self.working.get(place)?),
            cure: Span::from_seconds(*self.cure.get(place)?),
        })
    }

    /// Lower edge of the coldest band.
    pub const fn first_edge(&self) -> Count {
        let [first, ..] = self.edges;
        Count::new(first)
    }

    /// Lower edges shifted up by `by` counts. With them a raw reading is looked up as its `low` would be in the bands
    /// themselves; an edge that no reading reaches, and an unused place, hold the greatest count.
    pub(crate) fn edges_shifted(&self, by: i32) -> [i16; MOST_BANDS] {
        self.edges.map(|edge| i16::try_from(i32::from(edge).saturating_add(by)).unwrap_or(UNUSED))
    }

    /// The band of a temperature: the one with the greatest edge not above it; below the first edge, the first
    /// (rules A2 and C3). No data-dependent branch.
    #[inline]
    pub fn band_of(&self, temperature: Fine) -> BandNumber {
        // Unused places must lose against every temperature, so the greatest count itself is left to them.
        let raw = temperature.raw().clamp(i16::MIN as i32, UNUSED as i32 - 1) as i16;
        BandNumber(place_of(&self.edges, raw) as u8)
    }

    /// Working time of a band.
    #[inline]
    pub fn working(&self, band: BandNumber) -> Span {
        Span::from_seconds(self.working.get(band.place()).copied().unwrap_or(0))
    }

    /// Cure time of a band in a dry hole.
    #[inline]
    pub fn cure(&self, band: BandNumber) -> Span {
        // A band number only comes from a look-up in a schedule; a foreign one gets the longest time.
        Span::from_seconds(self.cure.get(band.place()).copied().unwrap_or(LONGEST_CURE.seconds()))
    }

    /// The shortest working time in the schedule: the warmest band's (times do not rise).
    pub fn shortest_working(&self) -> Span {
        self.working(BandNumber(self.used.saturating_sub(1)))
    }

    /// The shortest cure time in the schedule: the warmest band's.
    pub fn shortest_cure(&self) -> Span {
        self.cure(BandNumber(self.used.saturating_sub(1)))
    }
}

/// Place of the greatest edge not above `raw`; 0 below the first. Edges rise, so four halvings find it, each one
/// addition instead of a branch.
fn place_of(edges: &[i16; MOST_BANDS], raw: i16) -> usize {
    let mut place = 0;
    for half in [8, 4, 2, 1] {
        // the mask changes nothing, it shows that the place exists
        let edge = edges.get((place + half) & (MOST_BANDS - 1)).copied().unwrap_or(UNUSED);
        place += half * usize::from(edge <= raw);
    }
    place
}

fn check(number: usize, band: &Band, before: Option<&Band>) -> Result<(), ResinError> {
    if band.working == Span::ZERO {
        return Err(ResinError::WorkingZero { band: number });
    }
    if band.cure == Span::ZERO {
        return Err(ResinError::CureZero { band: number });
    }
    if band.cure > LONGEST_CURE {
        return Err(ResinError::CureTooLong { band: number });
    }
    let Some(before) = before else { return Ok(()) };
    if band.from <= before.from {
        return Err(ResinError::EdgeNotRising { band: number });
    }
    if band.working > before.working {
        return Err(ResinError::WorkingRising { band: number });
    }
    if band.cure > before.cure {
        return Err(ResinError::CureRising { band: number });
    }
    Ok(())
}
