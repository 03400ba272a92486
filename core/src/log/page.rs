//! A page as bytes: header, stream, trailer.
//!
//! ```text
//!  0        1        2                     6        7              9                        21
//!  +--------+--------+---------------------+--------+--------------+------------------------+-- - - - -
//!  | 'H'    | version| number, u32         | layout | origin, u16  | chain, 12 bytes        | stream ...
//!  +--------+--------+---------------------+--------+--------------+------------------------+-- - - - -
//!                            ... stream | tag, 8 bytes | items, u16 | length, u16 | CRC-32       |
//!                                       +--------------+------------+-------------+--------------+
//! ```
//!
//! What for: a page carries its own number, the session it belongs to, what it follows, and how much of it counts.
//! Why this way: the trailer stands right behind the stream and moves on with it. A record then costs one short write a
//! copy (its bytes and the trailer), and no byte of the memory is written more often than the others; a count in the
//! header would be written with every reading.
//! Terms: the *layout* byte holds the binary logarithm of the number of slots (low four bits) and the number of bits of
//! a quantum (high four); the *origin* word holds how many pages back the session began (low 10 bits), bit 15 a tie of
//! the clocks in force at the page's beginning; the *length* word holds the stream's bytes (low 9 bits) and bit 15, set
//! from the page's second commit on.
//! Invariants: `'H'`, the version's place, and how a trailer is found and checked stay the same in every version to
//! come, so that a page of another version is told from damage.
//! What it does not do: hash (`super::chain`), know slots or memory.

use super::coder::{Decoder, Interval};
use super::geometry::{Geometry, PAGE};
use super::item::{Item, ItemError, ItemRead, Plain, State, Tie};
use super::tag::{PageKey, TAG, Tagging};
use crc::{CRC_32_ISO_HDLC, Crc, Digest};

/// The first byte of every page.
const MAGIC: u8 = b'H';
/// The version of the format that is written.
pub const VERSION: u8 = 1;
/// Bytes before the stream.
pub(crate) const HEADER: usize = 21;
/// Bytes behind the stream.
pub(crate) const TRAILER: usize = TAG + 8;
/// Bytes of the chain value in a header.
pub const LINK: usize = 12;
/// The longest stream, its ending byte included.
pub(crate) const MOST_STREAM: usize = PAGE - HEADER - TRAILER;
/// Farthest back that a session may have begun, in pages.
const FARTHEST: u32 = 0x3FF;
const LATER: u16 = 0x8000;
const TIED: u16 = 0x8000;

/// How a CRC is worked out: by a table of 1 KiB. Bit by bit a byte takes five times the instructions.
type Way = crc::Table<1>;

static CRC: Crc<u32, Way> = Crc::<u32, Way>::new(&CRC_32_ISO_HDLC);

/// A CRC in the making.
#[derive(Clone)]
pub(crate) struct Check(Digest<'static, u32, Way>);

impl Check {
    pub(crate) fn new() -> Self {
        Self(CRC.digest())
    }

    pub(crate) fn update(&mut self, bytes: &[u8]) {
        self.0.update(bytes);
    }

    /// The CRC of everything taken in.
    pub(crate) fn value(&self) -> u32 {
        self.0.clone().finalize()
    }
}

impl core::fmt::Debug for Check {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{:08x}", self.value())
    }
}

/// The value that binds a page to the one before it, and what is signed to what stands before the signature.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct Link(pub [u8; LINK]);

/// What a page says of itself.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Header {
    /// The page's number.
    pub number: u32,
    /// The number of the session's first page.
    pub session: u32,
    /// The memory it was written for.
    pub geometry: Geometry,
    /// Low bits that all counts share.
    pub quantum_bits: u8,
    /// Whether a tie of the clocks was in force when the page began.
    pub(crate) tie: Tie,
    /// What binds it to the page before.
    pub link: Link,
}

/// Whether a page has been committed once or more often.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Commits {
    /// Once.
    First,
    /// More often.
    Later,
}

/// Why a slot holds no page.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum PageError {
    /// Nothing was ever written: every byte is the same.
    Blank,
    /// No trailer checks: damaged, or cut short while it was written.
    Damaged,
    /// A whole page of another version of the format.
    Version {
        /// What was found.
        found: u8,
    },
    /// A whole page with a header that no writer writes.
    Header,
}

/// A page that has been checked as far as its bytes go: header, length and CRC.
#[derive(Clone, Copy, Debug)]
pub struct Page<'a> {
    bytes: &'a [u8],
    header: Header,
    items: u16,
    commits: Commits,
    tag: [u8; TAG],
}

