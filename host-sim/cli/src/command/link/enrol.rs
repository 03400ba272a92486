//! `holdoff link PORT enrol`: the logger's public key into a key file.
//!
//! What for: the secret key is born in the logger and stays there; whoever checks releases needs the public one, the device that it
//! belongs to, and to know who took it from the logger and when. The logger signs bytes that are drawn here, so it is known to have
//! the secret key of what it names.

use crate::link::{Talk, Trouble, challenged, problem, refusal_words};
use holdoff_core::log::DeviceId;
use holdoff_core::seal::PublicKey;
use holdoff_disk::keys::{Entry, enrol};
use holdoff_disk::regular;
use holdoff_evidence::keys::{Enrolled, NamedKey, to_hex};
use holdoff_files::problem::{Problem, shown, shown_file};
use holdoff_files::stamp::format_seconds;
use holdoff_link::message::Refusal;
use holdoff_present::words::{LinkPhrase as P, Speech};
use std::path::PathBuf;

/// `holdoff link PORT enrol`.
#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The key file that the key is added to; made where there is none
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// What proofs call the logger
    #[arg(long, value_name = "NAME")]
    name: String,
    /// Who stands at the logger and takes its key
    #[arg(long, value_name = "WHO")]
    by: String,
}

impl Arguments {
    /// What can be seen to be wrong before the logger is spoken to.
    pub(super) fn check(&self) -> Result<(), Problem> {
        for name in [&self.name, &self.by] {
            if !NamedKey::is_name(name) {
                let what = format!("{} is no name", shown(name.as_bytes()));
                return Err(Problem::usage(what, "give 1 to 40 characters, without blanks at the ends"));
            }
        }
        match regular(&self.file) {
            Err(error) if self.file.exists() => {
                Err(Problem::unusable(&self.file.to_string_lossy(), error.to_string(), "name a key file"))
            }
            Ok(()) | Err(_) => Ok(()),
        }
    }
}

/// Takes the key from the logger; what came of it in words.
pub(super) fn run(talk: &mut Talk, port: &str, arguments: &Arguments, speech: Speech) -> Result<String, Problem> {
    let said = |trouble: Trouble| problem(port, &trouble);
    let no_key = || {
        let (what, remedy) = refusal_words(Refusal::NoKey);
        Problem::refused(port, what, remedy)
    };
    challenged(talk).map_err(said)?.ok_or_else(no_key)?;
    let who = talk.identity().map_err(said)?;
    let (device, public) = (DeviceId(who.device), who.key.map(PublicKey::from_bytes).ok_or_else(no_key)?);
    let now = chrono::Local::now();
    let at = format_seconds(now.timestamp(), now.offset().local_minus_utc());
    let enrolled = Some(Enrolled { by: arguments.by.clone(), at });
    let key = NamedKey { name: arguments.name.clone(), device: Some(device), public, enrolled };
    let phrase = match enrol(&arguments.file, &key)? {
        Entry::Added => P::Enrolled,
        Entry::There => P::EnrolledBefore,
    };
    let file = shown_file(&arguments.file.to_string_lossy());
    let (id, device) = (to_hex(&public.id().0), to_hex(&device.0));
    Ok(speech.fill(phrase, &[("id", &id), ("device", &device), ("file", &file)]) + "\n")
}
