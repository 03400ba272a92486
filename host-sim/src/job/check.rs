//! What makes a job unusable once its values can be read.

use super::read::Draft;
use crate::resin_file::ResinFile;
use crate::toml_file::Findings;
use std::collections::HashSet;

/// Notes every contradiction.
pub(super) fn check(draft: &Draft, _resin: Option<&ResinFile>, findings: &mut Findings) {
    names(draft, findings);
}

fn names(draft: &Draft, findings: &mut Findings) {
    let remedy = "give each its own name: records go by it";
    let mut seen = HashSet::new();
    for batch in draft.batches.iter().flatten() {
        if !seen.insert(batch.name.as_str()) {
            findings.error(batch.places.of("name"), format!("a second batch {:?}", batch.name), remedy);
        }
    }
    let (mut groups, mut fixings) = (HashSet::new(), HashSet::new());
    for group in draft.groups.iter().flatten() {
        if !groups.insert(group.name.as_str()) {
            findings.error(group.places.of("name"), format!("a second group {:?}", group.name), remedy);
        }
        let repeated = group.fixings.iter().find(|fixing| !fixings.insert(fixing.name.as_str()));
        if let Some(fixing) = repeated {
            let place = ["names", "name_prefix", "name"].into_iter().find(|key| group.places.keys.contains_key(key));
            let what = format!("a second fixing {:?}", fixing.name);
            findings.error(group.places.of(place.unwrap_or("name")), what, remedy);
        }
        let all_read = draft.batches.iter().all(Option::is_some);
        if let Some(name) = &group.batch
            && !seen.contains(name.as_str())
            && all_read
        {
            let what = format!("there is no batch {name:?} in the file");
            findings.error(group.places.of("batch"), what, "add a [[batch]] with its use-by date, or correct the name");
        }
    }
}
