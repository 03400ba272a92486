//! Releases to seal: made by the engine, and written byte by byte from `docs/release-code.md`.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_core::cure::{Rule, Settings, Uncertainty};
use holdoff_core::fixing::{Action, FixingSpec, Injection, Stage, TorqueRange};
use holdoff_core::group::{FixingNumber, Group, Happening, Verdict};
use holdoff_core::log::{DeviceId, Link};
use holdoff_core::quantity::{Count, Instant, Span, Torque};
use holdoff_core::resin::{Accrual, Band, Hole, Holes, Limits, Resin, ResinSpec, ResinUse};
use holdoff_core::seal::Label;
use holdoff_core::seal::{BatchHash, JobHash, KeyId, Particulars, ResinHash, SecretKey, WallClock};

/// The secret key of the tests: RFC 8032, section 7.1, TEST 1.
pub(crate) fn key() -> SecretKey {
    let seed = [
        0x9d, 0x61, 0xb1, 0x9d, 0xef, 0xfd, 0x5a, 0x60, 0xba, 0x84, 0x4a, 0xf4, 0x92, 0xec, 0x2c, 0xc4, 0x44, 0x49,
        0xc5, 0x69, 0x7b, 0x32, 0x69, 0x19, 0x70, 0x3b, 0xac, 0x03, 0x1c, 0xae, 0x7f, 0x60,
    ];
    SecretKey::from_seed(seed).expect("a key")
}

/// Another one.
pub(crate) fn other_key() -> SecretKey {
    SecretKey::from_seed([0x42; 32]).expect("a key")
}

/// Particulars of an invented site.
pub(crate) fn particulars() -> Particulars {
    Particulars {
        device: DeviceId([0x01, 0x23, 0x45, 0x67, 0x89, 0xab, 0xcd, 0xef]),
        key: key().public().id(),
        job: JobHash::of_file(b"job: harbour wall, invented"),
        resin: ResinHash::of_file(b"resin: Harbour slow, invented"),
        batch: BatchHash::of_text("L-2231 B"),
        chain: Link([0xC4; 12]),
        label: Label::new("North 3".as_bytes()).expect("a label"),
        resin_use: ResinUse::Demo,
        clock: WallClock::Tied { ahead: 1_795_500_000, offset_minutes: 60 },
    }
}

/// A resin whose `bands` bands are `step` degrees wide from `from` °C on, all of whose cure times are `cure` seconds.
pub(crate) fn resin(bands: usize, from: i8, step: i8, cure: u32) -> Resin {
    let bands: Vec<Band> = (0..bands)
        .map(|place| Band {
            from: Count::from_degrees(from + place as i8 * step),
            working: Span::from_seconds(3600),
            cure: Span::from_seconds(cure),
        })
        .collect();
    let (least, greatest) = (Count::from_degrees(-50), Count::from_degrees(100));
    let limits = Limits {
        install_least: least,
        install_greatest: greatest,
        cure_least: Count::from_degrees(from),
        cure_greatest: greatest,
        reject_below: None,
        reject_above: None,
        longest_hold: None,
    };
    let spec = ResinSpec {
        limits,
        cartridge_least: least,
        cartridge_greatest: greatest,
        holes: Holes::NONE.with(Hole::Dry).with(Hole::Wet).with(Hole::Flooded),
        wet_factor: 10,
        accrual: Accrual::Permitted,
        bands: &bands,
    };
    Resin::new(&spec).expect("a resin")
}

/// One cure from its injection to its torque.
pub(crate) struct Cure {
    /// The resin.
    pub(crate) resin: Resin,
    /// The settings; readings come every longest gap.
    pub(crate) settings: Settings,
    /// The rule.
    pub(crate) rule: Rule,
    /// The hole.
    pub(crate) hole: Hole,
    /// How many fixings the group has; the last one is the one meant.
    pub(crate) fixings: u8,
    /// Monotonic instant of the first reading.
    pub(crate) start: i64,
    /// Specified range and applied torque, in 0.01 N·m.
    pub(crate) torque: Option<(u32, u32, u32)>,
    /// Seconds from the cure becoming known to the torque.
    pub(crate) wait: i64,
}

