//! The engine against the slow reference, published values, recorded temperatures, and hostile input; a calibration against fractions.

mod calibration_against_reference;
mod engine_against_reference;
mod every_step;
mod false_things;
mod guard_band;
mod hands;
mod hostile;
mod properties;
mod published;
mod sensors;
mod settled_probe;
mod sixteen_fixings;
mod stuck_probe;
mod traces;
mod warmer;
