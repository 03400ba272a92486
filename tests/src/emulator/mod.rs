//! A harness for the emulated board.
//!
//! What for: the firmware's image runs, unchanged, in an emulator; tests and `tests/emulate` set its probe, press its
//! buttons at a given second, talk to it over its link, photograph its display, read its memory and cut its power.
//! How it keeps step: the board calls an idle function before every hop of sleep (at most a second of its own
//! time, ending half a second after a full one), and a plugin of the emulator holds it there until it is told how many hops it may go. While it is held, its
//! time stands still. So a day takes seconds, and every happening falls into the very second that it is meant for.
//! Terms: *idle* is such a place; *board time* is milliseconds since 1970 on the board's clock chip as the harness
//! follows it.
//! Invariants: the same inputs give the same memory, byte for byte; nothing waits for the PC's own clock, but for
//! giving up on an emulator that hangs.

mod button;
mod cure;
mod diary;
mod held;
mod image;
mod machine;
mod photo;
mod plug;
mod plugin;
mod profile;
mod program;
mod qmp;
mod setup;
mod site;
mod talk;
mod told;

pub use button::Button;
pub use cure::{Cure, Undone, known_seed};
pub use diary::{Idle, memories};
pub use held::Held;
pub use image::{Image, Kind, RAM, RAM_SIZE, root};
pub use machine::{MEMORY_SIZE, Machine, Words, blank_memory};
pub use photo::{HEIGHT, Photo, WIDTH};
pub use plug::{Boards, Plug};
pub use profile::{Part, Parts};
pub use program::{holdoff, write_keys};
pub use setup::{Counting, Probe, Setup};
pub use site::{Deed, Felt, Site};
pub use talk::{load_job, port, shipment, talk};
pub use told::{Line, told};

/// The emulator.
const QEMU: &str = "qemu-system-arm";

/// What can go wrong.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum EmulatorError {
    /// The emulator is not installed.
    NoEmulator,
    /// The image cannot be built or is none of ours.
    Image(String),
    /// The plugin cannot be compiled.
    Plugin(String),
    /// The control socket answers otherwise than it should.
    Control(String),
    /// The emulator has ended.
    Gone,
    /// The board's power was cut, as was asked for.
    Cut {
        /// Strips of the display that it had shown since its start.
        strips: u32,
    },
    /// The board does not come back to its idle.
    Hangs(String),
    /// The device refuses what it should do.
    Device(String),
    /// A second was over before what was to be done in it.
    Late {
        /// Which: seconds since 1970.
        second: i64,
        /// The board's time then.
        now: i64,
    },
    /// A picture cannot be read.
    Photo(String),
    /// A file or a socket.
    File(String),
}

impl std::fmt::Display for EmulatorError {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::NoEmulator => write!(formatter, "{QEMU} is not installed (tests/setup does it)"),
            Self::Image(why) => write!(formatter, "the image: {why}"),
            Self::Plugin(why) => write!(formatter, "the emulator's plugin: {why}"),
            Self::Control(why) => write!(formatter, "the emulator's control socket: {why}"),
            Self::Gone => write!(formatter, "the emulator has ended"),
            Self::Cut { strips } => write!(formatter, "the board's power was cut after {strips} strips of its display"),
            Self::Hangs(why) => write!(formatter, "the emulated board does not come back: {why}"),
            Self::Device(why) => write!(formatter, "the emulated device: {why}"),
            Self::Late { second, now } => {
                let stamp = |seconds| holdoff_files::stamp::format_seconds(seconds, 0);
                write!(formatter, "nothing can be pressed at {} any more: it is {}", stamp(*second), stamp(*now))
            }
            Self::Photo(why) => write!(formatter, "a picture of the display: {why}"),
            Self::File(why) => write!(formatter, "{why}"),
        }
    }
}

impl std::error::Error for EmulatorError {}

impl From<std::io::Error> for EmulatorError {
    fn from(error: std::io::Error) -> Self {
        Self::File(error.to_string())
    }
}
