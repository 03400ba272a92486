//! The cure of one fixing as an inspector reckons it: what was coldest, what that asks for, which seconds counted.
//!
//! Invariants: every number is the engine's or stands in the log; where a list of stretches does not account for all seconds
//! of the engine's tally, the rest is told as a number.

use holdoff_core::fixing::{Action, InHole};
use holdoff_core::group::{Event, Verdict};
use holdoff_core::quantity::Fine;
use holdoff_core::resin::Band;
use holdoff_evidence::Became;
use holdoff_evidence::{Fixing, Session};
use holdoff_site::replay::{Stretch, Why};

/// The coldest of rule C3.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Coldest {
    /// Second of the logger's clock at which it was read; `None` where no single reading is found.
    pub(super) at: Option<i64>,
    /// Whether it was read at the bottom of the hole.
    pub(super) in_hole: bool,
    /// The reading, counts of 1/256 °C.
    pub(super) count: i32,
    /// The same with the uncertainty taken off.
    pub(super) low: i32,
}

/// One band of the schedule, and what was spent in it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Row {
    /// The band.
    pub(super) band: Band,
    /// Seconds of a whole cure in it: factor times cure time.
    pub(super) required: u64,
    /// Counted seconds.
    pub(super) counted: u64,
    /// What the counted seconds less the allowance are of `required`, in hundredths of a percent; rounded down.
    pub(super) share: u64,
}

/// A cure, reckoned.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Reckoning {
    /// Second of the seating.
    pub(super) seated: i64,
    /// Second of the cure; `None` when it is not cured.
    pub(super) cured: Option<i64>,
    /// Second up to which seconds are told: of the cure, of the rejection, of the last accepted reading.
    pub(super) until: i64,
    /// The coldest; `None` before the seating.
    pub(super) coldest: Option<Coldest>,
    /// Place of the band that the coldest lies in.
    pub(super) coldest_band: usize,
    /// Place of the band in which the last second before the cure counted.
    pub(super) last_band: Option<usize>,
    /// Factor of the hole.
    pub(super) factor: u64,
    /// The bands, coldest first.
    pub(super) rows: Vec<Row>,
    /// Stretches since the seating that did not count.
    pub(super) stretches: Vec<Stretch>,
    /// Held and unobserved seconds that no stretch accounts for.
    pub(super) unlisted: (u64, u64),
}

impl Reckoning {
    /// Of a fixing; `None` where it was not seated.
    pub(super) fn of(session: &Session, fixing: &Fixing) -> Option<Self> {
        let status = &fixing.status;
        let seated = status.seated_at?.seconds();
        let (tally, resin) = (&status.tally, session.group.resin());
        let until = seated.saturating_add(i64::try_from(tally.elapsed()).unwrap_or(i64::MAX));
        let in_hole = in_hole(fixing);
        let factor = u64::from(resin.factor(status.hole));
        let ppm = u64::from(session.job.settings.clock_ppm());
        let row = |(band, counted): (Band, u32)| {
            let (required, counted) = (factor * u64::from(band.cure.seconds()), u64::from(counted));
            let worth = u128::from(counted) * u128::from(1_000_000 - ppm.min(1_000_000));
            let share = worth * 10_000 / (1_000_000 * u128::from(required)).max(1);
            Row { band, required, counted, share: u64::try_from(share).unwrap_or(u64::MAX) }
        };
        let stretches = stretches(session, in_hole, (seated, until));
        let listed = |held: bool| -> u64 {
            let of_kind = stretches.iter().filter(|stretch| stretch.why.is_held() == held);
            of_kind.map(Stretch::seconds).sum()
        };
        let unlisted = (tally.held.saturating_sub(listed(true)), tally.unobserved.saturating_sub(listed(false)));
        let cured = status.cured_at.map(holdoff_core::quantity::Instant::seconds);
        let place = |low: i32| resin.bands().band_of(Fine::new(low)).place();
        Some(Self {
            seated,
            cured,
            until,
            coldest: status.coldest.map(|low| coldest(session, fixing, in_hole, low.raw())),
            coldest_band: status.coldest.map_or(0, |low| place(low.raw())),
            last_band: cured.and_then(|cured| low_of_interval(session, in_hole, cured)).map(place),
            factor,
            rows: resin.bands().iter().zip(tally.bands).map(row).collect(),
            stretches,
            unlisted,
        })
    }

