//! How a trace's columns are called, and their unit: the options of every command that reads one, and its warnings.

use super::Streams;
use holdoff_files::problem::shown_file;
use holdoff_files::stamp::format_seconds;
use holdoff_files::trace::{Options, Unit};
use holdoff_present::words::Speech;
use holdoff_site::replay::Seen;

/// The columns of a trace on the command line.
#[derive(Debug, clap::Args)]
pub(super) struct ColumnArguments {
    /// Name of the time column [default: time]
    #[arg(long, value_name = "NAME")]
    time_column: Option<String>,
    /// Name of the temperature column [default: temperature_c]
    #[arg(long, value_name = "NAME")]
    temperature_column: Option<String>,
    /// The temperature column is in °C, where its name does not say so
    #[arg(long, conflicts_with = "fahrenheit")]
    celsius: bool,
    /// The temperature column is in °F, where its name does not say so
    #[arg(long)]
    fahrenheit: bool,
}

impl ColumnArguments {
    /// The options, where nothing is given those of `usual`.
    pub(super) fn over(&self, usual: Options) -> Options {
        Options {
            time_column: self.time_column.clone().unwrap_or(usual.time_column),
            temperature_column: self.temperature_column.clone().unwrap_or(usual.temperature_column),
            unit: match (self.celsius, self.fahrenheit) {
                (_, true) => Some(Unit::Fahrenheit),
                (true, false) => Some(Unit::Celsius),
                (false, false) => usual.unit,
            },
            sensor: usual.sensor,
        }
    }
}

/// What is to be looked at in a trace, on standard error.
pub(super) fn warn(file: &str, seen: &Seen, streams: &mut Streams) {
    let time = |at: holdoff_core::quantity::Instant, offset_seconds| format_seconds(at.seconds(), offset_seconds);
    for warning in Speech::PLAIN.warnings(seen, &time) {
        streams.warn(&format!("{}: {warning}", shown_file(file)));
    }
}
