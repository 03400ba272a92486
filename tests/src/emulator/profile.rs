//! Where the executed instructions belong: which part of the firmware each is the work of.
//!
//! How: the image's own debug information names the functions an instruction stands in, from the innermost inlined one out;
//! the first that stands in a file of ours says the part. What stands in none (copies, divisions, hashes) is another's code that
//! nobody of ours was inlined around; the plugin counts it to the instruction of ours that ran last, which called it.

use super::EmulatorError;
use super::image::Image;
use object::{Object, ObjectSection};
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
}

impl Part {
    /// All of them.
    pub const ALL: [Self; 7] =
        [Self::Driver, Self::Engine, Self::Log, Self::Seal, Self::Screen, Self::Link, Self::Loop];

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
        }
    }

    fn of_file(file: &str) -> Option<Self> {
        const ROOMS: [(&str, Part); 9] = [
            ("core/src/log/", Part::Log),
            ("core/src/seal/", Part::Seal),
            ("core/src/", Part::Engine),
            ("core/link/src/", Part::Link),
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

/// The parts of an image's addresses, by half words from the beginning of the flash on; `None` for what is not ours.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Parts(Vec<Option<Part>>);

impl Parts {
    /// Looks up the parts of an image.
    ///
    /// # Errors
    /// The image has no debug information.
    pub fn of(image: &Image) -> Result<Self, EmulatorError> {
        let wrong = |why: String| EmulatorError::Image(why);
        let bytes = std::fs::read(&image.path)?;
        let file = object::File::parse(&*bytes).map_err(|error| wrong(error.to_string()))?;
        let text = file.section_by_name(".text").ok_or_else(|| wrong("no section .text in the image".to_owned()))?;
        let loader = addr2line::Loader::new(&image.path).map_err(|error| wrong(error.to_string()))?;
        let end = text.address() + text.size();
        let mut parts = vec![None; (end / 2) as usize];
        for address in (text.address()..end).step_by(2) {
            let mut frames = loader.find_frames(address).map_err(|error| wrong(error.to_string()))?;
            while let Some(frame) = frames.next().map_err(|error| wrong(error.to_string()))? {
                let file = frame.location.and_then(|location| location.file);
                if let Some(found) = file.and_then(Part::of_file) {
                    parts[(address / 2) as usize] = Some(found);
                    break;
                }
            }
        }
        if parts.iter().all(Option::is_none) {
            return Err(wrong("the image says nowhere what its code stands for".to_owned()));
        }
        Ok(Self(parts))
    }

    /// What is ours, a bit for each half word, the lowest of a byte first.
    pub(super) fn own(&self) -> Vec<u8> {
        let bits = |parts: &[Option<Part>]| {
            parts.iter().zip(0..).fold(0, |bits, (part, place)| bits | u8::from(part.is_some()) << place)
        };
        self.0.chunks(8).map(bits).collect()
    }

    /// Adds up what each part executed, with what it called.
    ///
    /// # Errors
    /// Something ran before anything of ours.
    pub fn sum(&self, counts: &[(u32, u32)]) -> Result<BTreeMap<Part, u64>, EmulatorError> {
        let mut sums: BTreeMap<Part, u64> = Part::ALL.into_iter().map(|part| (part, 0)).collect();
        for (address, executions) in counts {
            let part = self.0.get(*address as usize / 2).copied().flatten();
            let part = part.ok_or_else(|| EmulatorError::Image(format!("nobody called what is at {address:#x}")))?;
            *sums.entry(part).or_default() += u64::from(*executions);
        }
        Ok(sums)
    }
}
