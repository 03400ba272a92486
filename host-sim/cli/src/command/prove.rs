//! `holdoff prove`: is every release what the raw readings, the chain and the signature say?

use super::Streams;
use super::load::Evidence;
use super::speech::SpeechArguments;
use holdoff_core::log::FileHash;
use holdoff_core::seal::PREFIX;
use holdoff_disk::{Load, open};
use holdoff_evidence::keys::Ring;
use holdoff_evidence::{Files, Finding, Proof, ProofVerdict, prove_code, prove_image};
use holdoff_files::given::Given;
use holdoff_files::problem::{Exit, Problem};
use holdoff_files::toml_file::{file_hash, text_from};
use holdoff_present::memory::{code_error, mount_error, proof_json, proof_text};
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

/// Runs the command; or says why it can't be done.
pub fn run(arguments: &Arguments, streams: &mut Streams) -> Result<Exit, Problem> {
    let ring = Ring::load(&arguments.keys)?;
    let hash = |file: Option<&str>, kinds: &[Given]| -> Result<Option<FileHash>, Problem> {
        file.map(|file| text_from(file, kinds, MOST_BYTES, open(file)).map(|text| file_hash(&text))).transpose()
    };
    let job = hash(arguments.job.as_deref(), &[Given::Job, Given::Scenario])?;
    let files = Files { job, resin: hash(arguments.resin.as_deref(), &[Given::Resin])? };
    let (proofs, findings) = proofs(&arguments.evidence, &ring, streams)?;
    let proofs: Vec<Proof> = proofs.into_iter().map(|proof| proof.with(&files)).collect();
    // what failed is worse than what is not there yet
    let came_to = |verdict| proofs.iter().any(|proof| proof.came_to() == verdict);
    let worst = if proofs.is_empty() || came_to(ProofVerdict::NotProved) {
        Exit::NotProved
    } else if came_to(ProofVerdict::NoReleaseYet) || came_to(ProofVerdict::NoRelease) {
        Exit::NoRelease
    } else {
        Exit::Ran
    };
    let printed = if arguments.json {
        streams.print_json(&proof_json(&proofs, &findings))
    } else {
        streams.print(&proof_text(&proofs, &findings, arguments.speech.speech()))
    };
    Ok(if printed == Exit::Ran { worst } else { printed })
}

fn proofs(evidence: &str, ring: &Ring, streams: &mut Streams) -> Result<(Vec<Proof>, Vec<Finding>), Problem> {
    let (name, remedy) = if evidence.starts_with(PREFIX) {
        ("the code", "type or scan it again")
    } else {
        (evidence, "give a raw memory image, a release code, or a sharp picture of one")
    };
    let unusable = |what: String| Problem::unusable(name, what, remedy);
    match Evidence::of(evidence, streams)? {
        Evidence::Image(bytes) => prove_image(&bytes, ring).map_err(|error| unusable(mount_error(&error))),
        Evidence::Decision(..) => {
            let remedy = "prove it with `holdoff decide check FILE.toml --job JOB.toml`";
            Err(Problem::unusable(name, "this is a signed decision, and no release", remedy))
        }
        Evidence::Codes(codes) => {
            let proofs: Result<_, _> = codes.iter().map(|code| prove_code(code, ring)).collect();
            proofs.map(|proofs| (proofs, Vec::new())).map_err(|error| unusable(code_error(error)))
        }
    }
}
