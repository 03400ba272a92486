//! Random series, resins and settings for the tests of what goes through a series.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a broken expectation must stop the test")]

use super::Series;
use fastrand::Rng;
use holdoff_core::cure::{Settings, Uncertainty};
use holdoff_core::quantity::{Count, Span};
use holdoff_core::resin::{Accrual, Band, Hole, Holes, Limits, Resin, ResinSpec};
use holdoff_files::trace::{ReadAs, Row, Sample, Unit, UnitBy};

/// What happens to the readings of a random series.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Trouble {
    /// Nothing: all are accepted, evenly spaced.
    None,
    /// Missing rows, jumps, gaps, rows that come twice.
    Some,
}

/// Days of weather: a wave a day about `mean` °C, with noise, `rows` rows.
pub fn series(dice: &mut Rng, rows: usize, mean: f64, swing: f64, trouble: Trouble) -> Series {
    let spacing = [60, 120, 300, 300][dice.usize(0..4)];
    let start = 1_640_000_000 + dice.i64(0..86_400);
    let (mut at, mut noise) = (start, 0.0);
    let mut made = Vec::new();
    for _ in 0..rows {
        noise = (noise + (dice.f64() - 0.5) * 0.4) * 0.98;
        let day = f64::from((at % 86_400) as i32) / 86_400.0;
        let celsius = mean - swing * (std::f64::consts::TAU * day).cos() + noise;
        let mut reading = Sample::Count(Count::new((celsius * 256.0) as i16));
        let mut next = at + spacing;
        if trouble == Trouble::Some {
            match dice.u32(0..200) {
                0 => reading = Sample::Missing,
                1 => reading = Sample::OutOfRange,
                2 => reading = Sample::Count(Count::new(((celsius + 40.0 * (dice.f64() - 0.5)) * 256.0) as i16)),
                // a lasting jump, confirmed by the next reading
                3 => noise += 12.0 * (dice.f64() - 0.5),
                4 => next = at + dice.i64(0..7200),
                5 => next = at,
                _ => {}
            }
        }
        made.push(Row { seconds: at, offset_seconds: -25_200, reading });
        at = next;
    }
    let read_as = ReadAs {
        time_column: "time".to_owned(),
        temperature_column: "temperature_c".to_owned(),
        unit: Unit::Celsius,
        by: UnitBy::Name,
        offsets: vec![-25_200],
        leap_second: None,
    };
    Series { file: "random".to_owned(), rows: made, last_line: rows as u64 + 1, read_as }
}

/// A resin with two to five bands, sometimes with reject limits and a longest hold; accrual permitted.
pub fn resin(dice: &mut Rng) -> Resin {
    let (mut from, mut working, mut cure) = (dice.i8(-12..4), dice.u32(20..100) * 60, dice.u32(2..30) * 3600);
    let least = from;
    let bands: Vec<Band> = (0..dice.usize(2..6))
        .map(|_| {
            let degrees = Count::from_degrees;
            let band =
                Band { from: degrees(from), working: Span::from_seconds(working), cure: Span::from_seconds(cure) };
            from += dice.i8(2..8);
            (working, cure) = (working.div_ceil(dice.u32(1..4)).max(60), cure.div_ceil(dice.u32(1..4)).max(600));
            band
        })
        .collect();
    let degrees = Count::from_degrees;
    let limits = Limits {
        install_least: degrees(least + dice.i8(0..4)),
        install_greatest: degrees(dice.i8(25..45)),
        cure_least: degrees(least - dice.i8(0..3)),
        cure_greatest: degrees(dice.i8(30..45)),
        reject_below: dice.bool().then(|| degrees(least - 8)),
        reject_above: dice.bool().then(|| degrees(60)),
        longest_hold: dice.bool().then(|| Span::from_seconds(dice.u32(1..20) * 3600)),
    };
    let spec = ResinSpec {
        limits,
        cartridge_least: degrees(5),
        cartridge_greatest: degrees(35),
        holes: Hole::ALL.into_iter().fold(Holes::NONE, Holes::with),
        wet_factor: dice.u8(2..4),
        accrual: Accrual::Permitted,
        bands: &bands,
    };
    Resin::new(&spec).unwrap_or_else(|error| panic!("{error:?}: {spec:?}"))
}

/// Settings about their defaults.
pub fn settings(dice: &mut Rng) -> Settings {
    let uncertainty = Uncertainty::from_counts(dice.u16(0..600)).unwrap();
    Settings::new(uncertainty, Span::from_seconds(dice.u32(300..900)), dice.u16(0..200)).unwrap()
}

impl Series {
    /// The same rows, all at one count.
    pub fn flat(mut self, count: Count) -> Self {
        for row in &mut self.rows {
            row.reading = Sample::Count(count);
        }
        self
    }
}
