//! Random payloads and random power cuts together: up to four cuts a life, everything in RAM dropped, a cold mount.
//!
//! What was acknowledged is there; what was not is old or new; the group is the replay of what is there; and no status
//! is earlier or milder than without the cuts. `HOLDOFF_HISTORIES` sets how many lives.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_core::fixing::{Action, Demands, Stage};
use holdoff_core::group::{Darkness, FixingNumber, Group, Happening, MOST_FIXINGS, Verdict};
use holdoff_core::log::{
    Acknowledged, DeviceId, Finding, FixingRecord, Item, LogError, Logger, Loss, MissingCause, Record, ResetCause,
    Source, StoreError, Trust, mount, read::Log,
};
use holdoff_tests::log_history::{Life, Op, apply, random_life};
use holdoff_tests::memory::{Cut, FakeMemory, Leaves, Then};
use holdoff_tests::random::{histories, numbers};

const DEVICE: DeviceId = DeviceId(*b"tests-01");

/// What must be in the log: the session's items but for evidence and ties, and the group that they make.
#[derive(Clone, Debug)]
struct Model {
    items: Vec<Item>,
    group: Option<Group>,
    /// The group had there been no restart.
    without_cuts: Option<Group>,
}

impl Model {
    const EMPTY: Self = Self { items: Vec::new(), group: None, without_cuts: None };

    fn step(&mut self, what: Happening) {
        let began = self.group.as_mut().is_some_and(|group| step(group, what));
        let restart = matches!(what, Happening::PowerUp { .. });
        let Some(group) = self.without_cuts.as_mut().filter(|_| !restart) else { return };
        let before = matches!(what, Happening::Action { action: Action::Inject(_), .. }).then(|| group.clone());
        let began_without = step(group, what);
        assert!(began_without || !began, "milder: without the cuts the start is refused: {what:?}");
        // Where a cut has a start refused nobody injects, so nobody does without the cuts: else a later start of that fixing, or
        // one with that nozzle, would be compared with another life's.
        if let Some(before) = before.filter(|_| began_without && !began) {
            *group = before;
        }
    }

    fn loss(&mut self, loss: Loss) {
        self.items.push(Item::Record(Record::Loss(loss)));
        self.step(Happening::Lost { at: loss.last });
    }

    /// A periodic happening was lost, the `count`-th since a loss was recorded.
    fn lost(&mut self, op: &Op, before: Option<Loss>, after: Option<Loss>, count: u32) {
        let Op::Happen(Happening::Reading { at, .. } | Happening::Unusable { at, .. } | Happening::Missing { at }) = op
        else {
            panic!("only what is periodic is lost: {op:?}")
        };
        // the loss before it may have been recorded in front of the reading that was lost then
        let before = match before {
            Some(loss) if count == 1 => {
                self.loss(loss);
                None
            }
            before => before,
        };
        assert_eq!(before.map_or(0, |loss| loss.count) + 1, count);
        if after.is_none() {
            self.loss(Loss { count, first: before.map_or(*at, |loss| loss.first), last: *at });
        }
    }

    fn power_up(&mut self, cause: ResetCause, dark: Darkness) {
        self.items.push(Item::Record(Record::PowerUp { dark, cause }));
        self.step(Happening::PowerUp { dark });
    }

