//! The ring: wear, mounts, a full memory, what is kept, what is refused.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_core::fixing::{Action, FixingSpec, Injection, Stage};
use holdoff_core::group::{Darkness, FixingNumber, Happening};
use holdoff_core::log::{
    Acknowledged, Bytes, DeviceId, LogError, Logger, MissingCause, MountError, ResetCause, StoreError, Trust, Why,
    mount, read::Log,
};
use holdoff_core::quantity::{Count, Instant, Torque};
use holdoff_core::seal::{BatchHash, SecretKey, Unlogged, WallClock, seal_release};
use holdoff_evidence::keys::{NamedKey, Ring};
use holdoff_evidence::{Proof, prove_image};
use holdoff_tests::log_history::{Op, apply, random_life};
use holdoff_tests::log_sample::{DEVICE, act, beginning, blank, device_of, fixing, owner_of, readings, retagged, spec};
use holdoff_tests::log_series::minutes;
use holdoff_tests::memory::{Cut, FakeMemory, Leaves, Then};
use holdoff_tests::random::{histories, numbers};

#[test]
fn wear_is_spread_evenly_and_a_reading_takes_two_short_writes() {
    println!(
        "{:>6} {:>9} {:>8} {:>8} {:>8} {:>10} {:>12}",
        "part", "readings", "least", "mean", "most", "B/reading", "years to 1 M"
    );
    let counts = minutes("upland-winter-10min", 10, 0.02);
    for part_page in [32, 64, 128] {
        let size = 32 * 1024;
        let mut logger =
            mount(holdoff_tests::memory::FakeMemory::blank(size, part_page), DEVICE, &mut |_| {}, &mut |_| {})
                .expect("blank")
                .0;
        logger.begin(&beginning()).expect("blank");
        let (mut at, mut taken) = (1_700_000_000, 0u64);
        let (mut calls, mut bytes) = (0, 0);
        for count in counts.iter().cycle() {
            if logger.head().expect("a session").page >= 6 * 64 {
                break;
            }
            let what = Happening::Reading { at: Instant::from_seconds(at), count: Count::new(*count) };
            let before = (logger.memory().write_calls, logger.memory().bytes_written);
            match logger.happen(what, &mut |_| {}) {
                Ok(Acknowledged::Stored(_)) => {}
                Ok(Acknowledged::Lost { .. }) => {
                    // full: read out, and a session of its own
                    logger.read_out(u32::MAX).expect("room");
                    logger.begin(&beginning()).expect("nothing runs");
                    continue;
                }
                Err(error) => panic!("{error:?}"),
            }
            calls = calls.max(logger.memory().write_calls - before.0);
            bytes += logger.memory().bytes_written - before.1;
            at += 60;
            taken += 1;
        }
        let writes = &logger.memory().writes;
        let (least, most) = (writes.iter().min().copied().unwrap_or(0), writes.iter().max().copied().unwrap_or(0));
        let mean = writes.iter().sum::<u64>() as f64 / writes.len() as f64;
        let years = 1e6 / most as f64 * taken as f64 / 60.0 / 24.0 / 365.25;
        assert_eq!(calls, 2);
        println!(
            "{part_page:6} {taken:9} {least:8} {mean:8.1} {most:8} {:10.1} {years:12.0}",
            bytes as f64 / taken as f64
        );
        // the part page with the header is written less than the others, none much more
        assert!(most as f64 <= 1.4 * mean, "{mean} {most}");
        let slots: Vec<u64> = writes.chunks(512 / part_page).map(|slot| slot.iter().sum()).collect();
        let (least, most) = (slots.iter().min().copied().unwrap_or(0), slots.iter().max().copied().unwrap_or(0));
        assert!(least as f64 >= 0.7 * most as f64, "slots {least} to {most}");
        assert!(bytes as f64 / (taken as f64) < 40.0);
        assert!(years > 100.0, "{years}");
    }
}

