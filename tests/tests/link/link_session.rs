//! The device's session: what it does, what it refuses, and what cannot be asked of it.

use holdoff_core::cure::Rule;
use holdoff_core::fixing::Action;
use holdoff_core::log::{Item, Record, StageWord, read::Found, read::Log as ImageLog};
use holdoff_core::quantity::{Count, Span};
use holdoff_core::resin::{Accrual, Hole};
use holdoff_firmware::link::{Host, Session};
use holdoff_link::message::{Answer, Asked, Batch, Greeting, Job, LogState, Planned, Refusal, Request, Since, Welcome};
use holdoff_tests::link_device::{
    FakeDevice, SEED, answers, ask, every_request, frame, greet, job, measured_in_the_hole, request, resin, spoil,
};
use holdoff_tests::log_sample::act;
use holdoff_tests::random::{histories, numbers};
use sha2::{Digest, Sha256};
use std::str::FromStr;

fn text<const N: usize>(text: &str) -> heapless::String<N> {
    heapless::String::from_str(text).expect("short")
}

fn planned(number: u8, label: &str, batch: Option<u8>) -> Request {
    Request::Fix(Planned { number, label: text(label), hole: Hole::Dry, torque: Some((3800, 4200)), batch })
}

fn whole_job() -> Vec<Request> {
    vec![
        Request::Begin(job(1, 2)),
        Request::Resin(resin()),
        Request::Batch(Batch { number: 0, text: text("LOT 7"), use_by: Some(1_800_000_000) }),
        planned(0, "north 1", Some(0)),
        planned(1, "north 2", None),
        Request::Commit,
    ]
}

/// All records in a memory, in their order.
fn records(memory: &[u8]) -> Vec<Record> {
    let Ok(log) = ImageLog::open(memory, &mut |_| {}) else { return Vec::new() };
    let pages = log.pages().filter_map(|found| match found {
        Found::Page(_, page) => Some(page),
        Found::Lost { .. } => None,
    });
    pages
        .flat_map(|page| page.read().filter_map(Result::ok).collect::<Vec<_>>())
        .filter_map(|read| match read.item {
            Item::Record(record) => Some(record),
            _ => None,
        })
        .collect()
}

#[test]
fn a_job_takes_effect_with_its_last_message_and_as_it_was_sent() {
    let (mut session, mut device) = (Session::new(), FakeDevice::blank(32_768));
    for (sequence, request) in (1..).zip(whole_job()) {
        assert!(device.logger.group().is_none(), "before {request:?}");
        assert_eq!(ask(&mut session, &mut device, sequence, &request), Answer::Done, "{request:?}");
    }
    let found = records(device.memory());
    let fixings: Vec<_> = found
        .iter()
        .filter_map(|record| match record {
            Record::Fixing(fixing) => Some((fixing.label.text().expect("text").to_owned(), fixing.spec)),
            _ => None,
        })
        .collect();
    assert_eq!(fixings.len(), 2);
    assert_eq!((fixings[0].0.as_str(), fixings[1].0.as_str()), ("north 1", "north 2"));
    assert!(fixings.iter().all(|(_, spec)| *spec == holdoff_tests::log_sample::spec()));
    let wanted = holdoff_tests::log_sample::beginning();
    assert!(found.contains(&Record::Resin(wanted.resin)), "the resin came through whole");
    let batches: Vec<_> = found.iter().filter(|record| matches!(record, Record::Batch(_))).collect();
    let [Record::Batch(batch)] = batches[..] else { panic!("{batches:?}") };
    assert_eq!((batch.fixing.place(), batch.text.text(), batch.use_by), (0, Some("LOT 7"), Some(1_800_000_000)));
}

