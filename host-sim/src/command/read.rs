//! `holdoff read`: a raw memory image as table, CSV or JSON.

use super::Streams;
use crate::memory_image::{csv, list, listing_json, listing_text};
use crate::problem::{Exit, Problem};

/// `holdoff read`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The raw memory image
    #[arg(value_name = "IMAGE")]
    image: String,
    /// Print one JSON object with all records
    #[arg(long, conflicts_with = "csv")]
    json: bool,
    /// Print the readings as CSV
    #[arg(long)]
    csv: bool,
}

/// Runs the command.
pub fn run(arguments: &Arguments, streams: &mut Streams) -> Exit {
    let listing = super::load::bytes(&arguments.image).and_then(|image| {
        let remedy = "give the raw memory of a logger, as it was read out";
        list(&image).map_err(|what| Problem::unusable(&arguments.image, what, remedy))
    });
    match listing {
        Ok(listing) => {
            let text = match (arguments.json, arguments.csv) {
                (true, _) => listing_json(&listing),
                (false, true) => csv(&listing),
                (false, false) => listing_text(&listing),
            };
            streams.print(&text)
        }
        Err(problem) => streams.refuse(&problem),
    }
}
