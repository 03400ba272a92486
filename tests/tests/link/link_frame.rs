//! Frames of the link: published values, other coders, lines that lose and garble.

use holdoff_core::cure::Rule;
use holdoff_core::log::{MOST_HOLDS, StageWord};
use holdoff_core::quantity::{Count, Span};
use holdoff_core::resin::{Accrual, Band, Hole, Limits, ResinUse};
use holdoff_link::frame::{AROUND, Decoder, Frame, MOST_FRAME, MOST_MESSAGE, Speaker, seal, send};
use holdoff_link::message::{
    Answer, Asked, Batch, Greeting, Head, Identity, Job, Log, LogState, PIECE, Planned, Refusal, Request, Resin, Since,
    Tie, Welcome,
};
use holdoff_link::status::{ClockState, Fixing, Group, Loaded, Probe, Reading, Readings, Release, Trust};
use holdoff_link::wire::write;
use holdoff_tests::link_device::{every_request, frame, resin, spoil};
use holdoff_tests::random::{histories, numbers};
use std::str::FromStr;

fn coded(bytes: &[u8]) -> Vec<u8> {
    let mut made = Vec::new();
    send(bytes, &mut |piece| made.extend_from_slice(piece));
    let inner = made.strip_prefix(&[0]).and_then(|rest| rest.strip_suffix(&[0])).expect("zeros around");
    assert!(!inner.contains(&0));
    inner.to_vec()
}

fn decoded(bytes: &[u8]) -> Option<Vec<u8>> {
    let mut decoder = Decoder::<1024>::new();
    for byte in bytes {
        assert!(decoder.push(*byte).is_none());
    }
    decoder.push(0).map(<[u8]>::to_vec)
}

/// Examples that are published with implementations of COBS (an npm package, a table in a demonstration), and the packet
/// of the paper (Cheshire and Baker 1999; from memory, computed).
#[test]
fn the_published_codings_come_out() {
    let run = |from: u8, to: u8| (from..=to).collect::<Vec<u8>>();
    let joined = |parts: &[&[u8]]| parts.concat();
    let cases: Vec<(Vec<u8>, Vec<u8>)> = vec![
        (vec![], vec![1]),
        (vec![0], vec![1, 1]),
        (vec![0, 0], vec![1, 1, 1]),
        (vec![0, 0x11, 0], vec![1, 2, 0x11, 1]),
        (vec![0x11, 0x22, 0, 0x33], vec![3, 0x11, 0x22, 2, 0x33]),
        (vec![0x11, 0x22, 0x33, 0x44], vec![5, 0x11, 0x22, 0x33, 0x44]),
        (vec![0x11, 0, 0, 0], vec![2, 0x11, 1, 1, 1]),
        (run(1, 0xFE), joined(&[&[0xFF], &run(1, 0xFE)])),
        (run(0, 0xFE), joined(&[&[1, 0xFF], &run(1, 0xFE)])),
        (run(1, 0xFF), joined(&[&[0xFF], &run(1, 0xFE), &[2, 0xFF]])),
        (joined(&[&run(2, 0xFF), &[0]]), joined(&[&[0xFF], &run(2, 0xFF), &[1, 1]])),
        (joined(&[&run(3, 0xFF), &[0, 1]]), joined(&[&[0xFE], &run(3, 0xFF), &[2, 1]])),
        (
            vec![0x45, 0, 0, 0x2C, 0x4C, 0x79, 0, 0, 0x40, 6, 0x4F, 0x37],
            vec![2, 0x45, 1, 4, 0x2C, 0x4C, 0x79, 1, 5, 0x40, 6, 0x4F, 0x37],
        ),
    ];
    for (plain, wanted) in cases {
        assert_eq!(coded(&plain), wanted, "{plain:02x?}");
        assert_eq!(decoded(&wanted), Some(plain));
    }
    // some coders add a 01 behind a full block at the end
    assert_eq!(decoded(&[&[0xFF][..], &run(1, 0xFE), &[1]].concat()), Some(run(1, 0xFE)));
}

