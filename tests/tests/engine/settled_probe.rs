//! Rule R6: a start needs a settled probe; and that the random histories reach everything that came with it.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_core::fixing::{Action, Ground, Injection, NotApplicable};
use holdoff_core::group::{Event, Happening, Verdict};
use holdoff_core::quantity::Instant;
use holdoff_tests::engine;
use holdoff_tests::invented::{celsius, plain, settings};
use holdoff_tests::random::{histories, numbers};
use holdoff_tests::reference::{Act, History, Hole, RefSettings, Row, RowKind, Rule, random_deed, random_history, run};
use holdoff_tests::trace::recorded;
use num::{BigInt, BigRational};
use std::collections::BTreeMap;

fn settled(longest_gap: u64) -> RefSettings {
    RefSettings { settle: 180, ..settings("1.0", longest_gap, 100) }
}

/// A probe out of a pocket of so many °C, clipped to concrete of -8 °C, with a time constant in seconds.
fn out_of_a_pocket(pocket: f64, constant: f64, period: i64, seconds: i64) -> Vec<RowKind> {
    let row = |at: i64| {
        let celsius = -8.0 + (pocket + 8.0) * (-(at as f64) / constant).exp();
        let thousandths = BigInt::from((celsius * 1000.0).round() as i64);
        let temperature = Some(BigRational::new(thousandths, BigInt::from(1000)));
        RowKind::Reading(Row { at, temperature })
    };
    (0..=seconds / period).map(|step| row(step * period)).collect()
}

/// The first second at which an injection would begin, tried after every row.
fn first_start(history: &History) -> Option<i64> {
    let (mut group, fixing) = engine::group(history);
    for what in engine::happenings(history, fixing) {
        let _ = group.step(what, &mut |_| {}); // rows without a reading are among them
        let (at, _) = group.last_reading()?;
        if group.start_grounds(fixing, at, &Injection::default())?.is_empty() {
            return Some(at.seconds());
        }
    }
    None
}

#[test]
fn a_probe_out_of_a_warm_pocket_starts_nothing_on_frozen_concrete() {
    for period in [1, 10, 60, 120] {
        let rows = out_of_a_pocket(20.0, 300.0, period, 7200);
        let history = plain(rows.clone(), settled(300), Hole::Dry, Rule::Coldest, (0, 0));
        let history = History { acts: Vec::new(), ..history };
        assert_eq!(first_start(&history), None, "a reading every {period} s");
        // what R6 is there for: without it the pocket's warmth would do
        let lax = History { settings: settings("1.0", 300, 100), ..history };
        assert!(first_start(&lax).is_some_and(|at| at < 900), "a reading every {period} s");
        // and the reference says the same of a start at 67 s
        let at = rows.iter().map(RowKind::at).rfind(|at| *at <= 67).expect("rows");
        let report = run(&plain(rows, settled(300), Hole::Dry, Rule::Coldest, (at, at + 300)));
        assert_eq!((report.stage.as_str(), report.reasons), ("refused", vec!["probe-not-settled".to_owned()]));
    }
}

#[test]
fn a_start_is_never_more_than_the_uncertainty_from_where_the_probe_is_going() {
    // a probe that forgets with a time constant of 5 min and moves 0.425 °C in 3 min has at most 0.52 °C left
    for pocket in [-30.0, -12.0, 0.0, 10.0, 37.0] {
        for period in [10, 60, 150] {
            let mut history =
                plain(out_of_a_pocket(pocket, 300.0, period, 7200), settled(300), Hole::Dry, Rule::Coldest, (0, 0));
            history.resin.install_least = celsius("-60");
            history.resin.bands[0].from = celsius("-60");
            history.acts.clear();
            let at = first_start(&history).expect("it settles at last");
            let left = (pocket + 8.0).abs() * (-(at as f64) / 300.0).exp();
            assert!(left < 0.53, "out of {pocket} °C, every {period} s: started after {at} s with {left} °C to go");
        }
    }
}

#[test]
fn a_reading_of_the_hole_is_enough_while_the_probe_still_moves() {
    let rows = out_of_a_pocket(20.0, 300.0, 10, 600);
    let mut history = plain(rows, settled(300), Hole::Dry, Rule::Coldest, (120, 180));
    assert_eq!(run(&history).reasons, ["probe-not-settled"]);
    let Some(Act::Inject { in_hole, .. }) = history.acts.first_mut() else { panic!("an injection") };
    *in_hole = Some(celsius("-3"));
    let report = run(&history);
    assert_eq!(engine::run(&history, |_, _, _, _| {}), report);
    assert!(report.reasons.is_empty() && report.stage != "refused", "{report:?}");
}

