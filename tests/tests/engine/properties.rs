//! The properties of rule C6 on random histories: what must hold for every input, whatever the right answer is.
//!
//! Each test draws histories of its own, more than a hundred thousand together. A fixing that is never cured counts as
//! cured later than any instant. Every test also sees to it that its histories were worth running: that fixings cured,
//! and that the two sides differed now and then.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_core::fixing::Stage;
use holdoff_core::group::Group;
use holdoff_core::quantity::Instant;
use holdoff_tests::engine;
use holdoff_tests::invented::celsius;
use holdoff_tests::random::{histories, numbers};
use holdoff_tests::reference::{Act, History, Hole, RowKind, Rule, random_history};

/// Histories of each test.
const EACH: u64 = 25_000;

/// The second of the cure; never is later than any.
fn cured(history: &History) -> i64 {
    let (mut group, fixing) = engine::group(history);
    for what in engine::happenings(history, fixing) {
        let _ = group.step(what, &mut |_| {}); // what a random history does need not apply
    }
    let status = group.status(fixing).expect("it was added");
    status.cured_at.map_or(i64::MAX, Instant::seconds)
}

/// Draws histories and holds the cure of one against that of its altered twin.
struct Compared {
    seeds: std::ops::Range<u64>,
    /// How many cured.
    cured: u64,
    /// How many cured at another second than the twin.
    apart: u64,
}

impl Compared {
    /// `part` keeps the tests from drawing each other's histories.
    fn new(part: u64) -> Self {
        let start = part << 40;
        Self { seeds: start..start + histories(EACH), cured: 0, apart: 0 }
    }

    /// `alter` makes the twin, which may never cure earlier; `None` where the history has none.
    fn never_earlier(mut self, alter: impl Fn(&mut History, &mut dyn FnMut() -> u64) -> Option<History>) {
        for seed in self.seeds.clone() {
            let mut numbers = numbers(seed);
            let mut history = random_history(&mut numbers);
            let Some(twin) = alter(&mut history, &mut numbers) else { continue };
            let (first, second) = (cured(&history), cured(&twin));
            assert!(first <= second, "seed {seed}: {first}, but altered {second}: {history:#?} {twin:#?}");
            self.cured += u64::from(first < i64::MAX);
            self.apart += u64::from(first != second);
        }
        let drawn = self.seeds.end - self.seeds.start;
        assert!(self.cured * 10 > drawn, "only {} of {drawn} cured", self.cured);
        assert!(self.apart * 100 > drawn, "only {} of {drawn} differ", self.apart);
    }
}

fn below(numbers: &mut dyn FnMut() -> u64, end: u64) -> u64 {
    numbers() % end
}

#[test]
fn an_announced_cure_never_moves_earlier_under_the_coldest_band_rule() {
    let start = 1 << 40;
    let mut moved = 0u64;
    for seed in start..start + histories(EACH) {
        let mut history = random_history(&mut numbers(seed));
        history.rule = Rule::Coldest;
        let mut latest: Option<Instant> = None;
        let (mut group, fixing) = engine::group(&history);
        for what in engine::happenings(&history, fixing) {
            let _ = group.step(what, &mut |_| {}); // as above
            let Some(announced) = group.status(fixing).expect("it was added").announced_at else { continue };
            if let Some(latest) = latest {
                assert!(announced >= latest, "seed {seed}: {latest:?}, then {announced:?} with {what:?}: {history:#?}");
                moved += u64::from(announced != latest);
            }
            latest = Some(announced);
        }
    }
    assert!(moved * 5 > histories(EACH), "announcements hardly ever moved: {moved}");
}

#[test]
fn seconds_of_the_three_classes_are_the_time_since_seating_after_every_step() {
    let start = 2 << 40;
    let mut curing = 0u64;
    for seed in start..start + histories(EACH) {
        let history = random_history(&mut numbers(seed));
        let (mut group, fixing) = engine::group(&history);
        for what in engine::happenings(&history, fixing) {
            let _ = group.step(what, &mut |_| {}); // as above
            let status = group.status(fixing).expect("it was added");
            let Some(seated) = status.seated_at else {
                assert_eq!(status.tally.elapsed(), 0, "seed {seed}: {what:?}");
                continue;
            };
            let until = match status.stage {
                Stage::Curing | Stage::Held => last_reading(&group),
                Stage::Cured(cured) => cured.at(),
                Stage::Released(_) => status.cured_at.expect("released is cured"),
                Stage::Planned
                | Stage::Refused
                | Stage::Working
                | Stage::Rejected(_)
                | Stage::AcceptedAsIs(_)
                | Stage::Removed(_) => continue,
            };
            let sum = status.tally.bands.iter().map(|seconds| u64::from(*seconds)).sum::<u64>()
                + status.tally.held
                + status.tally.unobserved;
            assert_eq!(i128::from(sum), i128::from(until.since(seated).max(0)), "seed {seed}: {what:?} {status:#?}");
            curing += 1;
        }
    }
    assert!(curing > histories(EACH), "hardly anything cured: {curing}");
}

