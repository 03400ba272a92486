//! The accrual rule (C4).

use super::required::{MILLION, div_ceil};
use crate::resin::{Bands, MOST_BANDS};

/// The sum at which a cure is complete: 2^64.
pub const WHOLE: u128 = 1 << 64;

/// The sum of rule C4: for each cure time c of the schedule, with s the counted seconds of all bands that share it,
/// `floor(s x (1 000 000 - ppm) x 2^64 / (1 000 000 x factor x c))`. A whole cure is [`WHOLE`].
///
/// Bounds: s < 2^32, 1 000 000 < 2^20, so the numerator stays below 2^116; sixteen terms below 2^120.
pub fn accrued(bands: &Bands, seconds: &[u32; MOST_BANDS], factor: u8, clock_ppm: u16) -> u128 {
    sum_but(None, bands, seconds, factor, clock_ppm).0
}

/// How many further counted seconds in the band with place `place` bring the sum of C4 to [`WHOLE`]; 0 when it is
/// there, `None` when `place` is no band of the schedule.
///
/// floor(n A 2^64 / B) >= need  <=>  n >= need B / (A 2^64) (need is whole), with A = 1 000 000 - ppm and
/// B = 1 000 000 x factor x c; rounding up twice, by 2^64 and by A, is rounding up once.
pub(crate) fn further_to_whole(
    bands: &Bands,
    seconds: &[u32; MOST_BANDS],
    place: usize,
    factor: u8,
    clock_ppm: u16,
) -> Option<u64> {
    let wanted = bands.at(place)?.cure.seconds();
    let (others, own) = sum_but(Some(wanted), bands, seconds, factor, clock_ppm);
    let Some(need) = WHOLE.checked_sub(others) else {
        return Some(0);
    };
    let (whole, part) = wholes(need, divisor(wanted, factor));
    let n = div_ceil(whole.saturating_add(u64::from(part > 0)), credited(clock_ppm));
    Some(n.saturating_sub(own))
}

/// A lower bound on the seconds until a sum of C4 can reach [`WHOLE`], were they all spent in the fastest band.
///
/// Each of the at most 16 terms may gain one through its floor, hence the 16.
pub(crate) fn soonest_whole(bands: &Bands, sum: u128, factor: u8, clock_ppm: u16) -> u64 {
    let need = WHOLE.saturating_sub(sum).saturating_sub(MOST_BANDS as u128);
    let (whole, _) = wholes(need, divisor(bands.shortest_cure().seconds(), factor));
    whole / credited(clock_ppm)
}

/// The product of a part of [`WHOLE`] and a divisor, below 2^108, in wholes and what is left.
fn wholes(need: u128, divisor: u64) -> (u64, u64) {
    let product = need.wrapping_mul(u128::from(divisor));
    ((product >> 64) as u64, product as u64)
}

/// The sum of C4 without the term of the cure time `apart`, and the counted seconds of that term. Times do not rise, so
/// bands that share one stand next to each other.
fn sum_but(apart: Option<u32>, bands: &Bands, seconds: &[u32; MOST_BANDS], factor: u8, clock_ppm: u16) -> (u128, u64) {
    let (mut sum, mut own) = (0u128, 0u64);
    let (mut cure, mut shared) = (0u32, 0u64);
    for (place, counted) in (0..=bands.len()).zip(seconds.iter().chain(&[0])) {
        let next = bands.at(place).map_or(0, |band| band.cure.seconds());
        if next != cure {
            if apart == Some(cure) {
                own = shared;
            } else {
                sum = sum.saturating_add(term(shared, cure, factor, clock_ppm));
            }
            (cure, shared) = (next, 0);
        }
        shared = shared.saturating_add(u64::from(*counted));
    }
    (sum, own)
}

/// `floor(s x A x 2^64 / B)`. By long division, twenty bits at a time: B is below 2^44, so what remains of one part still has
/// room for the next in 64 bits. A division of 128 bits by itself is several hundred bytes of code on a small processor.
fn term(s: u64, cure: u32, factor: u8, clock_ppm: u16) -> u128 {
    let divisor = divisor(cure, factor);
    let part = s.saturating_mul(credited(clock_ppm)); // below 2^52
    let (mut quotient, mut rest) = (u128::from(part / divisor), part % divisor);
    for bits in [20, 20, 20, 4] {
        let part = rest << bits;
        quotient = quotient << bits | u128::from(part / divisor);
        rest = part % divisor;
    }
    quotient
}

/// How many of a million counted seconds are credited; at least one.
fn credited(clock_ppm: u16) -> u64 {
    MILLION.saturating_sub(u64::from(clock_ppm)).max(1)
}

/// Below 2^44: a factor is at most 10, a cure time at most 14 days.
fn divisor(cure: u32, factor: u8) -> u64 {
    // a schedule has neither a zero time nor a zero factor; the bound keeps the division total
    MILLION.saturating_mul(u64::from(factor)).saturating_mul(u64::from(cure)).max(1)
}
