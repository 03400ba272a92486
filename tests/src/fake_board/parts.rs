//! The parts on the bus: a sensor, a clock chip and a memory, as their data sheets describe them.

use holdoff_firmware::driver::clock;

/// A temperature sensor with configuration and resolution, like a TMP105.
pub struct Probe {
    /// Sixteenths of a degree at a true second.
    pub sixteenths: Box<dyn Fn(i64) -> i32>,
    /// Whether it is on its plug.
    pub plugged: bool,
    /// Its configuration register.
    pub configuration: u8,
    /// When it got its supply, true microseconds.
    pub powered_at: u64,
    pointer: u8,
}

/// Microseconds of a conversion with 12 bits.
const CONVERSION: u64 = 300_000;

impl Probe {
    /// One that always says the same.
    pub fn steady(sixteenths: i32) -> Self {
        Self { sixteenths: Box::new(move |_| sixteenths), plugged: true, configuration: 0, powered_at: 0, pointer: 0 }
    }

    /// Pulls it off, or puts it on again: then it knows nothing of before.
    pub fn plug(&mut self, plugged: bool, now: u64) {
        if plugged && !self.plugged {
            (self.configuration, self.powered_at) = (0, now);
        }
        self.plugged = plugged;
    }

    pub(super) fn write(&mut self, bytes: &[u8]) {
        match bytes {
            [register, value, ..] => {
                self.pointer = *register;
                if *register == 1 {
                    self.configuration = value & 0x7F;
                }
            }
            [register] => self.pointer = *register,
            [] => {}
        }
    }

    pub(super) fn read(&mut self, into: &mut [u8], second: i64, now: u64) {
        let bits = 9 + u32::from(self.configuration >> 5 & 3);
        let register = if now.saturating_sub(self.powered_at) < CONVERSION {
            0
        } else {
            let twelve = (self.sixteenths)(second) as u16;
            (twelve << 4) & !((1u16 << (16 - bits)) - 1)
        };
        let bytes = match self.pointer {
            1 => [self.configuration, self.configuration],
            _ => register.to_be_bytes(),
        };
        for (to, from) in into.iter_mut().zip(bytes) {
            *to = from;
        }
    }
}

/// A clock chip like a DS1338.
#[derive(Debug)]
pub struct Clock {
    /// What it said at a true microsecond.
    since: (i64, u64),
    /// Whether it runs.
    pub running: bool,
    /// Its stop flag.
    pub stop_flag: bool,
    /// Whether it answers.
    pub answers: bool,
    /// After so many transfers it answers none of so many.
    pub deaf: (u32, u32),
    /// How fast it runs, in thousandths.
    pub rate: u64,
    /// Registers as they are where they are no time.
    pub garbage: Option<[u8; 7]>,
    /// Whether it takes what is written into it.
    pub takes: bool,
    pointer: u8,
}

impl Clock {
    /// One that was set, at the true microsecond 0.
    pub fn set(utc: i64) -> Self {
        Self {
            since: (utc, 0),
            running: true,
            stop_flag: false,
            answers: true,
            deaf: (0, 0),
            rate: 1000,
            garbage: None,
            takes: true,
            pointer: 0,
        }
    }

    /// What it says.
    pub fn says(&self, now: u64) -> i64 {
        let (utc, at) = self.since;
        if self.running { utc + ((now - at) / 1000 * self.rate / 1_000_000) as i64 } else { utc }
    }

    /// Makes it say something else from now on.
    pub fn say(&mut self, utc: i64, now: u64) {
        self.since = (utc, now);
    }

    /// Makes it stop, or go on from where it stands.
    pub fn run(&mut self, running: bool, now: u64) {
        self.since = (self.says(now), now);
        self.running = running;
        self.stop_flag |= !running;
    }

    /// Makes it run faster or slower from now on.
    pub fn pace(&mut self, rate: u64, now: u64) {
        self.since = (self.says(now), now);
        self.rate = rate;
    }

