//! Random lives of a logger: what a group goes through, put into a log, with everything that is not a reading in between.
//!
//! What for: faults must be tried on payloads that are as random as the faults. The happenings are those of the
//! reference's histories, so that every stage and ground occurs; labels, batches, ties, releases, read-outs and earlier
//! sessions come on top, and a small memory that wraps and fills.

use crate::engine;
use crate::reference::{self, History, random_deed};
use holdoff_core::cure::Settings;
use holdoff_core::fixing::{FixingSpec, TorqueRange};
use holdoff_core::group::{FixingNumber, Happening};
use holdoff_core::log::{
    Acknowledged, Batch, Beginning, Bytes, ClockTie, FileHash, Job, LogError, Logger, Memory, Person, PersonNumber,
    ResinRecord, Source,
};
use holdoff_core::probe::SensorKind;
use holdoff_core::quantity::{Instant, Span, Torque};
use holdoff_core::resin::{Hole, ResinUse};

/// One thing done to a logger.
#[derive(Clone, PartialEq, Debug)]
#[allow(clippy::large_enum_variant, reason = "a few hundred at a time")]
pub enum Op {
    /// A session begins.
    Begin(Beginning),
    /// A person of the job.
    Person(Person),
    /// Whose hands act from here on.
    Hands(Option<PersonNumber>),
    /// A fixing is added.
    Add(Bytes<16>, FixingSpec),
    /// A batch is noted.
    Batch(Batch),
    /// Something happens.
    Happen(Happening),
    /// The wall clock is told.
    Clock(ClockTie),
    /// A release record is written.
    Release(FixingNumber, Bytes<255>),
    /// Everything before the open page is given up.
    Freed,
    /// Everything before the open page was read out.
    ReadOut,
}

/// A life: sizes and what is done.
#[derive(Clone, Debug)]
pub struct Life {
    /// Bytes of the memory.
    pub size: usize,
    /// Bytes of a page of the part.
    pub part_page: usize,
    /// What is done, in order.
    pub ops: Vec<Op>,
}

/// A random life.
pub fn random_life(rng: &mut impl FnMut() -> u64) -> Life {
    let history = random_deed(rng);
    let size = [4096, 4096, 8192, 32_768][pick(rng, 4)];
    let part_page = [32, 64, 128][pick(rng, 3)];
    let filler = [0, 0, 30, 150][pick(rng, 4)];
    let mut ops = Vec::new();
    let first = history.rows.iter().map(reference::RowKind::at).min().unwrap_or(0);
    for _ in 0..[0, 0, 1, 2, 4, 12][pick(rng, 6)] {
        earlier_session(rng, &history, first, &mut ops);
    }
    ops.push(Op::Begin(beginning(rng, &history)));
    let people = pick(rng, 9);
    for number in (0..8).take(people).filter_map(PersonNumber::new) {
        ops.push(Op::Person(Person { number, name: Bytes::new(&noise(rng, 16)).expect("16 fit") }));
    }
    let spec = spec(&history);
    if !history.neighbour.is_empty() {
        let neighbour = FixingSpec { torque: None, ..spec };
        let own = Bytes::new(&noise(rng, 16)).expect("16 fit");
        ops.extend([Op::Add(own, spec), Op::Add(Bytes::cut("N"), neighbour)]);
    } else {
        ops.push(Op::Add(Bytes::new(&noise(rng, 16)).expect("16 fit"), spec));
    }
    for _ in 0..pick(rng, 3) * pick(rng, 8) {
        ops.push(Op::Add(Bytes::cut("B7"), spec));
    }
    let fixing = FixingNumber::new(0).expect("the first");
    let mut ahead = 1_000_000;
    for what in engine::happenings(&history, fixing) {
        match rng() % 1000 {
            0..40 => ops.push(Op::Clock(tie(rng, &what, first, &mut ahead))),
            40..60 => {
                let text = Bytes::new(&noise(rng, 24)).expect("24 fit");
                let use_by = (rng().is_multiple_of(2)).then_some(1_800_000_000);
                ops.push(Op::Batch(Batch { fixing, text, use_by }));
            }
            60..70 => ops.push(Op::ReadOut),
            75..110 => ops.push(Op::Hands(PersonNumber::new(pick(rng, 9) as u8))),
            70..75 => ops.push(Op::Freed),
            number if number >= 1000 - filler => {
                ops.push(Op::Release(fixing, Bytes::new(&noise(rng, 255)).expect("255 fit")));
            }
            _ => {}
        }
        ops.push(Op::Happen(what));
    }
    Life { size, part_page, ops }
}

