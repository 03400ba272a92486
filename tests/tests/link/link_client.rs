//! The PC's side against the device's session: over lines that hold, break at any byte, lose and garble.

#[path = "../../../host-sim/cli/tests/program/english/mod.rs"]
mod english;

use holdoff::command::examples::EXAMPLES;
use holdoff::link::{
    Effect, GroupStatus, Part, Patience, Port, ReadTrouble, Talk, Trouble, part_file, read_image, sign_out,
    status_object, table, watch,
};
use holdoff_core::fixing::{Action, Decision};
use holdoff_core::log::{DeviceId, MountError, StageWord};
use holdoff_core::quantity::Torque;
use holdoff_disk::Load;
use holdoff_firmware::link::Host;
use holdoff_link::message::{Refusal, Request};
use holdoff_link::status::Trust;
use holdoff_present::words::{Language, Speech, TorqueUnit};
use holdoff_tests::link_command::{holdoff_link, holdoff_register};
use holdoff_tests::link_device::{FakeDevice, measured_in_the_hole};
use holdoff_tests::link_line::{Served, path, serve, serve_pty};
use holdoff_tests::log_sample::act;
use std::path::Path;
use std::sync::atomic::Ordering;
use std::time::Duration;

/// Quick, so that a line that loses much is tried often.
const HASTY: Patience = Patience {
    answer: Duration::from_millis(60),
    tries: 3,
    line: Duration::from_secs(60),
    pause: Duration::from_millis(1),
};

fn port(name: impl Into<String>) -> Port {
    Port { name: name.into(), baud: 115_200 }
}

fn unix(socket: &Path) -> Port {
    port(format!("unix:{}", socket.display()))
}

fn read(talk: &mut Talk, out: &Path) -> Result<holdoff::link::ReadOut, ReadTrouble> {
    let mut part = Part::open(&part_file(out)).expect("a part");
    read_image(talk, &mut part, &mut |done, of| assert!(done <= of))
}

#[test]
fn a_memory_comes_over_a_socket_that_holds_and_is_signed_out() {
    let socket = path("holds");
    let served = serve(FakeDevice::recorded(65_536, "north 1", 20_000, 16), &socket, None);
    let mut talk = Talk::begin(&unix(&socket), HASTY).expect("it answers");
    let read = read(&mut talk, &path("holds.bin")).expect("read");
    assert!(read.whole && read.continued == 0);
    assert_eq!(read.bytes, served.with(|device| device.memory().to_vec()));
    let newest = served.with(|device| device.log().head.expect("a log").page);
    assert!(newest > 10, "{newest} pages");
    assert_eq!(sign_out(&mut talk, &read, &mut |_, _| {}).expect("signed out"), (newest, newest));
    assert_eq!(served.with(|device| device.log().unread_from), newest);
}

#[test]
fn a_memory_that_is_another_loggers_is_read_out_as_it_is_and_nothing_is_written_on_it() {
    let mut device = FakeDevice::recorded(32_768, "north 1", 2_000, 16);
    let before = device.memory().to_vec();
    device.refused = Some(MountError::Device { found: DeviceId([9; 8]), expected: DeviceId([1; 8]) });
    let (served, port) = serve_pty(device, None);
    let out = path("foreign.bin").to_string_lossy().into_owned();
    let (exit, _, err) = holdoff_link(&port, &["read", &out, "--read-out"]);
    assert_eq!((exit, err.as_str()), (0, ""));
    assert_eq!(std::fs::read(&out).expect("written"), before);
    let (exit, _, err) = holdoff_link(&port, &["load", &demo("quay.toml"), "--batch", "LOT 7"]);
    assert!(exit == 1 && err.contains("put a blank memory in"), "{exit} {err}");
    served.with(|device| assert!(device.acts == 0 && device.memory() == before));
}

