//! The probe: a two's-complement temperature sensor with 12 bits on the bus.
//!
//! The parts meant are those with the temperature in register 0 and a configuration in register 1 whose bits 5 and 6 set
//! the resolution (TMP75, TMP105, TMP175 data sheets: 60h is 12 bits, 220 ms a conversion, 300 ms at most).
//! Why the configuration is looked at before every reading: a probe that lost its supply for a moment, a loose plug, comes
//! up again with 9 bits and the value it holds before its first conversion. It would answer as if nothing had been.
//! Invariants: a count is given only when the probe was set to 12 bits for at least a conversion; a register that cannot be
//! true is refused with its cause.

use crate::board::Bus;
use embedded_hal::i2c::Error;
use holdoff_core::probe::{Refusal, SensorKind};
use holdoff_core::quantity::Count;

/// How its register is laid out.
pub const KIND: SensorKind = SensorKind::TwelveBit;
/// Milliseconds from setting the resolution to a reading that has it: the longest conversion, twice.
pub const SETTLE_MS: u32 = 600;

const TEMPERATURE: u8 = 0;
const CONFIGURATION: u8 = 1;
/// Continuous conversion, 12 bits.
const TWELVE_BITS: u8 = 0x60;
/// Bits of the configuration that are read back as written: shutdown, thermostat, polarity, faults, resolution. Bit 7 is
/// of one-shot conversions and reads differently from part to part.
const KEPT: u8 = 0x7F;
/// How often a transfer is tried.
const TRIES: u8 = 3;

/// The probe.
#[derive(Debug)]
pub struct Probe {
    address: u8,
    setting: Setting,
}

/// Whether it is set to 12 bits.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Setting {
    /// Nobody knows.
    Unknown,
    /// Since this uptime, so the register may still be of before.
    Settling { since: u32 },
    /// For longer than a conversion takes.
    Settled,
}

impl Probe {
    /// A probe that has not been spoken to.
    pub const fn new(address: u8) -> Self {
        Self { address, setting: Setting::Unknown }
    }

    /// Sets 12 bits and reads that back.
    ///
    /// # Errors
    /// [`Refusal::Bus`] when it does not answer, or keeps another setting.
    pub fn set_up(&mut self, bus: &mut impl Bus, uptime_ms: u32) -> Result<(), Refusal> {
        self.setting = Setting::Unknown;
        let address = self.address;
        retry(bus, |bus| bus.write(address, &[CONFIGURATION, TWELVE_BITS]))?;
        if self.configuration(bus)? != TWELVE_BITS {
            return Err(Refusal::Bus);
        }
        self.setting = Setting::Settling { since: uptime_ms };
        Ok(())
    }

    /// Milliseconds until it can be read after it was set up; 0 when it can be now.
    pub fn settles_in(&self, uptime_ms: u32) -> u32 {
        match self.setting {
            Setting::Settling { since } => SETTLE_MS.saturating_sub(uptime_ms.wrapping_sub(since)),
            Setting::Unknown | Setting::Settled => 0,
        }
    }

    /// Reads it. A probe that was not set up, or has lost its setting, is set up and refused this time.
    ///
    /// # Errors
    /// Why there is no count: the bus, a value from before the first conversion, or one outside the sensor's range.
    pub fn read(&mut self, bus: &mut impl Bus, uptime_ms: u32) -> Result<Count, Refusal> {
        if self.setting == Setting::Unknown || self.configuration(bus)? != TWELVE_BITS {
            self.set_up(bus, uptime_ms)?;
            return Err(Refusal::PowerUp);
        }
        if self.settles_in(uptime_ms) > 0 {
            return Err(Refusal::PowerUp);
        }
        self.setting = Setting::Settled;
        let mut register = [0u8; 2];
        let address = self.address;
        retry(bus, |bus| bus.write_read(address, &[TEMPERATURE], &mut register))?;
        KIND.count(u16::from_be_bytes(register))
    }

    fn configuration(&mut self, bus: &mut impl Bus) -> Result<u8, Refusal> {
        let mut configuration = [0u8; 1];
        let address = self.address;
        let read = retry(bus, |bus| bus.write_read(address, &[CONFIGURATION], &mut configuration));
        if read.is_err() {
            self.setting = Setting::Unknown; // whoever is plugged in again has to be set up again
        }
        read?;
        let [configuration] = configuration;
        Ok(configuration & KEPT)
    }
}

/// Tries a transfer a few times; frees the bus in between unless the part just was not there.
pub(super) fn retry<B: Bus>(
    bus: &mut B,
    mut transfer: impl FnMut(&mut B) -> Result<(), B::Error>,
) -> Result<(), Refusal> {
    for _ in 0..TRIES {
        match transfer(bus) {
            Ok(()) => return Ok(()),
            Err(error) => {
                if !super::memory::is_refused(&error.kind()) {
                    bus.free();
                }
            }
        }
    }
    Err(Refusal::Bus)
}
