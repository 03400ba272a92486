//! A logger that says what cannot be: it is said to be so, and nothing that lets somebody load rests on it.

use holdoff::link::{Doubt, GroupStatus, Patience, Port, Talk, part_file, status_object, table, watch};
use holdoff_core::log::StageWord;
use holdoff_link::message::Head;
use holdoff_link::status::{Fixing, Release};
use holdoff_present::words::Speech;
use holdoff_tests::link_command::{holdoff_link, holdoff_register};
use holdoff_tests::link_device::FakeDevice;
use holdoff_tests::link_line::{path, serve};
use holdoff_tests::random::{histories, numbers};

/// A status of the sample: its first fixing is released, with a signed record.
fn sample() -> GroupStatus {
    let socket = path("beyond-sample");
    let _served = serve(FakeDevice::sample(), &socket, None);
    let port = Port { name: format!("unix:{}", socket.display()), baud: 115_200 };
    let mut talk = Talk::begin(&port, Patience::default()).expect("it answers");
    watch(&mut talk).expect("answered")
}

fn first_of(standing: &GroupStatus) -> (String, serde_json::Value) {
    let json: serde_json::Value = serde_json::to_value(status_object(standing)).expect("JSON");
    (table(standing, Speech::PLAIN), json["fixings"][0].clone())
}

#[test]
fn what_cannot_be_is_told_and_nothing_is_loaded_for_it() {
    let truth = sample();
    let (text, json) = first_of(&truth);
    assert!(text.contains("RELEASED") && !text.contains("! the logger"), "{text}");
    assert_eq!((&json["doubts"], &json["stage"]), (&serde_json::json!([]), &serde_json::json!("released")));
    let now = truth.group.now.expect("it tells");
    type Lie = fn(&mut Fixing, i64);
    let cases: [(Doubt, &str, Lie); 9] = [
        (Doubt::NotRecorded, "no signed record", |fixing, _| fixing.release = Release::None),
        (Doubt::NoTime, "does not say since when", |fixing, _| fixing.since = None),
        (Doubt::Times, "cannot follow", |fixing, now| fixing.since = Some(now + 1)),
        (Doubt::Times, "cannot follow", |fixing, _| fixing.injected_at = Some(i64::MAX)),
        (Doubt::Torque, "does not go with", |fixing, _| fixing.torque = None),
        (Doubt::Torque, "does not go with", |fixing, _| fixing.range = Some((5, 4))),
        (Doubt::Numbers, "more seconds", |fixing, _| fixing.served = u64::MAX),
        (Doubt::UnknownGround, "does not know", |fixing, _| fixing.grounds = 1 << 19),
        (Doubt::NoTime, "does not say since when", |fixing, _| fixing.cured_at = None),
    ];
    for (doubt, words, lie) in cases {
        let mut lying = truth.clone();
        lie(&mut lying.fixings[0], now);
        let (text, json) = first_of(&lying);
        assert_eq!(Doubt::of(&lying, &lying.fixings[0]), [doubt], "{doubt:?}");
        assert!(text.contains("DO NOT LOAD: THE LOGGER'S WORD DOES NOT HOLD") && text.contains(words), "{text}");
        assert!(!text.contains("RELEASED") && json["doubts"][0] == doubt.word(), "{text} {json}");
        assert!(json["status"].as_str().expect("a status").starts_with("Do not load it"), "{json}");
    }
    // a rejection stays one, and lacks its ground
    for stage in [StageWord::Rejected, StageWord::Refused] {
        let mut lying = truth.clone();
        (lying.fixings[0].stage, lying.fixings[0].grounds) = (stage, 0);
        let (text, json) = first_of(&lying);
        assert!(text.contains("the logger gives no ground for it") && json["doubts"][0] == "no-ground", "{text}");
        assert!(text.contains("DO NOT"), "{text}");
    }
    // grounds that are known are told beside one that is not
    let mut lying = truth.clone();
    (lying.fixings[0].stage, lying.fixings[0].grounds) = (StageWord::Rejected, 1 << 19 | 1);
    let (text, json) = first_of(&lying);
    assert!(text.contains("past its date") && text.contains("does not know"), "{text}");
    assert_eq!((&json["reasons"][0], &json["doubts"][0]), (&"past-date".into(), &"unknown-ground".into()));
    // a logger without a key signs nothing, and says so
    let mut keyless = truth.clone();
    (keyless.identity.key, keyless.fixings[0].release) = (None, Release::None);
    let (text, _) = first_of(&keyless);
    assert!(text.contains("RELEASED") && text.contains("released, and not signed: this logger has no key"), "{text}");
    // counts
    let mut counting = truth;
    counting.group.loaded.as_mut().expect("a job").counts = (u64::MAX, 0, 0, 0);
    assert!(table(&counting, Speech::PLAIN).contains("WHAT IT COUNTS CANNOT BE"));
}

