//! What the fuzz targets do with bytes: read them in every way there is, and check what must hold of whatever came out.
//!
//! The targets in `tests/fuzz` call these under a coverage-guided fuzzer; `tests/tests/log_and_seal/fuzz_smoke.rs` calls them with the
//! corpus and with random changes of it, in every test run.

use holdoff_core::group::Happening;
use holdoff_core::log::{DeviceId, Logger, PAGE, Page, RamMemory, ResetCause, mount as mount_memory};
use holdoff_core::quantity::{Count, Instant};
use holdoff_core::seal::{CodeBuffer, ShortForm, read};
use holdoff_evidence::{prove_code, prove_image};
use holdoff_files::calibration::Calibration;
use holdoff_files::decision::Signed;
use holdoff_files::job::JobFile;
use holdoff_files::resin_file::ResinFile;
use holdoff_files::scenario::Scenario;
use holdoff_files::trace::{Options, Trace};
use holdoff_present::memory::list;
use holdoff_present::take_off::{object, table};
use holdoff_present::words::Speech;
use holdoff_site::calibration::{Asked, rows};
use holdoff_site::take_off::{Spare, take_off};
use std::sync::LazyLock;

/// A key that signed nothing in any corpus.
static FOREIGN: LazyLock<holdoff_evidence::keys::Ring> = LazyLock::new(|| {
    let text =
        "[[key]]\nname = \"nobody\"\npublic = \"d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a\"\n";
    holdoff_evidence::keys::Ring::parse("foreign", text).expect("the public key of RFC 8032 section 7.1, test 1")
});

/// A memory: the bytes come first, the rest is blank.
pub fn mount(bytes: &[u8]) {
    let size = if bytes.len() <= 4096 { 4096 } else { 16_384 };
    let mut memory = vec![0xFF; size];
    let used = bytes.len().min(size);
    memory[..used].copy_from_slice(&bytes[..used]);
    let _ = list(&memory);
    if let Ok((proofs, _)) = prove_image(&memory, &FOREIGN) {
        assert!(proofs.iter().all(|proof| !proof.is_proved()), "proved with a key that signed nothing");
    }
    let device = DeviceId(*b"fuzzing!");
    if let Ok((logger, _)) = mount_memory(RamMemory(&mut memory), device, &mut |_| {}, &mut |_| {}) {
        go_on(logger);
    }
}

/// Whatever was mounted can be written on.
fn go_on(mut logger: Logger<RamMemory<'_>>) {
    let from = logger.group().and_then(|group| group.last_reading()).map_or(0, |(at, _)| at.seconds());
    let _ = logger.power_up(holdoff_core::group::Darkness::Known, ResetCause::Unknown, &mut |_| {});
    for minute in 1..5 {
        let at = Instant::from_seconds(from.saturating_add(60 * minute));
        let _ = logger.happen(Happening::Reading { at, count: Count::from_degrees(7) }, &mut |_| {});
    }
}

/// One page, its check put right so that what lies behind is reached.
pub fn page(bytes: &[u8]) {
    let mut slot = [0u8; PAGE];
    let used = bytes.len().min(PAGE);
    slot[..used].copy_from_slice(&bytes[..used]);
    for length in [used, PAGE] {
        let mut mended = slot;
        mend(&mut mended, length);
        if let Ok(page) = Page::find(&mended) {
            assert!(page.length() <= PAGE);
            let items = page.read().take(70_000).count();
            assert!(items <= usize::from(page.items()) + 1, "more items than the page says");
        }
    }
    let _ = Page::find(&slot).map(|page| page.read().count());
}

/// Writes the CRC-32 of the first `length - 4` bytes behind them, low byte first.
fn mend(slot: &mut [u8; PAGE], length: usize) {
    let Some(end) = length.checked_sub(4) else { return };
    let check = crc::Crc::<u32>::new(&crc::CRC_32_ISO_HDLC).checksum(&slot[..end]);
    slot[end..length].copy_from_slice(&check.to_le_bytes());
}

/// A release code, and a short form.
pub fn code(bytes: &[u8]) {
    let mut buffer: CodeBuffer = [0; holdoff_core::seal::MOST_SEALED];
    if let Ok(view) = read(bytes, &mut buffer) {
        let text = String::from_utf8_lossy(bytes);
        if let Ok(proof) = prove_code(&text, &FOREIGN) {
            assert!(!proof.is_proved(), "proved with a key that signed nothing");
        }
        let _ = ShortForm::of(view.unverified());
    }
    if let Ok(text) = std::str::from_utf8(bytes)
        && let Ok(short) = ShortForm::parse(text)
    {
        let mut shown = [0; holdoff_core::seal::SHORT_TEXT];
        assert_eq!(ShortForm::parse(short.show(&mut shown)).ok(), Some(short));
    }
}