impl Cure {
    /// One that any site could have: six bands of 5 °C, defaults, three hours required.
    pub(crate) fn usual() -> Self {
        Self {
            resin: resin(6, -5, 5, 3 * 3600),
            settings: Settings::DEFAULT,
            rule: Rule::Coldest,
            hole: Hole::Dry,
            fixings: 1,
            start: 86_400,
            torque: Some((1_800, 2_200, 2_000)),
            wait: 1_234,
        }
    }

    /// Plays it; `degrees` gives the temperature in counts of every reading by its number. Ends at the release, or at the
    /// cure where no torque is specified.
    pub(crate) fn play(&self, mut degrees: impl FnMut(u64) -> i16) -> (Group, FixingNumber) {
        let mut group = Group::new(self.resin.clone(), self.settings, self.rule).expect("a group");
        let range = self.torque.map(|(least, greatest, _)| {
            let (least, greatest) = (Torque::from_hundredths(least), Torque::from_hundredths(greatest));
            TorqueRange::new(least, greatest).expect("a range")
        });
        let spec = FixingSpec { hole: self.hole, torque: range };
        let fixing = (0..self.fixings).map(|_| group.add(&spec).expect("room")).last().expect("one at least");
        let mut step = |happening| group_step(&mut group, happening);
        let gap = i64::from(self.settings.longest_gap().seconds());
        let at = Instant::from_seconds;
        let settle = i64::from(self.settings.settle().seconds());
        if settle > 0 {
            step(Happening::Reading { at: at(self.start - settle), count: Count::new(degrees(0)) });
        }
        step(Happening::Reading { at: at(self.start), count: Count::new(degrees(0)) });
        let act = |at, action| Happening::Action { at, fixing, action };
        step(act(at(self.start), Action::Inject(Injection::default())));
        step(act(at(self.start + 7.min(gap)), Action::Seat));
        let mut number = 0;
        loop {
            number += 1;
            assert!(number < 3_000_000, "it never cures");
            let now = self.start + gap * number as i64;
            group_step(&mut group, Happening::Reading { at: at(now), count: Count::new(degrees(number)) });
            let stage = group.status(fixing).expect("the fixing").stage;
            match (stage, self.torque) {
                (Stage::Cured(_), None) => return (group, fixing),
                (Stage::Cured(_), Some((_, _, applied))) => {
                    let action = Action::Torque(Torque::from_hundredths(applied));
                    group_step(&mut group, act(at(now + self.wait), action));
                    return (group, fixing);
                }
                (Stage::Curing | Stage::Held, _) => {}
                (other, _) => panic!("{other:?}"),
            }
        }
    }
}

/// A step that is taken.
pub(crate) fn group_step(group: &mut Group, happening: Happening) {
    let verdict = group.step(happening, &mut |_| {});
    assert!(matches!(verdict, Verdict::Accepted | Verdict::Done), "{happening:?}: {verdict:?}");
}

/// A steady 12 °C.
pub(crate) fn steady(_: u64) -> i16 {
    12 * 256
}

/// Settings from counts, seconds and ppm.
pub(crate) fn settings(uncertainty: u16, gap: u32, ppm: u16) -> Settings {
    let uncertainty = Uncertainty::from_counts(uncertainty).expect("in bounds");
    Settings::new(uncertainty, Span::from_seconds(gap), ppm).expect("in bounds")
}

