//! The cure, counted second by second (rules C1 to C4).
//!
//! Every second since the seating is put into one of three classes, and after each it is asked anew whether the fixing
//! is cured. The classes are all kept; running totals beside them only save adding them up each second.
//!
//! Everything is in integers: seconds are whole, and each floor and ceiling of the rules is a quotient of natural
//! numbers, for which integer division *is* the floor. No rounding other than the rules' own takes place, so ratios
//! would say the same. The products need at most 24 + 20 + 64 bits for half a year of seconds and are checked.

use num::{BigInt, BigRational, Integer, ToPrimitive, pow};

use super::limits::Limits;
use super::model::{History, Hole, Rule};

const MILLION: u64 = 1_000_000;

/// The class of one second (C1).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Second {
    /// Counted in the band of this index.
    Counted(usize),
    /// Outside.
    Held,
    /// Not seen.
    Unobserved,
}

/// The seconds since seating.
#[derive(Clone, Debug)]
pub(super) struct Count<'a> {
    history: &'a History,
    limits: &'a Limits,
    /// 1, or the wet factor.
    factor: u64,
    /// Each second since seating.
    seconds: Vec<Second>,
    /// Counted seconds of each band.
    bands: Vec<u64>,
    /// C4's floor for each group of bands that share a cure time, kept under the group's first band.
    floors: Vec<u128>,
}

impl<'a> Count<'a> {
    /// Nothing counted yet.
    pub(super) fn new(history: &'a History, limits: &'a Limits, hole: Hole) -> Self {
        let bands = history.resin.bands.len();
        let factor = match hole {
            Hole::Dry => 1,
            Hole::Wet | Hole::Flooded => history.resin.wet_factor,
        };
        Self { history, limits, factor, seconds: Vec::new(), bands: vec![0; bands], floors: vec![0; bands] }
    }

    /// One second more.
    pub(super) fn add(&mut self, second: Second) {
        self.seconds.push(second);
        if let Second::Counted(band) = second {
            self.bands[band] += 1;
            let first = self.first_of_group(band);
            self.floors[first] = self.floor_of_group(first, &self.bands);
        }
    }

    /// Counted seconds of each band.
    pub(super) fn bands(&self) -> &[u64] {
        &self.bands
    }

    /// Seconds since seating.
    pub(super) fn elapsed(&self) -> u64 {
        self.seconds.len().to_u64().expect("seconds fit 64 bits")
    }

    /// Counted seconds, all bands together.
    pub(super) fn counted(&self) -> u64 {
        self.bands.iter().sum()
    }

    /// Held seconds.
    pub(super) fn held(&self) -> u64 {
        self.of_class(Second::Held)
    }

    /// Unobserved seconds.
    pub(super) fn unobserved(&self) -> u64 {
        self.of_class(Second::Unobserved)
    }

    fn of_class(&self, class: Second) -> u64 {
        self.seconds.iter().map(|second| u64::from(*second == class)).sum()
    }

    /// C3: required seconds for this coldest, in counts.
    pub(super) fn required(&self, coldest: i64) -> u64 {
        self.factor * self.limits.band_or_first(&self.history.resin.bands, coldest).cure
    }

    /// C3 and C2: counted seconds less the clock allowance.
    pub(super) fn served(&self) -> u64 {
        self.served_of(self.counted())
    }

    fn served_of(&self, counted: u64) -> u64 {
        counted - (counted * self.history.settings.clock_ppm).div_ceil(MILLION)
    }

    /// Whether it is cured now, under the rule asked for, with this coldest in counts.
    pub(super) fn is_cured(&self, coldest: i64) -> bool {
        let sum = self.floors.iter().sum();
        self.is_enough(self.counted(), sum, coldest)
    }

    /// The least number of further seconds, all counted in `band`, that would cure it; it is not cured now.
    pub(super) fn further(&self, band: usize, coldest: i64) -> u64 {
        // More seconds never give less served nor a smaller sum, so the first that is enough can be searched for by
        // halving instead of going through millions of seconds one by one.
        let enough = |further: u64| {
            let mut bands = self.bands.clone();
            bands[band] += further;
            let sum = (0..bands.len())
                .filter(|first| self.first_of_group(*first) == *first)
                .map(|first| self.floor_of_group(first, &bands))
                .sum();
            self.is_enough(bands.iter().sum(), sum, coldest)
        };
        let (mut too_few, mut plenty) = (0, 1);
        while !enough(plenty) {
            (too_few, plenty) = (plenty, 2 * plenty);
        }
        while plenty - too_few > 1 {
            let middle = too_few + (plenty - too_few) / 2;
            if enough(middle) {
                plenty = middle;
            } else {
                too_few = middle;
            }
        }
        plenty
    }

    fn is_enough(&self, counted: u64, sum: u128, coldest: i64) -> bool {
        let coldest_band_rule = self.served_of(counted) >= self.required(coldest);
        match self.history.rule {
            Rule::Coldest => coldest_band_rule,
            Rule::Accrual => coldest_band_rule || sum >= 1 << 64,
        }
    }

    /// C4: the sum of the groups' floors over 2^64.
    pub(super) fn accrued(&self) -> BigRational {
        // Once more from the classes of the seconds, in big integers.
        let whole = pow(BigInt::from(2), 64);
        let rate = BigInt::from(MILLION - self.history.settings.clock_ppm);
        let mut sum = BigInt::from(0);
        for (first, band) in self.history.resin.bands.iter().enumerate() {
            if self.first_of_group(first) == first {
                let seconds = self.seconds.iter().filter(|second| match second {
                    Second::Counted(other) => self.history.resin.bands[*other].cure == band.cure,
                    Second::Held | Second::Unobserved => false,
                });
                let share = BigInt::from(seconds.count()) * &rate * &whole;
                sum += share.div_floor(&(BigInt::from(MILLION) * self.factor * band.cure));
            }
        }
        assert_eq!(sum, BigInt::from(self.floors.iter().sum::<u128>()), "running sum of C4");
        BigRational::new(sum, whole)
    }

    /// The first band with the cure time of `band`.
    fn first_of_group(&self, band: usize) -> usize {
        let bands = &self.history.resin.bands;
        bands.iter().position(|other| other.cure == bands[band].cure).unwrap_or(band)
    }

    /// C4: `floor(s * (1 000 000 - ppm) * 2^64 / (1 000 000 * factor * c))` of one group.
    fn floor_of_group(&self, first: usize, bands: &[u64]) -> u128 {
        let cure = self.history.resin.bands[first].cure;
        let seconds: u64 = self
            .history
            .resin
            .bands
            .iter()
            .zip(bands)
            .filter(|(band, _)| band.cure == cure)
            .map(|(_, seconds)| seconds)
            .sum();
        let rate = u128::from(MILLION - self.history.settings.clock_ppm);
        let share = u128::from(seconds) * rate;
        let scaled = share.checked_mul(1 << 64).expect("a sum of C4 fits 128 bits");
        scaled / (u128::from(MILLION) * u128::from(self.factor) * u128::from(cure))
    }
}
