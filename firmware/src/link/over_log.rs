//! What a device can answer from its log alone, and how a job becomes a session.
//!
//! What for: whoever implements [`Host`](super::Host) over a [`Logger`] passes most of it on to here; the tests' device
//! and the real one then say the same.
//! What it does not do: read clocks or probes, mount, or know labels (the log names them; the device keeps them for its
//! screen).

use super::load::{FARTHEST_OFFSET, LoadedJob};
use core::str::FromStr;
use heapless::{String, Vec};
use holdoff_core::fixing::{Demands, Stage, Status};
use holdoff_core::group::FixingNumber;
use holdoff_core::log::{
    Batch, Beginning, ClockTie, LogError, Logger, MOST_HOLDS, Memory, MountError, Source, StageSeen, StoreError,
};
use holdoff_core::quantity::Instant;
use holdoff_core::seal::{CHALLENGE, MOST_SEALED_HEAD, SecretKey, answer};
use holdoff_link::message::{Head, Log, LogState, Refusal, Tie};
use holdoff_link::status::{Fixing, Loaded, Reading, Readings, Release, Trust};

/// Pages that the fixings and batches of any job fit into: 16 fixings of 31 bytes, 16 batches of 35 with their frames.
const PAGES_OF_A_JOB: u32 = 4;

/// The first fixing that runs.
pub fn running<M: Memory>(logger: &Logger<M>) -> Option<u8> {
    logger.session().running().first().map(place)
}

/// Fixings of the session that are rejected and on which the engineer has not decided, one bit each from 0.
pub fn undecided<M: Memory>(logger: &Logger<M>) -> u16 {
    let Some(group) = logger.group() else { return 0 };
    let rejected = |fixing: &FixingNumber| matches!(group.stage(*fixing), Some(Stage::Rejected(_)));
    group.fixings().filter(rejected).fold(0, |bits, fixing| bits | 1 << fixing.place())
}

/// Begins a session with the job: resin, job, fixings, batches, in the log's own order. Where a power cut falls in
/// between, the group has fewer fixings than the job; nothing else can be half of it.
///
/// # Errors
/// Why not; nothing has changed, unless the memory failed while it was written.
#[inline(never)] // the job in full is on its stack, and given back before the first reading
pub fn begin<M: Memory>(
    job: &LoadedJob<'_>,
    firmware: [u8; 3],
    source: Source,
    logger: &mut Logger<M>,
) -> Result<(), Refusal> {
    let unnamed = undecided(logger) & !job.undecided;
    if unnamed != 0 {
        return Err(Refusal::Undecided { fixings: unnamed });
    }
    let room = logger.room();
    if room.left < PAGES_OF_A_JOB {
        return Err(Refusal::Full { left: room.left });
    }
    // its questions are not there yet
    let demands = Demands::NONE;
    let beginning = Beginning { firmware, source, resin: job.resin.clone(), job: job.job, demands };
    logger.begin(&beginning).map_err(refusal)?;
    for fixing in job.fixings() {
        let number = logger.add(fixing.label, fixing.spec).map_err(refusal)?;
        if let Some((text, use_by)) = fixing.batch {
            logger.batch(Batch { fixing: number, text: *text, use_by }).map_err(refusal)?;
        }
    }
    Ok(())
}

/// Ties the clocks anew after the wall clock was set; without a session there is nothing to record it in.
///
/// # Errors
/// Why it could not be recorded.
pub fn tie<M: Memory>(at: Instant, utc: i64, offset_minutes: i16, logger: &mut Logger<M>) -> Result<(), Refusal> {
    debug_assert!(offset_minutes.unsigned_abs() <= FARTHEST_OFFSET.unsigned_abs());
    match logger.clock(ClockTie { at, utc, offset_minutes }) {
        Ok(()) | Err(LogError::NoSession) => Ok(()),
        Err(error) => Err(refusal(error)),
    }
}

/// Where the log ends at this instant, signed over a challenge.
///
/// # Errors
/// The signature went wrong; it is asked for again.
pub fn head<M: Memory>(
    at: Instant,
    challenge: [u8; CHALLENGE],
    key: &SecretKey,
    logger: &Logger<M>,
) -> Result<Vec<u8, MOST_SEALED_HEAD>, Refusal> {
    let sealed = answer(logger, key, at, challenge).map_err(|_| Refusal::NotNow)?;
    Vec::from_slice(sealed.bytes()).map_err(|_| Refusal::NotNow)
}

/// How the log stands.
pub fn log<M: Memory>(logger: &Logger<M>) -> Log {
    let room = logger.room();
    let head = logger.head().map(|head| Head { page: head.page, items: head.items, value: head.link().0 });
    let state = match (logger.group().is_some() || head.is_some(), logger.trust()) {
        (false, _) => LogState::Blank,
        (true, holdoff_core::log::Trust::Trusted) => LogState::Trusted,
        (true, holdoff_core::log::Trust::Untrusted(_)) => LogState::Untrusted,
    };
    Log {
        state,
        left: room.left,
        reserved: room.reserved,
        slots: room.slots,
        unread_from: logger.session().free_below(),
        head,
    }
}

