//! No input reaches a panic (rule Q3): hostile resins, settings and happenings.
//!
//! Instants from one end of 64 bits to the other, any count, actions in any order on any fixing, restarts and distrust
//! at any time, limits at the ends of 16 bits, working times of 136 years. The test profile has overflow checks on, so
//! that a sum that wraps where nobody said it may is a panic here; in the release profile only other panics would show.
//!
//! Beside not panicking, some things hold whatever is thrown at the engine: the three classes never sum to less than
//! one of them, a served time is never over the counted one, nothing is cured before it was seated, and a rejection
//! stays.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_core::cure::{Rule, Settings, Uncertainty};
use holdoff_core::fixing::{
    Action, Cartridge, CleaningDone, CleaningKind, Decision, Declaration, Fact, FixingSpec, InHole, Injection,
    SeatingFacts, Stage, Status, TorqueRange,
};
use holdoff_core::group::{Darkness, FixingNumber, Group, Happening, MOST_FIXINGS, Verdict};
use holdoff_core::probe::{Refusal, SensorKind};
use holdoff_core::quantity::{Count, Instant, Span, Torque};
use holdoff_core::resin::{Accrual, Band, Hole, Holes, Limits, Resin, ResinSpec};
use holdoff_tests::random::{histories, numbers};
use std::collections::BTreeMap;

struct Dice<F: FnMut() -> u64> {
    numbers: F,
    /// In 1000 draws, how many are hostile; the others let a fixing live on.
    wild: u64,
}

impl<F: FnMut() -> u64> Dice<F> {
    fn new(mut numbers: F) -> Self {
        let wild = [5, 20, 100, 1000][(numbers() % 4) as usize];
        Self { numbers, wild }
    }
}

impl<F: FnMut() -> u64> Dice<F> {
    fn below(&mut self, end: u64) -> u64 {
        (self.numbers)() % end
    }

    fn pick<T: Copy>(&mut self, all: &[T]) -> T {
        all[usize::try_from(self.below(all.len() as u64)).expect("a place")]
    }

    fn is_wild(&mut self) -> bool {
        self.below(1000) < self.wild
    }

    /// Any count, the ends and the sensor's range more often than chance would.
    fn count(&mut self) -> Count {
        let any = (self.numbers)() as i16;
        Count::new(match self.below(8) {
            0 => self.pick(&[i16::MIN, i16::MIN + 1, -14_081, -14_080, 0, 32_000, 32_001, i16::MAX - 1, i16::MAX]),
            1..=4 => any % 2048,
            _ => any,
        })
    }

    /// An instant a little after `now`; or at it, before it, or anywhere.
    fn instant(&mut self, now: Instant) -> Instant {
        if !self.is_wild() {
            return now.after(1 + self.below(100).cast_signed());
        }
        match self.below(6) {
            0 => {
                let ends = [i64::MIN, i64::MIN + 1, -1, 0, 1, i64::MAX - 1, i64::MAX, 1 << 62, -(1 << 62), 1 << 32];
                Instant::from_seconds(self.pick(&ends))
            }
            1 => Instant::from_seconds((self.numbers)() as i64),
            2 => now.after(-self.below(500).cast_signed()),
            3 => now.after(self.below(1 << 40).cast_signed()),
            4 => now,
            _ => now.after(1 + self.below(5000).cast_signed()),
        }
    }

    fn span(&mut self, most: u32) -> Span {
        if !self.is_wild() {
            return Span::from_seconds(1 + self.below(3000).min(u64::from(most) - 1) as u32);
        }
        let any = self.below(u64::from(most)) as u32;
        Span::from_seconds(1 + self.pick(&[0, 59, 3599, any, any % 10_000, most - 1]).min(most - 1))
    }

    fn limits(&mut self) -> (Count, Count) {
        let (a, b) = (self.count(), self.count());
        if self.is_wild() { (a.min(b), a.max(b)) } else { (Count::new(i16::MIN), Count::new(i16::MAX)) }
    }

