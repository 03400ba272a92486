//! Helpers that the tests share: the slow reference, and the road from its histories to the engine.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

pub mod engine;
pub mod random;
pub mod reference;
