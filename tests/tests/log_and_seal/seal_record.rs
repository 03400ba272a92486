//! The release record: what it may be made of, its bytes, its bounds.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

use crate::seal_support::{Cure, Written, group_step, particulars, resin, settings, steady};
use holdoff_core::cure::{Rule, Settings};
use holdoff_core::fixing::{Action, Decision, FixingSpec, Stage, TorqueRange};
use holdoff_core::group::{FixingNumber, Group, Happening};
use holdoff_core::quantity::{Count, Instant, Span, Torque};
use holdoff_core::resin::Hole;
use holdoff_core::seal::Label;
use holdoff_core::seal::{
    Departure, End, Field, MOST_RECORD, Particulars, RecordError, ReleaseRecord, Unrecordable, WallClock,
};
use holdoff_tests::random::numbers;

fn bytes_of(record: &ReleaseRecord) -> Vec<u8> {
    record.emit(&mut [0; MOST_RECORD]).to_vec()
}

fn record_of(cure: &Cure, degrees: impl FnMut(u64) -> i16) -> ReleaseRecord {
    let (group, fixing) = cure.play(degrees);
    ReleaseRecord::of(&group, fixing, &particulars()).expect("a record")
}

#[test]
fn a_record_says_what_the_engine_says() {
    let cure = Cure { fixings: 3, ..Cure::usual() };
    // colder for an hour in the middle
    let (group, fixing) = cure.play(|number| if (12..24).contains(&number) { 256 } else { 12 * 256 });
    let status = group.status(fixing).expect("the fixing");
    let record = ReleaseRecord::of(&group, fixing, &particulars()).expect("a record");
    let Stage::Released(released) = status.stage else { panic!("{:?}", status.stage) };
    assert_eq!(record.fixing().place(), 2);
    assert_eq!((record.rule(), record.hole(), *record.settings()), (Rule::Coldest, Hole::Dry, Settings::DEFAULT));
    assert_eq!(Some(record.injected_at()), status.injected_at);
    assert_eq!(Some(record.seated_at()), status.seated_at);
    assert_eq!(Some(record.cured_at()), status.cured_at);
    assert_eq!(record.speaks_for(), released.at());
    assert_eq!((record.required_seconds(), record.served_seconds()), (status.required, status.served));
    assert_eq!(record.counted().each().map(<[u32]>::to_vec), Some(status.tally.bands[..6].to_vec()));
    assert_eq!((record.held_seconds(), record.unobserved_seconds()), (status.tally.held, status.tally.unobserved));
    assert_eq!(Some(record.coldest()), status.coldest);
    let range = TorqueRange::new(Torque::from_hundredths(1_800), Torque::from_hundredths(2_200)).expect("a range");
    assert_eq!(record.end(), End::Torqued { applied: Torque::from_hundredths(2_000), range });
    assert_eq!(record.label(), Some("North 3"));
    assert_eq!(record.utc(Instant::from_seconds(0)), Some(1_795_500_000));
    assert_eq!(record.particulars(), &particulars());
    assert_eq!(ReleaseRecord::parse(&bytes_of(&record)), Ok(record));
}