#[test]
fn a_load_that_breaks_off_leaves_the_old_job() {
    let mut device = FakeDevice::blank(32_768);
    device.logger.begin(&holdoff_tests::log_sample::beginning()).expect("blank");
    let before = device.memory().to_vec();
    for length in 0..whole_job().len() {
        let mut session = Session::new();
        for (sequence, request) in (1..).zip(&whole_job()[..length]) {
            ask(&mut session, &mut device, sequence, request);
        }
        // another PC, or the same program started again
        greet(&mut session, &mut device, 1);
        let answer = ask(&mut session, &mut device, 99, &Request::Commit);
        assert_eq!(answer, Answer::Refused(Refusal::NotLoading), "after {length} messages");
    }
    // left out in the middle
    for left_out in 0..whole_job().len() - 1 {
        let mut session = Session::new();
        let mut last = Answer::Done;
        for (sequence, request) in (1..).zip(whole_job()).filter(|(sequence, _)| usize::from(*sequence) != left_out + 1)
        {
            last = ask(&mut session, &mut device, sequence, &request);
        }
        assert!(matches!(last, Answer::Refused(_)), "without message {left_out}: {last:?}");
    }
    assert_eq!(device.memory(), before);
    assert_eq!(device.acts, 0);
}

#[test]
fn a_talk_goes_on_after_a_break_and_another_one_begins_anew() {
    let (mut session, mut device) = (Session::new(), FakeDevice::blank(32_768));
    let since = |welcome| match welcome {
        Welcome::Hello { talk: 77, since, .. } => since,
        other => panic!("{other:?}"),
    };
    assert_eq!(since(greet(&mut session, &mut device, 77)), Since::Now);
    let messages = whole_job();
    for (sequence, request) in (1..).zip(&messages[..4]) {
        assert_eq!(ask(&mut session, &mut device, sequence, request), Answer::Done);
    }
    assert_eq!(since(greet(&mut session, &mut device, 77)), Since::Before);
    for (sequence, request) in (5..).zip(&messages[4..]) {
        assert_eq!(ask(&mut session, &mut device, sequence, request), Answer::Done);
    }
    assert_eq!(device.acts, 1);
    greet(&mut session, &mut device, 78);
    assert_eq!(since(greet(&mut session, &mut device, 77)), Since::Now);
}

#[test]
fn a_request_of_a_talk_that_was_not_begun_here_is_refused_and_changes_nothing() {
    let mut device = FakeDevice::recorded(8_192, "north 1", 10, 16);
    let before = device.memory().to_vec();
    for greeted in [None, Some(5)] {
        let mut session = Session::new();
        if let Some(talk) = greeted {
            greet(&mut session, &mut device, talk);
        }
        for (sequence, asked) in (1..).zip(every_request()) {
            for talk in [0, 4, 6, u32::MAX] {
                let heard = answers(&mut session, &mut device, &request(talk, sequence, &asked));
                let [(1, found, message)] = &heard[..] else { panic!("{asked:?}: {heard:?}") };
                assert_eq!(*found, sequence);
                let answer: Answer = postcard::from_bytes(message).expect("an answer");
                assert_eq!(answer, Answer::Refused(Refusal::OtherTalk), "{asked:?} in talk {talk}");
            }
        }
    }
    assert_eq!((device.memory(), device.acts), (&before[..], 0));
}

#[test]
fn a_request_that_is_repeated_acts_once() {
    let (mut session, mut device) = (Session::new(), FakeDevice::blank(32_768));
    for (sequence, request) in (1..).zip(whole_job()) {
        for _ in 0..3 {
            assert_eq!(ask(&mut session, &mut device, sequence, &request), Answer::Done, "{request:?}");
        }
    }
    assert_eq!(device.acts, 1);
    let set = Request::SetClock { utc: 1_800_000_000, offset_minutes: 60 };
    for _ in 0..4 {
        assert_eq!(ask(&mut session, &mut device, 40, &set), Answer::Done);
    }
    assert_eq!(device.acts, 2);
    let ties = |device: &FakeDevice| {
        records(device.memory()).iter().filter(|record| matches!(record, Record::ClockTie(_))).count()
    };
    assert_eq!(ties(&device), 1);
    // the same wish under a new number is another one
    device.now += 10;
    assert_eq!(ask(&mut session, &mut device, 41, &set), Answer::Done);
    assert_eq!((device.acts, ties(&device)), (3, 2));
    // and the same number with another wish too
    let other = Request::SetClock { utc: 1_800_000_500, offset_minutes: 60 };
    assert_eq!(ask(&mut session, &mut device, 41, &other), Answer::Done);
    assert_eq!((device.acts, ties(&device)), (4, 3));
}

