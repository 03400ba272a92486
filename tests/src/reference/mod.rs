//! The cure rules, computed the slow and obvious way, to hold the engine against.
//!
//! **What for.** The engine is written for a small microcontroller: integers only, no memory of the past beyond what
//! the next reading needs. This module says the same rules again as one reads them: it keeps every row, every reading
//! and every second of the life of one fixing, and starts over from the beginning when the past changes its meaning.
//! On the same history the two must agree in every field of the report, to the second.
//!
//! **Why this way.** Independence is the point. Nothing here uses a crate of the project or shares a formula with one;
//! the inputs and the report have types of their own, and temperatures come in as exact decimals.
//!
//! **How it reads**, one step a file:
//! 1. `decimal`: exact decimals, rounded to counts of 1/256 °C once per value (rule Q1).
//! 2. `limits`: the resin's and the settings' temperatures in counts.
//! 3. `readings`: which rows are accepted, and what lies between them (R2, R3).
//! 4. `order`: where the actions take their place among the rows.
//! 5. `window`: the working time (A2).
//! 6. `count`: the cure, second by second (C1 to C4).
//! 7. `grounds`: what refuses and what rejects.
//! 8. `deed`: what was done to hole, nozzle and seating (H2 to H5).
//! 9. `life`: the fixing from planned to released, one step of the order at a time.
//! 10. `report`: what is said of it at the end of the rows.
//!
//! [`random`] makes histories that reach every stage and every ground.
//!
//! **What it does not do.** Storage, the rebuild from a log (so never `untrusted-log`), warnings, clocks other than the
//! rows' own, and input checking: a history must obey the validity rules of a resin file and the bounds of settings.
#![allow(clippy::expect_used, reason = "a broken expectation in a reference must stop the test")]

mod count;
mod decimal;
mod deed;
mod grounds;
mod life;
mod limits;
mod model;
mod order;
pub mod random;
mod readings;
mod report;
mod window;

pub use decimal::{Decimal, ceil_to_counts, floor_to_counts};
pub use model::{
    Act, History, Hole, RefBand, RefDemands, RefResin, RefSettings, Report, Row, RowKind, Rule, Torque, Work,
};
pub use order::{Step, order};
pub use random::{random_deed, random_history};

use life::Life;
use limits::Limits;
use readings::{News, news};

/// The report on one fixing at the end of its rows.
///
/// # Panics
/// When the history breaks the validity rules of files and settings (no band, a temperature out of all bounds).
pub fn run(history: &History) -> Report {
    let limits = Limits::of(history);
    let arrivals: Vec<News> = news(history, &limits);
    let neighbour = History { acts: history.neighbour.clone(), torque: None, ..history.clone() };
    let life = Life::lived(history, &neighbour, &limits, &arrivals, &order(history));
    report::report(&life, &arrivals)
}
