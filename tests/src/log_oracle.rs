//! A slow reader of one page, written from `docs/log-format.md` alone.
//!
//! What for: the document must be enough to write a reader, and the reader in the core must read what it says. Nothing
//! here uses a crate of the project; numbers are as wide as they come, and records stay bytes.

/// An item as the document has it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum PaperItem {
    /// Time and count.
    Reading(i64, i16),
    /// Time and cause.
    Missing(i64, u64),
    /// Time and cause.
    Unusable(i64, u64),
    /// Cause.
    Refused(u64),
    /// Tag, body, and the time that instants in it count from.
    Record(u8, Vec<u8>, i64),
}

/// An item, and the word on the clocks where one follows: 0 agreed, 1 not read.
pub type Line = (PaperItem, Option<u64>);

/// A page: number, pages back to the session's first, link, items.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Paper {
    /// The page's number.
    pub number: u32,
    /// Pages back to the session's first.
    pub back: u16,
    /// What binds the page before.
    pub link: [u8; 12],
    /// Its items.
    pub lines: Vec<Line>,
}

/// CRC-32/ISO-HDLC, bit by bit.
pub fn crc(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |crc, byte| {
        (0..8).fold(crc ^ u32::from(*byte), |crc, _| if crc & 1 == 1 { crc >> 1 ^ 0xEDB8_8320 } else { crc >> 1 })
    })
}

struct Chance {
    one: u64,
    seen: u64,
}

fn chance(one: u64, seen: u64) -> Chance {
    Chance { one, seen }
}

struct Bits<'a> {
    stream: &'a [u8],
    low: u64,
    high: u64,
    value: u64,
    used: usize,
}

impl Bits<'_> {
    fn byte(&self, place: usize) -> u64 {
        u64::from(self.stream.get(place).copied().unwrap_or(0))
    }

    fn bit(&mut self, one: u64) -> u64 {
        let width = self.high - self.low;
        let middle = self.low + (width >> 16) * one + (((width & 0xFFFF) * one) >> 16);
        let result = u64::from(self.value <= middle);
        if result == 1 {
            self.high = middle;
        } else {
            self.low = middle + 1;
        }
        while self.low >> 24 == self.high >> 24 {
            self.low = self.low << 8 & 0xFFFF_FFFF;
            self.high = (self.high << 8 | 0xFF) & 0xFFFF_FFFF;
            self.value = (self.value << 8 | self.byte(self.used + 4)) & 0xFFFF_FFFF;
            self.used += 1;
        }
        result
    }

    fn by(&mut self, chance: &mut Chance) -> u64 {
        let result = self.bit(chance.one);
        let d = 2 * chance.seen + 3;
        if result == 1 {
            chance.one += (65_536 - chance.one) * 2 / d;
        } else {
            chance.one -= chance.one * 2 / d;
        }
        chance.one = chance.one.clamp(32, 65_504);
        chance.seen = (chance.seen + 1).min(40);
        result
    }

    fn bits(&mut self, n: u32) -> u64 {
        (0..n).fold(0, |made, _| made << 1 | self.bit(32_768))
    }

    fn number(&mut self) -> u64 {
        let mut made = 0;
        for group in 0..10 {
            let byte = self.bits(8);
            made |= (byte & 0x7F) << (7 * group);
            if byte < 128 {
                break;
            }
        }
        made
    }

    fn signed(&mut self) -> i64 {
        let number = self.number();
        if number % 2 == 0 { (number / 2) as i64 } else { -1 - (number / 2) as i64 }
    }
}

struct State {
    last_at: i64,
    last: i16,
    beat: i64,
    hour: Option<i64>,
    tie: bool,
    s1: i64,
    s2: i64,
    q: u32,
    other: Chance,
    unread: Chance,
    moves: Vec<Chance>,
    rises: Vec<Chance>,
    more: Vec<Vec<Chance>>,
    upper: Vec<Chance>,
    second: Vec<Vec<Chance>>,
}

fn length(x: i64) -> usize {
    (0..64).find(|n| x.unsigned_abs() >> n == 0).unwrap_or(64)
}

impl State {
    fn step(&mut self, bits: &mut Bits<'_>) -> i64 {
        let size = (length(self.s1) + length(self.s2)).div_ceil(2).min(3);
        let sign = usize::from(self.s1 >= 0) + usize::from(self.s1 > 0);
        let mut step = 0;
        if bits.by(&mut self.moves[size]) == 1 {
            let rises = bits.by(&mut self.rises[sign]);
            let mut e = 0;
            while e < 15 && bits.by(&mut self.more[size][e.min(7)]) == 1 {
                e += 1;
            }
            let mut m = 1;
            if e >= 1 {
                let p = e.min(8) - 1;
                let u = bits.by(&mut self.upper[p]);
                m = 2 * m + u;
                if e >= 2 {
                    m = 2 * m + bits.by(&mut self.second[p][u as usize]);
                    let rest = e as u32 - 2;
                    m = m << rest | bits.bits(rest);
                }
            }
            step = if rises == 1 { m as i64 } else { -(m as i64) };
        }
        (self.s2, self.s1) = (self.s1, step);
        step
    }

