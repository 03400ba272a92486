//! The format as `docs/log-format.md` describes it: the worked example, and the slow reader written from it.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_core::cure::{Rule, Settings, Uncertainty};
use holdoff_core::fixing::{Action, CleaningKind, CleaningStep, Demands, LONGEST_CLEAN, MOST_STEPS, Needs};
use holdoff_core::log::{
    Beginning, Bytes, Clock, ClockTie, DeviceId, FileHash, Finding, Item, ItemRead, Job, MissingCause, PAGE, Page,
    Record, ResinRecord, Source, head_after, head_of, mount,
};
use holdoff_core::probe::Refusal;
use holdoff_core::quantity::{Count, Instant, Span};
use holdoff_core::resin::{Accrual, Band, Hole, Holes, LONGEST_CURE, Limits, MOST_BANDS, Resin, ResinSpec, ResinUse};
use holdoff_tests::log_history::{apply, random_life};
use holdoff_tests::log_oracle::{Line, PaperItem, read};
use holdoff_tests::log_sample::{DEVICE, fixing, sample};
use holdoff_tests::memory::FakeMemory;
use holdoff_tests::random::{histories, numbers};

/// The bytes of the document's example, in a slot.
fn example() -> Vec<u8> {
    let document = include_str!("../../../docs/log-format.md");
    let (_, from) = document.split_once("<!-- example -->\n```text\n").expect("the example");
    let (hex, _) = from.split_once("```").expect("its end");
    let mut slot: Vec<u8> =
        hex.split_whitespace().map(|byte| u8::from_str_radix(byte, 16).expect("hexadecimal")).collect();
    slot.resize(PAGE, 0xFF);
    slot
}

#[test]
fn the_worked_example_reads_as_the_document_says() {
    let slot = example();
    let page = Page::find(&slot).expect("a page");
    assert_eq!((page.header().number, page.header().session, page.items(), page.length()), (0, 0, 10, 68));
    assert_eq!((page.header().geometry.bytes(), page.header().quantum_bits), (4096, 4));
    let at = |seconds: i64| Instant::from_seconds(1_700_000_000 + seconds);
    let reading = |seconds, raw| Item::Reading { at: at(seconds), count: Count::new(raw) };
    let tie = ClockTie { at: at(-900), utc: 1_700_002_700, offset_minutes: 60 };
    let expected = [
        Item::Record(Record::ClockTie(tie)),
        reading(0, 3072),
        reading(60, 3088),
        reading(120, 3088),
        reading(180, 3072),
        Item::Missing { at: at(240), cause: MissingCause::NotTaken },
        reading(300, 3056),
        reading(320, 3056),
        Item::Record(Record::Action { at: at(330), fixing: fixing(2), action: Action::Seat }),
        reading(380, 3008),
    ];
    let found: Vec<ItemRead> = page.read().map(|item| item.expect("an item")).collect();
    assert_eq!(found.iter().map(|read| read.item.clone()).collect::<Vec<_>>(), expected);
    assert_eq!(found.iter().filter(|read| read.clock.is_some()).count(), 1);
    let slow = read(&slot).expect("a page");
    assert_eq!(slow.lines, told(&page));
}

/// The page's items in the slow reader's words; bodies are left to compare apart.
fn told(page: &Page<'_>) -> Vec<Line> {
    let slow = read(page_slot(page).as_slice()).expect("a page");
    page.read()
        .zip(slow.lines)
        .map(|(item, (line, _))| {
            let read = item.expect("an item");
            let cause = |refusal| match refusal {
                Refusal::NotLater => 0,
                Refusal::Bus => 1,
                Refusal::OutOfRange => 2,
                Refusal::PowerUp => 3,
                Refusal::Step => 4,
                Refusal::Supply => 5,
            };
            let told = match read.item {
                Item::Reading { at, count } => PaperItem::Reading(at.seconds(), count.raw()),
                Item::Missing { at, cause: MissingCause::NotTaken } => PaperItem::Missing(at.seconds(), 0),
                Item::Missing { at, cause: MissingCause::EmptyField } => PaperItem::Missing(at.seconds(), 1),
                Item::Unusable { at, cause: why } => PaperItem::Unusable(at.seconds(), cause(why)),
                Item::Refused { cause: why } => PaperItem::Refused(cause(why)),
                Item::Record(record) => match line {
                    PaperItem::Record(tag, body, base) if tag == tag_of(&record) => PaperItem::Record(tag, body, base),
                    other => panic!("{record:?} is told as {other:?}"),
                },
            };
            let word = read.clock.map(|clock| match clock {
                Clock::Agreed => 0,
                Clock::NotRead => 1,
            });
            (told, word)
        })
        .collect()
}

/// The slot a page was found in, rebuilt from its own bytes: only what it says of itself counts.
fn page_slot(page: &Page<'_>) -> Vec<u8> {
    page.bytes().to_vec()
}

fn tag_of(record: &Record) -> u8 {
    match record {
        Record::Identity(_) => 1,
        Record::Resin(_) => 2,
        Record::Job(_) => 3,
        Record::Fixing(_) => 4,
        Record::Batch(_) => 5,
        Record::Action { .. } => 6,
        Record::PowerUp { .. } => 7,
        Record::ClockTie(_) => 8,
        Record::Loss(_) => 9,
        Record::Untrusted => 10,
        Record::ReadOut { .. } => 11,
        Record::Freed { .. } => 12,
        Record::Release { .. } => 13,
        Record::Stage { .. } => 14,
        Record::CandidateAccepted { .. } => 15,
        Record::Demands(_) => 16,
        Record::Head { .. } => 17,
        Record::Supply { .. } => 128,
        Record::Person(_) => 129,
        Record::Hands { .. } => 130,
        Record::PassedOver { tag } => *tag,
    }
}

