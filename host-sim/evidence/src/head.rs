//! Signed heads: the logger's word for its log up to a place, in the log itself and behind an image that was read out.
//!
//! Terms: an *answer* is the head that the logger signed over the reader's challenge when it was read out; it stands behind the
//! memory in the same file, and says that nothing followed at that instant. A head in the log says nothing of what came later.
//! What it does not do: judge a head of a key that was not given: it vouches for nothing, and contradicts nothing.

use super::doubt::NotProved;
use super::memory::{Held, LogPlace, PageSeen};
use crate::keys::Ring;
use crate::keys::verify::prove_head;
use holdoff_core::log::{DeviceId, Link, Page, Replay, head_after};
use holdoff_core::seal::{Head, HeadView};
use holdoff_files::kind::geometry_of;
use holdoff_files::stamp::Clock;

/// A memory, and the answer that stands behind it, where one does.
pub fn split(bytes: &[u8]) -> (&[u8], Option<&[u8]>) {
    let length = geometry_of(bytes.len() as u64).map_or(bytes.len(), |geometry| geometry.bytes() as usize);
    let (memory, answer) = bytes.split_at_checked(length).unwrap_or((bytes, &[]));
    (memory, (!answer.is_empty()).then_some(answer))
}

/// When the logger itself said that its log ended there.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Answered {
    /// The instant, on the logger's clock.
    pub at: i64,
    /// The wall clock that labels it.
    pub clock: Option<Clock>,
}

/// A head that stands at a place of the log, held against the keys.
pub(super) fn recorded(replay: &Replay, page: &Page<'_>, place: LogPlace, sealed: &[u8], ring: Option<&Ring>) -> Held {
    let Some(ring) = ring else { return Held::NoKeys };
    let fails = |why| Held::Fails { why };
    let Ok(view) = HeadView::parse(sealed) else { return fails(NotProved::HeadUnreadable) };
    let (key, head) = match prove_head(&view, ring) {
        Ok(proved) => proved,
        Err(NotProved::KeyNotGiven { .. }) => return Held::NoKeys,
        Err(why) => return fails(why),
    };
    if replay.identity().is_none_or(|identity| identity.device != head.device) {
        return fails(NotProved::RecordOfOtherDevice);
    }
    if !follows(page, place, head.chain) {
        return fails(NotProved::SignedOverOtherLog);
    }
    Held::Holds { key: key.name.clone(), binds: place }
}

/// Whether what stands at a place was signed over all that stands before it: in its own page, or up to the end of the page
/// before.
pub(super) fn follows(page: &Page<'_>, place: LogPlace, chain: Link) -> bool {
    head_after(page, place.item).is_some_and(|head| head.link() == chain)
        || (place.item == 0 && page.header().link == chain)
}

/// The answer behind an image, held against the keys and the newest page; `None` where it vouches for nothing.
pub(super) fn answered(
    sealed: &[u8],
    device: DeviceId,
    newest: Option<&PageSeen>,
    ring: Option<&Ring>,
) -> Option<(LogPlace, Answered)> {
    let view = HeadView::parse(sealed).ok()?;
    let (_, head) = prove_head(&view, ring?).ok()?;
    let Head { page, items, chain, at, clock, challenge, .. } = head;
    let newest = newest?;
    let same = (page, items) == (newest.number, newest.items) && newest.head.starts_with(&chain.0);
    if !same || head.device != device || challenge.is_none() {
        return None;
    }
    let answered = Answered { at: at.seconds(), clock: Clock::of_release(clock) };
    Some((LogPlace { page, item: items }, answered))
}