#[test]
fn a_probe_that_moves_is_never_the_ground_for_an_injection() {
    let start = 20 << 40;
    let (mut started, mut refused) = (0u64, 0u64);
    for seed in start..start + histories(25_000) {
        let history = random_history(&mut numbers(seed));
        let settle = i64::try_from(history.settings.settle).expect("at most an hour");
        let in_hole = |at: i64| {
            let mut acts = history.acts.iter();
            acts.any(|act| matches!(act, Act::Inject { at: then, in_hole: Some(_), .. } if *then == at))
        };
        // accepted readings as they are told, in the order of time
        let mut accepted: Vec<(i64, i64)> = Vec::new();
        engine::run(&history, |group, what, _, events| {
            for event in events {
                if let Event::CandidateAccepted { at, count } = event {
                    accepted.push((at.seconds(), i64::from(count.raw())));
                }
                match event {
                    Event::Started { at, .. } if settle > 0 && !in_hole(at.seconds()) => {
                        let (newest, count) = *accepted.last().expect("a start needs a reading");
                        let old = accepted.iter().rev().find(|(at, _)| newest - at >= settle);
                        let (before, then) = *old.unwrap_or_else(|| panic!("seed {seed}: {history:#?}"));
                        let steady = 600 * (count - then).abs() <= 256 * (newest - before) + 19_200;
                        assert!(steady, "seed {seed}: {then} and {count} counts: {history:#?}");
                        started += 1;
                    }
                    Event::StartRefused { grounds, .. } => {
                        refused += u64::from(grounds.has(Ground::ProbeNotSettled));
                    }
                    _ => {}
                }
            }
            if let (Happening::Reading { at, count }, Some((last, value))) = (what, group.last_reading())
                && (last, value) == (*at, *count)
                && accepted.last().is_none_or(|(last, _)| *last < at.seconds())
            {
                accepted.push((at.seconds(), i64::from(count.raw())));
            }
        });
    }
    let all = histories(25_000);
    assert!(started * 10 > all && refused * 20 > all, "{started} started, {refused} refused of {all}");
}

/// How many of the histories that are drawn reach each ground and each kind of action and event.
fn met(draw: impl Fn(u64) -> History) -> BTreeMap<&'static str, u64> {
    let mut met = BTreeMap::<&str, u64>::new();
    let start = 21 << 40;
    for seed in start..start + histories(25_000) {
        let history = draw(seed);
        let specified = history.torque.is_some();
        let mut reached: Vec<&'static str> = Vec::new();
        let report = engine::run(&history, |group, what, verdict, events| {
            let early = matches!(what, Happening::Action { action: Action::TorquedEarly(_), .. });
            match (what, verdict) {
                (Happening::Lost { .. }, _) => reached.push("lost"),
                (_, Verdict::NotApplicable(NotApplicable::Cured)) => reached.push("early torque after the cure"),
                (_, Verdict::Done) if early => reached.push("early torque rejects"),
                _ => {}
            }
            for event in events {
                match event {
                    Event::CureMoved { .. } => reached.push("cure moved"),
                    Event::Withdrawn { .. } => reached.push("cure withdrawn"),
                    Event::TorqueNoted { .. } if !specified => reached.push("torque where none is specified"),
                    Event::StartRefused { grounds, .. } => {
                        reached.extend(grounds.iter().map(|ground| ground.word()));
                    }
                    Event::Rejected { rejection, .. } => {
                        reached.extend(rejection.grounds.iter().map(|ground| ground.word()));
                    }
                    _ => {}
                }
            }
            assert!(group.last_reading().is_none_or(|(at, _)| at < Instant::from_seconds(i64::MAX)));
        });
        if report.outside_at_seating.is_some() {
            reached.push("outside at seating");
        }
        reached.sort_unstable();
        reached.dedup();
        for word in reached {
            *met.entry(word).or_default() += 1;
        }
    }
    println!("{met:?}");
    met
}

#[test]
fn the_random_histories_reach_every_ground_and_every_kind_of_action_and_event() {
    // a log that cannot be trusted is nothing that a history tells of
    let told = Ground::ALL.into_iter().filter(|ground| *ground != Ground::UntrustedLog);
    // where hands are told of, and only there
    let of_hands = [Ground::NotCleaned, Ground::Nozzle, Ground::Underfilled, Ground::NotToDepth];
    let without_hands = told.clone().filter(|ground| !of_hands.contains(ground));
    let others = [
        "lost",
        "early torque rejects",
        "early torque after the cure",
        "cure moved",
        "cure withdrawn",
        "torque where none is specified",
        "outside at seating",
    ];
    let drawn = [
        (met(|seed| random_history(&mut numbers(seed))), without_hands.collect::<Vec<_>>()),
        (met(|seed| random_deed(&mut numbers(seed))), told.collect()),
    ];
    for (met, grounds) in drawn {
        for word in grounds.into_iter().map(Ground::word).chain(others) {
            let times = met.get(word).copied().unwrap_or(0);
            assert!(times >= 10, "{word} came up {times} times: {met:?}");
        }
    }
}

#[test]
fn the_rule_refuses_a_small_share_of_the_instants_of_measured_series() {
    println!("| series | instants | refused |");
    for (name, longest_gap, most) in
        [("mountain-winter-5min", 300, 14.0), ("upland-winter-10min", 900, 1.0), ("dead-probe-1min", 300, 0.0)]
    {
        let history = plain(recorded(name), settled(longest_gap), Hole::Dry, Rule::Coldest, (0, 0));
        let history = History { acts: Vec::new(), ..history };
        let (mut group, fixing) = engine::group(&history);
        let (mut judged, mut refused) = (0u32, 0u32);
        for what in engine::happenings(&history, fixing) {
            let _ = group.step(what, &mut |_| {}); // rows without a reading are among them
            let Some((at, _)) = group.last_reading() else { continue };
            let grounds = group.start_grounds(fixing, at, &Injection::default()).expect("it was added");
            if !grounds.has(Ground::NoReading) {
                judged += 1;
                refused += u32::from(grounds.has(Ground::ProbeNotSettled));
            }
        }
        let share = 100.0 * f64::from(refused) / f64::from(judged.max(1));
        println!("| {name} | {judged} | {refused} ({share:.1} %) |");
        assert!(share <= most, "{name}: {share} %");
        assert_eq!(judged == 0, name.starts_with("dead"), "{name}");
    }
}