#[test]
fn a_memory_comes_whole_over_a_line_that_breaks_at_random_bytes() {
    for longest in [700, 2_500] {
        let socket = path(&format!("breaks-{longest}"));
        let served = serve(FakeDevice::recorded(32_768, "north 1", 9_000, 16), &socket, Some(longest));
        let patience = Patience { answer: Duration::from_millis(300), ..HASTY };
        // the first connection may be cut before the greeting is answered, as any other
        let mut talk = (0..200).find_map(|_| Talk::begin(&unix(&socket), patience).ok()).expect("it answers");
        let read = read(&mut talk, &path(&format!("breaks-{longest}.bin"))).expect("read");
        assert_eq!(read.bytes, served.with(|device| device.memory().to_vec()));
        sign_out(&mut talk, &read, &mut |_, _| {}).expect("signed out");
        let breaks = served.breaks.load(Ordering::Relaxed);
        assert!(breaks > 10, "{breaks} breaks of fewer than {longest} bytes");
        assert_eq!(served.with(|device| device.acts), 1, "the sign-out acted once");
    }
}

#[test]
fn a_reading_that_was_broken_off_goes_on_where_it_was() {
    let (socket, out) = (path("part"), path("part.bin"));
    let device = FakeDevice::recorded(32_768, "north 1", 9_000, 16);
    let served = serve(device, &socket, Some(6_000));
    let stubborn = Patience { line: Duration::ZERO, answer: Duration::from_millis(300), ..HASTY };
    let (mut ended, mut went_on) = (0, 0);
    let read = loop {
        // every break ends the program
        let Ok(mut talk) = Talk::begin(&unix(&socket), stubborn) else { continue };
        match read(&mut talk, &out) {
            Ok(read) => break read,
            Err(ReadTrouble::Talk(_)) => ended += 1,
            Err(other) => panic!("{other:?}"),
        }
        // and the logger goes on meanwhile
        served.with(|device| device.record(3, 15));
        went_on += 1;
        assert!(ended < 300, "no end to it");
    };
    assert!(ended > 5 && went_on > 5, "{ended} breaks");
    assert!(read.continued > 0 && read.whole);
    assert_eq!(read.bytes, served.with(|device| device.memory().to_vec()));
    // the part of one logger is no part of another
    drop(served);
    let mut other = FakeDevice::recorded(32_768, "north 1", 500, 16);
    other.record(9_000, 18);
    let served = serve(other, &socket, None);
    let mut talk = Talk::begin(&unix(&socket), HASTY).expect("it answers");
    let read = self::read(&mut talk, &out).expect("read");
    assert_eq!(read.bytes, served.with(|device| device.memory().to_vec()));
    let _ = std::fs::remove_file(part_file(&out));
}

#[test]
fn a_logger_that_writes_all_the_while_is_read_as_it_stood_at_one_moment() {
    for every in [5, 40] {
        let (socket, out) = (path(&format!("restless-{every}")), path(&format!("restless-{every}.bin")));
        let mut device = FakeDevice::recorded(32_768, "north 1", 5_000, 16);
        device.restless = Some(every);
        let before = device.log().head.expect("a log");
        let served = serve(device, &socket, None);
        let mut talk = Talk::begin(&unix(&socket), HASTY).expect("it answers");
        let read = read(&mut talk, &out).expect("read");
        let after = served.with(|device| device.log().head.expect("a log"));
        assert_ne!(before, after);
        assert!(read.whole);
        assert_eq!(read.bytes, served.with(|device| device.memory().to_vec()));
        let _ = std::fs::remove_file(part_file(&out));
    }
}