#[test]
fn a_mount_of_64_kib_reads_at_most_132_kib_and_writes_nothing() {
    let mut logger = blank(64 * 1024, DEVICE);
    logger.begin(&beginning()).expect("blank");
    let counts = minutes("upland-winter-10min", 10, 0.02);
    let mut at = 1_700_000_000;
    for count in counts.iter().cycle() {
        if logger.room().left <= logger.room().reserved {
            break;
        }
        let _ = logger
            .happen(Happening::Reading { at: Instant::from_seconds(at), count: Count::new(*count) }, &mut |_| {})
            .expect("room");
        at += 60;
    }
    let group = logger.group().cloned();
    let mut memory = logger.into_memory();
    memory.bytes_read = 0;
    let writes = memory.write_calls;
    let (logger, report) = mount(memory, DEVICE, &mut |_| {}, &mut |_| {}).expect("a log");
    let (readings, _) = logger.session().readings();
    let read = logger.memory().bytes_read;
    println!("mount of a full 64 KiB: {read} bytes read, {readings} readings, pages {:?}", report.pages);
    assert_eq!((report.trust, logger.memory().write_calls), (Trust::Trusted, writes));
    assert_eq!(logger.group(), group.as_ref());
    assert!(read <= 132 * 1024, "{read}");
}

#[test]
fn a_full_memory_loses_readings_by_count_and_keeps_torque_and_release() {
    let mut logger = blank(8192, DEVICE);
    logger.begin(&beginning()).expect("blank");
    for _ in 0..2 {
        logger.add(Bytes::EMPTY, spec()).expect("room");
    }
    let mut at = readings(&mut logger, 1, 1_700_000_000, 10, 16);
    act(&mut logger, at - 50, 0, Action::Inject(Injection::default()));
    act(&mut logger, at - 40, 0, Action::Seat);
    // far beyond its cure, with nobody to torque it
    let mut lost = 0u64;
    let mut stored_after_loss = false;
    for minute in 0..20_000i64 {
        let count = Count::new(16 * 256 + 16 * ((minute * 7919 % 64) as i16 - 32));
        match logger.happen(Happening::Reading { at: Instant::from_seconds(at), count }, &mut |_| {}) {
            Ok(Acknowledged::Stored(_)) => stored_after_loss |= lost > 0,
            Ok(Acknowledged::Lost { .. }) => {
                lost += 1;
                assert!(logger.is_losing());
            }
            Err(error) => panic!("{error:?}"),
        }
        at += 60;
    }
    assert!(lost > 5_000 && !stored_after_loss, "{lost}");
    let before = logger.group().and_then(|group| group.status(fixing(0))).expect("a fixing");
    assert_eq!(before.stage.word(), "cured");
    // no other fixing is begun
    let inject = Action::Inject(Injection::default());
    let what = Happening::Action { at: Instant::from_seconds(at), fixing: fixing(1), action: inject };
    assert!(matches!(logger.happen(what, &mut |_| {}), Err(LogError::NoRoom { .. })));
    // the end of the running one finds its place
    act(&mut logger, at, 0, Action::Torque(Torque::from_hundredths(4000)));
    logger.release(fixing(0), Bytes::new(&[7; 255]).expect("255 fit")).expect("a page is kept");
    let group = logger.group().cloned();
    let (logger, report) = mount(logger.into_memory(), DEVICE, &mut |_| {}, &mut |_| {}).expect("a log");
    assert_eq!(report.trust, Trust::Trusted);
    assert_eq!(logger.group(), group.as_ref());
    assert!(logger.session().has_release(fixing(0)));
    let (_, recorded) = logger.session().readings();
    assert!(recorded > 1000 && recorded <= lost, "{recorded} of {lost}");
}

#[test]
fn sixteen_fixings_in_a_full_memory_all_get_their_release() {
    let mut logger = blank(32 * 1024, DEVICE);
    logger.begin(&beginning()).expect("blank");
    for _ in 0..16 {
        logger.add(Bytes::cut("sixteen"), spec()).expect("room");
    }
    assert_eq!(logger.add(Bytes::EMPTY, spec()), Err(LogError::GroupFull));
    let mut at = readings(&mut logger, 1, 1_700_000_000, 10, 16);
    for place in 0..16 {
        act(&mut logger, at - 50, place, Action::Inject(Injection::default()));
        act(&mut logger, at - 40, place, Action::Seat);
    }
    while !logger.is_losing() {
        let count = Count::new(16 * 256 + 16 * ((at * 7919 % 64) as i16 - 32));
        let _ = logger
            .happen(Happening::Reading { at: Instant::from_seconds(at), count }, &mut |_| {})
            .expect("stored or lost");
        at += 60;
    }
    for place in 0..16 {
        for low in 0..3 {
            act(&mut logger, at + low, place, Action::Torque(Torque::from_hundredths(3000)));
        }
        act(&mut logger, at + 3, place, Action::Torque(Torque::from_hundredths(4000)));
        logger.release(fixing(place), Bytes::new(&[place; 255]).expect("255 fit")).expect("a page is kept");
    }
    let (logger, _) = mount(logger.into_memory(), DEVICE, &mut |_| {}, &mut |_| {}).expect("a log");
    for place in 0..16 {
        assert!(logger.session().has_release(fixing(place)), "{place}");
    }
    assert_eq!(logger.session().unsealed().count(), 0);
}

