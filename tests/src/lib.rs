//! Helpers that the tests share: the slow reference, and the road from its histories to the engine.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

pub mod emulator;
pub mod engine;
pub mod fake_board;
pub mod fuzz;
pub mod invented;
pub mod link_cable;
pub mod link_command;
pub mod link_device;
pub mod link_line;
pub mod log_history;
pub mod log_oracle;
pub mod log_sample;
pub mod log_series;
pub mod memory;
pub mod page_turn;
pub mod random;
pub mod reference;
pub mod trace;
