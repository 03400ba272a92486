//! `holdoff prove`: is every release what the raw readings, the chain and the signature say?

use super::speech::SpeechArguments;
use super::{Streams, load};
use crate::evidence::{Files, Finding, Proof, prove_code, prove_image};
use crate::keys::Ring;
use crate::memory_image::{code_error, mount_error, proof_json, proof_text};
use crate::picture;
use crate::problem::{Exit, Problem};
use crate::toml_file::{file_hash, text_of};
use holdoff_core::log::FileHash;
use holdoff_core::seal::PREFIX;
use std::path::PathBuf;

/// Larger than any job file or resin file.
const MOST_BYTES: u64 = 4 * 1024 * 1024;

/// `holdoff prove`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// A raw memory image, a release code (or a text file with one), or a picture of one (PNG, JPEG)
    #[arg(value_name = "IMAGE|CODE|PICTURE")]
    evidence: String,
    /// The public keys that count
    #[arg(long, value_name = "FILE")]
    keys: PathBuf,
    /// The job file that the logger should have been loaded with: with another one nothing is proved
    #[arg(long, value_name = "JOB.toml")]
    job: Option<String>,
    /// The resin file that it should have been loaded with: with another one nothing is proved
    #[arg(long, value_name = "FILE.toml")]
    resin: Option<String>,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    speech: SpeechArguments,
}

/// Runs the command.
pub fn run(arguments: &Arguments, streams: &mut Streams) -> Exit {
    let (proofs, findings) = match try_run(arguments) {
        Ok(found) => found,
        Err(problem) => return streams.refuse(&problem),
    };
    let all = !proofs.is_empty() && proofs.iter().all(Proof::is_proved);
    let printed = if arguments.json {
        streams.print_json(&proof_json(&proofs, &findings))
    } else {
        streams.print(&proof_text(&proofs, &findings, arguments.speech.speech()))
    };
    match (printed, all) {
        (Exit::Ran, false) => Exit::NotProved,
        (exit, _) => exit,
    }
}

fn try_run(arguments: &Arguments) -> Result<(Vec<Proof>, Vec<Finding>), Problem> {
    let ring = Ring::load(&arguments.keys)?;
    let hash = |file: Option<&str>, kind: &str| -> Result<Option<FileHash>, Problem> {
        file.map(|file| text_of(file, kind, MOST_BYTES).map(|text| file_hash(&text))).transpose()
    };
    let job = hash(arguments.job.as_deref(), "job file")?;
    let files = Files { job, resin: hash(arguments.resin.as_deref(), "resin file")? };
    let (proofs, findings) = proofs(&arguments.evidence, &ring)?;
    Ok((proofs.into_iter().map(|proof| proof.with(&files)).collect(), findings))
}

fn proofs(evidence: &str, ring: &Ring) -> Result<(Vec<Proof>, Vec<Finding>), Problem> {
    let remedy = "give a raw memory image, a release code, or a sharp picture of one";
    if evidence.starts_with(PREFIX) {
        let what = |error| Problem::unusable("the code", code_error(error), "type or scan it again");
        return prove_code(evidence, ring).map(|proof| (vec![proof], Vec::new())).map_err(what);
    }
    let bytes = load::bytes(evidence)?;
    let unusable = |what: String| Problem::unusable(evidence, what, remedy);
    if picture::is_picture(&bytes) {
        let codes = picture::codes(&bytes).map_err(|error| unusable(error.to_string()))?;
        let mut proofs = Vec::new();
        for code in codes {
            let text = String::from_utf8_lossy(&code);
            proofs.push(prove_code(&text, ring).map_err(|error| unusable(code_error(error)))?);
        }
        return Ok((proofs, Vec::new()));
    }
    match load::code_in(&bytes) {
        Some(code) => {
            let proof = prove_code(code, ring).map_err(|error| unusable(code_error(error)))?;
            Ok((vec![proof], Vec::new()))
        }
        None => prove_image(&bytes, ring).map_err(|error| unusable(mount_error(&error))),
    }
}