#[test]
fn no_stage_but_released_and_cured_without_torque_makes_a_record() {
    let cure = Cure::usual();
    let mut group = Group::new(cure.resin.clone(), cure.settings, cure.rule).expect("a group");
    let range = TorqueRange::new(Torque::from_hundredths(1), Torque::from_hundredths(2)).expect("a range");
    let torqued = group.add(&FixingSpec { hole: Hole::Dry, torque: Some(range) }).expect("room");
    let plain = group.add(&FixingSpec { hole: Hole::Dry, torque: None }).expect("room");
    let mut seen = Vec::new();
    let mut made = Vec::new();
    let mut check = |group: &Group| {
        for fixing in [torqued, plain] {
            let stage = group.status(fixing).expect("there").stage;
            let record = ReleaseRecord::of(group, fixing, &particulars());
            let allowed = match stage {
                Stage::Released(_) => true,
                Stage::Cured(_) => fixing == plain,
                Stage::Planned
                | Stage::Refused
                | Stage::Working
                | Stage::Curing
                | Stage::Held
                | Stage::Rejected(_)
                | Stage::AcceptedAsIs(_)
                | Stage::Removed(_) => false,
            };
            assert_eq!(record.is_ok(), allowed, "{stage:?}: {record:?}");
            if !allowed {
                assert_eq!(record, Err(Unrecordable::Stage));
            }
            seen.push(stage.word());
            made.extend(record.ok());
        }
    };
    check(&group);
    let at = Instant::from_seconds;
    let act = |at: Instant, fixing: FixingNumber, action: Action| Happening::Action { at, fixing, action };
    for fixing in [torqued, plain] {
        group_step(&mut group, act(at(0), fixing, Action::Inject(Default::default())));
    }
    check(&group); // refused: no reading yet
    let reading = |second: i64, degrees: i8| Happening::Reading { at: at(second), count: Count::from_degrees(degrees) };
    let mut now = 300;
    for second in [now - 180, now] {
        group_step(&mut group, reading(second, 12));
    }
    for fixing in [torqued, plain] {
        group_step(&mut group, act(at(now), fixing, Action::Inject(Default::default())));
    }
    check(&group); // working
    for fixing in [torqued, plain] {
        group_step(&mut group, act(at(now), fixing, Action::Seat));
    }
    for step in 0..400 {
        now += 300;
        // outside for a while: held
        let degrees = match step {
            10..14 => 12 - 25 * (step - 9) as i8,
            14..24 => -51,
            24..28 => -76 + 25 * (step - 23) as i8,
            _ => 12,
        };
        group_step(&mut group, reading(now, degrees.clamp(-51, 12)));
        check(&group);
        if group.status(torqued).is_some_and(|status| status.cured_at.is_some()) {
            break;
        }
    }
    group_step(&mut group, act(at(now), torqued, Action::Torque(Torque::from_hundredths(1))));
    check(&group); // released
    group_step(&mut group, act(at(now), torqued, Action::Torque(Torque::from_hundredths(9))));
    check(&group); // rejected: over torque
    group_step(&mut group, act(at(now), torqued, Action::Decide(Decision::Accept)));
    check(&group);
    group_step(&mut group, act(at(now), torqued, Action::Decide(Decision::Remove)));
    check(&group);
    group_step(&mut group, Happening::Untrusted);
    check(&group); // a log that cannot be trusted never yields cured or released (E4)
    for word in [
        "planned",
        "refused",
        "working",
        "curing",
        "held",
        "cured",
        "released",
        "rejected",
        "accepted-as-is",
        "removed",
    ] {
        assert!(seen.contains(&word), "never saw {word}");
    }
    assert!(made.iter().any(|record| record.end() == End::NoTorque));
    assert!(made.iter().any(|record| record.end() != End::NoTorque));
    let none = FixingNumber::new(9).expect("a number");
    assert_eq!(ReleaseRecord::of(&group, none, &particulars()), Err(Unrecordable::NoSuchFixing));
}

#[test]
fn a_cure_without_torque_speaks_for_the_last_reading() {
    let cure = Cure { torque: None, ..Cure::usual() };
    let (mut group, fixing) = cure.play(steady);
    let first = ReleaseRecord::of(&group, fixing, &particulars()).expect("a record");
    let (last, _) = group.last_reading().expect("a reading");
    assert_eq!((first.end(), first.speaks_for()), (End::NoTorque, last));
    assert!(first.cured_at() <= last);
    let later = last.after(300);
    group_step(&mut group, Happening::Reading { at: later, count: Count::from_degrees(12) });
    let second = ReleaseRecord::of(&group, fixing, &particulars()).expect("a record");
    assert_eq!((second.cured_at(), second.speaks_for()), (first.cured_at(), later));
    assert_eq!(first.hold_against(&group), Err(Departure::Differs { field: Field::Since }));
    assert_eq!(second.hold_against(&group), Ok(()));
}

