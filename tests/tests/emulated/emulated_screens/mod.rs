//! Every screen of `docs/screens.md` is reached by buttons alone, and shows what it should, point by point.
//!
//! What the world does meanwhile, the tests do: the probe's temperature, the clock, a job over the link, power that goes, a memory
//! that holds something else. All of that on the emulated board; what an emulator's parts can't do (a shorted bus, a clock that
//! stops, a battery that goes down) is done by the fake board (`fake.rs`), with the same buttons and the same comparison.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

mod fake;
#[allow(dead_code, unreachable_pub, reason = "the tests of the screens use the rest")]
#[path = "../../../../firmware/tests/gallery/mod.rs"]
mod gallery;
mod kind;
mod life;
mod lists;
mod memories;
mod parts;
mod scene;
mod seen;
mod world;

use std::collections::BTreeSet;

/// Every scene's list; each scene fails where it reaches less or more.
const EMULATED: &[&[&str]] = &[lists::LIFE, lists::DEMO, lists::UNSET, lists::SLOW, lists::NO_PROBE, lists::LINK];

#[test]
fn every_screen_there_is_is_reached_and_no_picture_is_kept_for_nothing() {
    let emulated: BTreeSet<&str> =
        EMULATED.iter().chain(lists::MEMORIES).flat_map(|list| list.iter().copied()).collect();
    let fake: BTreeSet<&str> = lists::FAKE.iter().copied().collect();
    assert_eq!(emulated.intersection(&fake).count(), 0);
    let (reached, all) = (&emulated | &fake, seen::every_screen());
    let missing: Vec<_> = all.difference(&reached).collect();
    let more: Vec<_> = reached.difference(&all).collect();
    assert!(missing.is_empty() && more.is_empty(), "nobody reaches {missing:?}; there is no {more:?}");
    let pictures = seen::pictures_here();
    let idle: Vec<_> = pictures.iter().filter(|name| !reached.contains(name.as_str())).collect();
    assert!(idle.is_empty(), "pictures of nothing: {idle:?}");
    println!(
        "{} screens reached by buttons: {} on the emulated board, {} on the fake one ({}); {} as docs/screens has them, {} with \
         pictures of their own",
        all.len(),
        emulated.len(),
        fake.len(),
        lists::FAKE.join(", "),
        all.len() - pictures.len(),
        pictures.len()
    );
}
