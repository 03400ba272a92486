//! `holdoff read`: a raw memory image as table, CSV or JSON.

use super::Streams;
use super::speech::SpeechArguments;
use crate::picture::png;
use holdoff_core::log::{Item, Record};
use holdoff_disk::{Kind, Outputs};
use holdoff_evidence::LogPlace;
use holdoff_files::problem::{Exit, Problem};
use holdoff_present::memory::{ListedSession, Listing, csv, list, listing_json, listing_text, mount_error};
use holdoff_present::words::Speech;
use std::path::{Path, PathBuf};

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
    /// Draw the code of every release as a PNG into this folder
    #[arg(long, value_name = "DIR")]
    codes: Option<PathBuf>,
    #[command(flatten)]
    speech: SpeechArguments,
}

/// Runs the command; or says why it can't be done.
pub fn run(arguments: &Arguments, streams: &mut Streams) -> Result<Exit, Problem> {
    let image = super::load::image(&arguments.image)?;
    let remedy = "give the raw memory of a logger, as it was read out";
    let listing = list(&image).map_err(|error| Problem::unusable(&arguments.image, mount_error(&error), remedy))?;
    if let Some(folder) = &arguments.codes {
        draw(&listing, folder, &arguments.image)?;
    }
    Ok(match (arguments.json, arguments.csv) {
        (true, _) => streams.print_json(&listing_json(&listing)),
        (false, true) => streams.print(&csv(&listing)),
        (false, false) => streams.print(&listing_text(&listing, arguments.speech.speech())),
    })
}

/// One picture a release: `FIXING-page-PPP-item-III.png`; of one that a later release replaced `...-replaced.png`.
fn draw(listing: &Listing, folder: &Path, image: &str) -> Result<(), Problem> {
    let name = folder.to_string_lossy().into_owned();
    let (mut files, mut pictures) = (Vec::new(), Vec::new());
    for session in &listing.sessions {
        for entry in &session.entries {
            let Some(code) = entry.release.as_ref() else { continue };
            let LogPlace { page, item } = entry.place;
            let (fixing, replaced) = (file_name(session, &entry.item), if entry.replaced { "-replaced" } else { "" });
            files.push((format!("{fixing}-page-{page:03}-item-{item:03}{replaced}.png"), Kind::Png));
            pictures.push(png(code).map_err(|what| Problem::unusable(&name, what, "report this as a fault"))?);
        }
    }
    let files = Outputs::beside([image]).take_in(folder, &files)?;
    files.iter().zip(&pictures).try_for_each(|(file, picture)| file.write(picture))
}

/// What the fixing of a release is called, with nothing in it that a file's name may not have.
fn file_name(session: &ListedSession, release: &Item) -> String {
    let Item::Record(Record::Release { fixing, .. }) = release else { return "fixing".to_owned() };
    let label = session.entries.iter().find_map(|entry| match &entry.item {
        Item::Record(Record::Fixing(named)) if named.number == *fixing => named.label.text(),
        Item::Record(_)
        | Item::Reading { .. }
        | Item::Unusable { .. }
        | Item::Missing { .. }
        | Item::Refused { .. } => None,
    });
    let name = Speech::PLAIN.name(label.unwrap_or_default(), fixing.place() as u8); // at most 15
    name.chars().map(|character| if character.is_alphanumeric() { character } else { '-' }).collect()
}
