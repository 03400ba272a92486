//! What people and recorders write, read with suspicion: numbers, times, lengths of time, TOML, resin, job, scenario, trace.
//!
//! Invariants: no file system, no clock, no network: a text or a reader comes in, what it says comes out, so that a page in a
//! browser reads the same files. What is wrong is a [`problem::Problem`] with its place, in English.
//! What it does not do: open files, count a cure, speak to a person of a fixing.

pub mod calibration;
pub mod decimal;
pub mod decision;
pub mod deeds;
pub mod duration;
pub mod given;
pub mod hands;
pub mod hex;
pub mod job;
pub mod kind;
pub mod kinetics;
pub mod problem;
pub mod proof_test;
pub mod resin_file;
#[cfg(test)]
mod rounds;
pub mod scenario;
pub mod stamp;
pub mod toml_file;
pub mod trace;
mod words;
