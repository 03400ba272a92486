//! A sample logger whose memory has gone round: an earlier session that was read out, then one with a fixing released
//! and recorded, one cured, one curing, over several pages.
//!
//! What for: damage is tried on an image that holds every kind of item, closed pages, an open one, and pages of the pass
//! before.

use crate::engine::resin;
use crate::invented::s1;
use crate::memory::FakeMemory;
use crate::random::numbers;
use crc::{CRC_32_ISO_HDLC, Crc};
use holdoff_core::cure::{Rule, Settings};
use holdoff_core::fixing::{Action, Cartridge, Demands, FixingSpec, InHole, Injection, TorqueRange};
use holdoff_core::group::{Darkness, FixingNumber, Happening};
use holdoff_core::log::{
    Acknowledged, Batch, Beginning, Bytes, ClockTie, DeviceId, FileHash, Job, Logger, Owner, PAGE, Page, PageKey,
    ResetCause, ResinRecord, Source, mount,
};
use holdoff_core::probe::{Refusal, SensorKind};
use holdoff_core::quantity::{Count, Instant, Span, Torque};
use holdoff_core::resin::{Hole, ResinUse};
use holdoff_core::seal::SecretKey;
use sha2::{Digest, Sha256};
use siphasher::sip::SipHasher24;
use std::hash::Hasher;

/// The sample's device.
pub const DEVICE: DeviceId = DeviceId(*b"sample-1");

/// The device that has the key of this seed.
pub fn device_of(seed: [u8; 32]) -> DeviceId {
    DeviceId::of_key(&SecretKey::from_seed(seed).expect("a key").public())
}

/// What sessions of the sample begin with: schedule S1 from 5 °C on with a longest hold of 6 h, default settings but for a
/// probe that need not settle, a 12-bit sensor, a reading a minute.
pub fn beginning() -> Beginning {
    let mut schedule = s1();
    schedule.bands.drain(..2);
    schedule.longest_hold = Some(6 * 3600);
    Beginning {
        firmware: [0, 1, 0],
        source: Source::Sensor(SensorKind::TwelveBit),
        resin: ResinRecord {
            resin: resin(&schedule),
            resin_use: ResinUse::Demo,
            file: FileHash([0x5A; 32]),
            name: Bytes::cut("S1, invented"),
        },
        job: Job {
            file: FileHash([0xA5; 32]),
            settings: Settings::DEFAULT.with_settle(Span::ZERO).expect("in bounds"),
            rule: Rule::Coldest,
            period: Span::from_seconds(60),
        },
        demands: Demands::NONE,
    }
}

/// A fixing in a dry hole, 38 to 42 N·m.
pub fn spec() -> FixingSpec {
    let torque = |metres: u32| Torque::from_hundredths(metres * 100);
    FixingSpec { hole: Hole::Dry, torque: TorqueRange::new(torque(38), torque(42)) }
}

/// The fixing at a place.
pub fn fixing(place: u8) -> FixingNumber {
    FixingNumber::new(place).expect("a small place")
}

/// The logger that has the key of this seed.
pub fn owner_of(seed: [u8; 32]) -> Owner {
    Owner { device: device_of(seed), key: PageKey::of_seed(&seed) }
}

/// The image with the tags of another seed's logger, and right checks, as `docs/log-format.md` says.
pub fn retagged(image: &[u8], seed: &[u8; 32]) -> Vec<u8> {
    let key = Sha256::digest([&b"holdoff page key"[..], seed].concat());
    let key: [u8; 16] = key[..16].try_into().expect("16 bytes");
    let mut made = image.to_vec();
    for slot in made.chunks_mut(PAGE) {
        let Ok(length) = Page::find(slot).map(|page| page.length()) else { continue };
        let mut tag = SipHasher24::new_with_key(&key);
        tag.write(&slot[..length - 16]);
        tag.write(&slot[length - 8..length - 4]);
        slot[length - 16..length - 8].copy_from_slice(&tag.finish().to_le_bytes());
        let check = Crc::<u32>::new(&CRC_32_ISO_HDLC).checksum(&slot[..length - 4]);
        slot[length - 4..length].copy_from_slice(&check.to_le_bytes());
    }
    made
}

/// A blank logger.
pub fn blank(size: usize, owner: impl Into<Owner>) -> Logger<FakeMemory> {
    mount(FakeMemory::blank(size, 64), owner, &mut |_| {}, &mut |_| {}).expect("blank").0
}

/// Lets something happen that must be stored.
pub fn happen(logger: &mut Logger<FakeMemory>, what: Happening) {
    match logger.happen(what, &mut |_| {}) {
        Ok(Acknowledged::Stored(_)) => {}
        other => panic!("{what:?}: {other:?}"),
    }
}