    /// A valid resin with numbers that no file may hold but an engine may be given.
    fn resin(&mut self) -> Option<Resin> {
        let mut edges: Vec<Count> = (0..1 + self.below(16)).map(|_| self.count()).collect();
        edges.sort();
        edges.dedup();
        let mut times: Vec<(Span, Span)> = Vec::new();
        let mut before = (Span::from_seconds(u32::MAX), Span::from_seconds(14 * 86_400));
        for _ in &edges {
            let (working, cure) = (self.span(u32::MAX).min(before.0), self.span(14 * 86_400).min(before.1));
            before = (working, cure);
            times.push(before);
        }
        let bands: Vec<Band> =
            edges.into_iter().zip(times).map(|(from, (working, cure))| Band { from, working, cure }).collect();
        let (install_least, install_greatest) = self.limits();
        let (cure_least, cure_greatest) = self.limits();
        let (cartridge_least, cartridge_greatest) = self.limits();
        let least = self.count();
        let greatest = self.count();
        let spec = ResinSpec {
            limits: Limits {
                install_least,
                install_greatest,
                cure_least,
                cure_greatest,
                reject_below: self.is_wild().then_some(least),
                reject_above: self.is_wild().then_some(greatest),
                longest_hold: self.is_wild().then(|| self.span(u32::MAX)),
            },
            cartridge_least,
            cartridge_greatest,
            holes: Hole::ALL.into_iter().filter(|_| self.below(6) > 0).fold(Holes::NONE, Holes::with),
            wet_factor: 2 + self.below(9) as u8,
            accrual: Accrual::Permitted,
            bands: &bands,
        };
        Resin::new(&spec).ok()
    }

    fn group(&mut self) -> Option<Group> {
        let resin = self.resin()?;
        let counts = [0, 1, 256, 2560, self.below(2561) as u16];
        let uncertainty = Uncertainty::from_counts(self.pick(&counts)).ok()?;
        let ppm = [0, 100, 10_000, self.below(10_001) as u16];
        let settings = Settings::new(uncertainty, self.span(3600), self.pick(&ppm)).ok()?;
        let settles = [Span::ZERO, Span::from_seconds(180), self.span(3600)];
        let settings = settings.with_settle(self.pick(&settles)).ok()?;
        let mut group = Group::new(resin, settings, self.pick(&[Rule::Coldest, Rule::Accrual])).ok()?;
        for _ in 0..self.below(MOST_FIXINGS as u64 + 1) {
            let (least, greatest) =
                if self.is_wild() { ((self.numbers)() as u32, (self.numbers)() as u32) } else { (1, u32::MAX) };
            let torque = TorqueRange::new(Torque::from_hundredths(least), Torque::from_hundredths(greatest));
            group.add(&FixingSpec { hole: self.pick(&Hole::ALL), torque }).ok()?;
        }
        Some(group)
    }

    fn action(&mut self, now: Instant) -> Action {
        if !self.is_wild() {
            return match self.below(16) {
                0..=7 => Action::Inject(Injection::default()),
                8..=14 => Action::Seat,
                _ => Action::Torque(Torque::from_hundredths(1 << 31)),
            };
        }
        match self.below(9) {
            0 | 1 => Action::Inject(Injection {
                in_hole: (self.below(3) == 0).then(|| InHole { at: self.instant(now), count: self.count() }),
                cartridge: (self.below(3) == 0).then(|| Cartridge { count: self.count(), judged: self.count() }),
                past_from: (self.below(6) == 0).then(|| self.instant(now)),
            }),
            2 | 3 => Action::Seat,
            4 => Action::Hole(self.pick(&Hole::ALL)),
            5 => {
                let any = (self.numbers)() as u32;
                let torque = Torque::from_hundredths(self.pick(&[0, u32::MAX, any]));
                if self.below(3) == 0 { Action::TorquedEarly(torque) } else { Action::Torque(torque) }
            }
            6 => Action::CarriedOut,
            7 => Action::Declare(self.declaration()),
            _ => Action::Decide(self.pick(&[Decision::Accept, Decision::Remove])),
        }
    }