#[test]
fn another_coder_reads_ours_and_is_read() {
    let mut number = numbers(1);
    for _ in 0..histories(5_000) {
        let length = number() as usize % 700;
        let few = number() % 3;
        let plain: Vec<u8> = (0..length).map(|_| if few == 0 { number() as u8 } else { number() as u8 | 1 }).collect();
        let ours = coded(&plain);
        assert_eq!(cobs::decode_vec(&ours).expect("coded"), plain);
        assert_eq!(decoded(&cobs::encode_vec(&plain)), Some(plain));
    }
}

#[test]
fn messages_are_postcards_and_postcard_frames_are_read() {
    let mut requests: Vec<Request> = every_request();
    requests.push(Request::Resin(longest_resin()));
    for request in requests {
        let mut buffer = [0; MOST_MESSAGE];
        let length = write(&request, &mut buffer).expect("it fits");
        let mut other = [0; 1024];
        let theirs = postcard::to_slice(&request, &mut other).expect("it fits").to_vec();
        assert_eq!(buffer[..length], theirs, "{request:?}");
        assert_eq!(postcard::from_bytes::<Request>(&theirs), Ok(request.clone()));
        let mut room = [0; 1024];
        let framed = postcard::to_slice_cobs(&request, &mut room).expect("it fits");
        assert_eq!(decoded(&framed[..framed.len() - 1]), Some(theirs), "{request:?}");
    }
    for answer in longest_answers() {
        let mut buffer = [0; MOST_MESSAGE];
        let length = write(&answer, &mut buffer).unwrap_or_else(|| panic!("too long: {answer:?}"));
        let mut other = [0; 1024];
        assert_eq!(buffer[..length], *postcard::to_slice(&answer, &mut other).expect("it fits"), "{answer:?}");
        assert_eq!(postcard::from_bytes::<Answer>(&buffer[..length]), Ok(answer));
    }
    let greeting = Greeting::Hello { least: 0x7F, greatest: 0x80, talk: u32::MAX };
    let welcome = Welcome::Hello {
        least: 1,
        greatest: 255,
        talk: u32::MAX,
        since: Since::Before,
        firmware: [255; 3],
        board: heapless::String::from_str(&"b".repeat(24)).expect("24"),
    };
    let mut buffer = [0; MOST_MESSAGE];
    let length = write(&greeting, &mut buffer).expect("it fits");
    assert_eq!(postcard::from_bytes(&buffer[..length]), Ok(greeting));
    let length = write(&welcome, &mut buffer).expect("it fits");
    assert_eq!(postcard::from_bytes(&buffer[..length]), Ok(welcome));
}

#[test]
fn numbers_are_written_as_postcard_writes_them() {
    let mut number = numbers(7);
    for _ in 0..histories(20_000) {
        let shift = number() % 64;
        let value = number() >> shift;
        let message = (value, value as i64, value as u32, value as i32, value as u16, value as i16, value as u8);
        let message = (message, (value % 2 == 0).then_some(value), value % 3 == 0);
        let (mut ours, mut theirs) = ([0; 128], [0; 128]);
        let length = write(&message, &mut ours).expect("it fits");
        assert_eq!(ours[..length], *postcard::to_slice(&message, &mut theirs).expect("it fits"));
        for room in 0..length {
            assert_eq!(write(&message, &mut ours[..room]), None, "{room} bytes of {length}");
        }
    }
}

fn longest_resin() -> Resin {
    let (least, greatest) = (Count::new(i16::MIN), Count::new(i16::MAX));
    let mut bands = heapless::Vec::new();
    for from in 0..16 {
        // the longest that any schedule has: an edge of three bytes, times of fourteen days and of as long
        let (working, cure) = (Span::from_seconds(u32::MAX), Span::from_seconds(14 * 86_400));
        bands.push(Band { from: Count::new(i16::MIN + from), working, cure }).expect("room");
    }
    Resin {
        name: heapless::String::from_str(&"n".repeat(32)).expect("32"),
        limits: Limits {
            install_least: least,
            install_greatest: greatest,
            cure_least: least,
            cure_greatest: greatest,
            reject_below: Some(least),
            reject_above: Some(greatest),
            longest_hold: Some(Span::from_seconds(u32::MAX)),
        },
        cartridge: (least, greatest),
        bands,
        ..resin()
    }
}

