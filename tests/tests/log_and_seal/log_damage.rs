//! Damage to a sample image: bits, bytes, pages taken away, exchanged, brought back, brought in from elsewhere.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_core::fixing::Stage;
use holdoff_core::group::Group;
use holdoff_core::log::read::{Found, Log};
use holdoff_core::log::{DeviceId, Item, Logger, MountError, PAGE, Page, PageError, Report, Trust, Why, mount};
use holdoff_tests::log_sample::{DEVICE, readings, sample};
use holdoff_tests::memory::FakeMemory;

fn mounted(bytes: &[u8]) -> Result<(Logger<FakeMemory>, Report), MountError> {
    mount(FakeMemory::of(bytes.to_vec(), 64), DEVICE, &mut |_| {}, &mut |_| {})
}

fn listed(bytes: &[u8]) -> Vec<Item> {
    let log = Log::open(bytes, &mut |_| {}).expect("a log");
    let mut items = Vec::new();
    log.replay(log.newest_session(), &mut |_, _, _, (read, _)| items.push(read.item.clone()), &mut |_| {}, &mut |_| {})
        .expect("an image");
    items
}

fn loadable(group: &Group) -> usize {
    let stages = group.fixings().filter_map(|fixing| group.status(fixing)).map(|status| status.stage);
    stages.filter(|stage| matches!(stage, Stage::Cured(_) | Stage::Released(_))).count()
}

/// What a damaged image may come to: what it was, or nothing that could be loaded, or a refusal by name.
#[derive(PartialEq, Eq, Debug)]
enum Verdict {
    AsBefore,
    Untrusted(Why),
    Refused(MountError),
}

struct Sample {
    bytes: Vec<u8>,
    group: Group,
    items: Vec<Item>,
}

impl Sample {
    fn new() -> Self {
        let logger = sample(1, DEVICE);
        let group = logger.group().expect("a session").clone();
        assert_eq!(loadable(&group), 2, "one released, one cured");
        let bytes = logger.into_memory().bytes().to_vec();
        let items = listed(&bytes);
        Self { bytes, group, items }
    }

    fn verdict(&self, bytes: &[u8], said: &dyn Fn() -> String) -> Verdict {
        match mounted(bytes) {
            Err(error) => Verdict::Refused(error),
            Ok((logger, report)) => match report.trust {
                Trust::Trusted => {
                    assert_eq!(logger.group(), Some(&self.group), "{}: {report:?}", said());
                    Verdict::AsBefore
                }
                Trust::Untrusted(why) => {
                    assert_eq!(logger.group().map_or(0, loadable), 0, "{}: {report:?}", said());
                    Verdict::Untrusted(why)
                }
            },
        }
    }

    fn log(&self) -> Log<'_> {
        Log::open(&self.bytes, &mut |_| {}).expect("a log")
    }

    fn slot(&self, number: u32) -> std::ops::Range<usize> {
        let log = self.log();
        let start = log.geometry().offset(log.geometry().home(number)) as usize;
        start..start + PAGE
    }
}

#[test]
fn a_mount_of_the_undamaged_sample_gives_the_very_group() {
    let sample = Sample::new();
    assert_eq!(sample.verdict(&sample.bytes, &|| String::new()), Verdict::AsBefore);
    let log = sample.log();
    assert!(log.newest() > log.newest_session() + 2, "several pages");
    assert!(log.newest() > log.geometry().slots(), "gone round");
    assert!(
        log.pages().any(|found| matches!(found, Found::Page(_, page) if page.header().session < log.newest_session()))
    );
}

/// Every value of every byte: whatever is found in the slot is the page as it was, or no page.
#[test]
fn every_change_of_a_byte_is_noticed_in_its_slot_or_lies_behind_the_page() {
    let sample = Sample::new();
    let mut noticed = 0u32;
    for slot in sample.bytes.chunks(PAGE) {
        let page = Page::find(slot).expect("no slot is blank");
        let (header, bytes, items) = (*page.header(), slot[..page.length()].to_vec(), page.items());
        let mut slot = slot.to_vec();
        for place in 0..PAGE {
            let was = slot[place];
            for change in 1..=255 {
                slot[place] = was ^ change;
                match Page::find(&slot) {
                    Err(PageError::Damaged) => noticed += 1,
                    Ok(page) => {
                        assert!(place >= page.length(), "byte {place} of page {}", header.number);
                        assert_eq!((*page.header(), &slot[..page.length()], page.items()), (header, &bytes[..], items));
                    }
                    Err(other) => panic!("byte {place}: {other:?}"),
                }
            }
            slot[place] = was;
        }
    }
    assert!(noticed > 1_000_000, "{noticed}");
}