#[test]
fn the_slow_reader_agrees_on_random_lives() {
    let mut items = 0;
    for seed in 0..histories(50_000) / 50 {
        let mut rng = numbers(seed + 1_000_000);
        let life = random_life(&mut rng);
        let memory = FakeMemory::blank(life.size, life.part_page);
        let device = DeviceId(*b"tests-02");
        let mut logger = mount(memory, device, &mut |_: Finding| {}, &mut |_| {}).expect("blank").0;
        for op in &life.ops {
            let _ = apply(&mut logger, op);
        }
        for slot in logger.memory().bytes().chunks(PAGE) {
            match (Page::find(slot), read(slot)) {
                (Ok(page), Some(slow)) => {
                    assert_eq!(page.header().number, slow.number);
                    assert_eq!(page.header().session, slow.number - u32::from(slow.back & 0x7FFF));
                    assert_eq!(page.header().link.0, slow.link);
                    assert_eq!(told(&page), slow.lines, "seed {seed}");
                    items += slow.lines.len();
                }
                (Err(_), None) => {}
                (fast, slow) => panic!("seed {seed}: {fast:?} {slow:?}"),
            }
        }
    }
    assert!(items > 10_000, "{items}");
}

/// What fills most of a session's first page: every field has the value that takes the most bytes.
fn longest_beginning() -> Beginning {
    let count = Count::new;
    let band = |place: usize| Band {
        from: count(10_000 + place as i16),
        working: Span::from_seconds(u32::MAX),
        cure: LONGEST_CURE,
    };
    let bands: Vec<Band> = (0..MOST_BANDS).map(band).collect();
    let spec = ResinSpec {
        limits: Limits {
            install_least: count(20_000),
            install_greatest: count(20_001),
            cure_least: count(20_000),
            cure_greatest: count(20_001),
            reject_below: Some(count(-30_000)),
            reject_above: Some(count(30_000)),
            longest_hold: Some(Span::from_seconds(u32::MAX)),
        },
        cartridge_least: count(20_000),
        cartridge_greatest: count(20_001),
        holes: Hole::ALL.into_iter().fold(Holes::NONE, Holes::with),
        wet_factor: 2,
        accrual: Accrual::Permitted,
        bands: &bands,
    };
    let settings = Settings::new(Uncertainty::GREATEST, Span::from_seconds(3600), 10_000).expect("in bounds");
    let kinds = [CleaningKind::Blow, CleaningKind::ExtractingBit].into_iter().cycle();
    let steps = kinds.map(|kind| CleaningStep { kind, count: u8::MAX }).take(MOST_STEPS);
    let demands = Demands::new(steps, Needs::Required, Needs::Required).expect("eight steps");
    Beginning {
        firmware: [u8::MAX; 3],
        source: Source::Trace,
        resin: ResinRecord {
            resin: Resin::new(&spec).expect("a resin"),
            resin_use: ResinUse::Demo,
            file: FileHash([0x5A; 32]),
            name: Bytes::cut("a name as long as a log can keep"),
        },
        job: Job {
            file: FileHash([0xA5; 32]),
            settings: settings.with_settle(Span::from_seconds(3600)).expect("in bounds"),
            rule: Rule::Accrual,
            period: Span::from_seconds(u32::MAX),
        },
        demands: demands.with_clean_within(LONGEST_CLEAN).expect("in bounds"),
    }
}

#[test]
fn the_longest_demands_resin_and_job_stand_together_in_the_first_page_of_their_session() {
    let beginning = longest_beginning();
    assert_eq!((beginning.resin.name.bytes().len(), beginning.demands.steps().len()), (32, 8));
    let memory = FakeMemory::blank(32 * 1024, 64);
    let mut logger = mount(memory, DEVICE, &mut |_| {}, &mut |_| {}).expect("blank").0;
    logger.begin(&beginning).expect("all of it fits one page");
    let image = logger.memory().bytes().to_vec();
    let page = Page::find(&image[..PAGE]).expect("a page");
    let items: Vec<Item> = page.read().map(|item| item.expect("an item").item).collect();
    assert!(matches!(items[0], Item::Record(Record::Identity(_))), "{:?}", items[0]);
    let records =
        [Record::Resin(beginning.resin.clone()), Record::Job(beginning.job), Record::Demands(beginning.demands)];
    assert_eq!(items[1..], records.map(Item::Record));
    // the number of the first page that is kept, 0 here, takes up to four bytes more in a memory that has gone round
    assert!(page.length() + 4 <= PAGE, "{} bytes", page.length());
    let logger = mount(FakeMemory::of(image, 64), DEVICE, &mut |_| {}, &mut |_| {}).expect("a log").0;
    assert_eq!(logger.session().group().map(|group| *group.demands()), Some(beginning.demands));
}

#[test]
fn the_seal_value_after_any_item_is_what_the_logger_gave_then() {
    let logger = sample(1, DEVICE);
    let image = logger.memory().bytes().to_vec();
    for slot in image.chunks(PAGE) {
        let page = Page::find(slot).expect("a page");
        assert_eq!(head_after(&page, page.items()), Some(head_of(&page)));
        assert_eq!(head_after(&page, page.items() + 1), None);
    }
    // what was signed over before a release record is found again in the finished page
    let mut logger = logger;
    let before = logger.head().expect("a session");
    logger.release(fixing(1), holdoff_core::log::Bytes::cut("signed")).expect("room");
    let log = holdoff_core::log::read::Log::open(logger.memory().bytes(), &mut |_| {}).expect("a log");
    let Some(holdoff_core::log::read::Found::Page(_, page)) = log.page(before.page) else { panic!("{before:?}") };
    assert_eq!(head_after(&page, before.items), Some(before));
}
