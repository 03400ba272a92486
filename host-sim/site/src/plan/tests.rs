#![allow(clippy::unwrap_used, clippy::panic, reason = "a broken expectation must stop the test")]

use super::{Began, Fate, Outlook, Setup, Start, deadline, sweep, windows};
use crate::replay::{self, Unwatched};
use crate::series::Series;
use crate::series::random::{self, Trouble};
use fastrand::Rng;
use holdoff_core::cure::Rule;
use holdoff_core::fixing::{Action, Cartridge, FixingSpec, Injection, Stage, Status, TorqueRange};
use holdoff_core::group::FixingNumber;
use holdoff_core::quantity::{Count, Instant, Span, Torque};
use holdoff_core::resin::{Hole, Resin};
use holdoff_files::deeds::build;
use holdoff_files::deeds::{Act, Fixing, Plan};
use holdoff_files::hands::Hands;

/// A plain replay of one start, with more actions.
fn replayed(setup: &Setup<'_>, series: &Series, rule: Rule, acts: &[(Instant, Action)]) -> Status {
    let acts = acts.iter().map(|(at, action)| Act { at: *at, action: *action, offset_seconds: 0, by: None }).collect();
    let torque = TorqueRange::new(Torque::from_hundredths(3800), Torque::from_hundredths(4200));
    let spec = FixingSpec { hole: setup.hole, torque };
    let plan = Plan { fixings: vec![Fixing { name: None, spec, acts, offset_seconds: 0 }], hands: Hands::NONE };
    // a plan does not judge whether the probe has settled (rule R6)
    let settings = setup.settings.with_settle(Span::ZERO).unwrap();
    let group = build(setup.resin, settings, rule, &plan).unwrap();
    let outcome = replay::run(&mut series.replay(), group, &plan, &mut Unwatched).unwrap();
    outcome.group.status(FixingNumber::new(0).unwrap()).unwrap()
}

fn same(fate: Fate, status: &Status) -> bool {
    match (fate, status.stage) {
        (Fate::Cured { at, .. }, Stage::Cured(cured)) => at == cured.at(),
        (Fate::Rejected { at, grounds }, Stage::Rejected(rejection)) => {
            (at, grounds) == (rejection.at, rejection.grounds)
        }
        (Fate::Open, Stage::Curing | Stage::Held | Stage::Working) => true,
        _ => false,
    }
}

fn injection(dice: &mut Rng, series: &Series) -> Injection {
    let cartridge = dice.bool().then(|| Cartridge::exactly(Count::from_degrees(dice.i8(3..30))));
    let rows = series.rows();
    let past_from = (dice.u8(0..4) == 0).then(|| Instant::from_seconds(rows[dice.usize(0..rows.len())].seconds));
    Injection { in_hole: None, cartridge, past_from }
}

fn case<'a>(dice: &mut Rng, resin: &'a Resin, series: &Series) -> Setup<'a> {
    let hole = if dice.bool() { Hole::Dry } else { Hole::Wet };
    let seat_after = dice.i64(0..40) * 60;
    Setup { resin, settings: random::settings(dice), hole, injection: injection(dice, series), seat_after }
}

/// Starts on steps of some seconds over the series.
fn starts(setup: &Setup<'_>, series: &Series, every: i64) -> Vec<Instant> {
    let rows = series.rows();
    let last = rows.iter().map(|row| row.seconds).max().unwrap() - setup.seat_after;
    let steps = (0..).map(|step| rows[0].seconds - 120 + step * every);
    steps.take_while(|at| *at <= last).map(Instant::from_seconds).collect()
}

#[test]
fn every_answer_of_a_plan_is_that_of_a_plain_replay() {
    let (mut refused, mut cured, mut rejected, mut open) = (0, 0, 0, 0);
    for seed in 0..120 {
        let mut dice = Rng::with_seed(seed);
        let (mean, swing) = (35.0 * dice.f64() - 5.0, 9.0 * dice.f64());
        let trouble = if dice.u8(0..3) == 0 { Trouble::None } else { Trouble::Some };
        let series = random::series(&mut dice, 500, mean, swing, trouble);
        let resin = random::resin(&mut dice);
        let setup = case(&mut dice, &resin, &series);
        let starts = starts(&setup, &series, 60 * dice.i64(1..20) + dice.i64(0..2));
        let made = sweep(setup, &series, &starts).unwrap();
        assert_eq!(made.len(), starts.len());
        for _ in 0..40 {
            let start = made[dice.usize(0..made.len())];
            let acts = [(start.at, Action::Inject(setup.injection)), (start.at.after(setup.seat_after), Action::Seat)];
            let coldest = replayed(&setup, &series, Rule::Coldest, &acts);
            match start.began {
                Began::Refused(grounds) => {
                    assert_eq!((coldest.stage, coldest.grounds), (Stage::Refused, grounds), "seed {seed}");
                    refused += 1;
                }
                Began::Injected { seat_by, coldest: fate, accrual } => {
                    assert!(same(fate, &coldest), "seed {seed}: {fate:?} {coldest:?}");
                    let summed = replayed(&setup, &series, Rule::Accrual, &acts);
                    assert!(same(accrual.unwrap(), &summed), "seed {seed}: {accrual:?} {summed:?}");
                    let unseated = replayed(&setup, &series, Rule::Coldest, &acts[..1]);
                    match unseated.stage {
                        Stage::Rejected(rejection)
                            if rejection.grounds.bits()
                                == holdoff_core::fixing::Grounds::only(holdoff_core::fixing::Ground::NotSeated)
                                    .bits() =>
                        {
                            assert_eq!(seat_by, Some(rejection.at), "seed {seed}");
                        }
                        Stage::Working => assert_eq!(seat_by, unseated.seat_by, "seed {seed}"),
                        _ => {}
                    }
                    match fate {
                        Fate::Cured { .. } => cured += 1,
                        Fate::Rejected { .. } => rejected += 1,
                        Fate::Open => open += 1,
                    }
                }
            }
        }
    }
    assert!(refused > 300 && cured > 300 && rejected > 300 && open > 100, "{refused} {cured} {rejected} {open}");
}