/// Every bit of the memory, through a whole mount.
#[test]
fn every_flipped_bit_is_detected_or_without_effect_on_any_release() {
    let sample = Sample::new();
    let (mut same, mut untrusted) = (0u32, 0u32);
    let mut bytes = sample.bytes.clone();
    for bit in 0..bytes.len() * 8 {
        bytes[bit / 8] ^= 1 << (bit % 8);
        match sample.verdict(&bytes, &|| format!("bit {bit}")) {
            Verdict::AsBefore => same += 1,
            Verdict::Untrusted(Why::PageLost { .. }) => untrusted += 1,
            other => panic!("bit {bit}: {other:?}"),
        }
        bytes[bit / 8] ^= 1 << (bit % 8);
    }
    assert!(same > 10_000 && untrusted > 10_000, "{same} {untrusted}");
}

/// A byte of noise anywhere, through a whole mount and down to the items.
#[test]
fn a_changed_byte_in_the_open_page_is_healed_from_its_other_copy() {
    let sample = Sample::new();
    let newest = sample.log().newest();
    for number in [newest, newest + 1] {
        let slot = sample.slot(number);
        for place in slot.clone() {
            let mut bytes = sample.bytes.clone();
            bytes[place] = bytes[place].wrapping_add(0x55);
            assert_eq!(sample.verdict(&bytes, &|| format!("byte {place}")), Verdict::AsBefore);
            if place % 16 == 0 {
                assert_eq!(listed(&bytes), sample.items);
            }
        }
    }
}

#[test]
fn pages_taken_from_the_end_leave_a_log_that_is_not_trusted() {
    let sample = Sample::new();
    let log = sample.log();
    for taken in 1..=log.newest() - log.newest_session() {
        for fill in [0xFF, 0x00, 0xA7] {
            let mut bytes = sample.bytes.clone();
            for number in log.newest() - taken + 1..=log.newest() + 1 {
                for (place, byte) in bytes[sample.slot(number)].iter_mut().enumerate() {
                    // blank, cleared, or noise
                    *byte = if fill == 0xA7 { fill ^ (place * 7 % 251).to_le_bytes()[0] } else { fill };
                }
            }
            let verdict = sample.verdict(&bytes, &|| format!("{taken} pages, {fill:02x}"));
            assert_eq!(verdict, Verdict::Untrusted(Why::Tail), "{taken} pages, {fill:02x}");
        }
    }
}

#[test]
fn any_two_slots_exchanged_leave_a_log_that_is_not_trusted_or_the_same() {
    let sample = Sample::new();
    let log = sample.log();
    let geometry = log.geometry();
    let session: Vec<u32> = (log.newest_session()..=log.newest() + 1).map(|number| geometry.home(number)).collect();
    for a in 0..geometry.slots() {
        for b in 0..a {
            let mut bytes = sample.bytes.clone();
            for place in 0..PAGE {
                bytes.swap(a as usize * PAGE + place, b as usize * PAGE + place);
            }
            let verdict = sample.verdict(&bytes, &|| format!("slots {a} and {b}"));
            let concerned = [a, b].iter().any(|slot| session.contains(slot));
            let copies =
                [a, b].iter().all(|slot| [log.newest(), log.newest() + 1].map(|n| geometry.home(n)).contains(slot));
            match verdict {
                Verdict::AsBefore => assert!(!concerned || copies, "slots {a} and {b}"),
                Verdict::Untrusted(_) => {}
                Verdict::Refused(error) => panic!("slots {a} and {b}: {error:?}"),
            }
        }
    }
}

