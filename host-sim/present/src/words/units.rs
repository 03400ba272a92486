//! Other units for people: exact conversions with named rounding.
//!
//! Invariants: nothing is ever counted, recorded or signed in these units; a file, an option and a JSON value stay in °C
//! and N·m. No floating point except in [`fahrenheit`], for a temperature that is calculated, drawn or shown rounded.
//! Sources: °F by NIST SP 811 (2008), appendix B.8: t/°F = 1.8 t/°C + 32. Foot pound-force: 1 ft·lbf =
//! 1.355 817 948 331 400 4 N·m, exact, from the international foot (0.3048 m), the avoirdupois pound (0.453 592 37 kg) and
//! standard gravity (9.806 65 m/s²); rounded in NIST SP 811, appendix B.8 to 1.355 818.

use holdoff_core::quantity::{Fine, Torque};

/// N·m in a foot pound-force, times 10^16.
const FOOT_POUND: u128 = 13_558_179_483_314_004;
/// 10^16.
const SCALE: u128 = 10_000_000_000_000_000;

/// Which way a value is rounded to the hundredth.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Rounding {
    /// To the nearest, half away from zero: for reading only.
    Nearest,
    /// Up: a least limit.
    Up,
    /// Down: a greatest limit.
    Down,
}

/// Hundredths of a °C, to the nearest, half away from zero.
pub const fn celsius_hundredths(temperature: Fine) -> i64 {
    nearest(temperature.raw() as i64 * 100, 256)
}

/// Hundredths of a °F, to the nearest, half away from zero: exactly 45/64 a count, and 3200.
pub const fn fahrenheit_hundredths(temperature: Fine) -> i64 {
    nearest(temperature.raw() as i64 * 45 + 3200 * 64, 64)
}

/// °F of °C in floating point, for what is calculated, drawn or shown rounded; nothing is decided by it.
pub fn fahrenheit(celsius: f64) -> f64 {
    celsius * 1.8 + 32.0
}

/// A number in floating point to some decimals, for reading only; what is rounded to zero has no minus.
pub fn rounded(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(zero) if !zero.bytes().any(|digit| (b'1'..=b'9').contains(&digit)) => zero.to_owned(),
        Some(_) | None => text,
    }
}

/// Hundredths of a °F of a difference of temperatures: exactly 45/64 a count; to the nearest, half away from
/// zero.
pub const fn fahrenheit_apart_hundredths(difference: Fine) -> i64 {
    nearest(difference.raw() as i64 * 45, 64)
}

/// Hundredths of a foot pound-force.
pub const fn foot_pound_hundredths(torque: Torque, rounding: Rounding) -> u64 {
    let scaled = torque.hundredths() as u128 * SCALE;
    let hundredths = match rounding {
        Rounding::Nearest => (scaled + FOOT_POUND / 2) / FOOT_POUND,
        Rounding::Up => scaled.div_ceil(FOOT_POUND),
        Rounding::Down => scaled / FOOT_POUND,
    };
    hundredths as u64 // below 2^32, since a foot pound-force is more than a newton metre
}

const fn nearest(numerator: i64, denominator: i64) -> i64 {
    (numerator * 2 + denominator * numerator.signum()) / (denominator * 2)
}

#[cfg(test)]
mod tests {
    use super::{
        Rounding, celsius_hundredths, fahrenheit_apart_hundredths, fahrenheit_hundredths, foot_pound_hundredths,
        rounded,
    };
    use holdoff_core::quantity::{Fine, Torque};

    #[test]
    fn fahrenheit_is_that_of_the_fixed_points() {
        // NIST SP 811, B.8: 0 °C = 32 °F, 100 °C = 212 °F, and the two scales meet at -40
        for (celsius, fahrenheit) in [(0, 3200), (100, 21_200), (-40, -4000), (37, 9860), (20, 6800), (-5, 2300)] {
            assert_eq!(fahrenheit_hundredths(Fine::new(celsius * 256)), fahrenheit, "{celsius} °C");
        }
        // 1 count is 0.003 906 25 °C, 0.007 031 25 °F
        assert_eq!([1, -1].map(|raw| fahrenheit_hundredths(Fine::new(raw))), [3201, 3199]);
        assert_eq!(fahrenheit_apart_hundredths(Fine::new(256)), 180);
    }

    #[test]
    fn hundredths_are_rounded_half_away_from_zero() {
        assert_eq!([0, 1, 2, -2, -64, 32].map(|raw| celsius_hundredths(Fine::new(raw))), [0, 0, 1, -1, -25, 13]);
        for raw in [i32::from(i16::MIN) - 3000, i32::from(i16::MAX) + 3000] {
            // never more than half a hundredth off
            let (hundredths, exact) = (fahrenheit_hundredths(Fine::new(raw)), i64::from(raw) * 45 + 3200 * 64);
            assert!((hundredths * 64 - exact).abs() <= 32, "{raw}");
        }
    }

    #[test]
    fn a_number_that_is_rounded_to_zero_has_no_minus() {
        assert_eq!([-0.004, -0.0, 0.004, -0.006].map(|value| rounded(value, 2)), ["0.00", "0.00", "0.00", "-0.01"]);
        assert_eq!([-0.4, -0.6, -10.0].map(|value| rounded(value, 0)), ["0", "-1", "-10"]);
    }

    #[test]
    fn foot_pounds_are_those_of_the_exact_definition() {
        // 0.3048 m x 0.45359237 kg x 9.80665 m/s^2, in units of 10^-4 m x 10^-8 kg x 10^-5 m/s^2: 10^-17 N·m
        assert_eq!(super::FOOT_POUND * 10, 3048 * 45_359_237 * 980_665);
        // NIST SP 811, B.8: 1 ft·lbf = 1.355 818 N·m, so 1355.82 N·m are 1000.00 ft·lbf
        let of = |hundredths, rounding| foot_pound_hundredths(Torque::from_hundredths(hundredths), rounding);
        assert_eq!(of(135_582, Rounding::Nearest), 100_000);
        // 40 N·m = 29.502 48... ft·lbf
        assert_eq!([Rounding::Nearest, Rounding::Up, Rounding::Down].map(|way| of(4000, way)), [2950, 2951, 2950]);
        assert_eq!([Rounding::Nearest, Rounding::Up, Rounding::Down].map(|way| of(0, way)), [0, 0, 0]);
        let most = u128::from(of(u32::MAX, Rounding::Down)) * super::FOOT_POUND;
        let exact = u128::from(u32::MAX) * super::SCALE;
        assert!(most <= exact && exact < most + super::FOOT_POUND);
    }
}
