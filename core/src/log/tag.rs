//! The tag of a page: what nobody but the logger that wrote the page can have worked out.
//!
//! What for: hashes and links bind pages to each other, but whoever can write the memory can compute them. A logger that
//! went on with a memory made up elsewhere would put its signature to it. So every page carries a keyed hash of itself, and
//! the logger takes no page without it, whatever its links say.
//! Why SipHash-2-4: an open page is committed with every reading, and a keyed hash made for short messages costs some
//! hundred instructions there; HMAC-SHA-256 would cost ten thousand. A tag is only ever checked by the logger itself, at a
//! mount, so 8 bytes do: a page made up at random is taken once in 2^64 starts.
//! What it proves: to the logger, that it wrote the page. Not to anybody else, who has no key (a PC holds signatures
//! against the key file); and not that a page is new: an older memory of the same logger has its tags.

use core::hash::Hasher;
use siphasher::sip::SipHasher24;

/// Bytes of a tag.
pub(crate) const TAG: usize = 8;

/// The key of a logger's tags.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct PageKey([u8; 16]);

impl PageKey {
    /// The key of a log that is written without a secret. Anybody can work such tags out.
    pub const KNOWN: Self = Self([0; 16]);

    /// Made of the seed of the logger's signing key: the first 16 bytes of SHA-256 of `holdoff page key` and the seed. The seed
    /// does not follow from it.
    pub fn of_seed(seed: &[u8; 32]) -> Self {
        let hash = super::chain::Blocks::NONE.finish(b"holdoff page key", seed);
        let (first, _) = hash.split_first_chunk().unwrap_or((&[0; 16], &[]));
        Self(*first)
    }
}

impl core::fmt::Debug for PageKey {
    /// Shows nothing secret.
    fn fmt(&self, formatter: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        formatter.write_str("PageKey")
    }
}

/// A tag in the making: it has taken in the header and some of the stream.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Tagging(SipHasher24);

impl Tagging {
    /// Of nothing yet.
    pub(crate) fn new(key: &PageKey) -> Self {
        Self(SipHasher24::new_with_key(&key.0))
    }

    pub(crate) fn update(&mut self, bytes: &[u8]) {
        self.0.write(bytes);
    }

    /// The tag of everything taken in.
    pub(crate) fn value(&self) -> [u8; TAG] {
        self.0.finish().to_le_bytes()
    }
}