#[test]
fn a_session_is_not_ended_while_a_fixing_runs_and_kept_until_it_is_read_out() {
    let mut logger = blank(8192, DEVICE);
    logger.begin(&beginning()).expect("blank");
    logger.add(Bytes::EMPTY, spec()).expect("room");
    let at = readings(&mut logger, 1, 1_700_000_000, 10, 16);
    act(&mut logger, at - 50, 0, Action::Inject(Injection::default()));
    assert_eq!(logger.begin(&beginning()), Err(LogError::Running { fixing: fixing(0) }));
    // never seated: rejected, and nothing runs any more
    let mut at = readings(&mut logger, 2, at, 60, 16);
    logger.begin(&beginning()).expect("nothing runs");
    // nobody reads it out: the ring ends before the first session's page
    loop {
        let what = Happening::Reading {
            at: Instant::from_seconds(at),
            count: Count::new(4096 + 16 * (at * 7919 % 61) as i16),
        };
        match logger.happen(what, &mut |_| {}).expect("stored or lost") {
            Acknowledged::Stored(_) => at += 60,
            Acknowledged::Lost { .. } => break,
        }
    }
    let log = Log::open(logger.memory().bytes(), &mut |_| {}).expect("a log");
    assert!(log.page(0).is_some_and(|found| matches!(found, holdoff_core::log::read::Found::Page(..))));
    let before = logger.room();
    logger.read_out(1).expect("room");
    // the running session itself is kept, so only the page before it is won
    assert_eq!(logger.room().left, before.left + 1);
    let (logger, report) = mount(logger.into_memory(), DEVICE, &mut |_| {}, &mut |_| {}).expect("a log");
    assert_eq!((report.trust, logger.room().left), (Trust::Trusted, before.left + 1));
}

#[test]
fn nothing_is_taken_before_the_mount_or_after_a_refused_one() {
    let what = Happening::Missing { at: Instant::from_seconds(5) };
    let mut made = blank(8192, DEVICE);
    made.begin(&beginning()).expect("blank");
    readings(&mut made, 1, 1_700_000_000, 3, 16);
    let group = made.group().cloned();
    let mut logger = Logger::new(made.into_memory(), DEVICE.into());
    assert_eq!(logger.happen(what, &mut |_| {}), Err(LogError::NotMounted));
    assert_eq!(logger.begin(&beginning()), Err(LogError::NotMounted));
    assert_eq!((logger.group(), logger.head()), (None, None));
    let report = logger.mount(&mut |_| {}, &mut |_| {}).expect("a log");
    assert_eq!((report.trust, logger.group()), (Trust::Trusted, group.as_ref()));
    logger.power_up(Darkness::Known, ResetCause::PowerOn, &mut |_| {}).expect("room");
    // a second mount forgets what it knew, and finds the power-up
    let known = logger.group().cloned();
    logger.mount(&mut |_| {}, &mut |_| {}).expect("a log");
    assert_eq!(logger.group(), known.as_ref());
    assert_eq!(logger.happen(what, &mut |_| {}), Err(LogError::PowerUpFirst));
    let mut other = Logger::new(logger.into_memory(), DeviceId(*b"another!").into());
    let refused = other.mount(&mut |_| {}, &mut |_| {});
    assert_eq!(refused, Err(MountError::Device { found: DEVICE, expected: DeviceId(*b"another!") }));
    assert_eq!(other.group(), None);
    assert_eq!(other.happen(what, &mut |_| {}), Err(LogError::NotMounted));
    assert_eq!(other.begin(&beginning()), Err(LogError::NotMounted));
}

