//! Sensor conversions: registers of two's-complement digital sensors to counts of 1/256 °C.
//!
//! The rows are those of the published check values for digital sensors. Status: *read* in the tables of the makers'
//! data sheets (no part is named here; the kind says which), each checked by computation. What a sensor holds before
//! its first conversion must be refused (rule R2b), and so must what lies outside -55 to 125 °C.
//!
//! Rows that do not apply, because the program reads none of these sensors: platinum resistors (IEC 60751), thermistors
//! (Steinhart-Hart and beta), and the 16-bit humidity sensors with -45 + 175 x raw / 65535 and their CRC-8.

use holdoff_core::probe::{Refusal, SensorKind};
use holdoff_core::quantity::Count;

/// The count of a number of 1/128 °C, the finest unit of the tables.
fn parts(of_128: i16) -> Result<Count, Refusal> {
    Ok(Count::new(of_128 * 2))
}

fn degrees(degrees: i8) -> Result<Count, Refusal> {
    Ok(Count::from_degrees(degrees))
}

#[test]
fn sixteen_bit_registers_are_7_8125_millidegrees_a_bit() {
    // read: a 16-bit sensor's data sheet, table of its temperature register; computed
    let rows = [
        (0xF380, degrees(-25)),
        (0xFFF0, parts(-16)), // -0.125
        (0xFFFF, parts(-1)),  // -0.0078125
        (0x0000, degrees(0)),
        (0x0001, parts(1)),  // 0.0078125
        (0x0010, parts(16)), // 0.125
        (0x0080, degrees(1)),
        (0x0C80, degrees(25)),
        (0x3200, degrees(100)),
        (0x7FFF, Err(Refusal::OutOfRange)), // 255.9921875 °C
    ];
    for (register, expected) in rows {
        assert_eq!(SensorKind::SixteenBit.count(register), expected, "{register:04X}");
    }
}

#[test]
fn a_sixteen_bit_sensor_before_its_first_conversion_is_refused() {
    // read: register page of the sensor's sister; 8000h is -256 °C as a number and the value at power-up
    assert_eq!(SensorKind::SixteenBit.count(0x8000), Err(Refusal::PowerUp));
    assert_eq!(SensorKind::SixteenBit.count(0x8001), Err(Refusal::OutOfRange));
}

/// Twelve bits of 1/16 °C as the tables give them, right-justified, with the value in 1/16 °C.
const TWELVE_BITS: [(u16, Result<i16, Refusal>); 11] = [
    (0x7FF, Err(Refusal::OutOfRange)), // 127.9375 °C; the table's row "128" saturates here
    (0x640, Ok(1600)),                 // 100
    (0x500, Ok(1280)),                 // 80
    (0x4B0, Ok(1200)),                 // 75
    (0x320, Ok(800)),                  // 50
    (0x190, Ok(400)),                  // 25
    (0x004, Ok(4)),                    // 0.25
    (0x000, Err(Refusal::PowerUp)),    // 0, which is also the value at power-up
    (0xFFC, Ok(-4)),                   // -0.25
    (0xE70, Ok(-400)),                 // -25
    (0xC90, Ok(-880)),                 // -55, still in range
];

#[test]
fn twelve_bit_registers_are_a_sixteenth_of_a_degree_a_bit() {
    // read: tables of two 12-bit sensors' data sheets; the register holds them left-justified
    for (bits, sixteenths) in TWELVE_BITS {
        let expected = sixteenths.map(|value| Count::new(value * 16));
        for unused in [0x0, 0x2, 0xF] {
            assert_eq!(SensorKind::TwelveBit.count(bits << 4 | unused), expected, "{bits:03X}");
        }
    }
}

#[test]
fn left_justified_registers_of_the_data_sheet_convert_as_they_stand() {
    // read: table of a 12-bit sensor whose register is given left-justified in 16
    let rows = [(0x1900, 25 * 16), (0x0010, 1), (0xFFF0, -1), (0xE700, -25 * 16), (0xCE00, -50 * 16)];
    for (register, sixteenths) in rows {
        assert_eq!(SensorKind::TwelveBit.count(register), Ok(Count::new(sixteenths * 16)), "{register:04X}");
    }
}