#[test]
fn pages_of_an_earlier_pass_brought_back_are_not_trusted() {
    // the memory as it was a pass ago, slot by slot and tail by tail
    let mut logger = sample(1, DEVICE);
    let mut at = 1_800_000_000;
    let before = logger.memory().bytes().to_vec();
    let first = logger.head().expect("a session").page;
    // end the session's fixings so that another can begin, and go round
    logger.freed(u32::MAX).expect("room");
    for place in [1, 2] {
        let action = holdoff_core::fixing::Action::Torque(holdoff_core::quantity::Torque::from_hundredths(4000));
        holdoff_tests::log_sample::act(&mut logger, at, place, action);
    }
    logger.begin(&holdoff_tests::log_sample::beginning()).expect("nothing runs");
    at = readings(&mut logger, 9, at, 5_000, 16);
    assert!(at > 0 && logger.head().expect("a session").page > first + 5);
    let group = logger.group().cloned();
    let bytes = logger.into_memory().bytes().to_vec();
    let log = Log::open(&bytes, &mut |_| {}).expect("a log");
    let geometry = log.geometry();
    for number in log.newest_session()..=log.newest() + 1 {
        let slot = geometry.offset(geometry.home(number)) as usize;
        let mut spliced = bytes.clone();
        spliced[slot..slot + PAGE].copy_from_slice(&before[slot..slot + PAGE]);
        let (logger, report) = mounted(&spliced).expect("a log");
        if report.trust == Trust::Trusted {
            panic!("page {number}: {report:?} {}", logger.group() == group.as_ref());
        }
        // and everything from there to the end
        for behind in number..=log.newest() + 1 {
            let slot = geometry.offset(geometry.home(behind)) as usize;
            spliced[slot..slot + PAGE].copy_from_slice(&before[slot..slot + PAGE]);
        }
        let trust = mounted(&spliced).map(|(_, report)| report.trust);
        if number > log.newest_session() {
            assert!(matches!(trust, Ok(Trust::Untrusted(_))), "from page {number}: {trust:?}");
        }
    }
}

#[test]
fn pages_of_another_device_are_not_trusted() {
    let sample = Sample::new();
    let foreign = holdoff_tests::log_sample::sample(50, DeviceId(*b"sample-2")).into_memory();
    let (log, other) = (sample.log(), Log::open(foreign.bytes(), &mut |_| {}).expect("a log"));
    assert_eq!(sample.verdict(foreign.bytes(), &|| "whole".into()), {
        let (found, expected) = (DeviceId(*b"sample-2"), DEVICE);
        Verdict::Refused(MountError::Device { found, expected })
    });
    for number in log.newest_session()..=log.newest() {
        let slot = sample.slot(number);
        let mut bytes = sample.bytes.clone();
        bytes[slot.clone()].copy_from_slice(&foreign.bytes()[slot.clone()]);
        match sample.verdict(&bytes, &|| format!("page {number}")) {
            Verdict::Untrusted(_) | Verdict::Refused(_) => {}
            Verdict::AsBefore => assert_eq!(number, log.newest(), "only the open page has a copy of its own"),
        }
        // the same with its number put right and the check made anew
        let Some(Found::Page(_, page)) = other.page(other.newest_session() + (number - log.newest_session())) else {
            continue;
        };
        let start = other.geometry().offset(other.geometry().home(page.header().number)) as usize;
        let forged = renumbered(&foreign.bytes()[start..start + PAGE], number, number - log.newest_session());
        bytes[slot].copy_from_slice(&forged);
        match sample.verdict(&bytes, &|| format!("page {number}")) {
            Verdict::Untrusted(_) | Verdict::Refused(_) => {}
            Verdict::AsBefore => assert_eq!(number, log.newest(), "only the open page has a copy of its own"),
        }
    }
}

/// The page with another number and the CRC that belongs to it: what somebody does who knows the format.
fn renumbered(slot: &[u8], number: u32, back: u32) -> Vec<u8> {
    let page = Page::find(slot).expect("a page");
    let mut slot = slot.to_vec();
    slot[2..6].copy_from_slice(&number.to_le_bytes());
    let tie = slot[8] & 0x80;
    slot[7..9].copy_from_slice(&u16::try_from(back).expect("small").to_le_bytes());
    slot[8] |= tie;
    checked_anew(&mut slot, page.length());
    slot
}

/// CRC-32/ISO-HDLC bit by bit, from the definition (check-value "123456789" -> cbf43926).
fn crc(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |crc, byte| {
        (0..8).fold(crc ^ u32::from(*byte), |crc, _| if crc & 1 == 1 { crc >> 1 ^ 0xEDB8_8320 } else { crc >> 1 })
    })
}

fn checked_anew(slot: &mut [u8], length: usize) {
    let crc = crc(&slot[..length - 4]);
    slot[length - 4..length].copy_from_slice(&crc.to_le_bytes());
}

#[test]
fn the_crc_of_the_pages_is_the_catalogue_one() {
    assert_eq!(crc(b"123456789"), 0xCBF4_3926);
    let sample = Sample::new();
    for slot in sample.bytes.chunks(PAGE) {
        let length = Page::find(slot).expect("a page").length();
        assert_eq!(slot[length - 4..length], crc(&slot[..length - 4]).to_le_bytes());
    }
}

