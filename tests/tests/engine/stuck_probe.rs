//! The warning of a probe that stands still (rule R5), against its slow definition.
//!
//! The slow definition keeps every accepted reading and, with each new one, walks back to where its run of equal counts
//! began: the first reading of a run that is six hours or more from its beginning raises the warning, and no other
//! does. The engine keeps two instants and takes the short path for hours on end; the two must warn at the same
//! readings.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_core::cure::{Rule, Settings, Uncertainty};
use holdoff_core::group::{Event, Group, Happening, STUCK_SECONDS, Verdict};
use holdoff_core::probe::Refusal;
use holdoff_core::quantity::{Count, Instant, Span};
use holdoff_tests::engine;
use holdoff_tests::invented::s1;
use holdoff_tests::random::{histories, numbers};

/// Six hours, from the rule itself.
const SIX_HOURS: i64 = 21_600;

/// Accepted readings, and the warnings that the last of them raised.
#[derive(Default)]
struct Slow {
    accepted: Vec<(i64, i16)>,
}

impl Slow {
    /// The beginning of the run and the reading, when this one raises the warning.
    fn accept(&mut self, at: i64, raw: i16) -> Option<(i64, i64)> {
        self.accepted.push((at, raw));
        let run = self.accepted.iter().rev().take_while(|(_, before)| *before == raw);
        let run: Vec<i64> = run.map(|(at, _)| *at).collect();
        let since = *run.last()?;
        let long = |at: &i64| at - since >= SIX_HOURS;
        (long(&at) && !run.get(1).is_some_and(long)).then_some((since, at))
    }
}

fn empty(longest_gap: u32) -> Group {
    let settings = Settings::new(Uncertainty::DEFAULT, Span::from_seconds(longest_gap), 100).expect("in bounds");
    Group::new(engine::resin(&s1()), settings, Rule::Coldest).expect("the coldest-band rule is always permitted")
}

/// Both on the same happenings; the number of warnings.
fn both(group: &mut Group, happenings: impl Iterator<Item = Happening>) -> u64 {
    let mut slow = Slow::default();
    let mut warnings = 0;
    for what in happenings {
        let (mut expected, mut found) = (Vec::new(), Vec::new());
        let mut accepted = Vec::new();
        let verdict = group.step(what, &mut |event| match event {
            Event::CandidateAccepted { at, count } => accepted.push((at.seconds(), count.raw())),
            Event::Stuck { since, at } => found.push((since.seconds(), at.seconds())),
            _ => {}
        });
        if let (Verdict::Accepted | Verdict::AcceptedWithCandidate, Happening::Reading { at, count }) = (verdict, what)
        {
            accepted.push((at.seconds(), count.raw()));
        }
        for (at, raw) in accepted {
            expected.extend(slow.accept(at, raw));
        }
        assert_eq!(found, expected, "{what:?}");
        warnings += u64::try_from(found.len()).expect("few");
    }
    warnings
}

fn reading(at: i64, raw: i16) -> Happening {
    Happening::Reading { at: Instant::from_seconds(at), count: Count::new(raw) }
}

#[test]
fn six_hours_are_six_hours() {
    assert_eq!(STUCK_SECONDS, SIX_HOURS);
}

#[test]
fn the_reading_that_completes_six_hours_warns_and_the_one_before_does_not() {
    let mut group = empty(300);
    // 360 intervals of a minute; the reading at six hours sharp is the 361st
    assert_eq!(both(&mut group, (0..360).map(|minute| reading(minute * 60, 1000))), 0);
    let mut warned = Vec::new();
    assert_eq!(group.step(reading(SIX_HOURS, 1000), &mut |event| warned.push(event)), Verdict::Accepted);
    let stuck = Event::Stuck { since: Instant::from_seconds(0), at: Instant::from_seconds(SIX_HOURS) };
    assert!(warned.contains(&stuck), "{warned:?}");
}

#[test]
fn a_run_warns_once_however_long_it_lasts() {
    assert_eq!(both(&mut empty(300), (0..30_000).map(|minute| reading(minute * 60, -500))), 1);
}

#[test]
fn every_run_of_six_hours_warns_anew() {
    // runs of 6 h less a minute, 6 h, 6 h and a minute, alternating by one count
    for (minutes, warnings) in [(360, 0), (361, 10), (362, 10)] {
        let rows = (0..10 * minutes).map(|minute| reading(minute * 60, (minute / minutes % 2) as i16));
        assert_eq!(both(&mut empty(300), rows), warnings, "{minutes}");
    }
}

#[test]
fn a_changed_count_that_comes_back_begins_a_new_run() {
    let rows = (0..720).map(|minute| reading(minute * 60, i16::from(minute == 359)));
    // the second run begins at minute 360 and is not six hours long at minute 719
    assert_eq!(both(&mut empty(300), rows), 0);
}

#[test]
fn unobserved_time_counts_for_the_run() {
    // the same count before and after a night without readings is still the same count
    assert_eq!(both(&mut empty(300), [reading(0, 700), reading(SIX_HOURS, 700)].into_iter()), 1);
}

#[test]
fn random_series_warn_where_the_slow_definition_warns() {
    let mut warnings = 0;
    let start = 17 << 40;
    for seed in start..start + histories(400_000) / 2_000 {
        let mut numbers = numbers(seed);
        let mut below = |end: i64| i64::try_from(numbers() % end.unsigned_abs()).expect("below a small number");
        let gap = 1 + below(3600);
        let mut group = empty(u32::try_from(gap).expect("an hour"));
        let most = 1 + below(gap + gap / 20 + 1);
        // about a change in six hours, so that runs fall on both sides of it
        let change = 1 + SIX_HOURS / (most / 2 + 1) * (1 + below(4)) / 2;
        let trouble = below(3) * 20;
        let (mut at, mut raw) = (below(1_000_000), i16::try_from(below(4_000)).expect("a count"));
        let mut happenings = Vec::new();
        for _ in 0..1500 {
            at += 1 + below(most);
            if below(change) == 0 {
                raw += if below(2) == 0 { 1 } else { -1 };
            }
            happenings.push(match below(1000) {
                found if found >= trouble => reading(at, raw),
                found if found % 4 == 0 => Happening::Missing { at: Instant::from_seconds(at) },
                found if found % 4 == 1 => Happening::Unusable { at: Instant::from_seconds(at), cause: Refusal::Bus },
                found if found % 4 == 2 => reading(at, raw + 8000),
                _ => reading(at - 60, raw),
            });
        }
        warnings += both(&mut group, happenings.into_iter());
    }
    assert!(warnings > 500, "only {warnings} warnings");
}
