//! Power cuts on the emulated board while a job is loaded over its link.
//!
//! How: a load runs undisturbed and says by how many instructions it begins and ends. Then the same load again and again, the
//! power cut at a random instruction of it; the board starts anew on the memory that is left. What it has then is no job or the
//! whole of it, and the job can be loaded again.
//! More cuts than usual: `HOLDOFF_HISTORIES=500`.

use crate::emulated_support::DEMO_RESIN;
use holdoff::link::{BatchText, Patience, Shipment};
use holdoff_core::fixing::{FixingSpec, Stage};
use holdoff_core::log::{Item, MountError, Record, Trust, read::Log};
use holdoff_core::quantity::Span;
use holdoff_core::resin::Hole;
use holdoff_disk::Load;
use holdoff_files::resin_file::ResinFile;
use holdoff_tests::emulator::{
    Counting, EmulatorError, Felt, Held, Image, Kind, Machine, Setup, Site, blank_memory, load_job, shipment,
};
use holdoff_tests::random::{histories, numbers};
use std::path::Path;
use std::time::Duration;

/// 2026-01-05T06:00:00Z.
const MORNING: i64 = 1_767_592_800;
const FIXINGS: usize = 5;
/// Cuts that one test run makes, unless another number is asked for.
const CUTS: u64 = 12;

/// Five fixings of two batches.
fn job_of(resin: &ResinFile) -> Shipment<'_> {
    let spec = FixingSpec { hole: Hole::Wet, torque: None };
    let batch = |number: usize| BatchText { text: format!("INVENTED-{}", number % 2), use_by: None };
    let fixing = |number: usize| (format!("quay stud {number}"), spec, Some(batch(number)));
    shipment(resin, Span::from_seconds(60), 60, (1..=FIXINGS).map(fixing).collect())
}

fn switched_on(memory: &Path, clock: i64, counting: Counting<'_>) -> Result<Site, EmulatorError> {
    let image = Image::get(Kind::Release)?;
    let machine = Machine::start(&Setup { counting, ..Setup::plain(image, memory, clock, 15 * 16) })?;
    Ok(Site::new(machine, vec![Felt { at: clock, sixteenths: 15 * 16 }]))
}

/// Fixings of the newest session, and whether a reading of it was taken: then its job is in force.
fn job(memory: &Path) -> Option<(usize, bool)> {
    let image = std::fs::read(memory).unwrap();
    if let Err(MountError::NoLog) = Log::open(&image, &mut |_| {}) {
        return None; // blank, or its very first page was cut while it was written
    }
    let held = Held::of(&image).unwrap()?;
    assert_eq!(held.replay.trust(), Trust::Trusted);
    let group = held.replay.group()?;
    let planned = group.fixings().filter_map(|fixing| group.stage(fixing)).all(|stage| stage == Stage::Planned);
    assert!(planned, "nobody touched a fixing");
    let batches = held.items.iter().filter(|item| matches!(item, Item::Record(Record::Batch(_))));
    let (readings, _) = held.replay.readings();
    assert!(readings == 0 || batches.count() == FIXINGS, "a job in force has all its batches");
    Some((group.fixings().count(), readings > 0))
}

#[test]
fn a_job_whose_loading_was_cut_off_is_there_as_a_whole_or_not_at_all_and_can_be_loaded_again() {
    let directory = tempfile::tempdir().unwrap();
    let (memory, resin) = (directory.path().join("memory.bin"), ResinFile::load(DEMO_RESIN).unwrap());
    blank_memory(&memory).unwrap();
    let mut site = switched_on(&memory, MORNING - 6, Counting::Yes).unwrap();
    site.advance(MORNING).unwrap();
    let begins = site.machine.executed().unwrap();
    load_job(&mut site.machine, &job_of(&resin), Patience::default()).unwrap();
    // before the first head is signed, which takes longer than all the rest
    let ends = site.machine.executed().unwrap();
    site.advance(MORNING + 2).unwrap();
    assert_eq!(job(&memory), Some((FIXINGS, true)));
    drop(site);

    let (cuts, mut tally) = (histories(CUTS), [0; 3]);
    for history in 0..cuts {
        let instruction = begins + numbers(0x10AD + history)() % (ends - begins);
        let context = format!("history {history}, cut at {instruction} of {begins} to {ends}");
        blank_memory(&memory).unwrap();
        let cut = switched_on(&memory, MORNING - 6, Counting::UntilCut(instruction)).and_then(|mut site| {
            site.advance(MORNING)?;
            // a line that is cut does not come back
            let patience = Patience { line: Duration::ZERO, ..Patience::default() };
            load_job(&mut site.machine, &job_of(&resin), patience)?;
            site.advance(MORNING + 600)
        });
        assert!(matches!(cut, Err(EmulatorError::Cut { .. })), "{context}: {cut:?}");
        let left = job(&memory);
        tally[match left {
            None | Some((0, _)) => 0,
            Some((_, false)) => 1,
            Some((_, true)) => 2,
        }] += 1;
        let mut site = switched_on(&memory, MORNING + 30, Counting::No).unwrap();
        site.advance(MORNING + 100).unwrap();
        // what was in force measures on; what was not is no job: it takes no reading
        let then = job(&memory);
        match (left, then) {
            (Some((fixings, true)), then) => assert_eq!((fixings, then), (FIXINGS, Some((FIXINGS, true))), "{context}"),
            (left, then) => assert_eq!(left, then, "{context}"),
        }
        load_job(&mut site.machine, &job_of(&resin), Patience::default())
            .unwrap_or_else(|error| panic!("{context}: {error}"));
        site.advance(MORNING + 110).unwrap();
        assert_eq!(job(&memory), Some((FIXINGS, true)), "{context}");
    }
    println!("{cuts} cuts: {tally:?} without a session, with a part of a job that is not in force, with all of it");
    assert!(tally[0] > 0 && tally[0] < cuts, "{tally:?}");
}
