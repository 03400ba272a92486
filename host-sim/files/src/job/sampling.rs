//! Proof tests on a sample: how many, and what follows a failure.
//!
//! What for: job check, hand-over record. The job file says the share, the least number and the load, and what is asked
//! for after one failure and after more; this is only their arithmetic.
//! Terms: a *sample* is a number of fixings of one group tested in all, not in addition. What follows a failure is
//! stated for one failure and for more than one.
//! Invariants: more failures never ask for fewer tests; a sample is never larger than its group; whole fixings are
//! rounded up.
//! What it does not do: choose which fixings are tested, or judge displacement.

use super::Length;
use super::length::shortest;
use holdoff_core::quantity::Span;

/// A share in hundredths of a percent, more than 0 and at most 100 %.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Share(u16);

/// How many fixings of a group are tested.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Sample {
    /// A share, and at least so many.
    Share {
        /// The share.
        share: Share,
        /// The least number.
        least: u32,
    },
    /// Every fixing.
    All,
}

/// Proof tests that a job file asks for.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ProofTests {
    /// Tested in any case.
    pub sample: Sample,
    /// Test load.
    pub load: Force,
    /// How long the load is held, where the file says.
    pub hold: Option<Span>,
    /// The greatest displacement that passes, where the file says.
    pub displacement: Option<Length>,
    /// Tested in all once one fixing has failed; `None` where the file leaves it to the engineer.
    pub after_one_failure: Option<Sample>,
    /// Tested in all once more than one has failed; `None` where the file leaves it to the engineer.
    pub after_more_failures: Option<Sample>,
}

/// A force in newtons.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Force(u32);

/// What the tests made so far come to.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum SampleState {
    /// So many more have to be tested.
    Missing {
        /// Tests asked for in all.
        required: u32,
        /// Tests still to be made.
        more: u32,
    },
    /// All that were asked for are made and none failed.
    Passed {
        /// Tests asked for.
        required: u32,
    },
    /// All that were asked for are made and some failed: the engineer decides on them.
    Failures {
        /// Tests asked for in all.
        required: u32,
        /// Failures.
        failed: u32,
    },
    /// The job file does not say what follows: the engineer decides.
    EngineerDecides {
        /// Failures.
        failed: u32,
    },
}

impl Share {
    /// From hundredths of a percent; `None` for 0 and beyond 100 %.
    pub const fn from_hundredths(hundredths: u16) -> Option<Self> {
        if hundredths == 0 || hundredths > 10_000 { None } else { Some(Self(hundredths)) }
    }

    /// Hundredths of a percent.
    pub const fn hundredths(self) -> u16 {
        self.0
    }
}

impl std::fmt::Display for Share {
    /// Percent without needless zeros and without the sign, exactly.
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.pad(&shortest(u64::from(self.0), 2))
    }
}

impl Force {
    /// The greatest of a job file: 10 000 kN.
    pub const GREATEST: Self = Self(10_000_000);

    /// From newtons; `None` for 0 and beyond [`Force::GREATEST`].
    pub const fn from_newtons(newtons: u32) -> Option<Self> {
        if newtons == 0 || newtons > Self::GREATEST.0 { None } else { Some(Self(newtons)) }
    }

    /// Newtons.
    pub const fn newtons(self) -> u32 {
        self.0
    }
}

impl Sample {
    /// Share and least number; `None` for all.
    pub const fn share(self) -> Option<(Share, u32)> {
        match self {
            Self::Share { share, least } => Some((share, least)),
            Self::All => None,
        }
    }

    /// How many of `number` fixings: the share rounded up, at least the least, at most all.
    pub fn of(self, number: u32) -> u32 {
        match self {
            Self::All => number,
            Self::Share { share, least } => {
                let shared = (u64::from(number) * u64::from(share.0)).div_ceil(10_000);
                u32::try_from(shared).unwrap_or(number).max(least).min(number)
            }
        }
    }
}

