//! Series and groups that the engine's benchmarks share.
//!
//! Rows are a minute apart and lie in memory as the step takes them, so that what is measured is the step. All fixings
//! are seated in the first minutes and are still curing at the last row: the schedule is so slow that none is done.
//! Nothing here is like a real resin.

use holdoff_core::cure::{Rule, Settings};
use holdoff_core::fixing::{Action, FixingSpec, Injection};
use holdoff_core::group::{Event, Group, Happening, Verdict};
use holdoff_core::quantity::{Count, Instant, Span};
use holdoff_core::resin::{Accrual, Band, Hole, Holes, Limits, Resin, ResinSpec};
use holdoff_tests::random::numbers;
use holdoff_tests::reference::{RowKind, floor_to_counts};
use holdoff_tests::trace::recorded;

/// One reading.
pub(crate) type Row = (Instant, Count);

/// Rows of a series: 136 days, less than the slowest cure.
pub(crate) const ROWS: usize = 3 << 16;

/// Seconds between rows.
const SPACING: i64 = 60;

/// Which temperatures.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Series {
    /// A day's wave from -3 to 13 °C: three bands, always inside the limits.
    Smooth,
    /// A recorded winter, its 10 min rows laid a minute apart and repeated; some of it is held.
    Recorded,
    /// Anything from 1 to 7 °C: two bands, always inside.
    WithinBands,
    /// Anything from -7 to -1 °C: held about half of the time.
    AcrossLimits,
    /// Anything from -6 to 2 °C: one step in sixteen is refused, the next one confirms it or not.
    WithRefusals,
}

impl Series {
    /// The rows.
    pub(crate) fn rows(self) -> Vec<Row> {
        let mut numbers = numbers(1);
        let mut any = |least: i32, degrees: i32| {
            let counts = u64::from(degrees.unsigned_abs()) * 256;
            (least * 256 + i32::try_from(numbers() % counts).expect("a few degrees")) as i16
        };
        let winter = match self {
            Self::Recorded => winter(),
            Self::Smooth | Self::WithinBands | Self::AcrossLimits | Self::WithRefusals => Vec::new(),
        };
        let at = |row: usize| Instant::from_seconds(i64::try_from(row).expect("few rows") * SPACING);
        let raw = |row: usize| match self {
            Self::Smooth => wave(row),
            Self::Recorded => winter[row % winter.len()],
            Self::WithinBands => any(1, 6),
            Self::AcrossLimits => any(-7, 6),
            Self::WithRefusals => any(-6, 8),
        };
        (0..ROWS).map(at).zip((0..ROWS).map(raw).map(Count::new)).collect()
    }
}

fn wave(row: usize) -> i16 {
    let day = row as f64 * SPACING as f64 / 86_400.0;
    ((5.0 + 8.0 * (day * std::f64::consts::TAU).sin()) * 256.0) as i16
}

fn winter() -> Vec<i16> {
    let rows = recorded("upland-winter-10min");
    let raw = |row: &RowKind| match row {
        RowKind::Reading(row) => Some(floor_to_counts(row.temperature.as_ref()?) as i16),
        RowKind::Restart { .. } | RowKind::Lost { .. } => None,
    };
    rows.iter().filter_map(raw).collect()
}

/// A group with this many curing fixings, before the first row.
pub(crate) fn curing(fixings: usize, rule: Rule) -> Group {
    let bands = [(-5, 336), (0, 330), (5, 324), (10, 318), (20, 312), (30, 306)].map(|(from, hours)| Band {
        from: Count::from_degrees(from),
        working: Span::from_seconds(3600),
        cure: Span::from_seconds(hours * 3600),
    });
    let degrees = Count::from_degrees;
    let resin = Resin::new(&ResinSpec {
        limits: Limits {
            install_least: degrees(-5),
            install_greatest: degrees(40),
            cure_least: degrees(-5),
            cure_greatest: degrees(40),
            reject_below: Some(degrees(-20)),
            reject_above: Some(degrees(60)),
            longest_hold: None,
        },
        cartridge_least: degrees(5),
        cartridge_greatest: degrees(35),
        holes: Holes::NONE.with(Hole::Wet),
        wet_factor: 10,
        accrual: Accrual::Permitted,
        bands: &bands,
    })
    .expect("a valid schedule");
    let mut group = Group::new(resin, Settings::DEFAULT, rule).expect("accrual is permitted");
    // as long as the probe takes to settle (rule R6), or every start is refused
    for minute in -4..0 {
        let cold = reading((Instant::from_seconds(minute * SPACING), Count::from_degrees(0)));
        assert_eq!(group.step(cold, &mut |_| {}), Verdict::Accepted);
    }
    for _ in 0..fixings {
        let fixing = group.add(&FixingSpec { hole: Hole::Wet, torque: None }).expect("at most sixteen");
        for (at, action) in [(-50, Action::Inject(Injection::default())), (-40, Action::Seat)] {
            let act = Happening::Action { at: Instant::from_seconds(at), fixing, action };
            assert_eq!(group.step(act, &mut |_| {}), Verdict::Done);
        }
    }
    group
}

/// Takes every row through the step; the number of cures, which is none.
#[inline(never)]
pub(crate) fn step_through(group: &mut Group, rows: &[Row]) -> u64 {
    let mut cures = 0;
    for row in rows {
        // what is measured is the step alone, whatever it says
        let _ = group.step(reading(*row), &mut |event| cures += u64::from(matches!(event, Event::Cured { .. })));
    }
    cures
}

fn reading((at, count): Row) -> Happening {
    Happening::Reading { at, count }
}

/// The least that any pass over the readings costs: their plain sum.
#[inline(never)]
pub(crate) fn plain_sum(counts: &[i16]) -> i64 {
    counts.iter().map(|count| i64::from(*count)).sum()
}
