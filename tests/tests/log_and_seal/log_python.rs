//! The logger's memory read by `log_decoder.py`, a reader in another language that was written from `docs/log-format.md`:
//! record by record, field by field, it must find what the project's own listing finds.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

use std::io::Write;
use std::path::Path;
use std::process::Command;

use holdoff_core::fixing::{Action, CleaningKind, Decision, Declaration, Fact, Injection};
use holdoff_core::group::{Darkness, Happening};
use holdoff_core::log::read::{Found, Log};
use holdoff_core::log::{
    Clock, DeviceId, Finding, Identity, Item, ItemRead, MissingCause, PAGE, Page, Record, ResetCause, ResinRecord,
    Source, head_after, head_of, mount,
};
use holdoff_core::probe::{Refusal, SensorKind};
use holdoff_core::quantity::{Count, Instant};
use holdoff_core::resin::{Accrual, Hole};
use holdoff_core::seal::{HeadView, SecretKey, seal_head};
use holdoff_present::memory::{list, listing_json, listing_text};
use holdoff_present::words::Speech;
use holdoff_tests::log_history::{apply, random_life};
use holdoff_tests::log_sample::{DEVICE, beginning, blank, device_of, owner_of, sample};
use holdoff_tests::memory::FakeMemory;
use holdoff_tests::random::{histories, numbers};
use serde_json::{Map, Value, json};
use tempfile::NamedTempFile;

/// Keys of the listing that are words for people, or need more than the log.
const WORDS: [&str; 8] = ["time", "utc", "code", "short", "detail", "cause", "replaced", "outside_at_seating"];

/// What the Python reader says of an image, and whether it found everything in order.
struct PythonListing {
    object: Value,
    in_order: bool,
}