#[test]
fn a_part_that_was_cut_or_spoilt_is_no_harm() {
    let (socket, out) = (path("spoilt"), path("spoilt.bin"));
    let served = serve(FakeDevice::recorded(8_192, "north 1", 800, 16), &socket, None);
    let memory = served.with(|device| device.memory().to_vec());
    let mut talk = Talk::begin(&unix(&socket), HASTY).expect("it answers");
    read(&mut talk, &out).expect("read");
    drop(talk);
    let part = std::fs::read(part_file(&out)).expect("a part");
    for cut in (0..part.len()).step_by(97) {
        std::fs::write(part_file(&out), &part[..cut]).expect("written");
        let mut again = Talk::begin(&unix(&socket), HASTY).expect("it answers");
        assert_eq!(read(&mut again, &out).expect("read").bytes, memory, "cut after {cut} bytes");
        let mut spoilt = part.clone();
        spoilt[cut] ^= 0x10;
        std::fs::write(part_file(&out), &spoilt).expect("written");
        assert_eq!(read(&mut again, &out).expect("read").bytes, memory, "byte {cut} changed");
    }
    let _ = std::fs::remove_file(part_file(&out));
}

#[test]
fn a_serial_line_that_loses_and_garbles_bytes_gives_the_same() {
    for one_in in [None, Some(900)] {
        let (served, name) = serve_pty(FakeDevice::recorded(8_192, "north 1", 1_000, 16), one_in);
        let out = path(&format!("pty-{}.bin", one_in.unwrap_or(0)));
        let mut talk = Talk::begin(&port(name), HASTY).expect("it answers");
        let read = read(&mut talk, &out).expect("read");
        assert_eq!(read.bytes, served.with(|device| device.memory().to_vec()));
        for minute in 1..=10 {
            let set = Request::SetClock { utc: 1_800_000_000 + 60 * minute, offset_minutes: 0 };
            talk.act(&set).expect("set");
        }
        assert_eq!(served.with(|device| device.acts), 10, "each acted once");
        let _ = std::fs::remove_file(part_file(&out));
    }
}

#[test]
fn a_request_under_way_when_the_logger_starts_anew_is_given_up() {
    let socket = path("anew");
    let served = serve(FakeDevice::recorded(8_192, "north 1", 10, 16), &socket, None);
    let mut talk = Talk::begin(&unix(&socket), HASTY).expect("it answers");
    talk.ask(&Request::Identity).expect("answered");
    drop(served);
    let served = serve(FakeDevice::recorded(8_192, "north 1", 10, 16), &socket, None);
    // asking is repeated, doing is not
    talk.ask(&Request::Identity).expect("answered");
    drop(served);
    let served = serve(FakeDevice::recorded(8_192, "north 1", 10, 16), &socket, None);
    let set = Request::SetClock { utc: 1_800_000_000, offset_minutes: 0 };
    let given_up = talk.act(&set);
    let why = match given_up {
        Err(Trouble::Unknown { what: Effect::Clock, why }) => *why,
        Err(trouble) => trouble,
        Ok(()) => panic!("it was told another logger"),
    };
    assert!(matches!(why, Trouble::Restarted), "{why:?}");
    assert_eq!(served.with(|device| device.acts), 0);
    talk.act(&set).expect("set");
}

#[test]
fn nobody_at_the_other_end_is_said_in_time() {
    let missing = Talk::begin(&unix(&path("missing")), HASTY);
    assert!(matches!(missing, Err(Trouble::Line(_))), "{missing:?}");
    let socket = path("silent");
    let _silent = std::os::unix::net::UnixListener::bind(&socket).expect("a socket");
    let silent = Talk::begin(&unix(&socket), HASTY);
    assert!(matches!(silent, Err(Trouble::Silent)), "{silent:?}");
}

fn demo(name: &str) -> String {
    format!("{}/../host-sim/demo/{name}", env!("CARGO_MANIFEST_DIR"))
}

fn served(name: &str, device: FakeDevice) -> (Served, String) {
    let socket = path(name);
    let served = serve(device, &socket, None);
    (served, format!("unix:{}", socket.display()))
}

