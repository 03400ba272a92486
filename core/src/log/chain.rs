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
use sha2::block_api::compress256;

/// Bytes that SHA-256 takes in at a time.
const BLOCK: usize = 64;

/// A SHA-256 in the making, over the whole blocks of bytes that never change.
///
/// What for: a page that becomes full is hashed for its link. Done at once, that is eight blocks in the reading that fills
/// it; as its bytes are finished, it is one block in some readings, and few are left in the end.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) struct Blocks {
    state: [u32; 8],
    taken: u8,
}

impl Blocks {
    /// Nothing taken in; FIPS 180-4, 5.3.3.
    pub(crate) const NONE: Self = Self {
        state: [0x6a09_e667, 0xbb67_ae85, 0x3c6e_f372, 0xa54f_f53a, 0x510e_527f, 0x9b05_688c, 0x1f83_d9ab, 0x5be0_cd19],
        taken: 0,
    };

    /// Takes in the next whole block of `bytes`, where there is one behind those taken in before; what came before it must be
    /// as it was. At most 255 blocks.
    pub(crate) fn take_one(&mut self, bytes: &[u8]) -> bool {
        let (blocks, _) = bytes.as_chunks::<BLOCK>();
        let Some(block) = blocks.get(usize::from(self.taken)) else { return false };
        compress256(&mut self.state, core::slice::from_ref(block));
        self.taken = self.taken.saturating_add(1);
        true
    }

    /// The hash of `bytes`, which begin with what was taken in, and at most 47 more.
    pub(crate) fn finish(mut self, bytes: &[u8], more: &[u8]) -> [u8; 32] {
        while self.take_one(bytes) {}
        let rest = bytes.get(usize::from(self.taken) * BLOCK..).unwrap_or(&[]);
        let mut last = [[0u8; BLOCK]; 2];
        let places = last.as_flattened_mut().iter_mut();
        for (place, byte) in places.zip(rest.iter().chain(more).copied().chain([0x80])) {
            *place = byte;
        }
        let bits = 8 * (bytes.len() as u64).saturating_add(more.len() as u64);
        let one = rest.len() + more.len() + 9 <= BLOCK;
        let end = if one { BLOCK } else { 2 * BLOCK };
        if let Some(place) = last.as_flattened_mut().get_mut(end - 8..end) {
            place.copy_from_slice(&bits.to_be_bytes());
        }
        let [first, second] = last;
        compress256(&mut self.state, &[first]);
        if !one {
            compress256(&mut self.state, &[second]);
        }
        let mut hash = [0; 32];
        for (place, word) in hash.as_chunks_mut::<4>().0.iter_mut().zip(self.state) {
            *place = word.to_be_bytes();
        }
        hash
    }
}

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

/// The seal value of header and stream `sealed`, the ending byte included, that hold `items`; `blocks` has taken in some of
/// it, or nothing.
pub(crate) fn head(page: u32, blocks: Blocks, sealed: &[u8], items: u16) -> ChainHead {
    ChainHead { page, items, value: blocks.finish(sealed, &items.to_le_bytes()) }
}

/// The seal value of a page after all its items.
pub fn head_of(page: &Page<'_>) -> ChainHead {
    head(page.header().number, Blocks::NONE, page.sealed(), page.items())
}

/// The seal value of a page after its first `items` items: what a release record that follows them was signed over.
/// `None` when the page has fewer, or its items cannot be read so far.
pub fn head_after(page: &Page<'_>, items: u16) -> Option<ChainHead> {
    let mut read = page.read();
    for _ in 0..items {
        read.next()?.ok()?;
    }
    let (interval, used, _) = read.standing();
    let [low, high] = items.to_le_bytes();
    let finished = page.sealed().get(..super::page::HEADER + used)?;
    let value = Blocks::NONE.finish(finished, &[interval.ending(), low, high]);
    Some(ChainHead { page: page.header().number, items, value })
}

/// The link in page 0.
pub(crate) fn first_link(device: DeviceId) -> Link {
    let value = Blocks::NONE.finish(b"holdoff log 1", &device.0);
    ChainHead { page: 0, items: 0, value }.link()
}

#[cfg(test)]
#[allow(clippy::indexing_slicing, reason = "an index out of bounds must stop the test")]
mod tests {
    extern crate std;

    use super::Blocks;
    use sha2::{Digest, Sha256};
    use std::vec::Vec;

    #[test]
    fn a_hash_taken_in_piece_by_piece_is_the_hash_of_the_whole() {
        let mut random = fastrand::Rng::with_seed(6);
        for round in 0..2_000 {
            let mut bytes: Vec<u8> = std::vec![0; round % 520];
            let mut more: Vec<u8> = std::vec![0; random.usize(..48)];
            random.fill(&mut bytes);
            random.fill(&mut more);
            let mut blocks = Blocks::NONE;
            let mut taken = 0;
            while taken < bytes.len() && random.u8(..) > 8 {
                taken = random.usize(taken..=bytes.len());
                let _ = blocks.take_one(&bytes[..taken]);
            }
            let mut whole = Sha256::new();
            whole.update(&bytes);
            whole.update(&more);
            let whole: [u8; 32] = whole.finalize().into();
            assert_eq!(blocks.finish(&bytes, &more), whole, "{} and {} bytes", bytes.len(), more.len());
        }
    }
}