    /// The operation is recorded.
    fn take(&mut self, op: &Op, open_page: u32) {
        match op {
            Op::Begin(beginning) => {
                let resin = beginning.resin.resin.clone();
                let mut group = Group::new(resin, beginning.job.settings, beginning.job.rule).expect("permitted");
                if beginning.source != Source::Trace {
                    group.look_back_as_a_logger();
                }
                group.demand(beginning.demands);
                (self.group, self.without_cuts) = (Some(group.clone()), Some(group));
                self.items = vec![Item::Record(Record::Resin(beginning.resin.clone()))];
                self.items.push(Item::Record(Record::Job(beginning.job)));
                if beginning.demands != Demands::NONE {
                    self.items.push(Item::Record(Record::Demands(beginning.demands)));
                }
            }
            Op::Add(label, spec) => {
                let group = self.group.as_mut().expect("a session");
                let number = group.add(spec).expect("there is room");
                self.without_cuts.as_mut().expect("a session").add(spec).expect("there is room");
                self.items.push(Item::Record(Record::Fixing(FixingRecord { number, label: *label, spec: *spec })));
            }
            Op::Batch(batch) => self.items.push(Item::Record(Record::Batch(*batch))),
            Op::Happen(what) => {
                self.items.push(match *what {
                    Happening::Reading { at, count } => Item::Reading { at, count },
                    Happening::Unusable { at, cause } => Item::Unusable { at, cause },
                    Happening::Missing { at } => Item::Missing { at, cause: MissingCause::NotTaken },
                    Happening::Lost { at } => Item::Record(Record::Loss(Loss { count: 1, first: at, last: at })),
                    Happening::Action { at, fixing, action } => Item::Record(Record::Action { at, fixing, action }),
                    Happening::PowerUp { dark } => Item::Record(Record::PowerUp { dark, cause: ResetCause::Unknown }),
                    Happening::Untrusted => Item::Record(Record::Untrusted),
                });
                // a restart of the history itself is there with and without the cuts
                if let (Happening::PowerUp { .. }, Some(group)) = (what, &mut self.without_cuts) {
                    let _ = group.step(*what, &mut |_| {}); // as above
                }
                self.step(*what);
            }
            Op::Clock(_) => {}
            Op::Release(fixing, signed) => {
                self.items.push(Item::Record(Record::Release { fixing: *fixing, signed: *signed }));
            }
            Op::Person(person) => self.items.push(Item::Record(Record::Person(*person))),
            Op::Hands(of) => self.items.push(Item::Record(Record::Hands { of: *of })),
            Op::Freed => self.items.push(Item::Record(Record::Freed { below: open_page })),
            Op::ReadOut => self.items.push(Item::Record(Record::ReadOut { below: open_page })),
        }
    }
}

/// Takes a step; whether an injection began with it.
fn step(group: &mut Group, what: Happening) -> bool {
    let verdict = group.step(what, &mut |_| {});
    let Happening::Action { fixing, action: Action::Inject(_), .. } = what else { return false };
    let refused = group.status(fixing).is_none_or(|status| status.stage == Stage::Refused);
    verdict == Verdict::Done && !refused
}

/// The newest session's items in a memory but for evidence and ties.
fn listed(memory: &FakeMemory) -> Vec<Item> {
    let mut items = Vec::new();
    let Ok(log) = Log::open(memory.bytes(), &mut |_| {}) else { return items };
    let mut keep = |item: &Item| match item {
        Item::Refused { .. }
        | Item::Record(
            Record::Identity(_) | Record::ClockTie(_) | Record::Stage { .. } | Record::CandidateAccepted { .. },
        ) => {}
        _ => items.push(item.clone()),
    };
    log.replay(log.newest_session(), &mut |_, _, _, (read, _)| keep(&read.item), &mut |_| {}, &mut |_| {})
        .expect("an image is always read");
    items
}

#[derive(Default, Debug)]
struct Figures {
    cuts: u64,
    restarts: u64,
    new: u64,
    lost: u64,
    no_room: u64,
    full: u64,
    wraps: u64,
}

struct Run<'a> {
    seed: u64,
    life: &'a Life,
    logger: Option<Logger<FakeMemory>>,
    model: Model,
    cuts: Vec<Cut>,
    figures: &'a mut Figures,
}