fn python(image: &[u8], device: Option<DeviceId>) -> PythonListing {
    let mut scratch = NamedTempFile::new().expect("a temporary file");
    scratch.write_all(image).expect("a temporary file");
    let reader = Path::new(env!("CARGO_MANIFEST_DIR")).join("log_decoder.py");
    let mut command = Command::new("python3");
    command.arg(reader).arg(scratch.path()).args(device.map(|device| hex(&device.0)));
    let output = command.output().unwrap_or_else(|error| panic!("this test needs python3 on the path: {error}"));
    let complaint = String::from_utf8_lossy(&output.stderr);
    let object = serde_json::from_slice(&output.stdout)
        .unwrap_or_else(|error| panic!("the Python reader printed no object ({error}): {complaint}"));
    let in_order = output.status.success();
    PythonListing { object, in_order }
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The records the listing prints, without the keys left out.
fn listed(image: &[u8]) -> (Value, Vec<Map<String, Value>>) {
    let listing = list(image).expect("a log");
    let object: Value = serde_json::from_str(&listing_json(&listing)).expect("an object");
    let sessions = object["sessions"].as_array().expect("sessions");
    let records = sessions
        .iter()
        .flat_map(|session| session["records"].as_array().expect("records"))
        .map(|record| {
            let fields = record.as_object().expect("an object").clone();
            fields.into_iter().filter(|(key, _)| !WORDS.contains(&key.as_str())).collect()
        })
        .collect();
    (object, records)
}

/// What the listing leaves out or tells in words, from the core's own reader, in the order of the pages.
fn raw_values(image: &[u8]) -> Vec<Value> {
    let log = Log::open(image, &mut |_| {}).expect("a log");
    let mut values = Vec::new();
    let mut before = None;
    for found in log.pages() {
        let Found::Page(_, page) = found else {
            before = None;
            continue;
        };
        for (place, item) in (0..).zip(page.read()) {
            let head = if place == 0 { before } else { head_after(&page, place).map(|head| head.value) };
            values.push(raw(&item.expect("an item"), head));
        }
        before = Some(head_of(&page).value);
    }
    values
}

fn raw(read: &ItemRead, head: Option<[u8; 32]>) -> Value {
    let mut raw = match &read.item {
        Item::Reading { .. } => json!({}),
        Item::Missing { cause, .. } => json!({"cause": match cause {
            MissingCause::NotTaken => 0,
            MissingCause::EmptyField => 1,
        }}),
        Item::Unusable { cause, .. } | Item::Refused { cause } => json!({"cause": match cause {
            Refusal::NotLater => 0,
            Refusal::Bus => 1,
            Refusal::OutOfRange => 2,
            Refusal::PowerUp => 3,
            Refusal::Step => 4,
            Refusal::Supply => 5,
        }}),
        Item::Record(record) => of_record(record, head),
    };
    if let Some(clock) = read.clock {
        raw["clock_not_read"] = json!(clock == Clock::NotRead);
    }
    raw
}

fn of_record(record: &Record, head: Option<[u8; 32]>) -> Value {
    match record {
        Record::Identity(identity) => of_identity(identity),
        Record::Resin(resin) => of_resin(resin),
        Record::Job(job) => json!({"interval_s": job.period.seconds()}),
        Record::Fixing(fixing) => {
            let torque = fixing.spec.torque.map(|range| [range.least().hundredths(), range.greatest().hundredths()]);
            json!({"torque": torque, "label_hex": hex(fixing.label.bytes())})
        }
        Record::Batch(batch) => json!({"batch_hex": hex(batch.text.bytes())}),
        Record::Action { action, .. } => of_action(action),
        Record::PowerUp { cause, dark } => {
            let cause = match cause {
                ResetCause::Unknown => 0,
                ResetCause::PowerOn => 1,
                ResetCause::BrownOut => 2,
                ResetCause::Watchdog => 3,
                ResetCause::Software => 4,
                ResetCause::Pin => 5,
            };
            assert!(matches!(dark, Darkness::Known | Darkness::Unknown), "the listing has the word");
            json!({"cause": cause})
        }
        Record::ClockTie(tie) => json!({"utc_s": tie.utc, "offset_minutes": tie.offset_minutes}),
        Record::Release { .. } | Record::Head { .. } => json!({"head": head.map(|head| hex(&head))}),
        Record::Loss(_)
        | Record::Untrusted
        | Record::ReadOut { .. }
        | Record::Freed { .. }
        | Record::Stage { .. }
        | Record::CandidateAccepted { .. }
        | Record::Demands(_)
        | Record::Hands { .. }
        | Record::PassedOver { .. }
        | Record::Supply { .. } => json!({}),
        Record::Person(person) => json!({"name_hex": hex(person.name.bytes())}),
    }
}

fn of_identity(identity: &Identity) -> Value {
    let source = match identity.source {
        Source::Sensor(SensorKind::TwelveBit) => 0,
        Source::Sensor(SensorKind::ThirteenBit) => 1,
        Source::Sensor(SensorKind::SixteenBit) => 2,
        Source::Sensor(SensorKind::OneWire) => 3,
        Source::Trace => 4,
    };
    json!({"firmware": identity.firmware, "source": source, "free_below": identity.free_below})
}

fn of_resin(record: &ResinRecord) -> Value {
    let resin = &record.resin;
    let limits = resin.limits();
    let holes = [(Hole::Dry, "dry"), (Hole::Wet, "wet"), (Hole::Flooded, "flooded")];
    let allowed: Vec<&str> =
        holes.iter().filter(|(hole, _)| resin.holes().allows(*hole)).map(|(_, word)| *word).collect();
    let bands: Vec<(i64, u32, u32)> = resin
        .bands()
        .iter()
        .map(|band| (i64::from(band.from.raw()), band.working.seconds(), band.cure.seconds()))
        .collect();
    json!({
        "allowed": allowed,
        "accrual": resin.accrual() == Accrual::Permitted,
        "wet_factor": resin.wet_factor(),
        "install": [limits.install_least.raw(), limits.install_greatest.raw()],
        "cure": [limits.cure_least.raw(), limits.cure_greatest.raw()],
        "cartridge": [resin.cartridge_least().raw(), resin.cartridge_greatest().raw()],
        "reject_below": limits.reject_below.map(Count::raw),
        "reject_above": limits.reject_above.map(Count::raw),
        "longest_hold_s": limits.longest_hold.map(|hold| hold.seconds()),
        "bands": bands,
        "name_hex": hex(record.name.bytes()),
    })
}

fn of_action(action: &Action) -> Value {
    match action {
        Action::Inject(Injection { in_hole, cartridge, past_from }) => json!({
            "in_hole": in_hole.map(|reading| (reading.at.seconds(), reading.count.raw())),
            "cartridge": cartridge.map(|cartridge| cartridge.count.raw()),
            "cartridge_judged": cartridge
                .filter(|cartridge| cartridge.judged != cartridge.count)
                .map(|cartridge| cartridge.judged.raw()),
            "past_from": past_from.map(|instant| instant.seconds()),
        }),
        Action::CarriedOut | Action::Seat => json!({}),
        Action::Hole(hole) => json!({"hole": match hole {
            Hole::Dry => "dry",
            Hole::Wet => "wet",
            Hole::Flooded => "flooded",
        }}),
        Action::Torque(torque) | Action::TorquedEarly(torque) => json!({"torque": torque.hundredths()}),
        Action::Decide(Decision::Accept) => json!({"decision": "accept"}),
        Action::Decide(Decision::Remove) => json!({"decision": "remove"}),
        Action::Declare(Declaration::Cleaned(done)) => json!({
            "work": match done.kind {
                CleaningKind::Blow => "blow",
                CleaningKind::Brush => "brush",
                CleaningKind::Rinse => "rinse",
                CleaningKind::ExtractingBit => "dust-extracting-bit",
            },
            "count": done.count,
            "took_s": done.took.seconds(),
        }),
        Action::Declare(Declaration::NewNozzle | Declaration::Discarded) => json!({}),
        Action::Declare(Declaration::Seating(facts)) => {
            let word = |fact| match fact {
                Fact::NotDeclared => "not declared",
                Fact::Yes => "yes",
                Fact::No => "no",
            };
            json!({"excess": word(facts.excess), "depth": word(facts.depth)})
        }
    }
}

/// Both readers agree on every record; returns the records.
fn agree(name: &str, image: &[u8], told: &PythonListing) -> Vec<Map<String, Value>> {
    let (object, records) = listed(image);
    let raws = raw_values(image);
    assert_eq!(told.object["readings"], object["readings"], "{name}");
    assert_eq!(told.object["capacity_bytes"], object["capacity_bytes"], "{name}");
    let theirs = told.object["records"].as_array().expect("records");
    assert_eq!((theirs.len(), raws.len()), (records.len(), records.len()), "{name}");
    for ((ours, raw), their) in records.iter().zip(raws).zip(theirs) {
        let mut their = their.as_object().expect("an object").clone();
        let their_raw = their.remove("raw").unwrap_or_else(|| json!({}));
        assert_eq!(&their, ours, "{name}");
        assert_eq!(their_raw, raw, "{name}: {ours:?}");
    }
    records
}

/// The memory after a random life.
fn lived(seed: u64) -> Vec<u8> {
    let mut rng = numbers(seed + 7_000_000);
    let life = random_life(&mut rng);
    let memory = FakeMemory::blank(life.size, life.part_page);
    let mut logger = mount(memory, DeviceId(*b"tests-03"), &mut |_: Finding| {}, &mut |_| {}).expect("blank").0;
    for op in &life.ops {
        let _ = apply(&mut logger, op);
    }
    logger.memory().bytes().to_vec()
}

#[test]
fn the_worked_example_reads_the_same() {
    let document = include_str!("../../../docs/log-format.md");
    let (_, from) = document.split_once("<!-- example -->\n```text\n").expect("the example");
    let (digits, _) = from.split_once("```").expect("its end");
    let mut image: Vec<u8> =
        digits.split_whitespace().map(|byte| u8::from_str_radix(byte, 16).expect("hexadecimal")).collect();
    image.resize(4096, 0xFF);
    let told = python(&image, Some(DEVICE));
    assert!(told.in_order, "{}", told.object["problems"]);
    let records = agree("example", &image, &told);
    assert_eq!(records.len(), 10);
    assert!(!python(&image, Some(DeviceId(*b"sample-2"))).in_order, "the link names the device");
}

#[test]
fn random_lives_read_the_same() {
    let mut kinds = std::collections::BTreeMap::<String, u32>::new();
    for seed in 0..histories(50_000) / 800 {
        let image = lived(seed);
        let told = python(&image, None);
        let name = format!("seed {seed}");
        for record in agree(&name, &image, &told) {
            let word = |key: &str| record.get(key).and_then(Value::as_str).unwrap_or_default().to_owned();
            *kinds.entry(format!("{} {}{}", word("kind"), word("action"), word("stage"))).or_default() += 1;
        }
        let listing = list(&image).expect("a log");
        let trusted = listing.sessions.iter().all(|session| session.untrusted.is_none());
        assert_eq!(told.in_order, trusted, "{name}: {} {:?}", told.object["problems"], listing.findings);
    }
    let records: u32 = kinds.values().sum();
    assert!(records > 6_000 && kinds.len() > 20, "{records} records: {kinds:?}");
    println!("{records} records: {kinds:?}");
}

#[test]
fn the_supply_of_the_probe_reads_the_same_and_is_told() {
    let mut logger = blank(4096, DEVICE);
    logger.begin(&beginning()).expect("blank");
    for (second, millivolts) in [(0, Some(3012)), (60, None), (120, Some(0)), (180, Some(u16::MAX)), (90, Some(1))] {
        logger.supply(Instant::from_seconds(1_700_000_000 + second), millivolts).expect("room");
    }
    let image = logger.memory().bytes().to_vec();
    let told = python(&image, Some(DEVICE));
    assert!(told.in_order, "{}", told.object["problems"]);
    let records = agree("supply", &image, &told);
    let supplies: Vec<&Value> = records.iter().filter_map(|record| record.get("millivolts")).collect();
    assert_eq!(json!(supplies), json!([3012, null, 0, 65_535, 1]));
    let text = listing_text(&list(&image).expect("a log"), Speech::PLAIN);
    assert!(text.contains("supply of the probe 3012 mV"), "{text}");
    assert!(text.contains("the supply of the probe could not be measured"), "{text}");
}

#[test]
fn a_signed_head_reads_the_same_and_names_what_stands_before_it() {
    let seed = [5; 32];
    let key = SecretKey::from_seed(seed).expect("a key");
    let mut logger = blank(8192, owner_of(seed));
    logger.begin(&beginning()).expect("blank");
    for minutes in 0..1_000 {
        let at = Instant::from_seconds(1_700_000_000 + 60 * minutes);
        let count = Count::new(16 * (minutes * 37 % 64) as i16);
        let _ = logger.happen(Happening::Reading { at, count }, &mut |_| {}).expect("room");
        if minutes % 333 == 0 {
            seal_head(&mut logger, &key).expect("a head");
        }
    }
    let image = logger.memory().bytes().to_vec();
    let told = python(&image, Some(device_of(seed)));
    assert!(told.in_order, "{}", told.object["problems"]);
    let mut heads = 0;
    for (record, raw) in agree("heads", &image, &told).iter().zip(raw_values(&image)) {
        let Some(signed) = record.get("signed").and_then(Value::as_str) else { continue };
        let bytes: Vec<u8> =
            (0..signed.len()).step_by(2).map(|at| u8::from_str_radix(&signed[at..at + 2], 16).unwrap()).collect();
        let head = HeadView::parse(&bytes).expect("a head").verify(&key.public()).expect("signed");
        assert_eq!(Some(hex(&head.chain.0).as_str()), raw["head"].as_str().map(|whole| &whole[..24]));
        heads += 1;
    }
    assert_eq!(heads, 4);
}

/// The reader's complaints.
fn problems(told: &PythonListing) -> Vec<&str> {
    told.object["problems"].as_array().expect("problems").iter().filter_map(Value::as_str).collect()
}

#[test]
fn what_was_spoilt_is_noticed() {
    let image = sample(1, DEVICE).memory().bytes().to_vec();
    let whole = python(&image, None);
    agree("sample", &image, &whole);
    let log = Log::open(&image, &mut |_| {}).expect("a log");
    let (newest, slots) = (log.newest() as usize, image.len() / PAGE);
    let slot = |page: usize| page % slots * PAGE..(page % slots + 1) * PAGE;
    // pages that one wrong bit takes away; the overwritten ones of the session before are missing anyhow
    for number in log.newest_session() as usize..newest {
        let said = format!("page {number} is missing or damaged");
        assert!(!problems(&whole).contains(&said.as_str()));
        let mut spoilt = image.clone();
        spoilt[slot(number)][100] ^= 1;
        let told = python(&spoilt, None);
        assert!(problems(&told).contains(&said.as_str()), "{said}: {:?}", problems(&told));
        agree(&said, &spoilt, &told);
    }
    // a page with another link under a check that holds: both links that it breaks are found
    let mut forged = image.clone();
    let length = Page::find(&image[slot(newest - 1)]).expect("a page").length();
    let page = &mut forged[slot(newest - 1)][..length];
    page[9] ^= 1;
    let check = holdoff_tests::log_oracle::crc(&page[..length - 4]).to_le_bytes();
    page[length - 4..].copy_from_slice(&check);
    let told = python(&forged, None);
    let links = problems(&told).iter().filter(|problem| problem.contains("link")).count();
    assert_eq!(links, 2, "{:?}", problems(&told));
    agree("forged", &forged, &told);
    // the mirror of the open page was taken away
    let mut shorter = image.clone();
    shorter[slot(newest + 1)].fill(0xFF);
    let told = python(&shorter, None);
    assert_eq!(problems(&told).len(), problems(&whole).len() + 1, "{:?}", problems(&told));
    agree("shorter", &shorter, &told);
}