#[test]
fn nothing_is_taken_before_the_power_up_is_recorded() {
    let mut logger = blank(8192, DEVICE);
    let what = Happening::Missing { at: Instant::from_seconds(5) };
    assert_eq!(logger.happen(what, &mut |_| {}), Err(LogError::NoSession));
    logger.begin(&beginning()).expect("blank");
    readings(&mut logger, 1, 1_700_000_000, 3, 16);
    let (mut logger, _) = mount(logger.into_memory(), DEVICE, &mut |_| {}, &mut |_| {}).expect("a log");
    assert_eq!(logger.happen(what, &mut |_| {}), Err(LogError::PowerUpFirst));
    assert_eq!(logger.begin(&beginning()), Err(LogError::PowerUpFirst));
    logger.power_up(Darkness::Known, ResetCause::PowerOn, &mut |_| {}).expect("room");
    let at = Instant::from_seconds(1_700_000_500);
    assert!(logger.missing(at, MissingCause::NotTaken, &mut |_| {}).is_ok());
}

#[test]
fn a_write_that_fails_is_taken_back_and_done_again() {
    use holdoff_tests::memory::{Cut, Leaves, Then};
    for after in 0..24 {
        let mut logger = blank(8192, DEVICE);
        logger.begin(&beginning()).expect("blank");
        logger.add(Bytes::EMPTY, spec()).expect("room");
        let at = readings(&mut logger, 1, 1_700_000_000, 10, 16);
        let group = logger.group().cloned();
        let mut memory = logger.into_memory();
        memory.cut(Cut { after, leaves: Leaves::HalfAByte, then: Then::Alive, noise: after });
        let (mut logger, _) = mount(memory, DEVICE, &mut |_| {}, &mut |_| {}).expect("a log");
        assert_eq!(logger.group(), group.as_ref());
        let mut tries = 0;
        while let Err(error) = logger.power_up(Darkness::Known, ResetCause::PowerOn, &mut |_| {}) {
            assert!(matches!(error, LogError::Store(StoreError::Memory(_))), "{error:?}");
            assert_eq!(logger.group(), group.as_ref());
            tries += 1;
        }
        assert!(tries <= 1);
        readings(&mut logger, 2, at + 300, 30, 16);
        let group = logger.group().cloned();
        let (logger, report) = mount(logger.into_memory(), DEVICE, &mut |_| {}, &mut |_| {}).expect("a log");
        assert_eq!((report.trust, logger.group()), (Trust::Trusted, group.as_ref()));
    }
}

#[test]
fn a_home_copy_that_is_damaged_is_mended_before_its_mirror_is_given_up() {
    // every fill of a page: now and then the power-up itself begins the next one
    let mut begun = 0;
    for count in 300..900 {
        let mut logger = blank(8192, DEVICE);
        logger.begin(&beginning()).expect("blank");
        readings(&mut logger, 1, 1_700_000_000, count, 16);
        let open = logger.head().expect("a session").page;
        let group = logger.group().cloned();
        let mut memory = logger.into_memory();
        memory.bytes_mut()[open as usize * 512 + 40] ^= 1;
        let (mut logger, report) = mount(memory, DEVICE, &mut |_| {}, &mut |_| {}).expect("a log");
        assert_eq!((report.trust, logger.group()), (Trust::Trusted, group.as_ref()), "{count}");
        logger.power_up(Darkness::Known, ResetCause::PowerOn, &mut |_| {}).expect("room");
        begun += logger.head().expect("a session").page - open;
        let group = logger.group().cloned();
        let (logger, report) = mount(logger.into_memory(), DEVICE, &mut |_| {}, &mut |_| {}).expect("a log");
        assert_eq!((report.trust, logger.group()), (Trust::Trusted, group.as_ref()), "{count}");
    }
    assert!(begun > 0, "no page was begun");
}

