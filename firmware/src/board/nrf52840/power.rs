//! The supply: three cells at VDDH, 3.3 V for everything else made by the part itself, and what is left in the cells.

use super::Irqs;
use core::pin::pin;
use core::task::{Context, Waker};
use embassy_nrf::config::{Config, Debug, LfclkSource, Reg0Voltage};
use embassy_nrf::saadc::{ChannelConfig, Config as Conversion, Gain, Saadc, Time, VddhDiv5Input};
use embassy_nrf::{Peri, peripherals};

/// Millivolts of a full count: reference 0.6 V, gain 1/2, and a fifth of VDDH.
const FULL_MV: i32 = 6000;
/// A full count.
const FULL: i32 = 4096;
/// Looks until a conversion counts as failed; it takes 50 microseconds, and a look more than one.
const LOOKS: u32 = 10_000;

/// Whether somebody with a programmer may look into the part.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Debugging {
    /// No key is in it.
    Open,
    /// Its key must stay in it. Opening it again erases the key with everything else.
    Closed,
}

/// How the part is set up. The first start writes what stands in its configuration registers (supply, reset pin, debugging),
/// and resets.
pub(super) fn config(debugging: Debugging) -> Config {
    let mut config = Config::default();
    config.lfclk_source = LfclkSource::ExternalXtal;
    config.dcdc.reg0_voltage = Some(Reg0Voltage::_3V3);
    config.debug = match debugging {
        Debugging::Open => Debug::Allowed,
        Debugging::Closed => Debug::Disallowed,
    };
    config
}

/// The cells in millivolts, rounded down.
pub(super) fn millivolts(saadc: Peri<'_, peripherals::SAADC>) -> Option<u16> {
    let mut channel = ChannelConfig::single_ended(VddhDiv5Input);
    channel.gain = Gain::Gain1_2;
    channel.time = Time::_40US;
    let mut converter = Saadc::new(saadc, Irqs, Conversion::default(), [channel]);
    let mut counts = [0i16];
    let done = {
        let mut sample = pin!(converter.sample(&mut counts));
        let mut context = Context::from_waker(Waker::noop());
        (0..LOOKS).any(|_| sample.as_mut().poll(&mut context).is_ready())
    };
    let [count] = counts;
    if done { u16::try_from(i32::from(count).max(0) * FULL_MV / FULL).ok() } else { None }
}
