//! The firmware's image: built by `tests/firmware_image`, and where things are in it.

use super::EmulatorError;
use object::{Object, ObjectSection, ObjectSymbol};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::OnceLock;

/// Which of the emulated board's images.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Kind {
    /// The one that stands for what is put on a device.
    Release,
    /// The one that tells what it does over defmt.
    Telling,
}

/// An image.
#[derive(Clone, Debug)]
pub struct Image {
    /// The ELF file.
    pub path: PathBuf,
    /// Where the board is held before every hop of sleep.
    pub idle: u32,
    /// Where something new is on the display.
    pub shown: u32,
    /// The words that the board publishes.
    pub words: u32,
    /// First byte after everything static in RAM.
    pub static_end: u32,
}

/// The root of the repository.
#[must_use]
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().map_or_else(PathBuf::new, Path::to_path_buf)
}

/// Where what is built is put.
#[must_use]
pub(super) fn target() -> PathBuf {
    std::env::var_os("CARGO_TARGET_DIR").map_or_else(|| root().join("target"), PathBuf::from)
}

impl Image {
    /// The image, built if need be; once in a process.
    ///
    /// # Errors
    /// It cannot be built; the compiler's words stand on standard error.
    pub fn get(kind: Kind) -> Result<&'static Self, EmulatorError> {
        static RELEASE: OnceLock<Result<Image, EmulatorError>> = OnceLock::new();
        static TELLING: OnceLock<Result<Image, EmulatorError>> = OnceLock::new();
        let (cell, options): (_, &[&str]) = match kind {
            Kind::Release => (&RELEASE, &[]),
            Kind::Telling => (&TELLING, &["--defmt"]),
        };
        cell.get_or_init(|| Self::build(options)).as_ref().map_err(Clone::clone)
    }

    fn build(options: &[&str]) -> Result<Self, EmulatorError> {
        let output = Command::new("bash")
            .arg(root().join("tests/firmware_image"))
            .arg("emulated")
            .args(options)
            .stderr(Stdio::inherit())
            .output()?;
        if !output.status.success() {
            return Err(EmulatorError::Image("tests/firmware_image failed".to_owned()));
        }
        Self::read(PathBuf::from(String::from_utf8_lossy(&output.stdout).trim()))
    }

    fn read(path: PathBuf) -> Result<Self, EmulatorError> {
        let bytes = std::fs::read(&path)?;
        let file = object::File::parse(&*bytes).map_err(|error| EmulatorError::Image(error.to_string()))?;
        let symbol = |name: &str| {
            let found = file.symbols().find(|symbol| symbol.name() == Ok(name)).map(|symbol| symbol.address());
            found
                .and_then(|address| u32::try_from(address).ok())
                .ok_or_else(|| EmulatorError::Image(format!("no symbol {name} in the image")))
        };
        let static_end = [".data", ".bss", ".uninit"]
            .into_iter()
            .filter_map(|name| file.section_by_name(name))
            .map(|section| section.address() + section.size())
            .max()
            .and_then(|address| u32::try_from(address).ok())
            .unwrap_or(RAM);
        Ok(Self {
            idle: symbol("holdoff_idle")?,
            shown: symbol("holdoff_shown")?,
            words: symbol("HOLDOFF_WORDS")?,
            static_end,
            path,
        })
    }
}

/// Where the board's RAM begins.
pub const RAM: u32 = 0x2000_0000;
/// Its size.
pub const RAM_SIZE: u32 = 64 * 1024;