    /// Whether it answers this transfer.
    pub(super) fn hears(&mut self) -> bool {
        let (before, deaf) = &mut self.deaf;
        match (*before, *deaf) {
            (0, 0) => self.answers,
            (0, _) => {
                *deaf -= 1;
                false
            }
            (_, _) => {
                *before -= 1;
                self.answers
            }
        }
    }

    pub(super) fn write(&mut self, bytes: &[u8], now: u64) {
        let [register, values @ ..] = bytes else { return };
        self.pointer = *register;
        if !self.takes {
            return;
        }
        if let (0, Ok(registers)) = (register, <[u8; 7]>::try_from(values))
            && let Some(utc) = clock::seconds(&registers)
        {
            self.say(utc, now);
            (self.running, self.garbage) = (true, None);
        }
        if let (7, [flags]) = (register, values) {
            self.stop_flag &= flags & 0x20 != 0;
        }
    }

    pub(super) fn read(&mut self, into: &mut [u8], now: u64) {
        let registers = self.garbage.or_else(|| clock::registers(self.says(now))).unwrap_or([0xFF; 7]);
        let flags = if self.stop_flag { 0x20 } else { 0 };
        let all = registers.into_iter().chain([flags]);
        for (to, from) in into.iter_mut().zip(all.skip(usize::from(self.pointer))) {
            *to = from;
        }
    }
}

/// A serial EEPROM like a 24C512: pages that wrap, a write cycle, and what a cut leaves.
#[derive(Clone, Debug)]
pub struct Eeprom {
    /// Its bytes.
    pub bytes: Vec<u8>,
    /// Bytes of a page.
    pub page: usize,
    /// Whether it is there.
    pub answers: bool,
    /// Whether it takes a write and does not keep it.
    pub protected: bool,
    /// Microseconds of a write cycle.
    pub cycle: u64,
    /// The next write is acknowledged up to this byte only, so often.
    pub refuse_data: Option<(usize, u32)>,
    /// The power goes when so many bytes more were programmed.
    pub cut_after: Option<u64>,
    /// Write cycles.
    pub cycles: u64,
    /// Bytes programmed.
    pub programmed: u64,
    pub(super) busy_until: u64,
    pointer: usize,
}

/// What came of a write.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Written {
    Taken,
    /// A data byte was not acknowledged.
    Refused,
    /// The power went.
    Cut,
}

impl Eeprom {
    /// A blank one.
    pub fn blank(size: usize, page: usize) -> Self {
        Self {
            bytes: vec![0xFF; size],
            page,
            answers: true,
            protected: false,
            cycle: 5_000,
            refuse_data: None,
            cut_after: None,
            cycles: 0,
            programmed: 0,
            busy_until: 0,
            pointer: 0,
        }
    }

    pub(super) fn write(&mut self, bytes: &[u8], now: u64) -> Written {
        let [high, low, data @ ..] = bytes else { return Written::Taken };
        self.pointer = usize::from(u16::from_be_bytes([*high, *low]));
        let mut data = data;
        let mut outcome = Written::Taken;
        if let Some((taken, times)) = self.refuse_data
            && !data.is_empty()
        {
            data = &data[..taken.min(data.len())];
            outcome = Written::Refused;
            self.refuse_data = (times > 1).then_some((taken, times - 1));
        }
        if data.is_empty() {
            return outcome;
        }
        (self.cycles, self.busy_until) = (self.cycles + 1, now + self.cycle);
        if self.protected {
            return outcome;
        }
        let start = self.pointer / self.page * self.page;
        for (offset, byte) in data.iter().enumerate() {
            // beyond the end of the page it goes on at the page's beginning
            let at = start + (self.pointer - start + offset) % self.page;
            if self.cut_after == Some(0) {
                self.bytes[at] = byte.wrapping_mul(31) ^ 0x5A; // half written
                return Written::Cut;
            }
            self.cut_after = self.cut_after.map(|left| left - 1);
            self.bytes[at] = *byte;
            self.programmed += 1;
        }
        outcome
    }

    pub(super) fn read(&mut self, into: &mut [u8]) {
        let size = self.bytes.len();
        for byte in into {
            *byte = self.bytes[self.pointer % size];
            self.pointer = (self.pointer + 1) % size;
        }
    }
}