#[test]
fn nothing_is_set_while_a_fixing_runs() {
    let mut device = FakeDevice::sample();
    assert_eq!(device.running(), Some(1));
    let before = device.memory().to_vec();
    let mut session = Session::new();
    for (sequence, request) in (1..).zip(every_request().into_iter().filter(Request::acts)) {
        let answer = ask(&mut session, &mut device, sequence, &request);
        assert_eq!(answer, Answer::Refused(Refusal::Running { fixing: 1 }), "{request:?}");
    }
    assert_eq!((device.memory(), device.acts), (&before[..], 0));
    // a load that was under way when the injection came is dropped
    let mut device = FakeDevice::blank(32_768);
    let mut session = Session::new();
    for (sequence, request) in (1..).zip(whole_job()) {
        ask(&mut session, &mut device, sequence, &request);
    }
    let messages = whole_job();
    for (sequence, request) in (11..).zip(&messages[..5]) {
        assert_eq!(ask(&mut session, &mut device, sequence, request), Answer::Done);
    }
    device.record(3, 16);
    let at = device.now;
    act(&mut device.logger, at, 0, Action::Inject(measured_in_the_hole(at, 16)));
    let answer = ask(&mut session, &mut device, 20, &Request::Commit);
    assert_eq!(answer, Answer::Refused(Refusal::Running { fixing: 0 }));
    let Answer::Fixing(fixing) = ask(&mut session, &mut device, 21, &Request::Fixing { number: 0 }) else { panic!() };
    assert_eq!((fixing.stage, fixing.label.as_str()), (StageWord::Working, "north 1"));
}

#[test]
fn no_request_shows_the_key_or_does_anything_to_a_fixing() {
    // a device on which nothing runs, so that nothing is refused for that
    for running in [false, true] {
        let mut device = if running { FakeDevice::sample() } else { FakeDevice::blank(32_768) };
        let mut session = Session::new();
        if !running {
            for (sequence, request) in (1..).zip(whole_job()) {
                ask(&mut session, &mut device, sequence, &request);
            }
            device.record(500, 16);
        }
        let stages = |device: &mut FakeDevice| {
            let count = device.group().loaded.map_or(0, |loaded| loaded.fixings);
            (0..count).map(|number| device.fixing(number).expect("there").stage).collect::<Vec<_>>()
        };
        let before = (stages(&mut device), actions(&device));
        let mut said = Vec::new();
        for round in 0..3u16 {
            greet(&mut session, &mut device, 1);
            for (sequence, asked) in (round * 100..).zip(every_request()) {
                if !running && asked == Request::Commit && round == 2 {
                    continue;
                }
                for (_, _, message) in answers(&mut session, &mut device, &request(1, sequence, &asked)) {
                    said.extend(message);
                }
            }
        }
        // the whole memory, too: it is all that can be read
        said.extend(device.memory());
        let secret = SEED.windows(4).any(|part| said.windows(4).any(|window| window == part));
        assert!(!secret, "a part of the key's seed was on the line");
        let after = (stages(&mut device), actions(&device));
        if running {
            assert_eq!(after, before);
        } else {
            assert!(after.0.iter().all(|stage| *stage == StageWord::Planned), "{after:?}");
            assert_eq!(after.1, before.1);
        }
    }
}

/// Records of what was done to fixings, decided, given up or made up.
fn actions(device: &FakeDevice) -> usize {
    let is = |record: &&Record| {
        matches!(record, Record::Action { .. } | Record::Freed { .. } | Record::Release { .. } | Record::PowerUp { .. })
    };
    records(device.memory()).iter().filter(is).count()
}