#[test]
fn the_quay_is_loaded_watched_and_read_out_by_command() {
    let (served, port) = served("quay", FakeDevice::blank(32_768));
    let (exit, out, err) = holdoff_link(&port, &["identity"]);
    assert_eq!((exit, err.as_str()), (0, ""));
    assert!(out.contains("73616d706c652d31") && out.contains("blank") && out.contains("32 KiB"), "{out}");

    let (exit, out, err) =
        holdoff_link(&port, &["load", &demo("quay.toml"), "--batch", "LOT 7", "--use-by", "2026-06-30"]);
    assert_eq!(exit, 0, "{err}");
    assert!(out.contains("4 fixings") && out.contains("DEMO RESIN") && out.contains("not a licence to load"), "{out}");
    assert!(err.contains("actions are not loaded") && err.contains("clock was not set"), "{err}");

    let (exit, out, err) = holdoff_link(&port, &["clock", "--set", "--offset", "-07:00"]);
    assert_eq!((exit, err.as_str()), (0, ""));
    assert!(out.starts_with("set: ") && out.contains("-07:00"), "{out}");

    served.with(|device| {
        device.record(30, 14);
        let at = device.now;
        act(&mut device.logger, at, 0, Action::Inject(measured_in_the_hole(at, 14)));
        act(&mut device.logger, at + 1, 0, Action::Seat);
        device.record(120, 14);
    });
    let (exit, out, err) = holdoff_link(&port, &["status"]);
    assert_eq!((exit, err.as_str()), (0, ""));
    assert!(out.contains("bollard 3 stud 1  LEAVE ALONE\n    Do not touch, torque or load it"), "{out}");
    assert!(out.contains("bollard 3 stud 4  NOT INJECTED"), "{out}");
    assert!(out.contains("DEMO RESIN") && out.contains("not a licence to load"), "{out}");
    let (_, out, _) = holdoff_link(&port, &["status", "--json"]);
    let json: serde_json::Value = serde_json::from_str(&out).expect("JSON");
    assert_eq!(json["fixings"][0]["stage"], "curing");
    assert_eq!(json["fixings"][1]["fixing"], "bollard 3 stud 2");
    assert_eq!(json["loaded"]["demo"], true);

    // while it runs nothing is set, and reading it out does no harm
    for refused in [&["load", &demo("quay.toml")][..], &["clock", "--set"]] {
        let (exit, out, err) = holdoff_link(&port, refused);
        assert_eq!((exit, out.as_str()), (1, ""), "{err}");
        assert!(err.contains("refuses: fixing 1 is running"), "{err}");
    }
    let image = path("quay.bin");
    let file = image.to_string_lossy().into_owned();
    served.with(|device| device.record(2_000, 14));
    let (exit, out, err) = holdoff_link(&port, &["read", &file, "--read-out"]);
    assert_eq!(exit, 1);
    assert!(err.contains("refuses: fixing 1 is running"), "{err}");
    assert!(out.contains("32 KiB, 1 sessions"), "{out}");
    assert_eq!(served.with(|device| device.log().unread_from), 0);
    assert!(!part_file(&image).exists());
    let read = std::fs::read(&image).expect("read out");
    let (held, answer) = holdoff_evidence::split(&read);
    assert!(held == served.with(|device| device.memory().to_vec()) && answer.is_some());
    let listing = holdoff_present::memory::list(&std::fs::read(&image).expect("there")).expect("a log");
    let session = listing.sessions.first().expect("one");
    assert!(session.entries.len() > 2_150);

    // torqued as specified, it is released, and what was read can be signed out
    served.with(|device| {
        let at = device.now;
        act(&mut device.logger, at, 0, Action::Torque(Torque::from_hundredths(4000)));
    });
    let (exit, out, err) = holdoff_link(&port, &["read", &file, "--read-out"]);
    assert_eq!((exit, err.as_str()), (0, ""), "{out}");
    let newest = served.with(|device| device.log().head.expect("a log").page);
    assert!(newest > 0 && out.contains(&format!("{newest} pages marked as read out")), "{out}");
    assert_eq!(served.with(|device| device.log().unread_from), newest);
    let _ = std::fs::remove_file(&image);
}

