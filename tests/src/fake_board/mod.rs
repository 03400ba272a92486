//! A board that is not there: the device's library runs on it in the tests.
//!
//! What for: its parts do what parts do and emulators do not: pages that wrap, a write cycle, data that is not acknowledged, a
//! bus held down, a probe that is pulled off, a clock that stops, power that goes in the middle of a write.
//! Terms: the *world* is everything outside the device, true time included; a *boot* drops the device and makes a new
//! one on the same world, as a reset does.
//! Invariants: deterministic; after a power cut nothing answers until the next boot, so whoever goes on without noticing
//! fails.

mod again;
mod bench;
mod parts;
mod scene;
mod story;
mod talk;
mod world;

pub use again::{again, loaded, sha256};
pub use bench::{Bench, KEY, START};
pub use parts::{Clock, Eeprom, Probe};
pub use scene::{curing, noisy, notice, planned, planned_as, power_ups, shown, steady, trusted, undisturbed};
pub use story::{items, records, story};
pub use talk::{JobPlan, Planned, plan};
pub use world::{FakeBoard, FakeBus, Fault, Held, World};