/// How a memory stands that was not mounted; `size` in bytes.
pub const fn unmounted(error: &MountError, size: u32) -> Log {
    let state = match error {
        MountError::Memory(_) => LogState::NoAnswer,
        MountError::Size { .. } | MountError::NoLog => LogState::NoLog,
        MountError::Version { .. } | MountError::Geometry { .. } => LogState::Stranger,
        MountError::Device { .. } | MountError::Foreign { .. } => LogState::Foreign,
    };
    Log { state, left: 0, reserved: 0, slots: size / holdoff_core::log::PAGE as u32, unread_from: 0, head: None }
}

/// What is loaded, and how many readings there were.
pub fn loaded<M: Memory>(logger: &Logger<M>) -> Option<Loaded> {
    let (session, group) = (logger.session(), logger.group()?);
    let (resin, job) = (session.resin()?, session.job()?);
    let readings = group.readings();
    Some(Loaded {
        page: logger.session_page()?,
        fixings: u8::try_from(group.fixings().count()).unwrap_or(0),
        job: job.file.0,
        resin: text(resin.name.text()),
        resin_file: resin.file.0,
        resin_use: resin.resin_use,
        rule: job.rule,
        uncertainty: job.settings.uncertainty().counts(),
        longest_gap: job.settings.longest_gap().seconds(),
        clock_ppm: job.settings.clock_ppm(),
        settle: job.settings.settle().seconds(),
        period: job.period.seconds(),
        counts: (readings.accepted, readings.refused, readings.missing, logger.lost()),
    })
}

/// The last accepted reading.
pub fn reading<M: Memory>(logger: &Logger<M>) -> Option<Reading> {
    let (at, count) = logger.group()?.last_reading()?;
    Some(Reading { at: at.seconds(), count: count.raw() })
}

/// Whether a status rests on a log that can be trusted.
pub fn trust<M: Memory>(logger: &Logger<M>) -> Trust {
    match logger.trust() {
        holdoff_core::log::Trust::Trusted => Trust::Trusted,
        holdoff_core::log::Trust::Untrusted(_) => Trust::Untrusted,
    }
}

/// What becomes of readings.
pub fn readings<M: Memory>(logger: &Logger<M>) -> Readings {
    if logger.is_losing() { Readings::Lost } else { Readings::Recorded }
}

/// Which ties of the clocks were in force when, the last of them.
pub fn ties<M: Memory>(logger: &Logger<M>) -> Vec<Tie, MOST_HOLDS> {
    let mut ties = Vec::new();
    for hold in logger.session().holds() {
        let _ = ties.push(Tie { from: hold.from.seconds(), clock: hold.clock() }); // there are no more holds than that
    }
    ties
}

/// How a fixing stands.
///
/// # Errors
/// There is no job, or no such fixing.
pub fn fixing<M: Memory>(number: u8, label: Option<&str>, logger: &Logger<M>) -> Result<Fixing, Refusal> {
    let group = logger.group().ok_or(Refusal::NoJob)?;
    let fixing = FixingNumber::new(number).ok_or(Refusal::Number)?;
    let status = group.status(fixing).ok_or(Refusal::Number)?;
    let range = group.torque_range(fixing);
    let recorded = logger.session().has_release(fixing);
    let seconds = |at: Option<Instant>| at.map(Instant::seconds);
    let seen = StageSeen::of(status.stage, status.grounds);
    Ok(Fixing {
        number,
        label: text(label),
        stage: seen.word,
        since: seconds(seen.since),
        hole: status.hole,
        injected_at: seconds(status.injected_at),
        seated_at: seconds(status.seated_at),
        seat_by: seconds(status.seat_by),
        cured_at: seconds(status.cured_at),
        announced_at: seconds(status.announced_at),
        required: status.required,
        served: status.served,
        counted: status.tally.counted(),
        held: status.tally.held,
        unobserved: status.tally.unobserved,
        accrued: millionths(&status),
        coldest: status.coldest.map(|coldest| coldest.raw()),
        grounds: status.grounds.bits(),
        range: range.map(|range| (range.least().hundredths(), range.greatest().hundredths())),
        torque: status.torque.map(|torque| torque.hundredths()),
        release: if recorded { Release::Recorded } else { Release::None },
    })
}

/// Why the log did not take something.
pub fn refusal(error: LogError) -> Refusal {
    match error {
        LogError::Store(StoreError::Memory(_)) => Refusal::Memory,
        LogError::Store(StoreError::Full { left, .. }) | LogError::NoRoom { left, .. } => Refusal::Full { left },
        LogError::Store(StoreError::TooLong) | LogError::GroupFull => Refusal::Number,
        LogError::NotMounted => Refusal::NoLog,
        LogError::NoSession => Refusal::NoJob,
        LogError::PowerUpFirst => Refusal::NotNow,
        LogError::Running { fixing } => Refusal::Running { fixing: place(fixing) },
        LogError::Untrusted => Refusal::Untrusted,
        LogError::AccrualNotPermitted => Refusal::Accrual,
    }
}

const fn place(fixing: FixingNumber) -> u8 {
    fixing.place() as u8 // at most 15
}

fn text<const N: usize>(text: Option<&str>) -> String<N> {
    text.and_then(|text| String::from_str(text).ok()).unwrap_or_default()
}

/// The accrued sum in millionths, rounded down.
fn millionths(status: &Status) -> u32 {
    // a whole cure is 2^64; its upper half is fine enough, and never more
    const { assert!(holdoff_core::cure::WHOLE == 1 << 64) };
    let upper = u32::try_from(status.accrued >> 32).map_or(1 << 32, u64::from);
    u32::try_from((upper * 1_000_000) >> 32).unwrap_or(u32::MAX)
}