#[test]
fn a_record_holds_against_the_same_readings_and_no_others() {
    let cure = Cure::usual();
    let record = record_of(&cure, steady);
    let (mut group, fixing) = cure.play(steady);
    assert_eq!(record.hold_against(&group), Ok(()));
    // of a torqued fixing the group may have gone on
    let (last, _) = group.last_reading().expect("a reading");
    group_step(&mut group, Happening::Reading { at: last.after(3_000), count: Count::from_degrees(12) });
    assert_eq!(record.hold_against(&group), Ok(()));
    let differs = |group: &Group| match record.hold_against(group) {
        Err(Departure::Differs { field }) => field,
        other => panic!("{other:?}"),
    };
    assert_eq!(differs(&cure.play(|_| 12 * 256 - 1).0), Field::Coldest);
    assert_eq!(differs(&cure.play(|number| if number == 9 { 256 } else { 12 * 256 }).0), Field::Counted);
    assert_eq!(differs(&Cure { hole: Hole::Wet, ..Cure::usual() }.play(steady).0), Field::Hole);
    assert_eq!(differs(&Cure { start: 86_401, ..Cure::usual() }.play(steady).0), Field::Seated);
    assert_eq!(differs(&Cure { wait: 1_235, ..Cure::usual() }.play(steady).0), Field::Since);
    let other = Cure { torque: Some((1_800, 2_200, 2_001)), ..Cure::usual() };
    assert_eq!(differs(&other.play(steady).0), Field::End);
    let other = Cure { settings: settings(256, 300, 99), ..Cure::usual() };
    assert_eq!(differs(&other.play(steady).0), Field::ClockPpm);
    let lax = Settings::DEFAULT.with_settle(Span::from_seconds(179)).expect("in bounds");
    assert_eq!(differs(&Cure { settings: lax, ..Cure::usual() }.play(steady).0), Field::Settle);
    assert_eq!(fixing.place(), 0);
    let empty = Group::new(cure.resin.clone(), cure.settings, cure.rule).expect("a group");
    assert_eq!(record.hold_against(&empty), Err(Departure::None(Unrecordable::NoSuchFixing)));
}

#[test]
fn random_cures_come_back_from_their_bytes() {
    let mut next = numbers(0x5EA1);
    for round in 0..400 {
        let mut pick = |below: u64| next() % below;
        let gap = [10, 60, 300, 600, 3_600][pick(5) as usize];
        let settings = match pick(3) {
            0 => Settings::DEFAULT,
            _ => settings(pick(2_561) as u16, gap, pick(10_001) as u16),
        };
        let steps = 1 + pick(60) as u32;
        let required = (settings.longest_gap().seconds() * steps).min(14 * 86_400);
        let least = pick(30_000) as u32;
        let spare = 1 + pick(5_000) as u32;
        let cure = Cure {
            resin: resin(1 + pick(16) as usize, -40, 1 + pick(6) as i8, required),
            settings,
            rule: if pick(2) == 0 { Rule::Coldest } else { Rule::Accrual },
            hole: Hole::ALL[pick(3) as usize],
            fixings: 1 + pick(16) as u8,
            start: pick(1 << 33) as i64 - (1 << 32),
            torque: (pick(4) > 0).then_some((least, least + spare, least + pick(u64::from(spare) + 1) as u32)),
            wait: pick(1 << 20) as i64,
        };
        let base = -10_000 + pick(25_000) as i64;
        let wave = pick(250) as i64;
        let period = 1 + pick(40) as i64;
        let (group, fixing) = cure.play(|number| {
            let phase = number as i64 % (2 * period) - period;
            (base.max(-7_000) + wave * phase.abs() / period) as i16
        });
        let label: String = (0..pick(17)).map(|_| (b'a' + pick(26) as u8) as char).collect();
        let clock = match pick(4) {
            0 => WallClock::Unknown,
            _ => {
                WallClock::Tied { ahead: pick(1 << 35) as i64 - (1 << 34), offset_minutes: pick(2_879) as i16 - 1_439 }
            }
        };
        let label = Label::new(label.as_bytes()).expect("a label");
        let particulars = Particulars { label, clock, ..particulars() };
        let record =
            ReleaseRecord::of(&group, fixing, &particulars).unwrap_or_else(|error| panic!("{round}: {error:?}"));
        let bytes = bytes_of(&record);
        assert!(bytes.len() <= MOST_RECORD, "{round}: {}", bytes.len());
        assert_eq!(ReleaseRecord::parse(&bytes), Ok(record), "{round}");
        assert_eq!(record.hold_against(&group), Ok(()), "{round}");
        let status = group.status(fixing).expect("the fixing");
        assert_eq!(Some(record.cured_at()), status.cured_at, "{round}");
        assert_eq!(record.served_seconds(), status.served, "{round}");
    }
}