    fn declaration(&mut self) -> Declaration {
        let facts = [Fact::NotDeclared, Fact::Yes, Fact::No];
        match self.below(4) {
            0 => Declaration::Cleaned(CleaningDone {
                kind: self.pick(&CleaningKind::ALL),
                count: (self.numbers)() as u8,
                took: Span::from_seconds((self.numbers)() as u32),
            }),
            1 => Declaration::NewNozzle,
            2 => Declaration::Discarded,
            _ => Declaration::Seating(SeatingFacts { excess: self.pick(&facts), depth: self.pick(&facts) }),
        }
    }

    fn happening(&mut self, now: Instant, near: Count) -> Happening {
        let at = self.instant(now);
        if self.below(4) == 0 {
            let many = if self.is_wild() { MOST_FIXINGS as u64 } else { 3 };
            let fixing = FixingNumber::new(self.below(many) as u8).expect("0 to 15");
            return Happening::Action { at, fixing, action: self.action(now) };
        }
        if !self.is_wild() {
            let off = (self.numbers)() as i16 % 200;
            return Happening::Reading { at, count: Count::new(near.raw().saturating_add(off)) };
        }
        match self.below(16) {
            0..=5 => Happening::Reading { at, count: self.count() },
            6..=8 => {
                let causes = [
                    Refusal::NotLater,
                    Refusal::Bus,
                    Refusal::OutOfRange,
                    Refusal::PowerUp,
                    Refusal::Step,
                    Refusal::Supply,
                ];
                Happening::Unusable { at, cause: self.pick(&causes) }
            }
            9 | 10 => Happening::Missing { at },
            11 => Happening::Lost { at },
            12 => Happening::Untrusted,
            _ => Happening::PowerUp { dark: self.pick(&[Darkness::Known, Darkness::Unknown]) },
        }
    }
}

/// What holds for every status, whatever happened.
fn must_hold(status: &Status) {
    let tally = &status.tally;
    assert!(tally.elapsed() >= tally.counted() && tally.elapsed() >= tally.not_counted(), "{status:#?}");
    assert!(status.served <= tally.counted(), "{status:#?}");
    if let Some(cured) = status.cured_at {
        assert!(status.seated_at.is_some_and(|seated| seated < cured), "{status:#?}");
    }
    if let Stage::Cured(cured) = status.stage {
        assert_eq!(status.cured_at, Some(cured.at()));
        assert!(status.served >= status.required || status.accrued >= 1 << 64, "{status:#?}");
    }
    assert_eq!(status.seated_at.is_none(), status.coldest.is_none(), "{status:#?}");
}

fn is_rejected(stage: &Stage) -> bool {
    matches!(stage, Stage::Rejected(_) | Stage::AcceptedAsIs(_) | Stage::Removed(_))
}

#[test]
fn no_sequence_of_happenings_panics() {
    let mut met: BTreeMap<&str, u64> = BTreeMap::new();
    let start = 13 << 40;
    for seed in start..start + histories(200_000) / 20 {
        let mut dice = Dice::new(numbers(seed));
        let Some(mut group) = dice.group() else { continue };
        let base = dice.count();
        let mut now = dice.instant(Instant::from_seconds(0));
        let mut rejected = [false; MOST_FIXINGS];
        for _ in 0..150 {
            let near = group.last_reading().map_or(base, |(_, count)| count);
            let what = dice.happening(now, near);
            let _ = group.step(what, &mut |_| {}); // any verdict will do
            now = group.last_reading().map_or(now, |(at, _)| at);
            for number in group.fixings() {
                let status = group.status(number).expect("it is one of them");
                must_hold(&status);
                let was = &mut rejected[number.place()];
                assert!(!*was || is_rejected(&status.stage), "seed {seed}: {what:?} {status:#?}");
                *was = is_rejected(&status.stage);
            }
        }
        for number in group.fixings() {
            *met.entry(group.status(number).expect("it is one of them").stage.word()).or_default() += 1;
        }
    }
    for stage in ["planned", "refused", "working", "curing", "held", "cured", "released", "rejected"] {
        assert!(met.get(stage).is_some_and(|times| *times >= 20), "{stage} hardly came up: {met:?}");
    }
}