#[test]
fn a_group_of_a_job_file_is_loaded_with_its_batch() {
    let (served, port) = served("job", FakeDevice::blank(32_768));
    let file = demo("quay-job.toml");
    let (exit, _, err) = holdoff_link(&port, &["load", &file]);
    assert_eq!(exit, 2);
    assert!(err.contains("give --group with one of: \"bollard 3\", \"ladder 2\""), "{err}");
    let (exit, _, err) = holdoff_link(&port, &["load", &file, "--group", "nowhere"]);
    assert!(exit == 2 && err.contains("has no such group"), "{err}");
    let (exit, _, err) = holdoff_link(&port, &["load", &file, "--group", "bollard 3", "--batch", "another"]);
    assert!(exit == 2 && err.contains("names batch \"HS-2107-04\""), "{err}");
    assert_eq!(served.with(|device| device.acts), 0);
    let (exit, out, err) = holdoff_link(&port, &["load", &file, "--group", "bollard 3"]);
    assert_eq!(exit, 0, "{err}");
    assert!(out.contains("4 fixings"), "{out}");
    let job = holdoff_files::job::JobFile::load(&file).expect("a job");
    let group = job.job().logger_group("bollard 3").expect("it is there");
    let listing = holdoff_present::memory::list(&served.with(|device| device.memory().to_vec())).expect("a log");
    let json = holdoff_present::memory::listing_json(&listing);
    for (label, _) in group.declared() {
        assert!(json.contains(label.text().expect("text")), "{json}");
    }
    assert_eq!(json.matches("HS-2107-04").count(), 4, "{json}");
    let set = served.with(|device| device.logger.session().job().expect("loaded").settings);
    assert_eq!(set, group.settings());
}

#[test]
fn a_port_that_is_none_and_a_file_that_is_none_end_with_three() {
    let missing = path("no-port");
    for port in [format!("unix:{}", missing.display()), missing.display().to_string(), "tcp:127.0.0.1:1".to_owned()] {
        let (exit, out, err) = holdoff_link(&port, &["identity"]);
        assert_eq!((exit, out.as_str()), (3, ""), "{port}: {err}");
        assert!(err.starts_with("error: ") && err.contains("can't be used"), "{port}: {err}");
    }
    let (served, port) = served("no-file", FakeDevice::blank(8_192));
    let (exit, _, err) = holdoff_link(&port, &["load", "no/such/job.toml"]);
    assert_eq!(exit, 3, "{err}");
    let (exit, _, err) = holdoff_link(&port, &["read", "no/such/folder/out.bin"]);
    assert_eq!(exit, 3, "{err}");
    for usage in [&["load", &demo("quay.toml"), "--interval", "10min"][..], &["clock", "--set", "--offset", "1:00"]] {
        let (exit, _, err) = holdoff_link(&port, usage);
        assert_eq!(exit, 2, "{err}");
    }
    assert_eq!(served.with(|device| device.acts), 0);
}

#[test]
fn a_logger_is_told_of_in_every_language_without_a_word_of_english() {
    let mut device = FakeDevice::sample();
    device.ahead = None;
    let (_served, port) = served("languages", device);
    let (_blank, bare) = served("languages-blank", FakeDevice::blank(8_192));
    for (place, language) in [(1, "de"), (2, "fr")] {
        let english = english::only(place);
        for (port, command) in
            [(&port, "status"), (&port, "identity"), (&port, "clock"), (&bare, "status"), (&bare, "identity")]
        {
            let (exit, out, err) = holdoff_link(port, &[command, "--language", language]);
            assert_eq!((exit, err.as_str()), (0, ""));
            let left = english::left(&out.replace("test bench", "").replace("S1, invented", ""), &english);
            assert!(left.is_empty(), "{command} in {language}: {left:?} in {out}");
            let (_, json, _) = holdoff_link(port, &[command, "--json", "--language", language]);
            let (_, plain, _) = holdoff_link(port, &[command, "--json"]);
            if command != "clock" {
                assert_eq!(json, plain);
            }
        }
    }
}