fn longest_answers() -> Vec<Answer> {
    let text = |length: usize| "w".repeat(length);
    let identity = Identity {
        device: [0xFF; 8],
        key: Some([0xFF; 32]),
        firmware: [0xFF; 3],
        board: heapless::String::from_str(&text(24)).expect("24"),
        log_version: 255,
        memory: u32::MAX,
        page: u16::MAX,
    };
    let clock = holdoff_link::message::Clock {
        utc: Some(i64::MIN),
        offset_minutes: i16::MIN,
        at: i64::MIN,
        state: ClockState::Silent,
    };
    let log = Log {
        state: LogState::NoAnswer,
        left: u32::MAX,
        reserved: u32::MAX,
        slots: u32::MAX,
        unread_from: u32::MAX,
        head: Some(Head { page: u32::MAX, items: u16::MAX, value: [0xFF; 12] }),
    };
    let group = Group {
        loaded: Some(Loaded {
            page: u32::MAX,
            fixings: 16,
            job: [0xFF; 32],
            resin: heapless::String::from_str(&text(32)).expect("32"),
            resin_file: [0xFF; 32],
            resin_use: ResinUse::Demo,
            rule: Rule::Accrual,
            uncertainty: u16::MAX,
            longest_gap: u32::MAX,
            clock_ppm: u16::MAX,
            settle: u32::MAX,
            period: u32::MAX,
            counts: (u64::MAX, u64::MAX, u64::MAX, u64::MAX),
        }),
        now: Some(i64::MIN),
        ahead: Some(i64::MIN),
        offset_minutes: i16::MIN,
        reading: Some(Reading { at: i64::MIN, count: i16::MIN }),
        clock: ClockState::Silent,
        probe: Probe::Stuck,
        trust: Trust::Untrusted,
        readings: Readings::Lost,
        battery_mv: Some(u16::MAX),
    };
    let fixing = Fixing {
        number: 255,
        label: heapless::String::from_str(&text(16)).expect("16"),
        stage: StageWord::Removed,
        since: Some(i64::MIN),
        hole: Hole::Flooded,
        injected_at: Some(i64::MIN),
        seated_at: Some(i64::MIN),
        seat_by: Some(i64::MIN),
        cured_at: Some(i64::MIN),
        announced_at: Some(i64::MIN),
        required: u64::MAX,
        served: u64::MAX,
        counted: u64::MAX,
        held: u64::MAX,
        unobserved: u64::MAX,
        accrued: u32::MAX,
        coldest: Some(i32::MIN),
        grounds: u32::MAX,
        range: Some((u32::MAX, u32::MAX)),
        torque: Some(u32::MAX),
        release: Release::Recorded,
    };
    let mut bytes = heapless::Vec::new();
    bytes.resize(PIECE, 0xAA).expect("room");
    vec![
        Answer::Done,
        Answer::Refused(Refusal::Unconfirmed { page: u32::MAX }),
        Answer::Identity(identity),
        Answer::Clock(clock),
        Answer::Log(log),
        Answer::Group(group),
        Answer::Fixing(fixing),
        Answer::Piece { offset: u32::MAX, bytes },
        Answer::Ties([Tie { from: i64::MIN, clock: Some((i64::MIN, i16::MIN)) }; MOST_HOLDS].into_iter().collect()),
    ]
}

/// A number as postcard has it: seven bits a byte, low ones first.
fn number(mut value: u64) -> Vec<u8> {
    let mut bytes = Vec::new();
    while value >= 0x80 {
        bytes.push(value as u8 | 0x80);
        value >>= 7;
    }
    bytes.push(value as u8);
    bytes
}

/// A signed one: 0, -1, 1, -2 as 0, 1, 2, 3.
fn signed(value: i64) -> Vec<u8> {
    number(if value < 0 { !(value as u64) * 2 + 1 } else { value as u64 * 2 })
}

fn text(text: &str) -> Vec<u8> {
    [number(text.len() as u64), text.as_bytes().to_vec()].concat()
}

fn some(value: Vec<u8>) -> Vec<u8> {
    [vec![1], value].concat()
}