#[test]
fn bytes_written_from_the_document_are_read_and_written_the_same() {
    let mut next = numbers(0xD0C);
    let mut odd = |bits: u32| {
        let width = next() % u64::from(bits + 1);
        next() & ((1u64 << width) - 1)
    };
    for _ in 0..20_000 {
        let bands = 1 + odd(4) as usize;
        let counted: Vec<u64> = (0..bands).map(|_| odd(19)).collect();
        let sum: u64 = counted.iter().sum();
        let written = Written {
            flags: [0, 2, 4, 8, 16, 30 & !12][odd(8) as usize % 6] & !0x21,
            fixing: odd(4) as u8,
            label: (0..odd(4)).map(|_| b'0' + odd(6) as u8).collect(),
            instants: (odd(34) as i64 - odd(34) as i64, odd(21), odd(28)),
            clock: (odd(3) > 0).then(|| (odd(34) as i64 - odd(34) as i64, odd(10) as i64 - odd(10) as i64)),
            required: 1 + odd(13),
            bands: counted,
            uncounted: (odd(28), odd(28)),
            coldest: odd(15) as i64 - odd(15) as i64,
            outside: (odd(2) > 1).then(|| odd(15) as i64 - odd(15) as i64),
            settings: (odd(2) > 0).then(|| [odd(11), 1 + odd(11), odd(13), odd(11)]),
            torque: (odd(2) > 0).then(|| (odd(21), 1 + odd(20), odd(21))),
        };
        for total in [false, true] {
            let bytes = written.bytes(total);
            let read = ReleaseRecord::parse(&bytes);
            let too_long = bytes.len() > MOST_RECORD;
            match read {
                Ok(record) => {
                    assert!(!too_long);
                    assert_eq!(bytes_of(&record), bytes, "{written:?}");
                    assert_eq!(record.length(), bytes.len());
                    assert_eq!(u64::from(record.counted().total()), sum);
                    assert_eq!(record.seated_at().seconds(), written.instants.0);
                    assert_eq!(record.coldest().raw() as i64, written.coldest);
                    assert_eq!(record.outside_at_seating().map(|count| i64::from(count.raw())), written.outside);
                    let settle = written.settings.map_or(180, |[_, _, _, settle]| settle);
                    assert_eq!(u64::from(record.settings().settle().seconds()), settle);
                }
                Err(RecordError::TooLong { .. }) => assert!(too_long),
                Err(RecordError::Shortfall { .. }) => assert!(written.flags & 2 == 0 && written.required * 2 > sum),
                Err(RecordError::OutOfBounds { field: Field::Counted, found, .. }) => assert_eq!(found, 0),
                Err(RecordError::OutOfBounds { field: Field::Uncertainty, .. }) => {
                    assert_eq!(written.settings, Some([256, 300, 100, 180]));
                }
                Err(other) => panic!("{other:?} {written:?}"),
            }
        }
    }
}

/// A change to a record, and the error it makes.
type Spoilt = (fn(&mut Written), RecordError);

