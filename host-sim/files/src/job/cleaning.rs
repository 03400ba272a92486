//! How the hole is cleaned.
//!
//! A job file writes it as a text: `blow 4, brush 4, blow 4`, or `dust-extracting bit` where a hollow bit that extracts
//! the dust makes it unnecessary.

use crate::words::words;
use std::fmt;

/// Most steps, and most repeats of a step.
const MOST: usize = 32;

/// Prescribed cleaning.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub enum Cleaning {
    /// Steps in their order; at least one.
    Steps(Vec<CleaningStep>),
    /// A hollow bit that extracts the dust while drilling.
    DustExtractingBit,
}

/// One step.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct CleaningStep {
    /// What is done.
    pub what: CleaningAct,
    /// How often, 1 to 32.
    pub times: u8,
}

words! {
    /// What a step does.
    CleaningAct {
        /// Blow out from the bottom of the hole.
        Blow = "blow",
        /// Brush with a brush of the hole's diameter.
        Brush = "brush",
        /// Rinse with water.
        Rinse = "rinse",
    }
}

words! {
    /// What dust is blown out with.
    BlowWith {
        /// A hand pump.
        HandPump = "hand-pump",
        /// Compressed air, oil-free.
        CompressedAir = "compressed-air",
    }
}

/// Why a text is no cleaning.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct CleaningError {
    /// The step, in quotation marks and shortened.
    pub found: String,
}

impl Cleaning {
    /// Reads a text.
    ///
    /// # Errors
    /// [`CleaningError`] with the first step that is none.
    pub fn parse(text: &str) -> Result<Self, CleaningError> {
        if text.trim() == "dust-extracting bit" {
            return Ok(Self::DustExtractingBit);
        }
        let error = |step: &str| CleaningError { found: crate::problem::shown(step.as_bytes()) };
        let mut steps = Vec::new();
        for step in text.split(',') {
            if steps.len() == MOST {
                return Err(error(step.trim()));
            }
            steps.push(CleaningStep::parse(step.trim()).ok_or_else(|| error(step.trim()))?);
        }
        Ok(Self::Steps(steps))
    }

    /// How often the hole is blown out or brushed in all.
    pub fn times(&self, what: CleaningAct) -> u32 {
        match self {
            Self::Steps(steps) => steps.iter().filter(|step| step.what == what).map(|step| u32::from(step.times)).sum(),
            Self::DustExtractingBit => 0,
        }
    }
}

impl CleaningStep {
    fn parse(text: &str) -> Option<Self> {
        let (word, times) = text.split_once(' ')?;
        let (_, what) = *CleaningAct::WORDS.iter().find(|(known, _)| *known == word)?;
        let times = times.trim().parse::<u8>().ok().filter(|times| (1..=MOST).contains(&usize::from(*times)))?;
        Some(Self { what, times })
    }
}

impl fmt::Display for Cleaning {
    /// As it is read back.
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::DustExtractingBit => formatter.write_str("dust-extracting bit"),
            Self::Steps(steps) => {
                let steps = steps.iter().map(|step| format!("{} {}", step.what.word(), step.times));
                formatter.write_str(&steps.collect::<Vec<_>>().join(", "))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Cleaning, CleaningAct};

    #[test]
    fn cleaning_is_read_and_reads_back() {
        for text in ["blow 4, brush 4, blow 4", "rinse 2, blow 1", "dust-extracting bit"] {
            assert_eq!(Cleaning::parse(text).map(|cleaning| cleaning.to_string()).as_deref(), Ok(text));
        }
        let cleaning = Cleaning::parse("blow 4,brush  3 , blow 5");
        assert_eq!(cleaning.as_ref().map(|cleaning| cleaning.times(CleaningAct::Blow)), Ok(9));
        assert_eq!(cleaning.map(|cleaning| cleaning.times(CleaningAct::Brush)), Ok(3));
    }

    #[test]
    fn what_is_no_cleaning_names_its_step() {
        for text in ["", "blow", "blow 0", "blow 33", "blow four", "brush 4 blow 4", "wipe 2", "blow 4,", "Blow 4"] {
            assert!(Cleaning::parse(text).is_err(), "{text}");
        }
        let long = vec!["blow 1"; 33].join(", ");
        assert!(Cleaning::parse(&long).is_err());
        assert_eq!(Cleaning::parse("blow 4, wipe 2").map_err(|error| error.found), Err("\"wipe 2\"".to_owned()));
    }
}
