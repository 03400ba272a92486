//! A release that the engine made and a test key signed, for the screens of its code.

use holdoff_core::cure::{Rule, Settings};
use holdoff_core::fixing::{Action, FixingSpec, Injection, TorqueRange};
use holdoff_core::group::{Group, Happening, Verdict};
use holdoff_core::log::{DeviceId, Link};
use holdoff_core::quantity::{Count, Instant, Span, Torque};
use holdoff_core::resin::{Accrual, Band, Hole, Holes, Limits, Resin, ResinSpec, ResinUse};
use holdoff_core::seal::{
    BatchHash, JobHash, Label, Particulars, ReleaseCode, ReleaseRecord, ResinHash, Sealed, SecretKey, ShortForm,
    WallClock,
};

/// Seconds of an invented cure.
const CURE: u32 = 3 * 3600;

/// The code and its short form.
pub(crate) fn release() -> (ReleaseCode, ShortForm) {
    let (least, greatest) = (Count::from_degrees(-20), Count::from_degrees(50));
    let bands = [Band { from: least, working: Span::from_seconds(3600), cure: Span::from_seconds(CURE) }];
    let spec = ResinSpec {
        limits: Limits {
            install_least: least,
            install_greatest: greatest,
            cure_least: least,
            cure_greatest: greatest,
            reject_below: None,
            reject_above: None,
            longest_hold: None,
        },
        cartridge_least: least,
        cartridge_greatest: greatest,
        holes: Holes::NONE.with(Hole::Dry),
        wet_factor: 2,
        accrual: Accrual::Forbidden,
        bands: &bands,
    };
    let resin = Resin::new(&spec).expect("a resin");
    let mut group = Group::new(resin, Settings::DEFAULT, Rule::Coldest).expect("a group");
    let torque = Torque::from_hundredths;
    let fixing = FixingSpec { hole: Hole::Dry, torque: TorqueRange::new(torque(3_800), torque(4_200)) };
    let fixing = (0..3).map(|_| group.add(&fixing).expect("room")).last().expect("three");
    let at = Instant::from_seconds;
    // a reading before, for the probe must have settled
    for number in -1..=40 {
        let now = 1_795_588_200 + number * 300;
        let reading = Happening::Reading { at: at(now), count: Count::from_degrees(12) };
        assert_eq!(group.step(reading, &mut |_| {}), Verdict::Accepted);
        let action = match number {
            0 => Action::Inject(Injection::default()),
            1 => Action::Seat,
            40 => Action::Torque(torque(4_000)),
            _ => continue,
        };
        assert_eq!(group.step(Happening::Action { at: at(now), fixing, action }, &mut |_| {}), Verdict::Done);
    }
    let particulars = Particulars {
        device: DeviceId([0x01, 0x23, 0x45, 0x67, 0x89, 0xab, 0xcd, 0xef]),
        key: key().public().id(),
        job: JobHash::of_file(b"job: bollard 3, invented"),
        resin: ResinHash::of_file(b"resin: Harbour slow, invented"),
        batch: BatchHash::of_text("L-2231 B"),
        chain: Link([0xC4; 12]),
        label: Label::new(b"bollard 3 stud 3").expect("a label"),
        resin_use: ResinUse::Demo,
        clock: WallClock::Tied { ahead: 0, offset_minutes: 60 },
    };
    let record = ReleaseRecord::of(&group, fixing, &particulars).expect("released");
    let sealed = Sealed::new(&record, &key()).expect("sealed");
    (ReleaseCode::of(sealed.bytes()).expect("a code"), ShortForm::of(&record))
}

fn key() -> SecretKey {
    SecretKey::from_seed([0x42; 32]).expect("a key")
}