#[test]
fn pages_are_signed_out_only_when_each_was_shown() {
    let mut device = FakeDevice::blank(32_768);
    device.logger.begin(&holdoff_tests::log_sample::beginning()).expect("blank");
    device.record(2_000, 16);
    let newest = device.log().head.expect("a log").page;
    assert!(newest >= 3, "{newest} pages");
    let digest = |device: &FakeDevice, page: u32| {
        let start = page as usize * 512;
        <[u8; 32]>::from(Sha256::digest(&device.memory()[start..start + 512]))
    };
    let mut session = Session::new();
    let mut sequence = 0;
    let mut say = |session: &mut Session, device: &mut FakeDevice, request: &Request| {
        sequence += 1;
        ask(session, device, sequence, request)
    };
    let sign = |below| Request::SignOut { below };
    let refused = |refusal| Answer::Refused(refusal);
    assert_eq!(say(&mut session, &mut device, &sign(1)), refused(Refusal::Unconfirmed { page: 0 }));
    let skip = Request::Confirm { page: 1, digest: digest(&device, 1) };
    assert_eq!(say(&mut session, &mut device, &skip), refused(Refusal::Order { due: 0 }));
    let mut wrong = digest(&device, 0);
    wrong[31] ^= 1;
    let wrong = Request::Confirm { page: 0, digest: wrong };
    assert_eq!(say(&mut session, &mut device, &wrong), refused(Refusal::Differs { page: 0 }));
    for page in 0..newest {
        let confirm = Request::Confirm { page, digest: digest(&device, page) };
        assert_eq!(say(&mut session, &mut device, &confirm), Answer::Done);
        // again is no harm
        assert_eq!(say(&mut session, &mut device, &confirm), Answer::Done);
        let early = say(&mut session, &mut device, &sign(page + 2));
        assert_eq!(early, refused(Refusal::Unconfirmed { page: page + 1 }));
    }
    // the open page is still written on
    let open = Request::Confirm { page: newest, digest: digest(&device, newest) };
    assert_eq!(say(&mut session, &mut device, &open), refused(Refusal::Order { due: newest }));
    assert_eq!(device.log().unread_from, 0);
    // another talk has to show everything anew
    let mut other = Session::new();
    greet(&mut other, &mut device, 1);
    assert_eq!(ask(&mut other, &mut device, 1, &sign(1)), refused(Refusal::Unconfirmed { page: 0 }));
    assert_eq!(say(&mut session, &mut device, &sign(newest)), Answer::Done);
    assert_eq!(device.log().unread_from, newest);
    assert!(records(device.memory()).contains(&Record::ReadOut { below: newest }));
}

#[test]
fn a_strange_version_is_refused_by_name_and_the_greeting_is_always_understood() {
    let (mut session, mut device) = (Session::new(), FakeDevice::blank(32_768));
    for version in [2, 77, 127] {
        let heard = answers(&mut session, &mut device, &frame(version, 5, &Request::Identity));
        let [(0, 5, message)] = &heard[..] else { panic!("{heard:?}") };
        let welcome: Welcome = postcard::from_bytes(message).expect("a welcome");
        assert_eq!(welcome, Welcome::Stranger { found: version, least: 1, greatest: 1 });
    }
    let hello = Greeting::Hello { least: 40, greatest: 50, talk: 3 };
    let heard = answers(&mut session, &mut device, &frame(0, 6, &hello));
    let [(0, 6, message)] = &heard[..] else { panic!("{heard:?}") };
    let welcome: Welcome = postcard::from_bytes(message).expect("a welcome");
    let Welcome::Hello { least: 1, greatest: 1, talk: 3, board, .. } = welcome else { panic!("{welcome:?}") };
    assert_eq!(board.as_str(), "test bench");
    // a request of a kind that does not exist, one with something behind it, and one without its talk
    for message in [&[3u8, 0, 0, 0, 200, 1][..], &[3, 0, 0, 0, 0, 0], &[0]] {
        let mut bytes = [0; 64];
        bytes[3..3 + message.len()].copy_from_slice(message);
        let sealed =
            holdoff_link::frame::seal(&mut bytes, holdoff_link::frame::Speaker::Pc, 1, 8, message.len()).expect("room");
        let mut line = Vec::new();
        holdoff_link::frame::send(sealed, &mut |piece| line.extend_from_slice(piece));
        let heard = answers(&mut session, &mut device, &line);
        let [(1, 8, message)] = &heard[..] else { panic!("{heard:?}") };
        assert_eq!(postcard::from_bytes(message), Ok(Answer::Refused(Refusal::Unknown)));
    }
}

#[test]
fn its_own_echo_is_not_answered() {
    let (mut session, mut device) = (Session::new(), FakeDevice::blank(32_768));
    let mut sent = Vec::new();
    session.take(&request(1, 1, &Request::Identity), &mut device, &mut |piece| sent.extend_from_slice(piece));
    assert!(!sent.is_empty());
    assert!(answers(&mut session, &mut device, &sent).is_empty());
}

