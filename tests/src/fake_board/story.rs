//! What a device's log tells: read as a PC reads it.

use holdoff_core::log::read::Log;
use holdoff_core::log::{Item, Outcome, Record, Trust};

/// All items of the newest session, and whether it can be trusted.
pub fn story(image: &[u8]) -> (Vec<(Item, Outcome)>, Trust) {
    let log = Log::open(image, &mut |_| {}).expect("a log");
    let mut items = Vec::new();
    let replay = log
        .replay(
            log.newest_session(),
            &mut |_, _, _, (read, outcome)| items.push((read.item.clone(), outcome)),
            &mut |_| {},
            &mut |_| {},
        )
        .expect("it is replayed");
    (items, replay.trust())
}

/// All items of the newest session.
pub fn items(image: &[u8]) -> Vec<Item> {
    story(image).0.into_iter().map(|(item, _)| item).collect()
}

/// The records of the newest session.
pub fn records(image: &[u8]) -> Vec<Record> {
    items(image)
        .into_iter()
        .filter_map(|item| match item {
            Item::Record(record) => Some(record),
            Item::Reading { .. } | Item::Unusable { .. } | Item::Missing { .. } | Item::Refused { .. } => None,
        })
        .collect()
}
