//! The link to a logger, from the PC's side.
//!
//! What for: `holdoff link`. Messages and frames are the logger's own (`holdoff_link`, `docs/link.md`); here are
//! the line, patience, and what is made of the answers.
//! Terms: a *line* is whatever carries bytes to the logger: a serial port, a pty, a socket; a *break* is a line that fails
//! or falls silent; a *talk* is everything from the first greeting to the end of the program, over any number of
//! breaks.
//! Invariants: a talk is with one logger, and another one at the same plug ends it; a request that changes something acts once, however often it was sent; a memory is given out only as it
//! stood at one moment.
//! What it does not do: print.

mod beyond;
mod image;
mod job;
mod line;
mod part;
mod status;
mod talk;
mod trouble;
mod words;

pub use beyond::{Beyond, Doubt};
pub use image::{Progress, ReadOut, ReadTrouble, challenged, read_image, sign_out};
pub use job::{BatchText, Shipment, leaving, load, undecided};
pub use line::{Line, Port};
pub use part::{Part, part_file};
pub use status::{GroupStatus, object as status_object, table, watch};
pub use talk::{Patience, Stop, Talk};
pub use trouble::{Effect, Trouble};
pub use words::{log_state, problem, problem_that_goes_on, refusal_words};