#[test]
fn an_hour_in_which_the_wall_clock_was_not_read_is_told_apart() {
    use holdoff_core::log::{Clock, ClockTie, Item, Record, read::Found};
    let mut logger = blank(8192, DEVICE);
    logger.begin(&beginning()).expect("blank");
    let told = |at: i64, ahead: i64| {
        let at = Instant::from_seconds(at);
        ClockTie { at, utc: at.seconds() + ahead, offset_minutes: 0 }
    };
    let hour = |number: i64| 3600 * (500_000 + number);
    for number in 0..6 {
        // read in the first hours but the third, corrected in the fifth
        match number {
            0 | 1 | 3 => logger.clock(told(hour(number), 10)).expect("room"),
            4 => logger.clock(told(hour(number), 11)).expect("room"),
            _ => {}
        }
        for minute in 0..60 {
            let at = Instant::from_seconds(hour(number) + 60 * minute);
            let _ = logger.happen(Happening::Reading { at, count: Count::new(4096) }, &mut |_| {}).expect("room");
        }
    }
    let log = Log::open(logger.memory().bytes(), &mut |_| {}).expect("a log");
    let mut words = Vec::new();
    for found in log.pages() {
        let Found::Page(_, page) = found else { panic!("{found:?}") };
        for read in page.read().map(|read| read.expect("an item")) {
            words.extend(read.clock.map(|clock| if clock == Clock::Agreed { "agreed" } else { "not read" }));
            if let Item::Record(Record::ClockTie(tie)) = read.item {
                words.push(if tie.utc - tie.at.seconds() == 10 { "tied" } else { "corrected" });
            }
        }
    }
    assert_eq!(words, ["tied", "agreed", "not read", "agreed", "corrected", "not read"]);
}

/// Working, running and unsealed fixings, from the whole status of each.
fn slow_parts(logger: &Logger<FakeMemory>) -> [Vec<FixingNumber>; 3] {
    let session = logger.session();
    let mut parts = [const { Vec::new() }; 3];
    for (group, fixing) in
        logger.group().into_iter().flat_map(|group| group.fixings().map(move |fixing| (group, fixing)))
    {
        let torqued = group.torque_range(fixing).is_some();
        let sealed = session.has_release(fixing);
        let [working, running, unsealed] = &mut parts;
        match group.status(fixing).expect("a fixing").stage {
            Stage::Working => {
                working.push(fixing);
                running.push(fixing);
            }
            Stage::Curing | Stage::Held => running.push(fixing),
            Stage::Cured(_) if torqued => running.push(fixing),
            Stage::Cured(_) | Stage::Released(_) if !sealed => unsealed.push(fixing),
            _ => {}
        }
        let [_, _, unsealed] = &parts;
        let ended = match group.status(fixing).expect("a fixing").stage {
            Stage::Cured(_) => !torqued,
            Stage::Released(_) => true,
            _ => false,
        };
        assert!(!sealed || ended, "a release record of {:?}", group.status(fixing));
        assert!(!ended || sealed != unsealed.contains(&fixing));
    }
    parts
}

#[test]
fn which_fixings_run_is_what_the_status_of_each_says_at_any_time() {
    let mut seen = [0; 3];
    for seed in 0..histories(50_000) / 50 {
        let mut rng = numbers(seed + 3_000_000);
        let life = random_life(&mut rng);
        let memory = FakeMemory::blank(life.size, life.part_page);
        let mut logger = mount(memory, DEVICE, &mut |_| {}, &mut |_| {}).expect("blank").0;
        let mut check = |logger: &Logger<FakeMemory>| {
            let session = logger.session();
            let slow = slow_parts(logger);
            for ((fast, slow), seen) in
                [session.working(), session.running(), session.unsealed()].into_iter().zip(slow).zip(&mut seen)
            {
                assert!(fast.into_iter().eq(slow.iter().copied()), "seed {seed}: {fast:?} {slow:?}");
                *seen += slow.len();
            }
        };
        for op in &life.ops {
            let _ = apply(&mut logger, op);
            check(&logger);
            // most of what is done to the first fixing is done to some of the others as well
            if let Op::Happen(Happening::Action { at, action, .. }) = op {
                for place in 1..16 {
                    if rng() % 3 > 0 {
                        let fixing = fixing(place);
                        let _ = apply(&mut logger, &Op::Happen(Happening::Action { at: *at, fixing, action: *action }));
                        check(&logger);
                    }
                }
            }
            if rng() % 100 == 0 {
                logger = mount(logger.into_memory(), DEVICE, &mut |_| {}, &mut |_| {}).expect("a log").0;
                check(&logger);
                let _ = logger.power_up(Darkness::Known, ResetCause::PowerOn, &mut |_| {});
                check(&logger);
            }
        }
    }
    assert!(seen.iter().all(|seen| *seen > 1000), "{seen:?}");
}