fn last_reading(group: &Group) -> Instant {
    group.last_reading().expect("a seated fixing has one").0
}

#[test]
fn the_accrual_rule_never_cures_later_than_the_coldest_band_rule() {
    Compared::new(3).never_earlier(|history, _| {
        history.rule = Rule::Accrual;
        Some(History { rule: Rule::Coldest, ..history.clone() })
    });
}

#[test]
fn a_wet_hole_never_cures_earlier_than_a_dry_one() {
    Compared::new(4).never_earlier(|history, numbers| {
        // a start in a dry hole must not be refused where one in a wet hole is not
        if !history.resin.allowed.contains(&Hole::Dry) {
            return None;
        }
        history.hole = Hole::Dry;
        // nor may it be changed to a condition that the resin excludes, which rejects the dry one and not a wetter one
        history.acts.retain(|act| !matches!(act, Act::Hole { .. }));
        let hole = if below(numbers, 3) == 0 { Hole::Flooded } else { Hole::Wet };
        Some(History { hole, ..history.clone() })
    });
}

#[test]
fn a_hole_that_turns_out_wet_at_last_cures_as_if_it_had_been_wet_from_the_start() {
    let start = 5 << 40;
    let (mut cured, mut undone) = (0u64, 0u64);
    for seed in start..start + histories(EACH) {
        let mut history = random_history(&mut numbers(seed));
        history.hole = Hole::Dry;
        history.resin.allowed = vec![Hole::Dry, Hole::Wet];
        // nothing but readings decides, else the two fixings live different lives
        history.acts.retain(|act| matches!(act, Act::Inject { .. } | Act::Seat { .. }));
        let dry = engine::run(&history, |_, _, _, _| {});
        if dry.stage == "rejected" || dry.stage == "refused" || dry.stage == "planned" {
            continue;
        }
        let mut found_late = history.clone();
        let end = history.rows.iter().map(RowKind::at).max().expect("rows");
        found_late.acts.push(Act::Hole { at: end, to: Hole::Wet });
        let found_late = engine::run(&found_late, |_, _, _, _| {});
        let known = engine::run(&History { hole: Hole::Wet, ..history.clone() }, |_, _, _, _| {});
        assert_eq!(found_late, known, "seed {seed}: {history:#?}");
        cured += u64::from(dry.cured_at.is_some());
        undone += u64::from(dry.cured_at.is_some() && known.cured_at.is_none());
    }
    assert!(cured * 5 > histories(EACH) && undone * 50 > histories(EACH), "{cured} cured, {undone} undone");
}

#[test]
fn a_larger_uncertainty_never_cures_earlier() {
    Compared::new(6).never_earlier(|history, numbers| {
        let mut twin = history.clone();
        let more = ["0.00390625", "0.1", "0.37", "1", "2.5"];
        let more = more.get(usize::try_from(below(numbers, 5)).ok()?)?;
        let greatest = celsius("10");
        twin.settings.uncertainty = (twin.settings.uncertainty + celsius(more)).min(greatest);
        Some(twin)
    });
}

#[test]
fn a_larger_clock_allowance_never_cures_earlier() {
    Compared::new(7).never_earlier(|history, numbers| {
        history.settings.clock_ppm = below(numbers, 2) * below(numbers, 5_000);
        let mut twin = history.clone();
        twin.settings.clock_ppm += 1 + below(numbers, 5_000);
        Some(twin)
    });
}

#[test]
fn a_shorter_longest_gap_never_cures_earlier() {
    Compared::new(8).never_earlier(|history, numbers| {
        let mut twin = history.clone();
        let less = 1 + below(numbers, history.settings.longest_gap);
        twin.settings.longest_gap = (history.settings.longest_gap - less).max(1);
        Some(twin)
    });
}