    /// Counted seconds of all bands.
    pub(super) fn counted(&self) -> u64 {
        self.rows.iter().map(|row| row.counted).sum()
    }
}

/// The in-hole reading of the injection that was carried out.
fn in_hole(fixing: &Fixing) -> Option<InHole> {
    fixing.deeds.iter().rev().filter(|deed| started(deed.verdict, &deed.events)).find_map(|deed| {
        let Action::Inject(injection) = deed.action else { return None };
        Some(injection.in_hole)
    })?
}

/// Whether an injection was begun, and not refused.
pub(super) fn started(verdict: Verdict, events: &[Event]) -> bool {
    verdict == Verdict::Done && events.iter().any(|event| matches!(event, Event::Started { .. }))
}

fn uncertainty(session: &Session) -> i32 {
    i32::from(session.job.settings.uncertainty().counts())
}

/// Accepted readings as time and count.
pub(super) fn accepted(session: &Session) -> impl Iterator<Item = (i64, i16)> + '_ {
    session.readings.iter().filter_map(|reading| match reading.became {
        Became::Accepted | Became::AcceptedLate => Some((reading.at, reading.count?)),
        Became::Refused(_) | Became::Unusable(_) | Became::Missing => None,
    })
}

fn coldest(session: &Session, fixing: &Fixing, in_hole: Option<InHole>, low: i32) -> Coldest {
    let count = low + uncertainty(session);
    let found = |at, in_hole| Coldest { at, in_hole, count, low };
    if let Some(reading) = in_hole
        && i32::from(reading.count.raw()) == count
    {
        return found(Some(reading.at.seconds()), true);
    }
    let injected = fixing.status.injected_at.map_or(i64::MIN, holdoff_core::quantity::Instant::seconds);
    let from = accepted(session).map(|(at, _)| at).filter(|at| *at <= injected).max().unwrap_or(injected);
    let at = accepted(session).filter(|(at, raw)| *at >= from && i32::from(*raw) == count).map(|(at, _)| at).min();
    found(at, false)
}

/// The `low` that the seconds before an instant counted by: that of the colder end of the interval, no higher than the in-hole one.
fn low_of_interval(session: &Session, in_hole: Option<InHole>, at: i64) -> Option<i32> {
    let before = accepted(session).filter(|(read, _)| *read < at).max_by_key(|(read, _)| *read)?;
    let after = accepted(session).filter(|(read, _)| *read >= at).min_by_key(|(read, _)| *read)?;
    let coldest = [Some(before.1), Some(after.1), in_hole.map(|reading| reading.count.raw())];
    coldest.into_iter().flatten().min().map(|raw| i32::from(raw) - uncertainty(session))
}

/// What did not count between two seconds. An in-hole reading under the coldest usable edge holds whatever was observed (A3).
fn stretches(session: &Session, in_hole: Option<InHole>, (from, to): (i64, i64)) -> Vec<Stretch> {
    let clipped = session.story.stretches.iter().filter_map(|stretch| stretch.within((from, to)));
    let edge = i32::from(session.group.resin().coldest_usable_edge().raw());
    let all_held = in_hole.is_some_and(|reading| i32::from(reading.count.raw()) - uncertainty(session) < edge);
    if !all_held {
        return clipped.collect();
    }
    let (mut made, mut at) = (Vec::new(), from);
    for stretch in clipped.filter(|stretch| !stretch.why.is_held()) {
        if stretch.from > at {
            made.push(Stretch { from: at, to: stretch.from, why: Why::TooCold });
        }
        made.push(stretch);
        at = stretch.to;
    }
    if at < to {
        made.push(Stretch { from: at, to, why: Why::TooCold });
    }
    made
}
