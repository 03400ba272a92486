//! Up to sixteen fixings on one probe are so many fixings on a probe each.
//!
//! The group judges a reading once and keeps one running tally for all its fixings; each fixing's seconds are a
//! difference. Here every fixing of a group lives through random actions of its own, sensible ones and others, and
//! after every step its status and its events are those of a group that has this fixing alone.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_core::fixing::{
    Action, Cartridge, Decision, FixingSpec, InHole, Injection, NotApplicable, Stage, TorqueRange,
};
use holdoff_core::group::{Event, FixingNumber, Group, GroupError, Happening, MOST_FIXINGS, Verdict};
use holdoff_core::quantity::{Count, Instant, Torque};
use holdoff_core::resin::Hole;
use holdoff_tests::engine;
use holdoff_tests::random::{histories, numbers};
use holdoff_tests::reference::{History, random_history};
use std::collections::BTreeMap;

struct Dice<F: FnMut() -> u64>(F);

impl<F: FnMut() -> u64> Dice<F> {
    fn below(&mut self, end: i64) -> i64 {
        i64::try_from((self.0)() % end.unsigned_abs()).expect("below a small number")
    }

    fn pick<T: Copy>(&mut self, all: &[T]) -> T {
        all[usize::try_from(self.below(i64::try_from(all.len()).expect("few"))).expect("a place")]
    }
}

/// An empty group like the one of the history.
fn empty(history: &History) -> Group {
    let (group, _) = engine::group(history);
    Group::new(group.resin().clone(), *group.settings(), group.rule()).expect("as before")
}

fn spec<F: FnMut() -> u64>(dice: &mut Dice<F>) -> FixingSpec {
    let torque = TorqueRange::new(Torque::from_hundredths(1000), Torque::from_hundredths(2000));
    FixingSpec { hole: dice.pick(&Hole::ALL), torque: if dice.below(5) == 0 { None } else { torque } }
}

/// What somebody does next to a fixing at this stage; mostly what is due.
fn action<F: FnMut() -> u64>(dice: &mut Dice<F>, stage: Stage, at: i64, around: i16) -> Action {
    let due = dice.below(6) > 0;
    match stage {
        Stage::Planned | Stage::Refused if due => inject(dice, at, around),
        Stage::Working if due => Action::Seat,
        Stage::Curing | Stage::Held if due && dice.below(30) > 0 => Action::Seat, // does not apply
        Stage::Cured(_) if due => Action::Torque(Torque::from_hundredths(dice.pick(&[900, 1500, 1500, 2100]))),
        _ => match dice.below(7) {
            0 => inject(dice, at, around),
            1 => Action::Seat,
            2 | 3 => Action::Hole(dice.pick(&Hole::ALL)),
            4 => Action::Torque(Torque::from_hundredths(dice.pick(&[900, 1500, 2100]))),
            5 => Action::CarriedOut,
            _ => Action::Decide(dice.pick(&[Decision::Accept, Decision::Remove])),
        },
    }
}

fn inject<F: FnMut() -> u64>(dice: &mut Dice<F>, at: i64, around: i16) -> Action {
    let near = |dice: &mut Dice<F>| {
        let off = i16::try_from(dice.below(1024)).expect("small") - 512;
        Count::new(around.saturating_add(off))
    };
    let in_hole =
        (dice.below(3) == 0).then(|| InHole { at: Instant::from_seconds(at - dice.below(1000)), count: near(dice) });
    let cartridge = (dice.below(3) == 0).then(|| Cartridge::exactly(near(dice)));
    let past_from = (dice.below(8) == 0).then(|| Instant::from_seconds(at + dice.below(10) - 1));
    Action::Inject(Injection { in_hole, cartridge, past_from })
}

/// The fixing that an event is about; `None` when it is about the probe.
fn about(event: &mut Event) -> Option<&mut FixingNumber> {
    match event {
        Event::Interval { .. } | Event::CandidateAccepted { .. } | Event::Stuck { .. } => None,
        Event::StartRefused { fixing, .. }
        | Event::Started { fixing, .. }
        | Event::Seated { fixing, .. }
        | Event::HoleStricter { fixing, .. }
        | Event::Cured { fixing, .. }
        | Event::Withdrawn { fixing, .. }
        | Event::CureMoved { fixing, .. }
        | Event::TorqueNoted { fixing, .. }
        | Event::Released { fixing, .. }
        | Event::Rejected { fixing, .. }
        | Event::Decided { fixing, .. } => Some(fixing),
    }
}

/// The event as the fixing hears it that has this number here and is alone there; `None` when it is about another one.
fn heard(mut event: Event, number: FixingNumber) -> Option<Event> {
    if let Some(fixing) = about(&mut event) {
        if *fixing != number {
            return None;
        }
        *fixing = first();
    }
    Some(event)
}

