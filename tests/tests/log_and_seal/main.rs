//! The log and what is sealed of it: format, power cuts, damage, forging, release codes.

mod forging;
mod fuzz_smoke;
mod log_codec;
mod log_damage;
mod log_format;
mod log_power_cut;
mod log_python;
mod log_store;
mod seal_code;
mod seal_picture;
mod seal_record;
mod seal_short;
mod seal_support;
