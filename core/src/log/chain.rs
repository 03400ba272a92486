//! What binds pages to each other and to the device.
//!
//! Terms: the *seal value* of a page after some of its items is the SHA-256 of header, stream up to there with its ending
//! byte, and the number of items (two bytes, low one first). The *link* in a page's header is the first 12 bytes of the
//! seal value of the page before it, after all its items; that of page 0 is made from the device's number.
//! Why 12 bytes: a page is written before the one that links to it, so a forger who wants to change it needs a second
//! preimage, 2^96 trials; a collision (2^48) would only help somebody who can make the logger itself write a chosen page,
//! times and temperatures included. Sixteen bytes would cost 0.8 % of every page and buy nothing against either.
//! What it proves: nothing alone, for whoever can write the memory can compute it. Signed, it binds everything that was
//! written before the signature.

use super::page::{Link, Page};
use super::record::DeviceId;
use sha2::{Digest, Sha256};

/// Where the chain stood when something was signed.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct ChainHead {
    /// The page.
    pub page: u32,
    /// How many of its items are bound.
    pub items: u16,
    /// The seal value after them.
    pub value: [u8; 32],
}

impl ChainHead {
    /// The link that the next page carries if this one ends here.
    pub fn link(&self) -> Link {
        let (first, _) = self.value.split_first_chunk().unwrap_or((&[0; 12], &[]));
        Link(*first)
    }
}

/// The seal value of header and stream `sealed`, the ending byte included, that hold `items`.
pub(crate) fn head(page: u32, sealed: &[u8], items: u16) -> ChainHead {
    let mut hash = Sha256::new();
    hash.update(sealed);
    hash.update(items.to_le_bytes());
    ChainHead { page, items, value: hash.finalize().into() }
}

/// The seal value of a page after all its items.
pub fn head_of(page: &Page<'_>) -> ChainHead {
    head(page.header().number, page.sealed(), page.items())
}

/// The seal value of a page after its first `items` items: what a release record that follows them was signed over.
/// `None` when the page has fewer, or its items cannot be read so far.
pub fn head_after(page: &Page<'_>, items: u16) -> Option<ChainHead> {
    let mut read = page.read();
    for _ in 0..items {
        read.next()?.ok()?;
    }
    let (interval, used, _) = read.standing();
    let mut hash = Sha256::new();
    hash.update(page.sealed().get(..super::page::HEADER + used)?);
    hash.update([interval.ending()]);
    hash.update(items.to_le_bytes());
    Some(ChainHead { page: page.header().number, items, value: hash.finalize().into() })
}

/// The link in page 0.
pub(crate) fn first_link(device: DeviceId) -> Link {
    let mut hash = Sha256::new();
    hash.update(b"holdoff log 1");
    hash.update(device.0);
    ChainHead { page: 0, items: 0, value: hash.finalize().into() }.link()
}