fn first() -> FixingNumber {
    FixingNumber::new(0).expect("0 is a number")
}

/// A group and, for each of its fixings, a group with that one alone.
struct Both {
    together: Group,
    apart: Vec<Group>,
}

impl Both {
    fn step(&mut self, what: Happening) {
        let mut told = Vec::new();
        let verdict = self.together.step(what, &mut |event| told.push(event));
        for (place, group) in self.apart.iter_mut().enumerate() {
            let number = FixingNumber::new(u8::try_from(place).expect("few")).expect("few");
            let mine = match what {
                Happening::Action { fixing, .. } if fixing != number => None,
                Happening::Action { at, action, .. } => Some(Happening::Action { at, fixing: first(), action }),
                other => Some(other),
            };
            let mut events = Vec::new();
            if let Some(mine) = mine {
                assert_eq!(group.step(mine, &mut |event| events.push(event)), verdict);
            }
            let of_mine: Vec<Event> = told.iter().filter_map(|event| heard(*event, number)).collect();
            assert_eq!(events, of_mine, "{what:?}");
            assert_eq!(group.status(first()), self.together.status(number), "{what:?}");
            assert_eq!(group.readings(), self.together.readings());
            assert_eq!(group.last_reading(), self.together.last_reading());
            assert_eq!(group.is_outside(), self.together.is_outside());
        }
    }
}

#[test]
fn a_group_of_fixings_is_as_many_groups_of_one() {
    let mut met: BTreeMap<&str, u64> = BTreeMap::new();
    let start = 12 << 40;
    for seed in start..start + histories(60_000) / 20 {
        let mut numbers = numbers(seed);
        let history = History { acts: Vec::new(), ..random_history(&mut numbers) };
        let mut dice = Dice(numbers);
        let many = dice.pick(&[2, 3, 7, MOST_FIXINGS]);
        let mut both = Both { together: empty(&history), apart: Vec::new() };
        for _ in 0..many {
            let spec = spec(&mut dice);
            both.together.add(&spec).expect("at most sixteen");
            let mut group = empty(&history);
            group.add(&spec).expect("the first fits");
            both.apart.push(group);
        }
        for row in engine::happenings(&history, first()) {
            both.step(row);
            let Some((last, count)) = both.together.last_reading() else { continue };
            for _ in 0..dice.below(4) {
                let place = dice.below(i64::try_from(many).expect("few"));
                let number = FixingNumber::new(u8::try_from(place).expect("few")).expect("few");
                let at = last.seconds() + dice.below(20);
                let stage = both.together.status(number).expect("it was added").stage;
                let action = action(&mut dice, stage, at, count.raw());
                both.step(Happening::Action { at: Instant::from_seconds(at), fixing: number, action });
            }
            if dice.below(2000) == 0 {
                both.step(Happening::Untrusted);
            }
        }
        for number in both.together.fixings() {
            *met.entry(both.together.status(number).expect("it is one of them").stage.word()).or_default() += 1;
        }
    }
    let all = ["planned", "refused", "working", "curing", "held", "cured", "released", "rejected", "accepted-as-is"];
    for stage in all.into_iter().chain(["removed"]) {
        assert!(met.get(stage).is_some_and(|times| *times >= 50), "{stage} hardly came up: {met:?}");
    }
}

#[test]
fn a_group_has_room_for_sixteen_fixings_and_knows_no_seventeenth() {
    let history = random_history(&mut numbers(0));
    let mut group = empty(&history);
    let spec = FixingSpec { hole: Hole::Dry, torque: None };
    for place in 0..16 {
        assert_eq!(group.add(&spec), Ok(FixingNumber::new(place).expect("0 to 15")));
    }
    assert_eq!(group.add(&spec), Err(GroupError::Full));
    assert_eq!(FixingNumber::new(16), None);
    assert_eq!(group.fixings().count(), MOST_FIXINGS);
}

#[test]
fn an_action_on_a_fixing_that_was_never_planned_changes_nothing() {
    let (mut group, _) = engine::group(&random_history(&mut numbers(0)));
    let before = group.clone();
    let stranger = FixingNumber::new(1).expect("0 to 15");
    let what = Happening::Action { at: Instant::from_seconds(0), fixing: stranger, action: Action::Seat };
    let verdict = group.step(what, &mut |event| panic!("{event:?}"));
    assert_eq!(verdict, Verdict::NotApplicable(NotApplicable::NoSuchFixing));
    assert_eq!(group, before);
    assert_eq!(group.status(stranger), None);
}