impl Header {
    /// As bytes.
    pub(crate) fn bytes(&self) -> [u8; HEADER] {
        let [n0, n1, n2, n3] = self.number.to_le_bytes();
        let layout = self.geometry.exponent() | self.quantum_bits << 4;
        let back = self.number.wrapping_sub(self.session).min(FARTHEST) as u16;
        let tied = match self.tie {
            Tie::InForce => TIED,
            Tie::Loose => 0,
        };
        let [o0, o1] = (back | tied).to_le_bytes();
        let mut made = [MAGIC, VERSION, n0, n1, n2, n3, layout, o0, o1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0];
        for (place, byte) in made.iter_mut().skip(HEADER - LINK).zip(self.link.0) {
            *place = byte;
        }
        made
    }

    fn of(bytes: &[u8]) -> Option<Self> {
        let (head, _) = bytes.split_first_chunk::<HEADER>()?;
        let [_, _, n0, n1, n2, n3, layout, o0, o1, link @ ..] = *head;
        let number = u32::from_le_bytes([n0, n1, n2, n3]);
        let origin = u16::from_le_bytes([o0, o1]);
        let back = u32::from(origin & !TIED);
        let geometry = Geometry::from_exponent(layout & 15)?;
        if back > FARTHEST || back > number || layout >> 4 > 8 {
            return None;
        }
        let tie = if origin & TIED == 0 { Tie::Loose } else { Tie::InForce };
        Some(Self { number, session: number - back, geometry, quantum_bits: layout >> 4, tie, link: Link(link) })
    }
}

/// What a trailer is worked out of: both have taken in everything before it.
#[derive(Clone, Debug)]
pub(crate) struct Seals {
    pub(crate) check: Check,
    pub(crate) tagging: Tagging,
}

impl Seals {
    pub(crate) fn new(key: &PageKey) -> Self {
        Self { check: Check::new(), tagging: Tagging::new(key) }
    }

    pub(crate) fn update(&mut self, bytes: &[u8]) {
        self.check.update(bytes);
        self.tagging.update(bytes);
    }

    /// The trailer behind a stream of `length` bytes.
    pub(crate) fn trailer(mut self, items: u16, length: usize, commits: Commits) -> [u8; TRAILER] {
        let [i0, i1] = items.to_le_bytes();
        let [l0, l1] = word(length, commits).to_le_bytes();
        let counts = [i0, i1, l0, l1];
        self.tagging.update(&counts);
        let [t0, t1, t2, t3, t4, t5, t6, t7] = self.tagging.value();
        self.check.update(&[t0, t1, t2, t3, t4, t5, t6, t7, i0, i1, l0, l1]);
        let [c0, c1, c2, c3] = self.check.value().to_le_bytes();
        [t0, t1, t2, t3, t4, t5, t6, t7, i0, i1, l0, l1, c0, c1, c2, c3]
    }
}

/// The length word of a stream of at most 475 bytes.
const fn word(length: usize, commits: Commits) -> u16 {
    match commits {
        Commits::First => length as u16,
        Commits::Later => length as u16 | LATER,
    }
}

impl<'a> Page<'a> {
    /// Finds the page in a slot's bytes.
    ///
    /// The trailer is looked for at every place behind the header; of those that check, the last one counts (a chance
    /// match needs 41 bits to agree: the length and the CRC).
    ///
    /// # Errors
    /// Why there is none.
    pub fn find(slot: &'a [u8]) -> Result<Self, PageError> {
        let first = slot.first().copied().unwrap_or(0xFF);
        if slot.iter().all(|byte| *byte == first) {
            return Err(PageError::Blank);
        }
        let (Some((header, rest)), MAGIC) = (slot.split_first_chunk::<HEADER>(), first) else {
            return Err(PageError::Damaged);
        };
        let mut check = Check::new();
        check.update(header);
        let mut found = None;
        for (length, window) in rest.windows(TRAILER).enumerate() {
            let &[t0, t1, t2, t3, t4, t5, t6, t7, i0, i1, l0, l1, c0, c1, c2, c3] = window else { continue };
            let word = u16::from_le_bytes([l0, l1]);
            if usize::from(word & !LATER) == length {
                let mut whole = check.clone();
                let tag = [t0, t1, t2, t3, t4, t5, t6, t7];
                whole.update(&tag);
                whole.update(&[i0, i1, l0, l1]);
                if whole.value() == u32::from_le_bytes([c0, c1, c2, c3]) {
                    let commits = if word & LATER == 0 { Commits::First } else { Commits::Later };
                    found = Some((length, u16::from_le_bytes([i0, i1]), commits, tag));
                }
            }
            check.update(&[t0]);
        }
        let Some((length, items, commits, tag)) = found else {
            return Err(PageError::Damaged);
        };
        let [_, version, ..] = *header;
        if version != VERSION {
            return Err(PageError::Version { found: version });
        }
        let bytes = slot.get(..HEADER + length + TRAILER).ok_or(PageError::Damaged)?;
        let header = Header::of(bytes).ok_or(PageError::Header)?;
        Ok(Self { bytes, header, items, commits, tag })
    }