#[test]
fn no_sequence_of_readings_panics_on_the_short_path() {
    // long runs of readings that are accepted, to and across the end of time
    let start = 14 << 40;
    for seed in start..start + histories(200_000) / 100 {
        let mut dice = Dice::new(numbers(seed));
        let Some(mut group) = dice.group() else { continue };
        let fixings: Vec<FixingNumber> = group.fixings().collect();
        let begin = [i64::MIN, -(1 << 62), -3000, 0, (1 << 62) - 40_000, i64::MAX, (1 << 32) - 9_000];
        let mut at = Instant::from_seconds(dice.pick(&begin));
        let mut count = dice.count();
        for number in 0..400 {
            at = at.after(1 + dice.below(u64::from(group.settings().longest_gap().seconds()) + 1).cast_signed());
            let off = (dice.numbers)() as i16 % 200;
            count = Count::new(count.raw().saturating_add(off));
            let _ = group.step(Happening::Reading { at, count }, &mut |_| {}); // any verdict will do
            if number < 4 {
                for fixing in &fixings {
                    let action = if number < 2 { Action::Inject(Injection::default()) } else { Action::Seat };
                    let _ = group.step(Happening::Action { at, fixing: *fixing, action }, &mut |_| {});
                }
            }
        }
        for fixing in fixings {
            must_hold(&group.status(fixing).expect("it is one of them"));
        }
    }
}

#[test]
fn instants_at_both_ends_of_time_have_an_exact_difference() {
    let (first, last) = (Instant::from_seconds(i64::MIN), Instant::from_seconds(i64::MAX));
    assert_eq!(i128::from(last.since(first)), i128::from(last.seconds()) - i128::from(first.seconds()));
    assert_eq!(i128::from(first.since(last)), i128::from(first.seconds()) - i128::from(last.seconds()));
    assert_eq!((last.after(i64::MAX), first.after(i64::MIN)), (last, first));
    // a reading at one end and the next at the other: judged by all the time between them
    let mut dice = Dice::new(numbers(16 << 40));
    for _ in 0..1000 {
        let Some(mut group) = dice.group() else { continue };
        for at in [first, last] {
            let reading = Happening::Reading { at, count: Count::new(0) };
            assert_eq!(group.step(reading, &mut |_| {}), Verdict::Accepted);
            assert_eq!(group.last_reading(), Some((at, Count::new(0))));
        }
    }
}

#[test]
fn no_resin_that_may_be_asked_for_panics() {
    let mut dice = Dice::new(numbers(15 << 40));
    let valid = (0..histories(100_000)).filter(|_| dice.resin().is_some()).count();
    assert!(valid > 1000, "only {valid} of them were valid");
    // bands in any order, with zero times and too many of them: refused, not a panic
    for _ in 0..histories(100_000) {
        let bands: Vec<Band> = (0..dice.below(20))
            .map(|_| Band {
                from: dice.count(),
                working: Span::from_seconds(dice.below(3) as u32),
                cure: Span::from_seconds((dice.numbers)() as u32),
            })
            .collect();
        let (least, greatest) = (dice.count(), dice.count());
        let limits = Limits {
            install_least: least,
            install_greatest: greatest,
            cure_least: least,
            cure_greatest: greatest,
            reject_below: Some(greatest),
            reject_above: Some(least),
            longest_hold: Some(Span::ZERO),
        };
        let spec = ResinSpec {
            limits,
            cartridge_least: least,
            cartridge_greatest: greatest,
            holes: Holes::NONE.with(Hole::Dry),
            wet_factor: (dice.numbers)() as u8,
            accrual: Accrual::Forbidden,
            bands: &bands,
        };
        assert!(Resin::new(&spec).is_err(), "a longest hold of zero is never valid");
    }
}

#[test]
fn no_register_of_any_sensor_panics() {
    for register in 0..=u16::MAX {
        for kind in [SensorKind::TwelveBit, SensorKind::ThirteenBit, SensorKind::SixteenBit, SensorKind::OneWire] {
            let _ = kind.count(register);
        }
    }
}