#[test]
fn an_edited_closed_page_with_its_check_made_anew_is_not_trusted() {
    let sample = Sample::new();
    let log = sample.log();
    let mut tried = 0;
    for number in log.newest_session()..log.newest() {
        let slot = sample.slot(number);
        let length = Page::find(&sample.bytes[slot.clone()]).expect("a page").length();
        for place in (21..length - 8).step_by(3) {
            for bit in [0, 3, 7] {
                let mut bytes = sample.bytes.clone();
                bytes[slot.start + place] ^= 1 << bit;
                checked_anew(&mut bytes[slot.clone()], length);
                match sample.verdict(&bytes, &|| format!("byte {place} of page {number}")) {
                    Verdict::Untrusted(_) | Verdict::Refused(MountError::Device { .. }) => tried += 1,
                    other => panic!("byte {place} of page {number}: {other:?}"),
                }
            }
        }
    }
    assert!(tried > 1000, "{tried}");
}

#[test]
fn an_image_cut_short_or_of_another_size_is_refused_by_name() {
    let sample = Sample::new();
    let half = &sample.bytes[..sample.bytes.len() / 2];
    let refused = mounted(half).map(|(_, report)| report).expect_err("half an image");
    assert_eq!(refused, MountError::Geometry { found: 8192, expected: 4096 });
    let mut twice = sample.bytes.clone();
    twice.resize(16_384, 0xFF);
    let refused = mounted(&twice).map(|(_, report)| report).expect_err("an image in a larger memory");
    assert_eq!(refused, MountError::Geometry { found: 8192, expected: 16_384 });
    for size in [0, 100, 4095, 8191, 512 * 1024] {
        let mut odd = sample.bytes.clone();
        odd.resize(size, 0xFF);
        let refused = mounted(&odd).map(|(_, report)| report).expect_err("no such memory");
        assert_eq!(refused, MountError::Size { found: u32::try_from(size).expect("small") });
    }
}

#[test]
fn a_page_of_another_version_is_refused_by_name_and_nothing_is_written() {
    let sample = Sample::new();
    for version in [0, 2, 255] {
        let mut bytes = sample.bytes.clone();
        let slot = &mut bytes[..PAGE];
        let length = Page::find(slot).expect("a page").length();
        slot[1] = version;
        checked_anew(slot, length);
        let mut memory = FakeMemory::of(bytes.clone(), 64);
        let refused = mount(&mut memory, DEVICE, &mut |_| {}, &mut |_| {}).map(|(_, report)| report);
        assert_eq!(refused, Err(MountError::Version { found: version, expected: 1 }));
        assert_eq!((memory.write_calls, memory.bytes()), (0, &bytes[..]));
    }
}

#[test]
fn something_that_is_no_log_is_refused_until_its_owner_blanks_it() {
    let noise: Vec<u8> = (0..8192u32).map(|place| (place.wrapping_mul(2_654_435_761) >> 13).to_le_bytes()[0]).collect();
    assert_eq!(mounted(&noise).map(|(_, report)| report), Err(MountError::NoLog));
    let mut memory = FakeMemory::of(noise, 64);
    holdoff_core::log::blank(&mut memory).expect("writable");
    let (logger, report) = mounted(memory.bytes()).expect("blank");
    assert_eq!((report.pages, logger.group()), (None, None));
}

#[test]
fn a_damaged_page_is_skipped_and_what_follows_is_still_read() {
    let sample = Sample::new();
    let log = sample.log();
    let lost = log.newest_session() + 1;
    let mut bytes = sample.bytes.clone();
    bytes[sample.slot(lost).start + 100] ^= 4;
    let (mut logger, report) = mounted(&bytes).expect("a log");
    assert_eq!(report.trust, Trust::Untrusted(Why::PageLost { number: lost }));
    let (all, _) = logger.session().readings();
    assert!(all > 500, "{all}");
    // it stays untrusted: also when the page comes back, and for what is begun later
    let dark = holdoff_core::group::Darkness::Known;
    logger.power_up(dark, holdoff_core::log::ResetCause::PowerOn, &mut |_| {}).expect("room");
    assert_eq!(logger.may_inject(), Err(holdoff_core::log::LogError::Untrusted));
    let mut memory = logger.into_memory();
    memory.bytes_mut()[sample.slot(lost).start + 100] ^= 4;
    let (logger, report) = mounted(memory.bytes()).expect("a log");
    assert_eq!(report.trust, Trust::Untrusted(Why::Recorded));
    assert_eq!(loadable(logger.group().expect("a session")), 0);
}