impl Run<'_> {
    fn arm(&mut self, memory: &mut FakeMemory) {
        if let Some(cut) = self.cuts.pop() {
            memory.cut(cut);
            self.figures.cuts += 1;
        }
    }

    /// Drops everything in RAM, mounts what the memory holds, and checks it against the candidates.
    fn restart(&mut self, candidates: Vec<Model>, rng: &mut impl FnMut() -> u64) {
        let seed = self.seed;
        let mut candidates = candidates;
        loop {
            self.figures.restarts += 1;
            let mut memory = self.logger.take().expect("there is one").into_memory();
            memory.revive();
            let items = listed(&memory);
            let (mut logger, report) = mount(memory, DEVICE, &mut |_: Finding| {}, &mut |_| {})
                .unwrap_or_else(|error| panic!("seed {seed}: {error:?}"));
            assert_eq!(report.trust, Trust::Trusted, "seed {seed}: {report:?}");
            let found = candidates.iter().position(|model| model.items == items);
            let Some(found) = found else {
                let other = candidates[0].items.iter().zip(&items).position(|(a, b)| a != b);
                panic!("seed {seed}: {} items are none of the candidates', first other {other:?}", items.len())
            };
            self.figures.new += u64::from(found > 0);
            self.model = candidates.swap_remove(found);
            assert_eq!(logger.group(), self.model.group.as_ref(), "seed {seed}");
            if logger.group().is_none() {
                self.logger = Some(logger);
                return;
            }
            // the power-up may be cut as well
            let mut memory = logger.into_memory();
            self.arm(&mut memory);
            logger = mount(memory, DEVICE, &mut |_| {}, &mut |_| {}).expect("mounted a moment ago").0;
            let dark = if rng().is_multiple_of(8) { Darkness::Unknown } else { Darkness::Known };
            let mut up = self.model.clone();
            up.power_up(ResetCause::BrownOut, dark);
            let taken = logger.power_up(dark, ResetCause::BrownOut, &mut |_| {});
            let dead = logger.memory().is_dead();
            if !dead {
                taken.unwrap_or_else(|error| {
                    assert!(matches!(error, LogError::Store(StoreError::Full { .. })), "seed {seed}: {error:?}")
                });
            }
            let cannot = taken.is_err() && !dead;
            self.logger = Some(logger);
            if cannot {
                return;
            }
            if dead {
                candidates = if taken.is_ok() { vec![up] } else { vec![self.model.clone(), up] };
                continue;
            }
            self.model = up;
            return;
        }
    }

    fn run(&mut self, rng: &mut impl FnMut() -> u64) {
        let seed = self.seed;
        for op in &self.life.ops {
            let mut tries = 0;
            loop {
                let logger = self.logger.as_mut().expect("there is one");
                let before = logger.losing();
                let open_page = logger.head().map_or(0, |head| head.page);
                let result = apply(logger, op);
                let after = logger.losing();
                let dead = logger.memory().is_dead();
                // what may be there when it was not acknowledged
                let mut candidates = vec![self.model.clone()];
                if let Some(loss) = before {
                    let mut model = self.model.clone();
                    model.loss(loss);
                    candidates.push(model);
                }
                let mut with = candidates.last().expect("one").clone();
                match &result {
                    Ok(Some(Acknowledged::Stored(_)) | None) => {
                        if matches!(
                            op,
                            Op::Happen(Happening::PowerUp { .. } | Happening::Untrusted | Happening::Lost { .. })
                        ) || !matches!(op, Op::Happen(_))
                        {
                            with = self.model.clone();
                        }
                        with.take(op, open_page);
                        self.model = with;
                        candidates = vec![self.model.clone()];
                    }
                    Ok(Some(Acknowledged::Lost { count })) => {
                        self.figures.lost += 1;
                        if dead && after.is_some() {
                            // cut in the reading, or in the record of its loss
                            let mut lost = self.model.clone();
                            lost.lost(op, before, None, *count);
                            with.take(op, open_page);
                            candidates.extend([lost, with]);
                        } else {
                            self.model.lost(op, before, after, *count);
                            candidates = vec![self.model.clone()];
                        }
                    }
                    Err(error) => {
                        if dead {
                            if self.model.group.is_some() || matches!(op, Op::Begin(_)) {
                                let mut with = if matches!(op, Op::Happen(Happening::Action { .. })) {
                                    with
                                } else {
                                    self.model.clone()
                                };
                                if !matches!(op, Op::Add(..))
                                    || with.group.as_ref().is_some_and(|group| group.fixings().count() < MOST_FIXINGS)
                                {
                                    with.take(op, open_page);
                                    candidates.push(with);
                                }
                            }
                        } else {
                            // an action may be refused behind the loss that it brought along
                            if let (Some(loss), None) = (before, after) {
                                self.model.loss(loss);
                            }
                            match error {
                                LogError::NoRoom { .. } => self.figures.no_room += 1,
                                LogError::Store(StoreError::Full { .. }) => self.figures.full += 1,
                                LogError::Running { .. }
                                | LogError::GroupFull
                                | LogError::NoSession
                                | LogError::PowerUpFirst => {}
                                other => panic!("seed {seed}: {other:?} at {op:?}"),
                            }
                        }
                    }
                }
                if !dead {
                    let logger = self.logger.as_ref().expect("there is one");
                    assert_eq!(logger.group(), self.model.group.as_ref(), "seed {seed}: live after {op:?}: {result:?}");
                    break;
                }
                let acknowledged = candidates.len() == 1 && result.is_ok();
                let unacknowledged_before = self.model.items.len();
                self.restart(candidates, rng);
                tries += 1;
                // what was not acknowledged is sometimes done again, when it is not there
                if acknowledged
                    || tries > 1
                    || self.model.items.len() > unacknowledged_before
                    || rng().is_multiple_of(2)
                {
                    break;
                }
                if !matches!(op, Op::Happen(_)) {
                    break;
                }
            }
        }
        self.end(rng);
    }

    /// A last cold mount.
    fn end(&mut self, rng: &mut impl FnMut() -> u64) {
        let candidates = vec![self.model.clone()];
        self.restart(candidates, rng);
        self.compare();
        let wrapped = self
            .logger
            .as_ref()
            .and_then(|logger| logger.head())
            .is_some_and(|head| head.page as usize >= self.life.size / 512);
        self.figures.wraps += u64::from(wrapped);
    }

    /// No status is earlier or milder than without the cuts.
    fn compare(&self) {
        let (Some(cut), Some(uncut)) = (&self.model.group, &self.model.without_cuts) else { return };
        for number in (0..16).filter_map(FixingNumber::new) {
            let (Some(cut), Some(uncut)) = (cut.status(number), uncut.status(number)) else { continue };
            let loadable = |stage: Stage| match stage {
                Stage::Cured(_) | Stage::Released(_) => true,
                Stage::Planned | Stage::Refused | Stage::Working | Stage::Curing | Stage::Held => false,
                Stage::Rejected(_) | Stage::AcceptedAsIs(_) | Stage::Removed(_) => false,
            };
            let said = format!("seed {}: {cut:#?}\nwithout cuts {uncut:#?}", self.seed);
            if loadable(cut.stage) {
                assert!(loadable(uncut.stage), "milder, {said}");
                assert!(cut.cured_at >= uncut.cured_at, "earlier, {said}");
            }
            if !uncut.grounds.is_empty() {
                assert!(!cut.grounds.is_empty(), "milder, {said}");
            }
        }
    }
}

