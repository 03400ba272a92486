//! The program as its users run it: commands, files, pages, registers.
//!
//! One test program, so that the program under test and what the tests share are linked once. Its tests run side by side; each has
//! a folder of its own (`folder.rs`).
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

mod accrual_told;
mod board;
mod board_live;
mod board_support;
mod codes;
mod command_line;
mod decisions;
mod depth;
mod documented;
mod english;
mod evidence_table;
mod folder;
mod golden;
mod hardening;
mod help;
mod job;
mod kinds;
mod languages;
mod memory_image;
mod moved_cure;
mod outputs;
mod plan;
mod probe;
mod read_as;
mod register;
#[cfg(feature = "parquet")]
mod register_parquet;
mod register_writers;
mod report;
mod report_support;
mod settled_probe;
mod stands_against;
