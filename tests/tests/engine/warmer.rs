//! Warmer never cures later, and splitting time changes nothing: pairs of histories that differ in that alone.
//!
//! Rule C6 asks for two histories that differ only in accepted readings after the interval of seating, all inside the
//! limits in both. Pairs like that are not found by altering a random history (a warmer reading is soon outside, or
//! refused, or confirms a candidate), so they are built: each temperature moves by less than a reading may, within the
//! counts that are inside. The warmer of two such series, reading by reading, is another such series.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_core::fixing::{Action, FixingSpec, InHole, Injection, Status};
use holdoff_core::group::{Event, Group, Happening, Seconds, Verdict};
use holdoff_core::probe::Refusal;
use holdoff_core::quantity::{Count, Instant};
use holdoff_core::resin::Hole;
use holdoff_tests::engine;
use holdoff_tests::random::{histories, numbers};
use holdoff_tests::reference::random_history;

/// Time of the first reading, s.
const START: i64 = 1_000_000;

/// A reading's time and raw count; `None` for a row that is missing or refused.
#[derive(Clone, Copy)]
struct Seen {
    at: i64,
    raw: Option<i16>,
}

/// Where two series may differ, and what both share.
struct Drawn {
    empty: Group,
    hole: Hole,
    injection: Injection,
    /// Injection and seating, s.
    inject: i64,
    seat: i64,
    colder: Vec<Seen>,
    warmer: Vec<Seen>,
}

struct Dice<F: FnMut() -> u64>(F);

impl<F: FnMut() -> u64> Dice<F> {
    fn between(&mut self, least: i64, greatest: i64) -> i64 {
        let span = u64::try_from(greatest - least).expect("ordered") + 1;
        least + i64::try_from((self.0)() % span).expect("a small span")
    }
}

/// Raw counts whose `low` and `high` are inside the limits (S2); `None` when there are none or few.
fn inside(group: &Group) -> Option<(i16, i16)> {
    let guard = i64::from(group.settings().uncertainty().counts());
    let least = i64::from(group.resin().coldest_usable_edge().raw()) + guard;
    let greatest = i64::from(group.resin().limits().cure_greatest.raw()) - guard - 1;
    let (least, greatest) = (least.max(-55 * 256), greatest.min(125 * 256));
    (greatest - least > 16).then(|| (i16::try_from(least).expect("a count"), i16::try_from(greatest).expect("a count")))
}

/// A random resin and random settings with a pair of series.
fn draw(seed: u64) -> Option<Drawn> {
    let mut numbers = numbers(seed);
    let mut history = random_history(&mut numbers);
    // a start is judged before the two series part: whether the probe has settled (R6) is no matter here
    history.settings.settle = 0;
    let (empty, _) = engine::group(&history);
    let (least, greatest) = inside(&empty)?;
    let mut dice = Dice(numbers);
    let hole = *Hole::ALL.get(usize::try_from(dice.between(0, 2)).ok()?)?;

    // rows for a few times as long as the slowest cure takes
    let slowest = empty.resin().bands().iter().next()?.cure.seconds();
    let spacing = (i64::from(slowest) / 30).clamp(1, 400);
    let (inject, seat) = (START + dice.between(0, spacing - 1), START + spacing + dice.between(0, spacing));
    let restless = dice.between(1, 3);
    let first = Seen { at: START, raw: Some(least + (greatest - least) / 4 * i16::try_from(dice.between(0, 4)).ok()?) };
    let (mut colder, mut other) = (vec![first], vec![first]);
    let mut seating_closed = false;
    let mut at = START;
    for _ in 0..70 {
        at += dice.between(1, 2 * spacing);
        // now and then nothing, or a reading that the sensor cannot have made
        if dice.between(0, 29) == 0 {
            colder.push(Seen { at, raw: None });
            other.push(Seen { at, raw: None });
            continue;
        }
        let mut next = |rows: &[Seen], drift: i64| {
            let (then, raw) = rows.iter().rev().find_map(|seen| Some((seen.at, i64::from(seen.raw?))))?;
            let most = (256 + 1280 * (at - then) / 60).min(1 << (4 * restless));
            let raw = raw + dice.between(drift * most / 2 - most / 2, most / 2 + drift * most / 2);
            i16::try_from(raw.clamp(i64::from(least), i64::from(greatest))).ok()
        };
        let raw = next(&colder, 0)?;
        let raw_other = if seating_closed { next(&other, 1)? } else { raw };
        colder.push(Seen { at, raw: Some(raw) });
        other.push(Seen { at, raw: Some(raw_other) });
        seating_closed |= at >= seat;
    }
    let warmer = colder.iter().zip(&other).map(|(a, b)| Seen { at: a.at, raw: a.raw.max(b.raw) }).collect();
    let in_hole = (dice.between(0, 3) == 0).then(|| InHole {
        at: Instant::from_seconds(inject),
        count: Count::new(i16::try_from(dice.between(least.into(), greatest.into())).expect("a count")),
    });
    let injection = Injection { in_hole, cartridge: None, past_from: None };
    Some(Drawn { empty, hole, injection, inject, seat, colder, warmer })
}