#[test]
fn what_makes_no_sense_is_refused_and_changes_nothing() {
    let (mut session, mut device) = (Session::new(), FakeDevice::blank(32_768));
    let before = device.memory().to_vec();
    let begin = |change: &dyn Fn(&mut Job)| {
        let mut changed = job(1, 2);
        change(&mut changed);
        Request::Begin(changed)
    };
    let schedule = |change: &dyn Fn(&mut holdoff_link::message::Resin)| {
        let mut made = resin();
        change(&mut made);
        Request::Resin(made)
    };
    let fixing = |number, label: &str, torque, batch| {
        Request::Fix(Planned { number, label: text(label), hole: Hole::Dry, torque, batch })
    };
    let cases: Vec<(Request, Refusal)> = vec![
        (begin(&|job| job.fixings = 0), Refusal::Number),
        (begin(&|job| job.fixings = 17), Refusal::Number),
        (begin(&|job| job.batches = 5), Refusal::Number),
        (begin(&|job| job.uncertainty = 2561), Refusal::Settings),
        (begin(&|job| job.longest_gap = 0), Refusal::Settings),
        (begin(&|job| job.longest_gap = 3601), Refusal::Settings),
        (begin(&|job| job.clock_ppm = 10_001), Refusal::Settings),
        (begin(&|job| job.settle = 3601), Refusal::Settings),
        // more readings than a logger looks back over
        (begin(&|job| (job.settle, job.period) = (181, 2)), Refusal::Settings),
        (begin(&|job| job.period = 0), Refusal::Settings),
        (begin(&|job| job.period = 301), Refusal::Settings),
        (begin(&|job| job.offset_minutes = 1081), Refusal::Time),
        (schedule(&|resin| resin.wet_factor = 1), Refusal::Resin),
        (schedule(&|resin| resin.holes = 0), Refusal::Resin),
        (schedule(&|resin| resin.holes = 8), Refusal::Resin),
        (schedule(&|resin| resin.bands.clear()), Refusal::Resin),
        (schedule(&|resin| resin.bands.reverse()), Refusal::Resin),
        (
            schedule(&|resin| resin.limits.install_greatest = Count::new(resin.limits.install_least.raw() - 1)),
            Refusal::Resin,
        ),
        (schedule(&|resin| resin.limits.longest_hold = Some(Span::ZERO)), Refusal::Resin),
        (schedule(&|resin| resin.name.clear()), Refusal::Text),
        (Request::Batch(Batch { number: 1, text: text("LOT"), use_by: None }), Refusal::Number),
        (Request::Batch(Batch { number: 0, text: text(" "), use_by: None }), Refusal::Text),
        (fixing(2, "a", None, None), Refusal::Number),
        (fixing(0, "", None, None), Refusal::Text),
        (fixing(0, "a\u{1b}[2J", None, None), Refusal::Text),
        (fixing(0, "a", Some((5, 4)), None), Refusal::Torque),
        (fixing(0, "a", Some((0, 0)), None), Refusal::Torque),
        (fixing(0, "a", None, Some(1)), Refusal::Number),
        (Request::SetClock { utc: 1_577_836_799, offset_minutes: 0 }, Refusal::Time),
        (Request::SetClock { utc: 4_102_444_800, offset_minutes: 0 }, Refusal::Time),
        (Request::SetClock { utc: 1_800_000_000, offset_minutes: -1081 }, Refusal::Time),
        (Request::Read { offset: 0, length: 257 }, Refusal::OutOfRange { size: 32_768 }),
        (Request::Read { offset: 32_767, length: 2 }, Refusal::OutOfRange { size: 32_768 }),
        (Request::Read { offset: u32::MAX, length: 256 }, Refusal::OutOfRange { size: 32_768 }),
        (Request::Fixing { number: 0 }, Refusal::NoJob),
        (Request::Confirm { page: 0, digest: [0; 32] }, Refusal::NoLog),
        (Request::SignOut { below: 0 }, Refusal::NoJob),
    ];
    for (sequence, (request, refusal)) in (1..).zip(cases) {
        greet(&mut session, &mut device, u32::from(sequence));
        ask(&mut session, &mut device, 1000, &Request::Begin(job(1, 2)));
        let answer = ask(&mut session, &mut device, sequence, &request);
        assert_eq!(answer, Answer::Refused(refusal), "{request:?}");
    }
    assert_eq!(device.memory(), before);
}

