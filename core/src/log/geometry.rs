//! How the memory is divided into slots, and which slot holds which page.
//!
//! Terms: a *slot* is a fixed place of [`PAGE`] bytes in the memory; a *page* is what is written there, under a number
//! that rises for ever. Page `k` has its home in slot `k mod N`, and while it is open a mirror in slot `k + 1 mod N`.
//! Why 512 bytes: header, trailer and the first reading in full cost 38 bytes a page, 7.4 %; with 256 bytes they would
//! cost 15 %, and with 1024 a damaged page would cost a 32 KiB logger twice the days of evidence.

/// Bytes of a page and of a slot.
pub const PAGE: usize = 512;
/// The smallest memory: 8 slots. Made for tests; a logger has 32 KiB to 256 KiB.
pub const LEAST_SIZE: u32 = 4 * 1024;
/// The greatest memory: 512 slots.
pub const GREATEST_SIZE: u32 = 256 * 1024;

/// The number of slots: a power of two from 8 to 512.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Geometry {
    exponent: u8,
}

impl Geometry {
    /// Of no memory: before a mount.
    pub(crate) const NONE: Self = Self { exponent: 0 };

    /// Of a memory with this many bytes: a power of two from [`LEAST_SIZE`] to [`GREATEST_SIZE`]; `None` otherwise.
    pub const fn of_size(bytes: u32) -> Option<Self> {
        if bytes < LEAST_SIZE || bytes > GREATEST_SIZE || !bytes.is_power_of_two() {
            return None;
        }
        Some(Self { exponent: (bytes / PAGE as u32).trailing_zeros() as u8 })
    }

    /// From the binary logarithm of the number of slots, 3 to 9.
    pub const fn from_exponent(exponent: u8) -> Option<Self> {
        if exponent < 3 || exponent > 9 { None } else { Some(Self { exponent }) }
    }

    /// The binary logarithm of the number of slots.
    pub const fn exponent(self) -> u8 {
        self.exponent
    }

    /// The number of slots.
    pub const fn slots(self) -> u32 {
        1 << self.exponent
    }

    /// Size of the memory in bytes.
    pub const fn bytes(self) -> u32 {
        self.slots() * PAGE as u32
    }

    /// The home slot of a page.
    pub const fn home(self, page: u32) -> u32 {
        page & (self.slots() - 1)
    }

    /// The slot of a page's mirror while it is open.
    pub const fn mirror(self, page: u32) -> u32 {
        self.home(page.wrapping_add(1))
    }

    /// The first byte of a slot.
    pub const fn offset(self, slot: u32) -> u32 {
        self.home(slot) * PAGE as u32
    }
}