/// The status at the end of a series, which must be accepted and inside throughout.
fn lived(drawn: &Drawn, rows: &[Seen]) -> Status {
    let (resin, settings) = (drawn.empty.resin().clone(), *drawn.empty.settings());
    let mut group = Group::new(resin, settings, drawn.empty.rule()).expect("as before");
    let fixing = group.add(&FixingSpec { hole: drawn.hole, torque: None }).expect("the first fits");
    let acts = [(drawn.inject, Action::Inject(drawn.injection)), (drawn.seat, Action::Seat)];
    let mut acts = acts.into_iter().peekable();
    for (number, seen) in rows.iter().enumerate() {
        while let Some((at, action)) = acts.next_if(|(at, _)| *at < seen.at) {
            // a start may be refused, and then no seating applies
            let _ = group.step(Happening::Action { at: Instant::from_seconds(at), fixing, action }, &mut |_| {});
        }
        let at = Instant::from_seconds(seen.at);
        let what = match seen.raw {
            Some(raw) => Happening::Reading { at, count: Count::new(raw) },
            None if number % 3 == 0 => Happening::Unusable { at, cause: Refusal::Bus },
            None => Happening::Missing { at },
        };
        let verdict = group.step(what, &mut |event| {
            if let Event::Interval { seconds: Seconds::TooCold | Seconds::TooWarm, .. } = event {
                panic!("built to stay inside: {event:?}");
            }
        });
        assert!(seen.raw.is_none() || verdict == Verdict::Accepted, "built to be accepted: {what:?}");
    }
    group.status(fixing).expect("it was added")
}

fn cured(status: &Status) -> i64 {
    status.cured_at.map_or(i64::MAX, Instant::seconds)
}

#[test]
fn the_warmer_of_two_histories_never_cures_later() {
    let (mut pairs, mut both, mut apart) = (0u64, 0u64, 0u64);
    let start = 10 << 40;
    for seed in start..start + histories(40_000) {
        let Some(drawn) = draw(seed) else { continue };
        pairs += 1;
        let (colder, warmer) = (lived(&drawn, &drawn.colder), lived(&drawn, &drawn.warmer));
        assert!(cured(&warmer) <= cured(&colder), "seed {seed}: {colder:#?} {warmer:#?}");
        both += u64::from(colder.cured_at.is_some());
        apart += u64::from(cured(&warmer) < cured(&colder));
    }
    assert!(both * 5 > pairs && apart * 20 > pairs, "{pairs} pairs, {both} cured, {apart} apart");
}

#[test]
fn splitting_an_interval_changes_no_sum_and_no_cure() {
    // check value 1.4 on random histories: a row put into an observed interval with the lower of its two temperatures
    // makes two intervals of the same `low`, all inside
    let (mut split, mut cures) = (0u64, 0u64);
    let start = 11 << 40;
    for seed in start..start + histories(20_000) {
        let Some(drawn) = draw(seed) else { continue };
        let gap = i64::from(drawn.empty.settings().longest_gap().seconds());
        let mut rows: Vec<Seen> = Vec::new();
        for seen in &drawn.colder {
            if let Some((before, raw)) = rows.last().and_then(|before| Some((before.at, before.raw?)))
                && let Some(next) = seen.raw
                && seen.at - before <= gap
                && seen.at - before > 1
                && before >= drawn.seat
            {
                let (lower, at) = (raw.min(next), before + (seen.at - before) / 2);
                let allowed =
                    |other: i16, seconds: i64| 60 * i64::from(other.abs_diff(lower)) <= 60 * 256 + 1280 * seconds;
                if allowed(raw, at - before) && allowed(next, seen.at - at) {
                    rows.push(Seen { at, raw: Some(lower) });
                    split += 1;
                }
            }
            rows.push(*seen);
        }
        // which rows are refused goes by their number: keep it to missing ones here
        let whole: Vec<Seen> = drawn.colder.iter().filter(|seen| seen.raw.is_some()).copied().collect();
        let parts: Vec<Seen> = rows.iter().filter(|seen| seen.raw.is_some()).copied().collect();
        let (whole, parts) = (lived(&drawn, &whole), lived(&drawn, &parts));
        assert_eq!(parts, whole, "seed {seed}");
        cures += u64::from(whole.cured_at.is_some());
    }
    assert!(split > 10 * histories(20_000) && cures * 5 > histories(20_000), "{split} splits, {cures} cures");
}
