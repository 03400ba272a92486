//! The files that a command reads and writes: one way in, one way out.
//!
//! What for: whoever names the wrong file must get a message, never a lost register, key or trace, and never a program that
//! hangs. Every output of the program goes through [`Outputs`]; every file that is read is opened by [`open`].
//! Terms: an *input* is a file that the command reads; an *output* is one that it writes; the *kind* of a file is what its
//! first bytes say that it is.
//! Invariants: an output is no input of the same command and no other output of it, by path, through links, and by what the
//! file system says is the same file; a file that stands there already is replaced only by one of its own kind, and an empty
//! one by anything; all of this is looked at before anything is opened for writing. A file is written whole or not at all.
//! What it does not do: keep another program from putting a file there in the meantime, or lock anything.

pub mod keys;
mod load;
mod open;
mod output;
mod place;

pub use holdoff_files::kind::Kind;
pub use load::{
    Load, calibration, job_or_scenario_text, job_text, no_register, open_recorded, open_trace, resin_beside,
    resin_text, ring_file,
};
pub use open::{open, regular};
pub use output::{Output, Outputs};