fn random_cut(rng: &mut impl FnMut() -> u64, then: Then) -> Cut {
    let reach = 1 << (rng() % 14);
    let leaves = [Leaves::HalfAByte, Leaves::HalfAByte, Leaves::PartPage, Leaves::Slot][(rng() % 4) as usize];
    Cut { after: rng() % reach, leaves, then, noise: rng() }
}

fn live(seed: u64, figures: &mut Figures) {
    let mut rng = numbers(seed);
    let life = random_life(&mut rng);
    let mut memory = FakeMemory::blank(life.size, life.part_page);
    let mut cuts: Vec<Cut> = (0..1 + rng() % 4).map(|_| random_cut(&mut rng, Then::Dead)).collect();
    if let Some(cut) = cuts.pop() {
        figures.cuts += 1;
        memory.cut(cut);
    }
    let logger = mount(memory, DEVICE, &mut |_| {}, &mut |_| {}).expect("blank").0;
    let mut run = Run { seed, life: &life, logger: Some(logger), model: Model::EMPTY, cuts, figures };
    run.run(&mut rng);
}

/// Every second life from `first` on.
fn lives(first: u64) {
    let mut figures = Figures::default();
    let lives = histories(10_000);
    for seed in (first..lives).step_by(2) {
        live(seed, &mut figures);
    }
    println!("half of {lives} lives: {figures:?}");
    assert!(figures.new > lives / 200 && figures.lost > 0 && figures.wraps > 0 && figures.no_room > 0, "{figures:?}");
}