    /// What it says of itself.
    pub const fn header(&self) -> &Header {
        &self.header
    }

    /// How many items it holds.
    pub const fn items(&self) -> u16 {
        self.items
    }

    /// Bytes it takes, header and trailer included.
    pub const fn length(&self) -> usize {
        self.bytes.len()
    }

    pub(crate) const fn commits(&self) -> Commits {
        self.commits
    }

    /// All its bytes.
    pub const fn bytes(&self) -> &'a [u8] {
        self.bytes
    }

    /// Header and stream without the trailer.
    pub(crate) fn sealed(&self) -> &'a [u8] {
        self.bytes.get(..self.bytes.len().saturating_sub(TRAILER)).unwrap_or(&[])
    }

    /// Whether it was written with the key.
    pub(crate) fn is_of(&self, key: &PageKey) -> bool {
        let mut tagging = Tagging::new(key);
        tagging.update(self.sealed());
        tagging.update(&self.items.to_le_bytes());
        tagging.update(&word(self.sealed().len().saturating_sub(HEADER), self.commits).to_le_bytes());
        tagging.value() == self.tag
    }

    /// Its items in order.
    pub fn read(&self) -> Items<'a> {
        let stream = self.sealed().get(HEADER..).unwrap_or(&[]);
        Items {
            decoder: Decoder::new(stream),
            state: State::new(self.header.quantum_bits, self.header.tie),
            stream,
            left: self.items,
            broken: Broken::No,
            begun: Begun::No,
        }
    }
}

/// Whether reading has met an error.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Broken {
    No,
    Yes,
}

/// Whether it is known of the next item that it is no plain reading.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Begun {
    No,
    Yes,
}

/// The items of a page. An error is the last thing it gives.
#[derive(Clone, Debug)]
pub struct Items<'a> {
    decoder: Decoder<'a>,
    state: State,
    stream: &'a [u8],
    left: u16,
    broken: Broken,
    begun: Begun,
}

impl Items<'_> {
    /// Interval, finished bytes of the stream, and state after the items that were read: enough to write on.
    pub(crate) fn standing(&self) -> (Interval, usize, &State) {
        let (interval, used) = self.decoder.state();
        (interval, used, &self.state)
    }

    /// Bytes of the stream that are finished after the items read so far.
    pub(crate) const fn used(&self) -> usize {
        let (_, used) = self.decoder.state();
        used
    }

    /// Whether the stream ends as the coder ends it.
    fn ends_well(&self) -> bool {
        let (interval, used) = self.decoder.state();
        self.stream.len() == used + 1 && self.stream.last() == Some(&interval.ending())
    }
}

impl Items<'_> {
    /// The next item if it is a plain reading. `None` says nothing about whether another item follows: [`Self::next`]
    /// does.
    pub(crate) fn next_plain(&mut self) -> Option<Plain> {
        if self.left < 2 || self.broken == Broken::Yes || self.begun == Begun::Yes || self.decoder.overran() {
            return None; // the last item is left to `next`, which looks at the stream's ending
        }
        match self.state.read_plain(&mut self.decoder) {
            Some(plain) => {
                self.left -= 1;
                Some(plain)
            }
            None => {
                self.begun = Begun::Yes;
                None
            }
        }
    }

    fn read(&mut self) -> Result<ItemRead, ItemError> {
        if self.decoder.overran() {
            return Err(ItemError::Short);
        }
        match core::mem::replace(&mut self.begun, Begun::No) {
            Begun::Yes => {}
            Begun::No => {
                if let Some(Plain { at, count, clock }) = self.state.read_plain(&mut self.decoder) {
                    return Ok(ItemRead { item: Item::Reading { at, count }, clock });
                }
            }
        }
        self.state.read_other(&mut self.decoder)
    }
}

impl Iterator for Items<'_> {
    type Item = Result<ItemRead, ItemError>;

    fn next(&mut self) -> Option<Self::Item> {
        if self.left == 0 || self.broken == Broken::Yes {
            return None;
        }
        self.left -= 1;
        let mut read = self.read();
        if self.left == 0 && read.is_ok() && !self.ends_well() {
            read = Err(ItemError::Ending);
        }
        if read.is_err() {
            self.broken = Broken::Yes;
        }
        Some(read)
    }
}
