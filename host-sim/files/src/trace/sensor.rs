//! A trace as the readings of a sensor.
//!
//! What for: a logger records what its sensor delivers, in steps of that sensor, and refuses the value that the sensor
//! shows before its first conversion. A replay that is to leave the very memory of a logger must do the same, and must
//! not round a finer trace in silence.

use super::Sample;
use super::field::Exactly;
use holdoff_core::log::Source;
use holdoff_core::probe::{Refusal, SensorKind};
use holdoff_core::quantity::Count;

/// What the sensor makes of a count inside its range.
///
/// # Errors
/// What the temperature is not, for a message.
pub(super) fn deliver(kind: SensorKind, count: Count, exactly: Exactly) -> Result<Sample, &'static str> {
    let bits = Source::Sensor(kind).quantum_bits();
    if exactly == Exactly::No || count.raw() & ((1 << bits) - 1) != 0 {
        return Err(match kind {
            SensorKind::TwelveBit | SensorKind::ThirteenBit | SensorKind::OneWire => "is no multiple of 1/16 °C",
            SensorKind::SixteenBit => "is no multiple of 1/128 °C",
        });
    }
    Ok(match kind.count(register(kind, count)) {
        Ok(count) => Sample::Count(count),
        Err(Refusal::PowerUp) => Sample::PowerUp,
        // a count inside the range is refused for nothing else
        Err(Refusal::OutOfRange | Refusal::NotLater | Refusal::Bus | Refusal::Step | Refusal::Supply) => {
            Sample::OutOfRange
        }
    })
}

/// The register that reads as this count.
fn register(kind: SensorKind, count: Count) -> u16 {
    let raw = count.raw();
    let register = match kind {
        SensorKind::TwelveBit => raw,
        SensorKind::ThirteenBit | SensorKind::SixteenBit => raw / 2,
        SensorKind::OneWire => raw / 16,
    };
    register as u16
}

#[cfg(test)]
mod tests {
    use super::{Exactly, Sample, SensorKind, deliver};
    use holdoff_core::quantity::Count;

    const KINDS: [SensorKind; 4] =
        [SensorKind::TwelveBit, SensorKind::ThirteenBit, SensorKind::SixteenBit, SensorKind::OneWire];

    #[test]
    fn every_count_a_sensor_can_deliver_comes_back_but_its_power_up_value() {
        for kind in KINDS {
            let (step, power_up) = match kind {
                SensorKind::TwelveBit | SensorKind::ThirteenBit => (16, Some(0)),
                SensorKind::SixteenBit => (2, None),
                SensorKind::OneWire => (16, Some(85 * 256)),
            };
            for raw in -55 * 256..=125 * 256_i16 {
                let delivered = deliver(kind, Count::new(raw), Exactly::Yes);
                if raw % step != 0 {
                    assert!(delivered.is_err(), "{kind:?} {raw}");
                } else if Some(raw) == power_up {
                    assert_eq!(delivered, Ok(Sample::PowerUp));
                } else {
                    assert_eq!(delivered, Ok(Sample::Count(Count::new(raw))), "{kind:?}");
                }
            }
            assert!(deliver(kind, Count::new(256), Exactly::No).is_err());
        }
    }
}