#[test]
fn every_bound_is_held() {
    let at = |field, offset, found| RecordError::OutOfBounds { field, offset, found };
    let cases: [Spoilt; 18] = [
        (|w| w.instants.0 = (1 << 34) + 1, at(Field::Seated, 65, (1 << 35) + 2)),
        (|w| w.instants.1 = 1 << 21, at(Field::Working, 68, 1 << 21)),
        (|w| w.instants.2 = 1 << 28, at(Field::Since, 69, 1 << 28)),
        (|w| w.clock = Some((0, 1_440)), at(Field::Offset, 71, 2_881)),
        (|w| w.clock = Some((0, -1_440)), at(Field::Offset, 71, 2_880)),
        (|w| w.clock = Some((-(1 << 34) - 1, 0)), at(Field::Ahead, 72, (1 << 35) + 1)),
        (|w| w.required = 0, at(Field::Required, 77, 0)),
        (|w| w.required = 12_096_001, at(Field::Required, 77, 12_096_001)),
        (|w| w.bands = vec![12_218_182, 1], at(Field::Counted, 85, 12_218_183)),
        (|w| w.bands = vec![0], at(Field::Counted, 80, 0)),
        (|w| w.uncounted.0 = 1 << 28, at(Field::Held, 84, 1 << 28)),
        (|w| w.uncounted.1 = 1 << 28, at(Field::Unobserved, 85, 1 << 28)),
        (|w| w.coldest = -35_329, at(Field::Coldest, 86, 70_657)),
        (|w| w.outside = Some(32_768), at(Field::OutsideAtSeating, 88, 65_537)),
        (|w| w.torque = Some((0, 0, 0)), at(Field::TorqueSpare, 91, 0)),
        (|w| w.settings = Some([256, 300, 100, 180]), at(Field::Uncertainty, 89, 256)),
        (|w| w.settings = Some([256, 300, 100, 3_601]), at(Field::Settle, 94, 3_601)),
        (|w| w.required = 10_801, RecordError::Shortfall { required: 10_801, served: 10_800 }),
    ];
    assert!(ReleaseRecord::parse(&Written::usual().bytes(false)).is_ok());
    for (number, (spoil, expected)) in cases.into_iter().enumerate() {
        let mut written = Written::usual();
        spoil(&mut written);
        assert_eq!(ReleaseRecord::parse(&written.bytes(false)), Err(expected), "case {number}");
    }
}

#[test]
fn what_has_no_meaning_is_refused() {
    let usual = Written::usual().bytes(false);
    let spoilt = |offset: usize, byte: u8| {
        let mut bytes = usual.clone();
        bytes[offset] = byte;
        ReleaseRecord::parse(&bytes)
    };
    assert_eq!(spoilt(0, 2), Err(RecordError::Version { found: 2 }));
    assert_eq!(spoilt(1, 12), Err(RecordError::Meaningless { offset: 1, found: 12 }), "a fourth hole condition");
    assert_eq!(spoilt(1, 128), Err(RecordError::Meaningless { offset: 3, found: 7 }), "left out and there");
    assert_eq!(spoilt(3, 17), Err(RecordError::Meaningless { offset: 3, found: 17 }));
    assert_eq!(spoilt(58, b'\n'), Err(RecordError::LabelText { offset: 58 }));
    assert_eq!(spoilt(60, 0xFF), Err(RecordError::LabelText { offset: 60 }));
    for length in 0..usual.len() {
        let cut = ReleaseRecord::parse(&usual[..length]);
        assert!(matches!(cut, Err(RecordError::TooShort { found, .. }) if found == length), "{length}: {cut:?}");
    }
    let mut longer = usual.clone();
    longer.push(0);
    let trailing = RecordError::Trailing { offset: usual.len(), found: 1 };
    assert_eq!(ReleaseRecord::parse(&longer), Err(trailing));
    longer.resize(MOST_RECORD + 1, 0);
    let long = RecordError::TooLong { most: MOST_RECORD, found: MOST_RECORD + 1 };
    assert_eq!(ReleaseRecord::parse(&longer), Err(long));
}

