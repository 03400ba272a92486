//! What the `holdoff` program is made of: capabilities without printing.

pub mod command;
pub mod decimal;
pub mod depth;
pub mod duration;
pub mod job;
pub mod keys;
pub mod link;
pub mod memory_image;
pub mod page;
pub mod picture;
pub mod plan;
pub mod plausible;
pub mod plot;
pub mod problem;
pub mod proof_test;
pub mod register;
pub mod replay;
pub mod report;
pub mod resin_file;
pub mod scenario;
pub mod series;
pub mod stamp;
pub mod take_off;
pub mod toml_file;
pub mod trace;
pub mod words;