    fn timed(&mut self, bits: &mut Bits<'_>, at: i64) -> Option<u64> {
        self.last_at = at;
        let hour = at.div_euclid(3600);
        if !self.tie || self.hour == Some(hour) {
            return None;
        }
        self.hour = Some(hour);
        Some(bits.by(&mut self.unread))
    }

    fn item(&mut self, bits: &mut Bits<'_>) -> Line {
        let mut at = self.last_at.wrapping_add(self.beat);
        loop {
            if bits.by(&mut self.other) == 0 {
                let step = self.step(bits) << self.q;
                self.last = (i64::from(self.last) + step) as i16;
                return (PaperItem::Reading(at, self.last), self.timed(bits, at));
            }
            match bits.bits(3) {
                0 => {
                    at = bits.signed();
                    self.beat = bits.number() as i64;
                    self.last = bits.bits(16) as u16 as i16;
                    return (PaperItem::Reading(at, self.last), self.timed(bits, at));
                }
                1 => at = self.last_at.wrapping_add(bits.signed()),
                2 => {
                    self.beat = bits.signed();
                    at = self.last_at.wrapping_add(self.beat);
                }
                3 => {
                    self.last = bits.bits(16) as u16 as i16;
                    return (PaperItem::Reading(at, self.last), self.timed(bits, at));
                }
                4 => {
                    let cause = bits.bits(2);
                    return (PaperItem::Missing(at, cause), self.timed(bits, at));
                }
                5 => {
                    let cause = bits.bits(3);
                    return (PaperItem::Unusable(at, cause), self.timed(bits, at));
                }
                6 => return (PaperItem::Refused(bits.bits(3)), None),
                _ => return (self.record(bits), None),
            }
        }
    }

    fn record(&mut self, bits: &mut Bits<'_>) -> PaperItem {
        let tag = bits.bits(8) as u8;
        let count = bits.number();
        let body: Vec<u8> = (0..count).map(|_| bits.bits(8) as u8).collect();
        if tag == 7 {
            self.tie = false;
        }
        if tag == 8 {
            self.tie = true;
            let mut number = 0;
            for (group, byte) in body.iter().enumerate() {
                number |= u64::from(byte & 0x7F) << (7 * group);
                if *byte < 128 {
                    break;
                }
            }
            let difference = if number % 2 == 0 { (number / 2) as i64 } else { -1 - (number / 2) as i64 };
            self.hour = Some(self.last_at.wrapping_add(difference).div_euclid(3600));
        }
        PaperItem::Record(tag, body, self.last_at)
    }
}

/// Reads a slot; `None` where it holds no page of version 1.
///
/// # Panics
/// When the stream does not end as the document says.
pub fn read(slot: &[u8]) -> Option<Paper> {
    if slot.first() != Some(&b'H') || slot.get(1) != Some(&1) {
        return None;
    }
    let word = |place: usize| u16::from_le_bytes([slot[place], slot[place + 1]]);
    // the tag, which only the logger can check, and behind it the counts and the check
    let counts = (21 + 8..=slot.len().checked_sub(8)?).rev().find(|&p| {
        usize::from(word(p + 2) & 0x7FFF) == p - 8 - 21 && crc(&slot[..p + 4]).to_le_bytes() == slot[p + 4..p + 8]
    })?;
    let stream = &slot[21..counts - 8];
    let q = u32::from(slot[6] >> 4);
    let even = || chance(32_768, 2);
    let mut state = State {
        last_at: 0,
        last: 0,
        beat: 0,
        hour: None,
        tie: word(7) & 0x8000 != 0,
        s1: 0,
        s2: 0,
        q,
        other: chance(256, 20),
        unread: chance(4096, 10),
        moves: (0..4).map(|_| even()).collect(),
        rises: (0..3).map(|_| even()).collect(),
        more: (0..4).map(|_| (0..8).map(|_| chance(20_000, 2)).collect()).collect(),
        upper: (0..8).map(|_| even()).collect(),
        second: (0..8).map(|_| (0..2).map(|_| even()).collect()).collect(),
    };
    let mut bits = Bits { stream, low: 0, high: 0xFFFF_FFFF, value: 0, used: 0 };
    bits.value = (0..4).fold(0, |value, place| value << 8 | bits.byte(place));
    let lines = (0..word(counts)).map(|_| state.item(&mut bits)).collect();
    assert_eq!(stream.len(), bits.used + 1, "finished bytes and an ending");
    assert_eq!(u64::from(stream[bits.used]), (bits.low >> 24) + 1, "the ending byte");
    Some(Paper {
        number: u32::from_le_bytes([slot[2], slot[3], slot[4], slot[5]]),
        back: word(7) & 0x7FFF,
        link: slot[9..21].try_into().expect("twelve"),
        lines,
    })
}
