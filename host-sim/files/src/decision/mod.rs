//! A signed decision of the engineer on a rejected fixing: a small TOML file.
//!
//! What for: what somebody enters at a logger as the engineer's decision is a note; a signed decision says who decided, on
//! which rejection, and where it is written (rule H8, `docs/decision.md`). The file is read with the same suspicion as a job
//! file: every unknown key refused, all that is wrong reported at once with line and column.
//! Terms: the *digest* is the SHA-256 of what the decision says; the signature is over it.
//! Invariants: a [`Signed`] has the form of a decision, and nobody has verified it; the digest binds every value but key and
//! signature, each behind its length, so that no two decisions share one.
//! What it does not do: sign or verify (`holdoff_evidence`), or know whether the fixing is rejected (the register).

mod read;

use crate::hex::to_hex;
use crate::toml_file::quoted;
use holdoff_core::fixing::{Decision, Grounds};
use holdoff_core::log::DeviceId;
use holdoff_core::seal::{PublicKey, SignatureBytes};
use sha2::{Digest, Sha256};
use std::fmt::Write;

/// Largest file read, in bytes.
pub const MOST_BYTES: u64 = 64 * 1024;
/// Most characters of each text.
pub const MOST_TEXT: usize = 1000;

/// What the engineer decided.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Said {
    /// What the fixing is called.
    pub fixing: String,
    /// Its logger.
    pub device: DeviceId,
    /// All grounds of the rejection that is decided on; one at least.
    pub grounds: Grounds,
    /// What becomes of it.
    pub decision: Decision,
    /// Why.
    pub reason: String,
    /// Where it is written.
    pub document: String,
    /// Who decided.
    pub name: String,
    /// When: RFC 3339 with its offset, as it is written.
    pub at: String,
}

/// The same with a key and a signature, which nobody has verified.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Signed {
    /// What was decided.
    pub said: Said,
    /// The key that the file names.
    pub public: PublicKey,
    /// The signature.
    pub signature: SignatureBytes,
}

/// The decisions there are, by their words.
pub const WORDS: [(&str, Decision); 2] = [("accept-as-is", Decision::Accept), ("remove", Decision::Remove)];

/// The word of a decision.
pub const fn word(decision: Decision) -> &'static str {
    match decision {
        Decision::Accept => "accept-as-is",
        Decision::Remove => "remove",
    }
}

/// Grounds by their short words, with commas between.
pub fn grounds_text(grounds: Grounds) -> String {
    grounds.iter().map(|ground| ground.word()).collect::<Vec<_>>().join(",")
}

impl Said {
    /// What is signed: the SHA-256 of its values in the order of the file, each as text behind its length in bytes (32 bits, the
    /// lowest byte first).
    pub fn digest(&self) -> [u8; 32] {
        let (device, grounds) = (to_hex(&self.device.0), grounds_text(self.grounds));
        let values = [
            &*self.fixing,
            &*device,
            &*grounds,
            word(self.decision),
            &*self.reason,
            &*self.document,
            &*self.name,
            &*self.at,
        ];
        let mut hash = Sha256::new();
        for value in values {
            // a file has 64 KiB at most
            hash.update(u32::try_from(value.len()).unwrap_or(u32::MAX).to_le_bytes());
            hash.update(value.as_bytes());
        }
        hash.finalize().into()
    }
}

impl Signed {
    /// As a file.
    pub fn to_toml(&self) -> String {
        let said = &self.said;
        let grounds: Vec<String> = said.grounds.iter().map(|ground| quoted(ground.word())).collect();
        let lines = [
            ("fixing", quoted(&said.fixing)),
            ("device", quoted(&to_hex(&said.device.0))),
            ("grounds", format!("[{}]", grounds.join(", "))),
            ("decision", quoted(word(said.decision))),
            ("reason", quoted(&said.reason)),
            ("document", quoted(&said.document)),
            ("name", quoted(&said.name)),
            ("at", quoted(&said.at)),
            ("public", quoted(&to_hex(self.public.bytes()))),
            ("signature", quoted(&to_hex(&self.signature))),
        ];
        let mut text = String::from("[decision]\n");
        for (key, value) in lines {
            let _ = writeln!(text, "{key} = {value}");
        }
        text
    }
}
