//! The accrual rule (C4).

use super::required::MILLION;
use crate::resin::{Bands, MOST_BANDS};

/// The sum at which a cure is complete: 2^64.
pub const WHOLE: u128 = 1 << 64;

/// The sum of rule C4: for each cure time c of the schedule, with s the counted seconds of all bands that share it,
/// `floor(s x (1 000 000 - ppm) x 2^64 / (1 000 000 x factor x c))`. A whole cure is [`WHOLE`].
///
/// Bounds: s < 2^32, 1 000 000 < 2^20, so the numerator stays below 2^116; sixteen terms below 2^120.
pub fn accrued(bands: &Bands, seconds: &[u32; MOST_BANDS], factor: u8, clock_ppm: u16) -> u128 {
    terms(bands, seconds).map(|(cure, s)| term(s, cure, factor, clock_ppm)).sum()
}

/// How many further counted seconds in the band with place `place` bring the sum of C4 to [`WHOLE`]; 0 when it is
/// there, `None` when `place` is no band of the schedule.
///
/// floor(n A / B) >= need  <=>  n >= need B / A (need is whole), with A = (1 000 000 - ppm) x 2^64 and
/// B = 1 000 000 x factor x c < 2^44; need is at most 2^64, the product below 2^108.
pub(crate) fn further_to_whole(
    bands: &Bands,
    seconds: &[u32; MOST_BANDS],
    place: usize,
    factor: u8,
    clock_ppm: u16,
) -> Option<u64> {
    let wanted = bands.iter().nth(place)?.cure.seconds();
    let mut others = 0u128;
    let mut own = 0u64;
    for (cure, s) in terms(bands, seconds) {
        if cure == wanted {
            own = s;
        } else {
            others = others.saturating_add(term(s, cure, factor, clock_ppm));
        }
    }
    let Some(need) = WHOLE.checked_sub(others) else {
        return Some(0);
    };
    // ceil(x / (2^64 A)) = ceil(ceil(x / 2^64) / A), and need B / 2^64 is at most B
    let (whole, rest) = over_2_64(need, divisor(wanted, factor));
    let n = whole.saturating_add(u64::from(rest)).div_ceil(credited(clock_ppm).max(1));
    Some(n.saturating_sub(own))
}

/// A lower bound on the seconds until a sum of C4 can reach [`WHOLE`], were they all spent in the fastest band.
///
/// Each of the at most 16 terms may gain one through its floor, hence the 16.
pub(crate) fn soonest_whole(bands: &Bands, sum: u128, factor: u8, clock_ppm: u16) -> u64 {
    let need = WHOLE.saturating_sub(sum).saturating_sub(MOST_BANDS as u128);
    let (whole, _) = over_2_64(need, divisor(bands.shortest_cure().seconds(), factor));
    whole / credited(clock_ppm).max(1)
}

/// The distinct cure times of the schedule with the counted seconds of the bands that share each. Times do not rise,
/// so equal ones stand next to each other.
fn terms<'a>(bands: &'a Bands, seconds: &'a [u32; MOST_BANDS]) -> impl Iterator<Item = (u32, u64)> + 'a {
    let mut rest = bands.iter().zip(seconds.iter()).peekable();
    core::iter::from_fn(move || {
        let (band, &first) = rest.next()?;
        let cure = band.cure.seconds();
        let mut sum = u64::from(first);
        while let Some((_, more)) = rest.next_if(|(next, _)| next.cure == band.cure) {
            sum = sum.saturating_add(u64::from(*more));
        }
        Some((cure, sum))
    })
}

/// `floor(s A 2^64 / B)` by long division, sixteen bits at a time: a small processor has no division of 128 bits, and one of
/// 64 bits is a tenth of it. What is left is below B < 2^44, so with sixteen bits more it stays below 2^60.
fn term(s: u64, cure: u32, factor: u8, clock_ppm: u16) -> u128 {
    let divisor = divisor(cure, factor);
    let numerator = s.saturating_mul(credited(clock_ppm)); // below 2^52
    let mut quotient = u128::from(numerator / divisor);
    let mut left = numerator % divisor;
    for _ in 0..4 {
        left <<= 16;
        quotient = quotient << 16 | u128::from(left / divisor);
        left %= divisor;
    }
    quotient
}

/// `need x divisor / 2^64`, `need` being at most 2^64: the whole part, and whether anything is left.
fn over_2_64(need: u128, divisor: u64) -> (u64, bool) {
    let product = need.saturating_mul(u128::from(divisor));
    ((product >> 64) as u64, product as u64 != 0)
}

fn credited(clock_ppm: u16) -> u64 {
    MILLION.saturating_sub(u64::from(clock_ppm))
}

fn divisor(cure: u32, factor: u8) -> u64 {
    // a schedule has neither a zero time nor a zero factor; the bound keeps the division total
    (MILLION * u64::from(factor) * u64::from(cure)).max(1)
}

#[cfg(test)]
mod tests {
    use super::{MILLION, WHOLE, divisor, over_2_64, term};

    /// Random numbers (SplitMix64, Steele, Lea and Flood 2014; from memory).
    fn next(state: &mut u64) -> u64 {
        *state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = *state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    #[test]
    fn the_long_division_is_the_one_of_128_bits() {
        let mut state = 1;
        for _ in 0..200_000 {
            let s = next(&mut state) >> 32 >> (next(&mut state) % 32);
            let (cure, factor) = ((next(&mut state) % 1_209_600 + 1) as u32, (next(&mut state) % 10 + 1) as u8);
            let ppm = (next(&mut state) % 10_001) as u16;
            let numerator = u128::from(s) * u128::from(MILLION - u64::from(ppm));
            let wide = u128::from(divisor(cure, factor));
            assert_eq!(term(s, cure, factor, ppm), (numerator << 64) / wide, "{s} {cure} {factor} {ppm}");
            let need = (u128::from(next(&mut state)) + 1) >> (next(&mut state) % 64);
            let rate = u128::from(MILLION - u64::from(ppm)) << 64;
            let (whole, rest) = over_2_64(need, divisor(cure, factor));
            let a = MILLION - u64::from(ppm);
            assert_eq!(u128::from((whole + u64::from(rest)).div_ceil(a)), (need * wide).div_ceil(rate));
            assert_eq!(u128::from(whole / a), need * wide / rate);
        }
        assert_eq!(over_2_64(WHOLE, 5), (5, false));
    }
}