/// Messages carry types of the engine. Who moved a field or a case of one of them would have a logger of another build take one
/// number for another, so these bytes are written by hand from the tables of `docs/link.md`.
#[test]
fn fields_and_cases_stand_as_the_tables_have_them() {
    let written = |message: &Request| {
        let mut buffer = [0; MOST_MESSAGE];
        let length = write(message, &mut buffer).expect("it fits");
        buffer[..length].to_vec()
    };
    let count = |count| Count::new(count);
    let span = Span::from_seconds;
    for (accrual, resin_use) in [(Accrual::Forbidden, ResinUse::OnSite), (Accrual::Permitted, ResinUse::Demo)] {
        let limits = Limits {
            install_least: count(-1000),
            install_greatest: count(2000),
            cure_least: count(-3000),
            cure_greatest: count(4000),
            reject_below: Some(count(-5000)),
            reject_above: Some(count(6000)),
            longest_hold: Some(span(7000)),
        };
        let bands = [
            Band { from: count(-300), working: span(1200), cure: span(80_000) },
            Band { from: count(900), working: span(700), cure: span(9000) },
        ];
        let resin = Resin {
            name: heapless::String::from_str("Quay grey").expect("short"),
            file: [0xA5; 32],
            resin_use,
            limits,
            cartridge: (count(1280), count(9000)),
            holes: 5,
            wet_factor: 3,
            accrual,
            bands: bands.into_iter().collect(),
        };
        let case = u8::from(accrual == Accrual::Permitted);
        let wanted = [
            vec![8],
            text("Quay grey"),
            vec![0xA5; 32],
            vec![case],
            [-1000, 2000, -3000, 4000].map(signed).concat(),
            [-5000, 6000].map(|reject| some(signed(reject))).concat(),
            some(number(7000)),
            [1280, 9000].map(signed).concat(),
            vec![5, 3, case, 2],
            [signed(-300), number(1200), number(80_000), signed(900), number(700), number(9000)].concat(),
        ];
        assert_eq!(written(&Request::Resin(resin)), wanted.concat());
    }
    for (case, rule) in [(0, Rule::Coldest), (1, Rule::Accrual)] {
        let job = Job {
            file: [0x5A; 32],
            uncertainty: 256,
            longest_gap: 300,
            clock_ppm: 101,
            settle: 180,
            rule,
            period: 60,
            offset_minutes: -90,
            batches: 2,
            fixings: 9,
            undecided: 0x8001,
        };
        let wanted = [
            vec![7],
            vec![0x5A; 32],
            [256, 300, 101, 180].map(number).concat(),
            vec![case],
            number(60),
            signed(-90),
            vec![2, 9],
            number(0x8001),
        ];
        assert_eq!(written(&Request::Begin(job)), wanted.concat());
    }
    for (case, hole) in (0..).zip([Hole::Dry, Hole::Wet, Hole::Flooded]) {
        let label = heapless::String::from_str("north 1").expect("short");
        let planned = Planned { number: 4, label, hole, torque: Some((3800, 4200)), batch: Some(1) };
        let wanted = [vec![10, 4], text("north 1"), vec![case], some([3800, 4200].map(number).concat()), some(vec![1])];
        assert_eq!(written(&Request::Fix(planned)), wanted.concat());
    }
    let longest = longest_answers();
    let fixing = longest.iter().find_map(|answer| match answer {
        Answer::Fixing(fixing) => Some(fixing),
        _ => None,
    });
    let stages = [
        StageWord::Planned,
        StageWord::Refused,
        StageWord::Working,
        StageWord::Curing,
        StageWord::Held,
        StageWord::Cured,
        StageWord::Released,
        StageWord::Rejected,
        StageWord::AcceptedAsIs,
        StageWord::Removed,
    ];
    for (code, stage) in (0..).zip(stages) {
        let label = heapless::String::from_str("n").expect("short");
        let answer = Answer::Fixing(Fixing { label, stage, ..fixing.expect("one of them").clone() });
        let mut buffer = [0; MOST_MESSAGE];
        write(&answer, &mut buffer).expect("it fits");
        assert_eq!(buffer[..6], [6, 255, 1, b'n', code, 1], "{stage:?}: the log's code (docs/log-format.md)");
    }
}