/// What a session with this history begins with.
pub fn beginning(rng: &mut impl FnMut() -> u64, history: &History) -> Beginning {
    let (group, _) = engine::group(history);
    let settings: Settings = *group.settings();
    let source = [
        Source::Trace,
        Source::Sensor(SensorKind::TwelveBit),
        Source::Sensor(SensorKind::SixteenBit),
        Source::Sensor(SensorKind::OneWire),
    ][pick(rng, 4)];
    let mut hash = || FileHash(std::array::from_fn(|_| rng().to_le_bytes()[0]));
    let (resin_file, job_file) = (hash(), hash());
    Beginning {
        firmware: [0, 1, 2],
        source,
        resin: ResinRecord {
            resin: group.resin().clone(),
            resin_use: if rng().is_multiple_of(2) { ResinUse::Demo } else { ResinUse::OnSite },
            file: resin_file,
            name: Bytes::new(&noise(rng, 32)).expect("32 fit"),
        },
        job: Job { file: job_file, settings, rule: group.rule(), period: Span::from_seconds(60) },
        demands: *group.demands(),
    }
}

/// The history's fixing.
pub fn spec(history: &History) -> FixingSpec {
    let hole = match history.hole {
        reference::Hole::Dry => Hole::Dry,
        reference::Hole::Wet => Hole::Wet,
        reference::Hole::Flooded => Hole::Flooded,
    };
    let torque = history.torque.map(|(least, greatest)| {
        let torque = |hundredths: u64| Torque::from_hundredths(u32::try_from(hundredths).expect("small"));
        TorqueRange::new(torque(least), torque(greatest)).expect("ordered")
    });
    FixingSpec { hole, torque }
}

/// Does it to the logger. What is not a happening is acknowledged with `None`.
pub fn apply<M: Memory>(logger: &mut Logger<M>, op: &Op) -> Result<Option<Acknowledged>, LogError> {
    match op {
        Op::Begin(beginning) => logger.begin(beginning).map(|()| None),
        Op::Add(label, spec) => logger.add(*label, *spec).map(|_| None),
        Op::Person(person) => logger.person(*person).map(|()| None),
        Op::Hands(of) => logger.hands(*of).map(|()| None),
        Op::Batch(batch) => logger.batch(*batch).map(|()| None),
        Op::Happen(what) => logger.happen(*what, &mut |_| {}).map(Some),
        Op::Clock(tie) => logger.clock(*tie).map(|()| None),
        Op::Release(fixing, signed) => logger.release(*fixing, *signed).map(|()| None),
        Op::Freed => logger.freed(u32::MAX).map(|()| None),
        Op::ReadOut => logger.read_out(u32::MAX).map(|()| None),
    }
}

/// A session with a few readings and nothing running, then given up, so that the next one may overwrite it.
fn earlier_session(rng: &mut impl FnMut() -> u64, history: &History, first: i64, ops: &mut Vec<Op>) {
    ops.push(Op::Begin(beginning(rng, history)));
    for number in 0..i64::try_from(pick(rng, 40)).expect("few") {
        let at = Instant::from_seconds(first - 100_000 + 60 * number);
        let count = holdoff_core::quantity::Count::new(2560 + (rng() % 64) as i16);
        ops.push(Op::Happen(Happening::Reading { at, count }));
        if rng().is_multiple_of(10) {
            let fixing = FixingNumber::new(0).expect("the first");
            let length = pick(rng, 255);
            ops.push(Op::Release(fixing, Bytes::new(&noise(rng, length)).expect("255 fit")));
        }
    }
    if !rng().is_multiple_of(8) {
        ops.push(Op::Freed);
    }
}

fn tie(rng: &mut impl FnMut() -> u64, what: &Happening, first: i64, ahead: &mut i64) -> ClockTie {
    let at = match what {
        Happening::Reading { at, .. }
        | Happening::Unusable { at, .. }
        | Happening::Missing { at }
        | Happening::Lost { at }
        | Happening::Action { at, .. } => *at,
        Happening::PowerUp { .. } | Happening::Untrusted => Instant::from_seconds(first),
    };
    if rng().is_multiple_of(4) {
        *ahead += i64::try_from(rng() % 100).expect("small") - 50;
    }
    ClockTie { at, utc: at.seconds() + *ahead, offset_minutes: 60 }
}

fn pick(rng: &mut impl FnMut() -> u64, end: usize) -> usize {
    usize::try_from(rng() % end as u64).expect("small")
}

fn noise(rng: &mut impl FnMut() -> u64, most: usize) -> Vec<u8> {
    (0..pick(rng, most + 1)).map(|_| rng().to_le_bytes()[0]).collect()
}
