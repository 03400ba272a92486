//! Taking a signed decision into the register.

use super::Streams;
use holdoff_evidence::keys::to_hex;
use holdoff_files::decision::{Signed, word};
use holdoff_files::job::JobFile;
use holdoff_files::problem::{Exit, shown_file, visible};
use holdoff_present::words::{DecisionPhrase, RegisterPhrase, Speech, Worded, coded};
use holdoff_register::{DecisionAdded, Refusal, Register};
use serde_json::json;

/// A decision as it was given.
pub(super) struct Given<'a> {
    /// Its file.
    pub(super) name: &'a str,
    pub(super) signed: &'a Signed,
    pub(super) raw: &'a [u8],
}

/// How an addition is told.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Tell {
    /// One JSON object a line.
    Json,
    /// For a person.
    Words(Speech),
}

/// Takes a decision in and tells it; the exit status of that alone.
///
/// # Errors
/// The register refused it, and is as it was.
pub(super) fn add(
    register: &mut Register,
    given: &Given<'_>,
    jobs: &[JobFile],
    (tell, now): (Tell, i64),
    streams: &mut Streams,
) -> Result<Exit, Refusal> {
    let added = register.add_decision(given.name, (given.signed, given.raw), jobs, now)?;
    let printed = match tell {
        Tell::Json => streams.print_json(&format!("{}\n", object(given, &added))),
        Tell::Words(speech) => streams.print(&text(given, &added, speech)),
    };
    Ok(match (printed, &added) {
        (Exit::Ran, DecisionAdded::Taken { conflict: Some(_), .. }) => Exit::Contradicted,
        (printed, DecisionAdded::Taken { .. } | DecisionAdded::Held(_)) => printed,
    })
}

fn text(given: &Given<'_>, added: &DecisionAdded, speech: Speech) -> String {
    let file = shown_file(given.name);
    let (decided, conflict) = match added {
        DecisionAdded::Held(known) => {
            return speech.fill(DecisionPhrase::Held, &[("file", &file), ("known", &known.words(speech))]) + "\n";
        }
        DecisionAdded::Taken { decided, conflict } => (decided, conflict),
    };
    let (fixing, device) = (visible(&given.signed.said.fixing), to_hex(&given.signed.said.device.0));
    let gaps = [("file", &*file), ("fixing", &*fixing), ("device", &*device), ("what", &*speech.decided(decided))];
    let mut text = speech.fill(DecisionPhrase::TakenIn, &gaps) + "\n";
    if let Some(conflict) = conflict {
        let why = visible(&conflict.words(speech));
        text += &format!("  {}\n", speech.fill(RegisterPhrase::Contradicted, &[("why", &why)]));
    }
    text + &format!("  {}\n  {}\n", speech.say(DecisionPhrase::NoLeave), speech.caution())
}

fn object(given: &Given<'_>, added: &DecisionAdded) -> serde_json::Value {
    let said = &given.signed.said;
    let (held, conflict) = match added {
        DecisionAdded::Held(_) => (true, None),
        DecisionAdded::Taken { conflict, .. } => (false, conflict.as_deref()),
    };
    json!({
        "added": given.name,
        "device": to_hex(&said.device.0),
        "fixing": said.fixing,
        "decision": word(said.decision),
        "document": said.document,
        "by": said.name,
        "held": held,
        "contradictions": conflict.iter().map(|conflict| coded(*conflict)).collect::<Vec<_>>(),
    })
}
