//! The logger: everything that needs no particular board. It builds and is tested on the PC.
//!
//! Invariants: no heap, no reachable panic; the engine and the log do all the counting, what is here only measures, asks,
//! shows and passes on.
#![cfg_attr(not(test), no_std)]

pub mod board;
pub mod driver;
pub mod link;
pub mod run;
pub mod screen;
mod tell;
pub mod view;
