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
    let rate = credited(clock_ppm) << 64;
    let n = need.saturating_mul(divisor(wanted, factor)).div_ceil(rate.max(1));
    u64::try_from(n).ok().map(|n| n.saturating_sub(own))
}

/// A lower bound on the seconds until a sum of C4 can reach [`WHOLE`], were they all spent in the fastest band.
///
/// Each of the at most 16 terms may gain one through its floor, hence the 16.
pub(crate) fn soonest_whole(bands: &Bands, sum: u128, factor: u8, clock_ppm: u16) -> u64 {
    let need = WHOLE.saturating_sub(sum).saturating_sub(MOST_BANDS as u128);
    let rate = credited(clock_ppm) << 64;
    let n = need.saturating_mul(divisor(bands.shortest_cure().seconds(), factor)) / rate.max(1);
    u64::try_from(n).unwrap_or(u64::MAX)
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

fn term(s: u64, cure: u32, factor: u8, clock_ppm: u16) -> u128 {
    ((u128::from(s) * credited(clock_ppm)) << 64) / divisor(cure, factor)
}

fn credited(clock_ppm: u16) -> u128 {
    u128::from(MILLION.saturating_sub(u64::from(clock_ppm)))
}

fn divisor(cure: u32, factor: u8) -> u128 {
    // a schedule has neither a zero time nor a zero factor; the bound keeps the division total
    (u128::from(MILLION) * u128::from(factor) * u128::from(cure)).max(1)
}