#[test]
fn a_torque_at_the_time_a_start_may_be_torqued_releases_and_one_a_second_before_rejects() {
    let mut tried = 0;
    for seed in 200..260 {
        let mut dice = Rng::with_seed(seed);
        let mean = 25.0 * dice.f64();
        let series = random::series(&mut dice, 600, mean, 4.0, Trouble::Some);
        let resin = random::resin(&mut dice);
        let setup = case(&mut dice, &resin, &series);
        let made = sweep(setup, &series, &starts(&setup, &series, 900)).unwrap();
        for start in made.iter().filter(|start| start.fate(Rule::Coldest).is_some()).take(20) {
            let Some(Fate::Cured { at, known }) = start.fate(Rule::Coldest) else { continue };
            assert!(at <= known);
            let torque = |at| {
                let acts = [
                    (start.at, Action::Inject(setup.injection)),
                    (start.at.after(setup.seat_after), Action::Seat),
                    (at, Action::Torque(Torque::from_hundredths(4000))),
                ];
                replayed(&setup, &series, Rule::Coldest, &acts).stage
            };
            assert!(matches!(torque(known), Stage::Released(_)), "seed {seed}");
            if known > start.at.after(setup.seat_after) {
                assert!(matches!(torque(known.after(-1)), Stage::Rejected(_)), "seed {seed}");
            }
            tried += 1;
        }
    }
    assert!(tried > 100, "{tried}");
}

#[test]
fn colder_is_never_earlier() {
    let (mut both, mut later) = (0, 0);
    for seed in 300..380 {
        let mut dice = Rng::with_seed(seed);
        // not so warm that it is held at the upper limit, below which colder would count and warmer not
        let mean = 18.0 * dice.f64() - 4.0;
        let series = random::series(&mut dice, 500, mean, 4.0, Trouble::None);
        let resin = random::resin(&mut dice);
        let setup = case(&mut dice, &resin, &series);
        let starts = starts(&setup, &series, 1200);
        let plain = sweep(setup, &series, &starts).unwrap();
        let colder = sweep(setup, &series.colder(dice.u16(0..1500)), &starts).unwrap();
        for (plain, colder) in plain.iter().zip(&colder) {
            for rule in [Rule::Coldest, Rule::Accrual] {
                let from = |start: &Start| start.fate(rule).and_then(|fate| fate.torque_from());
                if let (Some(plain), Some(colder)) = (from(plain), from(colder)) {
                    assert!(plain <= colder, "seed {seed}");
                    both += 1;
                    later += u32::from(plain < colder);
                }
                // a seating that came too late where it was warmer may be in time where it is colder; else nothing cures
                let late = matches!(plain.fate(rule), Some(Fate::Rejected { grounds, .. })
                    if grounds.has(holdoff_core::fixing::Ground::SeatedLate));
                assert!(from(plain).is_some() || from(colder).is_none() || late, "seed {seed}: {plain:?} {colder:?}");
            }
        }
    }
    assert!(both > 300 && later > 100, "{both} {later}");
}

#[test]
fn windows_cover_all_starts_and_a_deadline_names_those_in_time() {
    for seed in 400..430 {
        let mut dice = Rng::with_seed(seed);
        let series = random::series(&mut dice, 500, 6.0, 8.0, Trouble::Some);
        let resin = random::resin(&mut dice);
        let setup = case(&mut dice, &resin, &series);
        let starts = starts(&setup, &series, 300);
        let made = sweep(setup, &series, &starts).unwrap();
        let windows = windows(&made, Rule::Coldest, 300);
        for start in &made {
            let inside: Vec<_> =
                windows.iter().filter(|window| window.from <= start.at && start.at <= window.to).collect();
            assert_eq!(inside.len(), 1);
            assert_eq!(inside[0].standing, Outlook::of(start, Rule::Coldest));
        }
        let by = Instant::from_seconds(series.rows()[400].seconds);
        let found = deadline(&made, Rule::Coldest, 300, by);
        let in_time =
            |start: &&Start| matches!(start.fate(Rule::Coldest), Some(Fate::Cured { known, .. }) if known <= by);
        assert_eq!(found.latest, made.iter().filter(in_time).map(|start| start.at).max());
        for start in &made {
            let inside = found.windows.iter().any(|window| window.from <= start.at && start.at <= window.to);
            assert_eq!(inside, in_time(&start), "seed {seed}");
        }
    }
}
