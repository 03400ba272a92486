//! A bus that a part holds down.
//!
//! A part that lost count in the middle of a byte it was sending may wait for clock pulses with its data line low, for ever.
//! At most nine pulses bring it to the end of its byte; the stop then ends its transfer (NXP UM10204, 3.1.16).

use crate::board::Lines;
use embedded_hal::delay::DelayNs;
use embedded_hal::digital::{InputPin, OutputPin};

/// Half a clock period of 100 kHz, in microseconds.
const HALF_US: u32 = 5;
/// Pulses that end any byte: eight bits and the acknowledge.
const PULSES: u8 = 9;

/// Frees a bus over its two open-drain pins: up to nine pulses until the data line is high, then a stop. A pin that cannot
/// be set or read counts as held.
pub fn free<P: InputPin + OutputPin>(scl: &mut P, sda: &mut P, delay: &mut impl DelayNs) -> Lines {
    pulses(scl, sda, delay).unwrap_or(Lines::Held)
}

fn pulses<P: InputPin + OutputPin>(scl: &mut P, sda: &mut P, delay: &mut impl DelayNs) -> Result<Lines, P::Error> {
    sda.set_high()?;
    scl.set_high()?;
    delay.delay_us(HALF_US);
    for _ in 0..PULSES {
        if sda.is_high()? {
            break;
        }
        scl.set_low()?;
        delay.delay_us(HALF_US);
        scl.set_high()?;
        delay.delay_us(HALF_US);
    }
    // a stop: the data line rises while the clock is high
    scl.set_low()?;
    delay.delay_us(HALF_US);
    sda.set_low()?;
    delay.delay_us(HALF_US);
    scl.set_high()?;
    delay.delay_us(HALF_US);
    sda.set_high()?;
    delay.delay_us(HALF_US);
    Ok(if scl.is_high()? && sda.is_high()? { Lines::Free } else { Lines::Held })
}
