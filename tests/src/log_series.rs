//! Temperature series of one reading a minute, made from recorded ones, and their order-0 entropy.
//!
//! What for: the figures of compression. The recorded series have 5 and 10 min; a series of 1 min is drawn between their
//! rows, with the noise of a sensor on top, and rounded down to 1/16 °C. Noise makes a series harder to press, so both
//! a quiet and a restless one are tried.

use crate::random::numbers;
use crate::reference::RowKind;
use crate::trace::recorded;
use num::ToPrimitive;
use std::collections::HashMap;

/// Counts of 1/256 °C that are multiples of 16, one a minute: `every` minutes between the rows of the recorded series,
/// with noise of `noise` °C (standard deviation, the sum of four even draws).
pub fn minutes(name: &str, every: u32, noise: f64) -> Vec<i16> {
    let mut last = 0.0;
    let rows: Vec<f64> = recorded(name)
        .iter()
        .filter_map(|row| match row {
            RowKind::Reading(row) => {
                last = row.temperature.as_ref().and_then(ToPrimitive::to_f64).unwrap_or(last);
                Some(last)
            }
            RowKind::Restart { .. } | RowKind::Lost { .. } => None,
        })
        .collect();
    let mut numbers = numbers(7);
    let mut draw = move || {
        let sum: f64 = (0..4).map(|_| (numbers() >> 11) as f64 / (1u64 << 53) as f64 - 0.5).sum();
        sum * noise * 3f64.sqrt()
    };
    rows.windows(2)
        .flat_map(|pair| (0..every).map(move |part| pair[0] + (pair[1] - pair[0]) * f64::from(part) / f64::from(every)))
        .map(|celsius| ((celsius + draw()) * 16.0).floor() as i16 * 16)
        .collect()
}

/// Order-0 entropy of the differences of a series in quanta, bytes a reading.
pub fn entropy(counts: &[i16]) -> f64 {
    let mut seen: HashMap<i32, u32> = HashMap::new();
    for pair in counts.windows(2) {
        *seen.entry(i32::from(pair[1]) - i32::from(pair[0])).or_default() += 1;
    }
    let all = (counts.len() - 1) as f64;
    let bits: f64 = seen.values().map(|&times| -f64::from(times) * (f64::from(times) / all).log2()).sum();
    bits / 8.0 / all
}
