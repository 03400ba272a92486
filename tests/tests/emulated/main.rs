//! The image of the emulated board in QEMU, with its buttons, its probe and its line.
//!
//! One program, so that the image is built and read once.

mod battery;
mod emulated_board;
mod emulated_cure;
mod emulated_cuts;
mod emulated_loading;
mod emulated_screens;
mod emulated_support;
mod emulated_swap;
mod emulated_telling;
mod link_emulated;