/// A record as `docs/release-code.md` has it written, by another hand than the one under test. Numbers stand as encoded.
#[derive(Clone, Debug)]
pub(crate) struct Written {
    /// Flags, without those that follow from the rest.
    pub(crate) flags: u8,
    /// Fixing, 0 to 15.
    pub(crate) fixing: u8,
    /// Label.
    pub(crate) label: Vec<u8>,
    /// Seated, working, since.
    pub(crate) instants: (i64, u64, u64),
    /// Seconds ahead and offset in minutes.
    pub(crate) clock: Option<(i64, i64)>,
    /// Required seconds.
    pub(crate) required: u64,
    /// Seconds of each band.
    pub(crate) bands: Vec<u64>,
    /// Held and unobserved seconds.
    pub(crate) uncounted: (u64, u64),
    /// Coldest count.
    pub(crate) coldest: i64,
    /// The reading between injection and seating that lay furthest outside.
    pub(crate) outside: Option<i64>,
    /// Uncertainty, gap, ppm, settle.
    pub(crate) settings: Option<[u64; 4]>,
    /// Least, over, spare.
    pub(crate) torque: Option<(u64, u64, u64)>,
}

impl Written {
    /// A plain one.
    pub(crate) fn usual() -> Self {
        Self {
            flags: 0,
            fixing: 2,
            label: b"North 3".to_vec(),
            instants: (86_407, 7, 1_300),
            clock: Some((1_795_500_000, 60)),
            required: 10_800,
            bands: vec![0, 0, 0, 3_000, 7_802, 0],
            uncounted: (0, 0),
            coldest: 2_816,
            outside: None,
            settings: None,
            torque: Some((1_800, 200, 200)),
        }
    }

    /// The bytes, with the bands one by one or as a total.
    pub(crate) fn bytes(&self, total: bool) -> Vec<u8> {
        let mut bytes = vec![1];
        let bit = |set: bool, place: u32| u8::from(set) << place;
        bytes.push(self.flags | bit(self.torque.is_none(), 0) | bit(self.settings.is_some(), 5) | bit(total, 6));
        bytes.push(self.fixing + 16 * (self.bands.len() as u8 - 1));
        bytes.push(self.label.len() as u8);
        bytes.extend((0..54u8).map(|byte| byte ^ 0x5A)); // device, key, job, resin, batch, chain
        bytes.extend(&self.label);
        signed(&mut bytes, self.instants.0);
        number(&mut bytes, self.instants.1);
        number(&mut bytes, self.instants.2);
        match self.clock {
            None => number(&mut bytes, 0),
            Some((ahead, offset)) => {
                number(&mut bytes, if offset < 0 { -2 * offset } else { 2 * offset + 1 } as u64);
                signed(&mut bytes, ahead);
            }
        }
        number(&mut bytes, self.required);
        if total {
            number(&mut bytes, self.bands.iter().sum());
        } else {
            for eight in self.bands.chunks(8) {
                let used = |(place, seconds): (u32, &u64)| bit(*seconds > 0, place);
                bytes.push((0..).zip(eight).map(used).sum());
            }
            self.bands.iter().filter(|&&seconds| seconds > 0).for_each(|&seconds| number(&mut bytes, seconds));
        }
        number(&mut bytes, self.uncounted.0);
        number(&mut bytes, self.uncounted.1);
        signed(&mut bytes, self.coldest);
        match self.outside {
            None => bytes.push(0),
            Some(count) => number(&mut bytes, 1 + if count < 0 { -2 * count - 1 } else { 2 * count } as u64),
        }
        self.settings.into_iter().flatten().for_each(|each| number(&mut bytes, each));
        if let Some((one, two, three)) = self.torque {
            [one, two, three].into_iter().for_each(|each| number(&mut bytes, each));
        }
        bytes
    }
}

/// Seven bits a byte, low ones first, the top bit set where more follow.
pub(crate) fn number(bytes: &mut Vec<u8>, number: u64) {
    let mut rest = number;
    loop {
        let low = (rest % 128) as u8;
        rest /= 128;
        bytes.push(if rest > 0 { low + 128 } else { low });
        if rest == 0 {
            break;
        }
    }
}

/// 0, -1, 1, -2 as 0, 1, 2, 3.
fn signed(bytes: &mut Vec<u8>, signed: i64) {
    number(bytes, if signed < 0 { (-2 * signed - 1) as u64 } else { (2 * signed) as u64 });
}

/// A particulars' key for another secret key.
pub(crate) fn signed_by(key: &SecretKey) -> Particulars {
    let id: KeyId = key.public().id();
    Particulars { key: id, ..particulars() }
}