#[test]
fn a_status_says_what_is_amiss() {
    let mut device = FakeDevice::sample();
    device.ahead = None;
    let socket = path("amiss");
    let _served = serve(device, &socket, None);
    let mut talk = Talk::begin(&unix(&socket), HASTY).expect("it answers");
    let standing = watch(&mut talk).expect("answered");
    let text = table(&standing, Speech::PLAIN);
    assert!(text.contains("its clock was not set"), "{text}");
    assert!(text.contains("RELEASED") && text.contains("40 N·m"), "{text}");
    let german = Speech { language: Language::German, torque: TorqueUnit::FootPound, ..Speech::PLAIN };
    let text = table(&standing, german);
    assert!(text.contains("seine Uhr wurde nicht gestellt"), "{text}");
    assert!(text.contains("FREIGEGEBEN") && text.contains("29,5 ft·lb"), "{text}");
    let json: serde_json::Value = serde_json::to_value(status_object(&standing)).expect("JSON");
    assert_eq!(json["at"], serde_json::Value::Null);
    assert_eq!(json["fixings"][0]["stage"], "released");
    assert_eq!(json["fixings"][0]["release_recorded"], true);
    // in a log that cannot be trusted nothing is released, nor known not to have been injected
    let mut untrusted = standing.clone();
    untrusted.group.trust = Trust::Untrusted;
    let text = table(&untrusted, Speech::PLAIN);
    assert!(text.contains("DO NOT LOAD: LOG NOT TRUSTED") && !text.contains("RELEASED"), "{text}");
    assert!(text.contains("Do not load it: the log cannot be trusted."), "{text}");
    let json: serde_json::Value = serde_json::to_value(status_object(&untrusted)).expect("JSON");
    assert_eq!(json["fixings"][0]["status"], "Do not load it: the log cannot be trusted.");
    // a forecast and a working time that have passed by the logger's clock
    let now = standing.group.now.expect("its clock runs");
    for (stage, words) in
        [(StageWord::Curing, "That is no release"), (StageWord::Working, "it is rejected: look at the logger")]
    {
        for (at, passed) in [(now, true), (now + 1, false)] {
            let mut late = standing.clone();
            let fixing = &mut late.fixings[0];
            (fixing.stage, fixing.announced_at, fixing.seat_by) = (stage, Some(at), Some(at));
            let text = table(&late, Speech::PLAIN);
            assert_eq!(text.contains("This time has passed") && text.contains(words), passed, "{text}");
            let json: serde_json::Value = serde_json::to_value(status_object(&late)).expect("JSON");
            assert_eq!(json["fixings"][0]["time_passed"], passed);
        }
    }
    let refused = talk.act(&Request::Commit);
    assert!(matches!(refused, Err(Trouble::Refused(Refusal::Running { fixing: 1 }))), "{refused:?}");
}

#[test]
fn a_status_says_too_late_by_the_loggers_clock_before_its_next_reading_does() {
    let socket = path("late");
    let _served = serve(FakeDevice::sample(), &socket, None);
    let mut talk = Talk::begin(&unix(&socket), HASTY).expect("it answers");
    let mut standing = watch(&mut talk).expect("answered");
    let now = standing.group.now.expect("a clock");
    standing.fixings.truncate(1);
    let fixing = &mut standing.fixings[0];
    (fixing.stage, fixing.since, fixing.seated_at, fixing.seat_by) = (StageWord::Working, None, None, Some(now));
    let look = |standing: &GroupStatus| {
        let json: serde_json::Value = serde_json::to_value(status_object(standing)).expect("JSON");
        (table(standing, Speech::PLAIN), json)
    };
    let (text, json) = look(&standing);
    assert!(text.contains("SEAT NOW") && json["fixings"][0]["too_late"] == false, "{text}{json}");
    standing.fixings[0].seat_by = Some(now - 1);
    let (text, json) = look(&standing);
    assert!(text.contains("TOO LATE: DO NOT SEAT") && text.contains("ask the engineer"), "{text}");
    assert!(!text.contains("SEAT NOW") && json["fixings"][0]["too_late"] == true, "{text}{json}");
    assert!(json["fixings"][0]["status"].as_str().is_some_and(|said| said.contains("Do not seat it")), "{json}");
}