#[test]
fn a_release_is_signed_over_all_that_stands_before_it_also_when_the_memory_failed_right_before() {
    let seed = [7; 32];
    let key = SecretKey::from_seed(seed).expect("a key");
    let ring = Ring::of(NamedKey { name: "the device".to_owned(), device: None, public: key.public(), enrolled: None });
    let mut logger = blank(32 * 1024, owner_of(seed));
    logger.begin(&beginning()).expect("blank");
    logger.add(Bytes::cut("quay stud 1"), FixingSpec { torque: None, ..spec() }).expect("room");
    let at = readings(&mut logger, 1, 1_700_000_000, 3, 20);
    act(&mut logger, at - 50, 0, Action::Inject(Injection::default()));
    act(&mut logger, at - 40, 0, Action::Seat);
    // up to the reading before the one that completes the cure
    let cures = |memory: FakeMemory, readings: i64, cut: Option<u64>| {
        let mut logger = mount(memory, owner_of(seed), &mut |_| {}, &mut |_| {}).expect("a log").0;
        logger.power_up(Darkness::Known, ResetCause::PowerOn, &mut |_| {}).expect("it is written");
        for number in 0..readings {
            if let (true, Some(after)) = (number + 1 == readings, cut) {
                let cut = Cut { after, leaves: Leaves::HalfAByte, then: Then::Alive, noise: after };
                logger.memory_mut().cut(cut);
            }
            let what =
                Happening::Reading { at: Instant::from_seconds(at + 60 * number), count: Count::from_degrees(20) };
            let _ = logger.happen(what, &mut |_| {}).expect("stored or lost");
        }
        logger.memory_mut().revive();
        logger
    };
    let memory = logger.into_memory();
    let count = (1..1000).find(|count| !cures(memory.clone(), *count, None).session().unsealed().is_empty());
    let count = count.expect("it is cured");
    let mut signed = 0;
    for after in 0..80 {
        let mut logger = cures(memory.clone(), count, Some(after));
        let unlogged =
            Unlogged { label: Bytes::cut("quay stud 1"), batch: BatchHash::UNDECLARED, clock: WallClock::Unknown };
        for fixing in logger.session().unsealed() {
            seal_release(&mut logger, fixing, &unlogged, &key).expect("the memory answers again");
            let (proofs, _) = prove_image(logger.memory().bytes(), &ring).expect("a log");
            assert!(proofs.iter().all(Proof::is_proved), "cut after {after} bytes: {proofs:?}");
            signed += 1;
        }
    }
    assert!((20..80).contains(&signed), "{signed}");
}

#[test]
fn a_logger_takes_only_pages_that_it_has_written() {
    let (own, other) = ([7; 32], [8; 32]);
    let mut logger = blank(32 * 1024, owner_of(own));
    logger.begin(&beginning()).expect("blank");
    logger.add(Bytes::EMPTY, spec()).expect("room");
    readings(&mut logger, 5, 1_700_000_000, 3_000, 12);
    let whole = logger.memory().bytes().to_vec();
    let mount_of = |image: &[u8]| {
        let memory = FakeMemory::of(image.to_vec(), 64);
        mount(memory, owner_of(own), &mut |_| {}, &mut |_| {}).map(|(_, report)| report.trust)
    };
    assert_eq!(mount_of(&whole), Ok(Trust::Trusted));
    assert_eq!(retagged(&whole, &own), whole, "the tags are what the format says");
    // the same bytes under another key: every hash, link and check is right
    let foreign = retagged(&whole, &other);
    assert!(matches!(mount_of(&foreign), Err(MountError::Foreign { .. })), "{:?}", mount_of(&foreign));
    // and without any, as whoever has no key at all would write them
    let without = mount(FakeMemory::blank(32 * 1024, 64), device_of(own), &mut |_| {}, &mut |_| {}).expect("blank").0;
    let mut without = without;
    without.begin(&beginning()).expect("blank");
    assert!(matches!(mount_of(without.memory().bytes()), Err(MountError::Foreign { .. })));
    // one closed page of the session that another has written
    let mut spliced = whole.clone();
    spliced[512..1024].copy_from_slice(&foreign[512..1024]);
    assert_eq!(mount_of(&spliced), Ok(Trust::Untrusted(Why::Foreign { number: 1 })));
}