#[test]
fn a_group_or_a_memory_that_cannot_be_ends_the_command() {
    type Lie = fn(&mut FakeDevice);
    let lies: [(&str, Lie); 3] = [
        ("a group of 200 fixings", |device| {
            device.group_lie = Some(|group| group.loaded.as_mut().expect("a job").fixings = 200);
        }),
        ("a group of 0 fixings", |device| {
            device.group_lie = Some(|group| group.loaded.as_mut().expect("a job").fixings = 0);
        }),
        ("the status of fixing 8 when asked for fixing 1", |device| {
            device.fixing_lie = Some(|fixing| fixing.number = 7);
        }),
    ];
    for (place, (words, lie)) in lies.into_iter().enumerate() {
        let mut device = FakeDevice::recorded(8_192, "north 1", 30, 16);
        lie(&mut device);
        let socket = path(&format!("beyond-{place}"));
        let _served = serve(device, &socket, None);
        let scenario = concat!(env!("CARGO_MANIFEST_DIR"), "/../host-sim/demo/quay.toml");
        for command in [["status", "--json"], ["load", scenario]] {
            let (exit, out, err) = holdoff_link(&format!("unix:{}", socket.display()), &command);
            assert!(exit == 3 && out.is_empty() && err.contains(words), "{words}: {exit} {out} {err}");
        }
    }
    for bytes in [0, 513, u32::MAX] {
        let mut device = FakeDevice::recorded(8_192, "north 1", 30, 16);
        device.identity_lie = Some(match bytes {
            0 => |who| who.memory = 0,
            513 => |who| who.memory = 513,
            _ => |who| who.memory = u32::MAX,
        });
        let (socket, out) = (path(&format!("beyond-size-{bytes}")), path("beyond-size.bin"));
        let _served = serve(device, &socket, None);
        let file = out.to_string_lossy().into_owned();
        let (exit, _, err) = holdoff_link(&format!("unix:{}", socket.display()), &["read", &file]);
        assert!(exit == 3 && err.contains(&format!("a memory of {bytes} bytes")) && !out.exists(), "{exit} {err}");
        let _ = std::fs::remove_file(part_file(&out));
    }
}

#[test]
fn pages_beyond_the_memory_are_not_asked_for_without_end() {
    let mut device = FakeDevice::recorded(8_192, "north 1", 900, 16);
    device.log_lie = Some(|log| log.head = Some(Head { page: u32::MAX, items: 1, value: [7; 12] }));
    let (socket, site) = (path("beyond-pages"), path("beyond-pages.db"));
    let _served = serve(device, &socket, None);
    let (exit, out, err) = holdoff_register(&site, &["link", &format!("unix:{}", socket.display()), "--read-out"]);
    assert!(exit == 3 && err.contains("what cannot be") && err.contains("does not sign"), "{exit} {out} {err}");
    let _ = std::fs::remove_file(&site);
}

#[test]
fn no_status_however_wrong_is_a_fault_of_the_program() {
    let truth = sample();
    let mut number = numbers(77);
    let mut wild = move || -> u64 {
        match number() % 4 {
            0 => 0,
            1 => u64::MAX,
            2 => 1 << 63,
            _ => number(),
        }
    };
    for _ in 0..histories(2_000) {
        let mut lying = truth.clone();
        let group = &mut lying.group;
        (group.now, group.ahead) = (Some(wild() as i64), Some(wild() as i64));
        (group.offset_minutes, group.battery_mv) = (wild() as i16, Some(wild() as u16));
        let loaded = group.loaded.as_mut().expect("a job");
        loaded.counts = (wild(), wild(), wild(), wild());
        (loaded.uncertainty, loaded.longest_gap, loaded.clock_ppm) = (wild() as u16, wild() as u32, wild() as u16);
        loaded.period = wild() as u32;
        for fixing in &mut lying.fixings {
            (fixing.since, fixing.injected_at) = (Some(wild() as i64), Some(wild() as i64));
            (fixing.seated_at, fixing.seat_by) = (Some(wild() as i64), Some(wild() as i64));
            (fixing.cured_at, fixing.announced_at) = (Some(wild() as i64), Some(wild() as i64));
            (fixing.required, fixing.served, fixing.counted) = (wild(), wild(), wild());
            (fixing.held, fixing.unobserved, fixing.accrued) = (wild(), wild(), wild() as u32);
            (fixing.coldest, fixing.grounds) = (Some(wild() as i32), wild() as u32);
            (fixing.range, fixing.torque) = (Some((wild() as u32, wild() as u32)), Some(wild() as u32));
        }
        assert!(!table(&lying, Speech::PLAIN).is_empty());
        assert!(serde_json::to_string(&status_object(&lying)).is_ok());
    }
}
