//! The logger's firmware on the fake board.

mod device_clock;
mod device_cuts;
mod device_dates;
mod device_drivers;
mod device_failures;
mod device_faults_shown;
mod device_hands;
mod device_log;
mod device_pages;
mod device_settling;
mod device_starved;
mod device_supply;
mod device_too_late;
mod device_undecided;
