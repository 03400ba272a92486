//! Where the executed instructions belong: which part of the firmware each is the work of.
//!
//! How: the image's own debug information names the functions an instruction stands in, from the innermost inlined one out;
//! the first that stands in a file of ours says the part. What stands in none (copies, divisions, hashes, curves) is
//! another's code that nobody of ours was inlined around, and is counted apart.

use super::EmulatorError;
use super::image::Image;
use std::collections::BTreeMap;

/// A part of the firmware.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Part {
    /// Probe, clock chip, memory, and the board's own registers.
    Driver,
    /// Readings, cure, fixings, group.
    Engine,
    /// The log.
    Log,
    /// Signing, release codes.
    Seal,
    /// What is shown.
    Screen,
    /// The link.
    Link,
    /// The run loop.
    Loop,
    /// Copies, divisions, hashes and what else is not ours.
    Library,
}

impl Part {
    /// All of them.
    pub const ALL: [Self; 8] =
        [Self::Driver, Self::Engine, Self::Log, Self::Seal, Self::Screen, Self::Link, Self::Loop, Self::Library];

    /// What it is called.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Driver => "driver",
            Self::Engine => "engine",
            Self::Log => "log",
            Self::Seal => "seal",
            Self::Screen => "screen",
            Self::Link => "link",
            Self::Loop => "loop",
            Self::Library => "library",
        }
    }

    fn of_file(file: &str) -> Option<Self> {
        const ROOMS: [(&str, Part); 8] = [
            ("core/src/log/", Part::Log),
            ("core/src/seal/", Part::Seal),
            ("core/src/", Part::Engine),
            ("firmware/src/driver/", Part::Driver),
            ("firmware/src/board", Part::Driver),
            ("firmware/src/screen", Part::Screen),
            ("firmware/src/view", Part::Screen),
            ("firmware/src/link", Part::Link),
        ];
        if file.contains("library/core/src") {
            return None; // the language's own core
        }
        let room = ROOMS.iter().find(|(room, _)| file.contains(room)).map(|(_, part)| *part);
        room.or_else(|| file.contains("firmware/src/").then_some(Self::Loop))
    }
}

/// The parts of an image's addresses.
#[derive(Debug)]
pub struct Parts(BTreeMap<u32, Part>);

impl Parts {
    /// Looks up the parts of all addresses that were executed.
    ///
    /// # Errors
    /// The image has no debug information.
    pub fn of(image: &Image, addresses: impl Iterator<Item = u32>) -> Result<Self, EmulatorError> {
        let wrong = |why: String| EmulatorError::Image(why);
        let loader = addr2line::Loader::new(&image.path).map_err(|error| wrong(error.to_string()))?;
        let mut parts = BTreeMap::new();
        for address in addresses {
            if parts.contains_key(&address) {
                continue;
            }
            let mut frames = loader.find_frames(u64::from(address)).map_err(|error| wrong(error.to_string()))?;
            let mut part = Part::Library;
            while let Some(frame) = frames.next().map_err(|error| wrong(error.to_string()))? {
                let file = frame.location.and_then(|location| location.file);
                if let Some(found) = file.and_then(Part::of_file) {
                    part = found;
                    break;
                }
            }
            parts.insert(address, part);
        }
        Ok(Self(parts))
    }

    /// Adds up what each part executed.
    #[must_use]
    pub fn sum(&self, counts: &[(u32, u32)]) -> BTreeMap<Part, u64> {
        let mut sums: BTreeMap<Part, u64> = Part::ALL.into_iter().map(|part| (part, 0)).collect();
        for (address, executions) in counts {
            let part = self.0.get(address).copied().unwrap_or(Part::Library);
            *sums.entry(part).or_default() += u64::from(*executions);
        }
        sums
    }
}