#[test]
fn what_there_is_no_room_for_is_left_out_and_said_so() {
    // a fixing that crosses all sixteen bands of a resin, under settings of its own
    let cure = Cure {
        resin: resin(16, -40, 2, 14 * 86_400),
        settings: settings(500, 600, 5_000),
        hole: Hole::Flooded,
        fixings: 16,
        start: 1 << 33,
        torque: Some((1_000_000, 2_000_000, 1_500_000)),
        wait: (1 << 28) - 1_000,
        ..Cure::usual()
    };
    let wave = |number: u64| (-38 * 256 + 300 + (number / 400 % 16) as i64 * 512) as i16;
    let long = Label::new(b"sixteen letters!").expect("a label");
    let clock = WallClock::Tied { ahead: -(1 << 34), offset_minutes: -1_439 };
    let (group, fixing) = cure.play(wave);
    let record = ReleaseRecord::of(&group, fixing, &Particulars { label: long, clock, ..particulars() }).expect("made");
    assert_eq!((record.label(), record.counted().each()), (None, None));
    let status = group.status(fixing).expect("the fixing");
    assert_eq!(u64::from(record.counted().total()), status.tally.counted());
    assert_eq!(status.tally.bands.iter().filter(|&&seconds| seconds > 0).count(), 16);
    assert_eq!(record.served_seconds(), status.served);
    assert_eq!(ReleaseRecord::parse(&bytes_of(&record)), Ok(record));
    assert_eq!(record.hold_against(&group), Ok(()));
    // a little less, and only the label is in the way
    let cure = Cure { settings: settings(500, 600, 5_000), resin: resin(16, -40, 2, 40_000), ..cure };
    let (group, fixing) = cure.play(|number| (-38 * 256 + 300 + (number / 40 % 4) as i64 * 512) as i16);
    let record = ReleaseRecord::of(&group, fixing, &Particulars { label: long, ..particulars() }).expect("made");
    assert_eq!(record.label(), None);
    assert_eq!(record.counted().each().map(<[u32]>::len), Some(16));
    assert_eq!(record.hold_against(&group), Ok(()));
}

#[test]
fn the_longest_record_of_all_fits() {
    let written = Written {
        flags: 0x80,
        label: Vec::new(),
        instants: (-(1 << 34), (1 << 21) - 1, (1 << 28) - 1),
        clock: Some((-(1 << 34), -1_439)),
        required: 12_096_000,
        bands: vec![12_218_182; 1],
        uncounted: ((1 << 28) - 1, (1 << 28) - 1),
        coldest: -35_328,
        outside: Some(-32_768),
        settings: Some([2_560, 3_600, 10_000, 3_600]),
        torque: Some(((1 << 21) - 1, (1 << 21) - 1, (1 << 21) - 1)),
        ..Written::usual()
    };
    let bytes = written.bytes(true);
    assert!(bytes.len() <= MOST_RECORD, "{}", bytes.len());
    let record = ReleaseRecord::parse(&bytes).expect("a record");
    assert_eq!(bytes_of(&record), bytes);
}

#[test]
fn torques_and_clocks_out_of_bounds_make_no_record() {
    let wrong = |field| Err(Unrecordable::OutOfBounds { field });
    let made = |cure: &Cure, particulars: &Particulars| {
        let (group, fixing) = cure.play(steady);
        ReleaseRecord::of(&group, fixing, particulars).map(|_| ())
    };
    let torque = |torque| Cure { torque: Some(torque), ..Cure::usual() };
    assert_eq!(made(&torque((1 << 21, 1 << 22, 1 << 21)), &particulars()), wrong(Field::TorqueLeast));
    assert_eq!(made(&torque((0, 1 << 22, 1 << 21)), &particulars()), wrong(Field::TorqueOver));
    assert_eq!(made(&torque((0, 1 << 22, 1)), &particulars()), wrong(Field::TorqueSpare));
    let clock =
        |ahead, offset_minutes| Particulars { clock: WallClock::Tied { ahead, offset_minutes }, ..particulars() };
    assert_eq!(made(&Cure::usual(), &clock(0, 1_440)), wrong(Field::Offset));
    assert_eq!(made(&Cure::usual(), &clock(0, i16::MIN)), wrong(Field::Offset));
    assert_eq!(made(&Cure::usual(), &clock(i64::MIN, 0)), wrong(Field::Ahead));
    assert_eq!(made(&Cure { start: 1 << 40, ..Cure::usual() }, &particulars()), wrong(Field::Seated));
    assert_eq!(made(&Cure { wait: 1 << 29, ..Cure::usual() }, &particulars()), wrong(Field::Since));
}