#[test]
fn every_request_of_a_job_fits_a_frame() {
    let longest = [
        Request::Resin(longest_resin()),
        Request::Begin(Job {
            file: [0xFF; 32],
            uncertainty: u16::MAX,
            longest_gap: u32::MAX,
            clock_ppm: u16::MAX,
            settle: u32::MAX,
            rule: Rule::Accrual,
            period: u32::MAX,
            offset_minutes: i16::MIN,
            batches: u8::MAX,
            fixings: u8::MAX,
            undecided: u16::MAX,
        }),
        Request::Batch(Batch {
            number: 255,
            text: heapless::String::from_str(&"t".repeat(24)).expect("24"),
            use_by: Some(i64::MIN),
        }),
        Request::Fix(Planned {
            number: 255,
            label: heapless::String::from_str(&"l".repeat(16)).expect("16"),
            hole: Hole::Flooded,
            torque: Some((u32::MAX, u32::MAX)),
            batch: Some(255),
        }),
    ];
    for request in longest {
        let mut buffer = [0; MOST_MESSAGE];
        assert!(write(&Asked::of(u32::MAX, &request), &mut buffer).is_some(), "{request:?}");
    }
}

#[test]
fn whatever_comes_before_a_frame_the_next_zero_begins_anew() {
    let wanted = frame(1, 7, &Request::Group);
    let mut number = numbers(11);
    for _ in 0..histories(3_000) {
        let mut decoder = Decoder::<MOST_FRAME>::new();
        let garbage = number() as usize % 900;
        for _ in 0..garbage {
            let given = decoder.push(number() as u8).and_then(Frame::of);
            assert_eq!(given, None, "garbage passed the check");
        }
        // the frame's own first zero ends the garbage
        let mut found = None;
        for byte in &wanted {
            if let Some(frame) = decoder.push(*byte).and_then(Frame::of) {
                found = Some((frame.version, frame.sequence, frame.message.to_vec()));
            }
        }
        assert_eq!(found, Some((1, 7, vec![4])), "after {garbage} bytes of garbage");
    }
}

#[test]
fn a_frame_that_is_longer_than_any_is_thrown_away_with_its_rest() {
    let mut decoder = Decoder::<MOST_FRAME>::new();
    for _ in 0..10_000 {
        assert!(decoder.push(0x55).is_none());
    }
    assert!(decoder.push(0).is_none());
    let given: Vec<_> = frame(1, 3, &Request::Log).into_iter().filter(|byte| decoder.push(*byte).is_some()).collect();
    assert_eq!(given, [0]);
}

#[test]
fn a_bad_line_loses_frames_and_never_makes_one() {
    let requests = every_request();
    let mut number = numbers(5);
    let (mut sent, mut whole) = (0u32, 0u32);
    for round in 0..histories(2_000) {
        let mut line = Vec::new();
        let mut originals = Vec::new();
        for sequence in 0..5u16 {
            let request = &requests[number() as usize % requests.len()];
            line.extend(frame(1, sequence, request));
            let mut buffer = [0; MOST_MESSAGE];
            let length = write(request, &mut buffer).expect("it fits");
            originals.push(buffer[..length].to_vec());
            sent += 1;
        }
        let one_in = if round % 2 == 0 { 40 } else { 400 };
        let mut decoder = Decoder::<MOST_FRAME>::new();
        for byte in spoil(&line, one_in, &mut number) {
            if let Some(frame) = decoder.push(byte).and_then(Frame::of) {
                assert_eq!(frame.message, originals[usize::from(frame.sequence)]);
                whole += 1;
            }
        }
    }
    assert!(whole > sent / 10 && whole < sent, "{whole} of {sent}");
}

#[test]
fn a_changed_bit_anywhere_is_noticed() {
    let request = Request::Resin(resin());
    let mut bytes = [0; MOST_FRAME];
    let length = write(&request, &mut bytes[3..MOST_FRAME - (AROUND - 3)]).expect("it fits");
    let sealed = seal(&mut bytes, Speaker::Logger, 1, 0xABCD, length).expect("it fits").to_vec();
    let frame = Frame::of(&sealed).expect("whole");
    assert_eq!((frame.speaker, frame.version, frame.sequence), (Speaker::Logger, 1, 0xABCD));
    for bit in 0..sealed.len() * 8 {
        let mut changed = sealed.clone();
        changed[bit / 8] ^= 1 << (bit % 8);
        assert_eq!(Frame::of(&changed), None, "bit {bit}");
    }
    for short in 0..sealed.len() {
        assert_eq!(Frame::of(&sealed[..short]), None, "{short} bytes");
    }
}