#[test]
fn a_twelve_bit_sensor_at_exactly_zero_cannot_be_told_from_power_up_and_is_refused() {
    // read: both 12-bit data sheets, the register reads 0 °C before the first conversion
    assert_eq!(SensorKind::TwelveBit.count(0x0000), Err(Refusal::PowerUp));
    assert_eq!(SensorKind::TwelveBit.count(0x000F), Err(Refusal::PowerUp));
    assert_eq!(SensorKind::TwelveBit.count(0x0010), Ok(Count::new(16)));
}

#[test]
fn thirteen_bit_registers_are_a_sixteenth_of_a_degree_a_bit_and_three_flags() {
    // no table read: the thirteen bits hold the same sixteenths as the twelve, one bit further right, and the sign
    // (which has one more bit to itself); the three flags below them are no part of the value
    for (bits, sixteenths) in TWELVE_BITS {
        let signed = if bits & 0x800 == 0 { bits } else { bits | 0x1000 };
        let expected = sixteenths.map(|value| Count::new(value * 16));
        for flags in 0..8 {
            assert_eq!(SensorKind::ThirteenBit.count(signed << 3 | flags), expected, "{bits:03X}");
        }
    }
    // 13 bits reach what 12 do not: 128 °C and more, which is out of range all the same
    assert_eq!(SensorKind::ThirteenBit.count(0x0800 << 3), Err(Refusal::OutOfRange));
}

#[test]
fn one_wire_registers_are_a_sixteenth_of_a_degree_a_bit() {
    // read: the data sheet's table as two other publications quote it; computed
    let rows = [
        (0x07D0, Ok(125 * 16)),
        (0x0191, Ok(401)), // 25.0625
        (0x00A2, Ok(162)), // 10.125
        (0x0008, Ok(8)),   // 0.5
        (0x0000, Ok(0)),
        (0xFFF8, Ok(-8)),   // -0.5
        (0xFF5E, Ok(-162)), // -10.125
        (0xFE6F, Ok(-401)), // -25.0625
        (0xFC90, Ok(-55 * 16)),
        (0x0550, Err(Refusal::PowerUp)), // 85 °C, the value at power-up
    ];
    for (register, sixteenths) in rows {
        let expected = sixteenths.map(|value| Count::new(value * 16));
        assert_eq!(SensorKind::OneWire.count(register), expected, "{register:04X}");
    }
}

#[test]
fn readings_next_to_the_one_wire_power_up_value_are_taken() {
    assert_eq!(SensorKind::OneWire.count(0x0551), Ok(Count::new(85 * 256 + 16)));
    assert_eq!(SensorKind::OneWire.count(0x054F), Ok(Count::new(85 * 256 - 16)));
}

#[test]
fn every_register_is_refused_or_is_the_exact_value_within_the_range() {
    for register in 0..=u16::MAX {
        let signed = i32::from(register.cast_signed());
        let exact = [
            (SensorKind::TwelveBit, signed.div_euclid(16) * 16),
            (SensorKind::ThirteenBit, signed.div_euclid(8) * 16),
            (SensorKind::SixteenBit, signed * 2),
            (SensorKind::OneWire, signed * 16),
        ];
        for (kind, counts) in exact {
            match kind.count(register) {
                Ok(count) => assert_eq!(i32::from(count.raw()), counts, "{kind:?} {register:04X}"),
                Err(Refusal::OutOfRange) => {
                    assert!(!(-55 * 256..=125 * 256).contains(&counts), "{kind:?} {register:04X}")
                }
                Err(Refusal::PowerUp) => {
                    let power_up = match kind {
                        SensorKind::TwelveBit | SensorKind::ThirteenBit => counts == 0,
                        SensorKind::SixteenBit => counts == -256 * 256,
                        SensorKind::OneWire => counts == 85 * 256,
                    };
                    assert!(power_up, "{kind:?} {register:04X}");
                }
                Err(other) => panic!("{kind:?} {register:04X}: {other:?}"),
            }
        }
    }
}