/// An action on a fixing.
pub fn act(logger: &mut Logger<FakeMemory>, at: i64, place: u8, action: Action) {
    happen(logger, Happening::Action { at: Instant::from_seconds(at), fixing: fixing(place), action });
}

/// Readings at every minute from `from` on, restless about `degrees`, so that few of them fill a page; the time after the
/// last.
pub fn readings(logger: &mut Logger<FakeMemory>, seed: u64, from: i64, count: u32, degrees: i16) -> i64 {
    let mut numbers = numbers(seed);
    for minute in 0..i64::from(count) {
        let raw = degrees * 256 + 16 * ((numbers() % 64) as i16 - 32);
        let at = Instant::from_seconds(from + 60 * minute);
        if minute % 60 == 0 {
            let tie = ClockTie { at, utc: at.seconds() + 1_000, offset_minutes: 60 };
            logger.clock(tie).or_else(|_| logger.clock(tie)).expect("room");
        }
        happen(logger, Happening::Reading { at, count: Count::new(raw) });
    }
    from + 60 * i64::from(count)
}

/// Readings at every minute from `from` on, restless about 14 °C, until one finds no room: the time of that one.
pub fn fill(logger: &mut Logger<FakeMemory>, from: i64) -> i64 {
    let (mut at, mut numbers) = (from, numbers(5));
    loop {
        let count = Count::new(12 * 256 + 16 * (numbers() % 64) as i16);
        let what = Happening::Reading { at: Instant::from_seconds(at), count };
        match logger.happen(what, &mut |_| {}).expect("a memory") {
            Acknowledged::Stored(_) => at += 60,
            Acknowledged::Lost { .. } => return at,
        }
    }
}

/// The sample, in 16 slots. `seed` varies its readings.
pub fn sample(seed: u64, device: DeviceId) -> Logger<FakeMemory> {
    let mut logger = blank(8192, device);
    logger.begin(&beginning()).expect("blank");
    let mut at = 1_700_000_000;
    while logger.head().expect("a session").page < 11 {
        at = readings(&mut logger, seed, at, 50, 16);
    }
    let open = logger.head().expect("a session").page;
    logger.read_out(open).expect("room");
    logger.begin(&beginning()).expect("nothing runs");
    for label in ["N1", "N2", "N3"] {
        logger.add(Bytes::cut(label), spec()).expect("room");
    }
    let batch = Batch { fixing: fixing(0), text: Bytes::cut("LOT 7"), use_by: Some(1_800_000_000) };
    logger.batch(batch).expect("room");
    at = readings(&mut logger, seed + 1, at, 100, 16);
    let count = Count::from_degrees(16);
    let in_hole = Some(InHole { at: Instant::from_seconds(at - 90), count });
    let injection = Injection { in_hole, cartridge: Some(Cartridge::exactly(count)), past_from: None };
    act(&mut logger, at - 50, 0, Action::Inject(injection));
    act(&mut logger, at - 40, 0, Action::Seat);
    at = readings(&mut logger, seed + 2, at, 300, 16);
    act(&mut logger, at - 50, 0, Action::Torque(Torque::from_hundredths(4000)));
    let signed: [u8; 180] = std::array::from_fn(|place| place.to_le_bytes()[0] ^ 0x77);
    logger.release(fixing(0), Bytes::new(&signed).expect("255 fit")).expect("a page is kept");
    act(&mut logger, at - 30, 1, Action::Inject(Injection::default()));
    act(&mut logger, at - 20, 1, Action::Seat);
    let instant = Instant::from_seconds(at);
    happen(&mut logger, Happening::Unusable { at: instant, cause: Refusal::Bus });
    happen(&mut logger, Happening::Missing { at: instant.after(60) });
    happen(&mut logger, Happening::Reading { at: instant.after(120), count: Count::from_degrees(90) });
    at = readings(&mut logger, seed + 3, at + 180, 900, 16);
    logger.power_up(Darkness::Known, ResetCause::Watchdog, &mut |_| {}).expect("room");
    at = readings(&mut logger, seed + 4, at + 600, 700, 16);
    act(&mut logger, at - 30, 2, Action::Inject(Injection::default()));
    act(&mut logger, at - 20, 2, Action::Seat);
    act(&mut logger, at - 10, 2, Action::Hole(Hole::Wet));
    while logger.head().expect("a session").page < 17 {
        logger.batch(batch).expect("room");
    }
    readings(&mut logger, seed + 5, at, 60, 16);
    logger
}