#[test]
fn the_accrual_rule_needs_a_resin_that_permits_it() {
    let (mut session, mut device) = (Session::new(), FakeDevice::blank(32_768));
    ask(&mut session, &mut device, 1, &Request::Begin(Job { rule: Rule::Accrual, ..job(0, 1) }));
    let mut forbidding = resin();
    forbidding.accrual = Accrual::Forbidden;
    let answer = ask(&mut session, &mut device, 2, &Request::Resin(forbidding));
    assert_eq!(answer, Answer::Refused(Refusal::Accrual));
    ask(&mut session, &mut device, 3, &planned(0, "a", None));
    assert_eq!(ask(&mut session, &mut device, 4, &Request::Commit), Answer::Refused(Refusal::Incomplete));
}

#[test]
fn a_memory_full_of_unread_records_takes_no_new_job() {
    let mut device = FakeDevice::blank(8192);
    device.logger.begin(&holdoff_tests::log_sample::beginning()).expect("blank");
    while device.logger.room().left >= 4 {
        device.record(20, 16);
    }
    let before = device.memory().to_vec();
    let mut session = Session::new();
    let mut last = Answer::Done;
    for (sequence, request) in (1..).zip(whole_job()) {
        last = ask(&mut session, &mut device, sequence, &request);
    }
    assert!(matches!(last, Answer::Refused(Refusal::Full { left }) if left < 4), "{last:?}");
    assert_eq!(device.memory(), before);
    assert_eq!(device.log().state, LogState::Trusted);
}

#[test]
fn random_talk_over_a_bad_line_never_changes_a_running_group() {
    let requests = every_request();
    let mut number = numbers(21);
    let mut device = FakeDevice::sample();
    let before = device.memory().to_vec();
    let mut session = Session::new();
    for _ in 0..histories(300) {
        let mut line = Vec::new();
        // what is left of the line before may be answered with it
        let hello = Greeting::Hello { least: 1, greatest: 1, talk: 1 };
        answers(&mut session, &mut device, &frame(0, 9, &hello));
        for _ in 0..20 {
            let (version, sequence, talk) = ((number() % 3) as u8, number() as u16, (number() % 8 > 0).into());
            let asked = Asked::of(talk, &requests[number() as usize % requests.len()]);
            line.extend(frame(version, sequence, &asked));
        }
        let spoilt = spoil(&line, 30 + number() % 1000, &mut number);
        let mut sent = 0;
        session.take(&spoilt, &mut device, &mut |piece| sent += piece.len());
        assert!(sent <= 20 * 320, "{sent} bytes in answer to twenty requests");
    }
    assert_eq!((device.memory(), device.acts), (&before[..], 0));
}

/// The worked example of `docs/link.md`: what the PC sends is what our frames are, and the session answers as shown.
#[test]
fn the_worked_example_is_what_is_said() {
    let text = include_str!("../../../docs/link.md");
    let block = text.split("<!-- example -->").nth(1).and_then(|rest| rest.split("```").nth(1)).expect("an example");
    let lines: Vec<(&str, Vec<u8>)> = block
        .lines()
        .filter_map(|line| line.split_once(": "))
        .map(|(who, hex)| {
            let bytes = hex.split_whitespace().map(|byte| u8::from_str_radix(byte, 16).expect("hex"));
            (who.trim(), bytes.collect())
        })
        .collect();
    let requests = [
        frame(0, 0x0101, &Greeting::Hello { least: 1, greatest: 1, talk: 300 }),
        request(300, 0x0102, &Request::SetClock { utc: 1_800_000_000, offset_minutes: 60 }),
    ];
    assert_eq!(lines.len(), 2 * requests.len(), "{lines:?}");
    let (mut session, mut device) = (Session::new(), FakeDevice::blank(32_768));
    for (request, pair) in requests.into_iter().zip(lines.chunks(2)) {
        let [("PC", sent), ("logger", said)] = pair else { panic!("{pair:?}") };
        assert_eq!(*sent, request, "{request:02x?}");
        let mut answer = Vec::new();
        session.take(sent, &mut device, &mut |piece| answer.extend_from_slice(piece));
        assert_eq!(*said, answer, "{answer:02x?}");
    }
    let (least, greatest) = (holdoff_link::LEAST_VERSION, holdoff_link::VERSION);
    assert_eq!((least, greatest), (1, 1), "docs/link.md describes version 1");
}