// two, so that two cores have something to do
#[test]
fn what_was_acknowledged_survives_up_to_four_power_cuts() {
    lives(0);
}

#[test]
fn what_was_acknowledged_survives_up_to_four_power_cuts_in_the_other_half() {
    lives(1);
}

/// A memory that fails now and then without losing power: what was refused is not there, what was taken is.
#[test]
fn writes_that_fail_leave_the_log_and_the_group_as_they_were() {
    let mut figures = Figures::default();
    let mut failed = 0u64;
    for seed in 0..histories(50_000) / 10 {
        let mut rng = numbers(seed + 7_000_000);
        let life = random_life(&mut rng);
        let memory = FakeMemory::blank(life.size, life.part_page);
        let logger = mount(memory, DEVICE, &mut |_| {}, &mut |_| {}).expect("blank").0;
        let cuts = Vec::new();
        let mut run = Run { seed, life: &life, logger: Some(logger), model: Model::EMPTY, cuts, figures: &mut figures };
        for op in &life.ops {
            let logger = run.logger.as_mut().expect("there is one");
            if rng().is_multiple_of(8) {
                logger.memory_mut().cut(random_cut(&mut rng, Then::Alive));
            }
            let before = logger.losing();
            let open_page = logger.head().map_or(0, |head| head.page);
            let result = apply(logger, op);
            let after = logger.losing();
            logger.memory_mut().revive();
            match result {
                Ok(done) => {
                    if let Some(Acknowledged::Lost { count }) = done {
                        run.model.lost(op, before, after, count);
                    } else {
                        let brings = match op {
                            Op::Happen(Happening::PowerUp { .. } | Happening::Untrusted | Happening::Lost { .. }) => {
                                false
                            }
                            Op::Happen(_) => true,
                            _ => false,
                        };
                        if let (Some(loss), true) = (before, brings) {
                            run.model.loss(loss);
                        }
                        run.model.take(op, open_page);
                    }
                }
                Err(error) => {
                    failed += u64::from(matches!(error, LogError::Store(StoreError::Memory(_))));
                    // an action may fail behind the loss that it brought along, also for want of room
                    if let (Some(loss), None) = (before, after) {
                        run.model.loss(loss);
                    }
                }
            }
            let logger = run.logger.as_ref().expect("there is one");
            assert_eq!(logger.group(), run.model.group.as_ref(), "seed {seed}: after {op:?}: {result:?}");
        }
        // one write more: what was refused last may be there until something else is written
        let (dark, cause) = (Darkness::Known, ResetCause::Software);
        let logger = run.logger.as_mut().expect("there is one");
        if logger.power_up(dark, cause, &mut |_| {}).is_ok() {
            run.model.power_up(cause, dark);
            run.end(&mut rng);
        }
    }
    println!("{failed} writes failed, {figures:?}");
    assert!(failed > 100, "{failed}");
}