impl ProofTests {
    /// How many of `number` fixings are to be tested in all once `failed` of them have failed; `None` where the file
    /// leaves that to the engineer. Never less than were asked for with fewer failures.
    pub fn required(&self, number: u32, failed: u32) -> Option<u32> {
        let first = self.sample.of(number);
        if failed == 0 {
            return Some(first);
        }
        let one = self.after_one_failure?.of(number).max(first);
        if failed == 1 {
            return Some(one);
        }
        Some(self.after_more_failures?.of(number).max(one))
    }

    /// What `tested` tests with `failed` failures among them come to, in a group of `number`.
    pub fn standing(&self, number: u32, tested: u32, failed: u32) -> SampleState {
        let Some(required) = self.required(number, failed) else { return SampleState::EngineerDecides { failed } };
        match (required.saturating_sub(tested), failed) {
            (0, 0) => SampleState::Passed { required },
            (0, failed) => SampleState::Failures { required, failed },
            (more, _) => SampleState::Missing { required, more },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Force, ProofTests, Sample, SampleState, Share};

    fn share(hundredths: u16, least: u32) -> Sample {
        Share::from_hundredths(hundredths).map_or(Sample::All, |share| Sample::Share { share, least })
    }

    /// BS 8539:2012+A1:2021, Annex B, from memory: 2.5 % (1 in 40), at least 3 in each discrete area; after one failure
    /// 5 % and at least 6; after more all.
    fn from_memory() -> ProofTests {
        ProofTests {
            sample: share(250, 3),
            load: Force(30_000),
            hold: None,
            displacement: None,
            after_one_failure: Some(share(500, 6)),
            after_more_failures: Some(Sample::All),
        }
    }

    #[test]
    fn sample_sizes_are_those_of_the_rule_quoted_from_memory() {
        // n = max(3, ceil(0.025 N)): N = 10, 120, 121, 200, 1000 (computed; the rule is from memory)
        for (number, sample) in [(10, 3), (120, 3), (121, 4), (200, 5), (1000, 25)] {
            assert_eq!(from_memory().required(number, 0), Some(sample), "{number}");
        }
        assert_eq!(from_memory().required(2, 0), Some(2), "no more than there are");
    }

    #[test]
    fn a_failure_asks_for_more_and_a_second_for_all() {
        let proof = from_memory();
        assert_eq!(proof.standing(200, 5, 0), SampleState::Passed { required: 5 });
        assert_eq!(proof.standing(200, 4, 0), SampleState::Missing { required: 5, more: 1 });
        assert_eq!(proof.standing(200, 5, 1), SampleState::Missing { required: 10, more: 5 });
        assert_eq!(proof.standing(200, 10, 1), SampleState::Failures { required: 10, failed: 1 });
        assert_eq!(proof.standing(200, 10, 2), SampleState::Missing { required: 200, more: 190 });
        assert_eq!(proof.standing(200, 200, 2), SampleState::Failures { required: 200, failed: 2 });
    }

    #[test]
    fn what_the_file_does_not_say_is_the_engineers() {
        let silent = ProofTests { after_one_failure: None, ..from_memory() };
        assert_eq!(silent.standing(200, 5, 1), SampleState::EngineerDecides { failed: 1 });
        assert_eq!(silent.standing(200, 5, 0), SampleState::Passed { required: 5 });
        let half = ProofTests { after_more_failures: None, ..from_memory() };
        assert_eq!(half.required(200, 1), Some(10));
        assert_eq!(half.required(200, 2), None);
    }

    #[test]
    fn samples_grow_with_the_group_and_with_failures() {
        let mut random = fastrand::Rng::with_seed(5);
        for _ in 0..20_000 {
            let mut sample = || share(random.u16(1..=10_000), random.u32(1..50));
            let proof = ProofTests {
                sample: sample(),
                after_one_failure: Some(sample()),
                after_more_failures: Some(sample()),
                ..from_memory()
            };
            let number = random.u32(1..5_000);
            let required: Vec<_> = (0..4).filter_map(|failed| proof.required(number, failed)).collect();
            assert!(required.is_sorted() && required.len() == 4 && required.iter().all(|asked| *asked <= number));
            assert!(proof.required(number + 1, 0) >= proof.required(number, 0));
        }
    }
}
