//! The engineers whose signed decisions count on a job: `[[engineer]]` with `name` and `public`.
//!
//! What for: an engineer's decision on a rejected fixing counts when a key that stands here signed it (`docs/decision.md`).
//! Invariants: no name and no key stands here twice, so that a key speaks for one person.
//! What it does not do: verify a signature; a key that can sign nothing counts for nothing there.

use crate::hex::from_hex;
use crate::problem::shown;
use crate::toml_file::{Findings, Need, Table};
use holdoff_core::seal::PublicKey;

/// Most engineers of a job, and most characters of a name.
const MOST: usize = 16;
const MOST_NAME: usize = 40;

/// An engineer of the job.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Engineer {
    /// Who.
    pub name: String,
    /// The key that signs for them.
    pub public: PublicKey,
}

/// Reads all of them; `None` for one that can't be used, which has its finding.
pub(super) fn read(root: &Table<'_, '_>, findings: &mut Findings) -> Vec<Option<Engineer>> {
    let tables = root.tables("engineer", "[[engineer]]", Need::Optional, findings);
    if tables.len() > MOST {
        let what = format!("there are {} engineers, and at most {MOST} are taken", tables.len());
        findings.error(0..0, what, "name those whose decisions count on this job");
    }
    let mut known: Vec<Engineer> = Vec::new();
    let mut all = Vec::new();
    for table in tables.iter().take(MOST) {
        let engineer = one(table, &known, findings);
        known.extend(engineer.clone());
        all.push(engineer);
    }
    all
}

fn one(table: &Table<'_, '_>, known: &[Engineer], findings: &mut Findings) -> Option<Engineer> {
    table.only(&["name", "public"], findings);
    let name = table.plain_text("name", Need::Required, findings);
    let public = table.text("public", Need::Required, findings);
    let (name, public) = (name?, public?);
    if name.value.chars().count() > MOST_NAME {
        let what = format!("the name {} is longer than {MOST_NAME} characters", shown(name.value.as_bytes()));
        findings.error(name.span, what, "shorten it: records carry it");
        return None;
    }
    let Some(bytes) = from_hex::<32>(&public.value) else {
        let what = "public is not 32 bytes in 64 hexadecimal digits";
        findings.error(public.span, what, "copy it whole from the public.key of the engineer");
        return None;
    };
    let key = PublicKey::from_bytes(bytes);
    if known.iter().any(|other| other.name == name.value) {
        let what = format!("engineer {} stands here twice", shown(name.value.as_bytes()));
        findings.error(name.span, what, "remove one of the two: a decision counts by one key of theirs");
        return None;
    }
    if let Some(other) = known.iter().find(|other| other.public == key) {
        let what = format!("this key stands here for engineer {} already", shown(other.name.as_bytes()));
        findings.error(public.span, what, "every engineer has a key of their own");
        return None;
    }
    Some(Engineer { name: name.value, public: key })
}
