//! What the harness reads out of the running machine.
//!
//! Why in words of RAM and not over the link: reading them takes no instruction of the firmware, so what is tested is
//! what runs in the field.

use core::sync::atomic::{AtomicU32, Ordering};

/// The words, in this order, under one name for the harness to find.
#[repr(C)]
pub(super) struct Words {
    /// Milliseconds since the board started.
    pub(super) uptime_ms: AtomicU32,
    /// Seconds of the clock chip as they were last read, counted from the beginning of its day.
    pub(super) chip_seconds: AtomicU32,
    /// The uptime then.
    pub(super) chip_read_ms: AtomicU32,
    /// How many bytes came over the link.
    pub(super) received: AtomicU32,
    /// How many strips were shown.
    pub(super) strips: AtomicU32,
}

#[unsafe(no_mangle)]
pub(super) static HOLDOFF_WORDS: Words = Words {
    uptime_ms: AtomicU32::new(0),
    chip_seconds: AtomicU32::new(0),
    chip_read_ms: AtomicU32::new(0),
    received: AtomicU32::new(0),
    strips: AtomicU32::new(0),
};

/// Address of the clock chip.
const CHIP: u8 = 0x68;

#[cfg(feature = "defmt")]
defmt::timestamp!("{=u32:ms}", HOLDOFF_WORDS.uptime_ms.load(Ordering::Relaxed));

pub(super) fn count(word: &AtomicU32, more: u32) {
    word.store(word.load(Ordering::Relaxed).wrapping_add(more), Ordering::Relaxed);
}

/// Looks at what was read over the bus: the clock chip's time is noted.
pub(super) fn seen(address: u8, bytes: &[u8]) {
    if address != CHIP {
        return;
    }
    if let [seconds, minutes, hours, _, _, _, _, ..] = bytes {
        let of_day = decimal(hours & 0x3F) * 3600 + decimal(*minutes) * 60 + decimal(seconds & 0x7F);
        HOLDOFF_WORDS.chip_seconds.store(of_day, Ordering::Relaxed);
        HOLDOFF_WORDS.chip_read_ms.store(HOLDOFF_WORDS.uptime_ms.load(Ordering::Relaxed), Ordering::Relaxed);
    }
}

/// A packed decimal byte.
fn decimal(byte: u8) -> u32 {
    u32::from(byte >> 4) * 10 + u32::from(byte & 0x0F)
}