#[test]
fn a_job_is_loaded_over_rejected_fixings_only_where_each_is_named_or_decided() {
    let (served, port) = served("undecided", FakeDevice::blank(65_536));
    let job = demo("quay.toml");
    let load = |more: &[&str]| holdoff_link(&port, &[&["load", &*job, "--batch", "LOT 7"][..], more].concat());
    let (exit, _, err) = load(&[]);
    assert_eq!(exit, 0, "{err}");
    served.with(|device| {
        device.record(30, 14);
        for number in [0, 2] {
            act(&mut device.logger, device.now, number, Action::Inject(measured_in_the_hole(device.now, 14)));
        }
        // never seated: by now both are rejected
        device.record(200, 14);
    });
    let before = served.with(|device| device.memory().to_vec());
    let kept = || assert!(before == served.with(|device| device.memory().to_vec()), "nothing has changed");
    let (first, third) = ("bollard 3 stud 1", "bollard 3 stud 3");
    for (given, missing) in [(vec![], vec![first, third]), (vec![first], vec![third]), (vec![third], vec![first])] {
        let options: Vec<&str> = given.iter().flat_map(|name| ["--leave-undecided", name]).collect();
        let (exit, out, err) = load(&options);
        assert_eq!((exit, out.as_str()), (1, ""), "{err}");
        assert!(err.contains("the engineer has not decided") && err.contains("--leave-undecided"), "{err}");
        let (named, _) = err.split_once("let the engineer").expect("what to do");
        for name in [first, third] {
            assert_eq!(named.contains(name), missing.contains(&name), "{err}");
        }
        kept();
    }
    // a name that is none of theirs is a mistake, not a wish
    let (exit, _, err) = load(&["--leave-undecided", first, "--leave-undecided", "bollard 3 stud 2"]);
    assert!(exit == 1 && err.contains("bollard 3 stud 2"), "{err}");
    kept();
    served.with(|device| act(&mut device.logger, device.now, 2, Action::Decide(Decision::Remove)));
    let (exit, _, err) = load(&["--leave-undecided", first]);
    assert_eq!(exit, 0, "{err}");
    let (exit, _, err) = load(&[]);
    assert_eq!(exit, 0, "nothing is left to be asked for: {err}");
}

/// The words of a line as a shell takes them apart; quotation marks stand around whole words.
fn words(line: &str) -> Vec<&str> {
    let parts = line.split('"').enumerate();
    parts
        .flat_map(|(place, part)| if place % 2 == 1 { vec![part] } else { part.split_whitespace().collect() })
        .collect()
}

#[test]
fn every_example_of_a_help_text_that_needs_a_logger_works_with_one() {
    let folder = tempfile::tempdir().expect("a folder");
    for name in ["quay-job.toml", "harbour-slow.toml"] {
        std::fs::copy(demo(name), folder.path().join(name)).expect("copied");
    }
    let (_served, port) = serve_pty(FakeDevice::blank(65_536).set_right(), None);
    let mut ran = 0;
    for example in EXAMPLES.iter().filter(|example| example.line.contains("/dev/ttyACM0")) {
        let here = |word: &str| match Path::new(word).extension() {
            Some(_) if !word.contains(' ') => folder.path().join(word).to_string_lossy().into_owned(),
            _ => word.replace("/dev/ttyACM0", &port),
        };
        let line: Vec<String> = words(example.line).into_iter().map(here).collect();
        let line: Vec<&str> = line.iter().map(String::as_str).collect();
        let (exit, _, err) = match line.as_slice() {
            ["holdoff", "link", _, rest @ ..] => holdoff_link(&port, rest),
            ["holdoff", "register", "--file", file, rest @ ..] => holdoff_register(Path::new(file), rest),
            other => panic!("{other:?}"),
        };
        assert_eq!(i32::from(exit), example.exit, "{}: {err}", example.line);
        ran += 1;
    }
    assert!(ran > 6, "{ran} examples");
}