/// A resin file.
pub fn resin(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    match ResinFile::parse("fuzz.toml", text) {
        Ok(resin) => {
            assert!((1..=16).contains(&resin.edges().len()));
            let _ = holdoff_files::kinetics::suspicions(&resin.exact().bands);
        }
        Err(problem) => assert_eq!(problem.exit().status(), 3),
    }
}

/// A scenario file.
pub fn scenario(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    match Scenario::parse("fuzz.toml", text) {
        Ok(scenario) => {
            let plan = scenario.plan(|_| holdoff_core::fixing::Cartridge::exactly(Count::from_degrees(15)));
            assert!(plan.is_ok_and(|plan| (1..=16).contains(&plan.fixings.len())));
        }
        Err(problem) => assert_eq!(problem.exit().status(), 3),
    }
}

/// The resin that job files are read with.
static RESIN: LazyLock<ResinFile> = LazyLock::new(|| {
    let text = include_str!("../../host-sim/demo/harbour-slow.toml");
    ResinFile::parse("harbour-slow.toml", text).expect("the resin of the demo")
});

/// A job file: a usable one prints and reads back as itself, fits loggers, and has a take-off.
pub fn job(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    let read = |text: &str| JobFile::examine("fuzz.toml", text, |_| Ok(RESIN.clone()));
    match read(text) {
        Ok(file) => {
            let job = file.job();
            if job.number() > 2_000 {
                return; // a large number costs time and shows nothing new
            }
            assert_eq!(read(&job.to_toml()).ok().as_ref().map(JobFile::job), Some(job));
            assert!(job.logger_groups().all(|logger| (1..=16).contains(&logger.fixings().len())));
            let found = take_off(&file, Spare::default());
            assert_eq!(found.total.holes, job.number());
            let _ = (table(&found, Speech::PLAIN).len(), object(&found));
        }
        Err(findings) => assert!(findings.any_error() && findings.problems().count() > 0),
    }
}

/// The calibration of a probe: something is known of it between its points and nowhere else.
pub fn calibration(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    match Calibration::parse("fuzz.toml", text, "2026-01-01".parse().expect("a day")) {
        Ok(file) => {
            let (first, last) = (file.points[0].reading, file.points[file.points.len() - 1].reading);
            for row in [Asked::Points, Asked::Resin(RESIN.resin())].into_iter().flat_map(|asked| rows(&file, asked)) {
                assert_eq!(row.reckoned.is_some(), (first..=last).contains(&row.at));
                let Some(found) = row.reckoned else { continue };
                assert!(found.expanded > 0 && found.needed() < i64::MAX, "{found:?}");
            }
        }
        Err(problem) => assert_eq!(problem.exit().status(), 3),
    }
}

/// A signed decision: one that is read is written as itself.
pub fn decision(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    match Signed::parse("fuzz.toml", text) {
        Ok(signed) => assert_eq!(Signed::parse("again.toml", &signed.to_toml()).ok(), Some(signed)),
        Err(problem) => assert_eq!(problem.exit().status(), 3),
    }
}

/// A trace.
pub fn trace(bytes: &[u8]) {
    let Ok(mut trace) = Trace::new("fuzz.csv", bytes, &Options::default()) else { return };
    let mut rows = 0usize;
    while let Ok(Some(_)) = trace.next_row() {
        rows += 1;
        assert!(rows <= bytes.len(), "more rows than bytes");
    }
}

/// Bytes from a line, to both ends: nothing but whole requests is answered, and a running group stays as it is.
pub fn link(bytes: &[u8]) {
    use crate::link_device::{FakeDevice, answers};
    use holdoff_firmware::link::Session;
    use holdoff_link::frame::{Decoder, Frame, MOST_FRAME};
    use holdoff_link::message::{Answer, Welcome};
    use holdoff_link::wire::whole;
    static RUNNING: LazyLock<Vec<u8>> = LazyLock::new(|| FakeDevice::sample().memory().to_vec());
    let mut device = FakeDevice::of_memory(RUNNING.clone());
    let mut session = Session::new();
    let asked = bytes.split(|byte| *byte == 0).count();
    let heard = answers(&mut session, &mut device, bytes);
    assert!(heard.len() <= asked, "more answers than requests");
    assert!(device.memory() == &RUNNING[..] && device.acts == 0, "a running group was changed");
    let mut decoder = Decoder::<MOST_FRAME>::new();
    for byte in bytes {
        if let Some(frame) = decoder.push(*byte).and_then(Frame::of) {
            let _ = (whole::<Answer>(frame.message), whole::<Welcome>(frame.message));
        }
    }
}
