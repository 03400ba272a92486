//! From a log to the signed record of a release: one way for the device and for a replay, so that both give the same bytes.
//!
//! What it does not do: choose when. A release is sealed right after the happening that made it.

use super::field::Unrecordable;
use super::identity::{BatchHash, JobHash, ResinHash};
use super::key::SecretKey;
use super::label::Label;
use super::record::{Particulars, ReleaseRecord, WallClock};
use super::signature::{SealError, Sealed};
use crate::group::FixingNumber;
use crate::log::{Bytes, LogError, Logger, Memory};

/// What neither the engine nor the log knows of a release.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Unlogged {
    /// What the fixing is called; a name that is no label is left out.
    pub label: Bytes<16>,
    /// The resin batch.
    pub batch: BatchHash,
    /// The wall clock.
    pub clock: WallClock,
}

/// Why a release was not recorded.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum NotSealed {
    /// There is no session.
    NoSession,
    /// There is no such record.
    Record(Unrecordable),
    /// The signature went wrong.
    Seal(SealError),
    /// It is longer than the log takes.
    TooLong,
    /// It could not be written.
    Log(LogError),
}

/// Signs the release of a fixing as the log stands, and records it.
///
/// # Errors
/// Why not; the log is as it was.
pub fn seal_release<M: Memory>(
    logger: &mut Logger<M>,
    fixing: FixingNumber,
    unlogged: &Unlogged,
    key: &SecretKey,
) -> Result<(), NotSealed> {
    // what is still to be written would come between the head that is signed over and the record
    logger.ready(&mut |_| {}).map_err(NotSealed::Log)?;
    let session = logger.session();
    let (Some(group), Some(head)) = (logger.group(), logger.head()) else { return Err(NotSealed::NoSession) };
    let (Some(resin), Some(job), Some(identity)) = (session.resin(), session.job(), session.identity()) else {
        return Err(NotSealed::NoSession);
    };
    let particulars = Particulars {
        device: identity.device,
        key: key.public().id(),
        job: JobHash::of_digest(&job.file.0),
        resin: ResinHash::of_digest(&resin.file.0),
        batch: unlogged.batch,
        chain: head.link(),
        label: Label::new(unlogged.label.bytes()).unwrap_or(Label::EMPTY),
        resin_use: resin.resin_use,
        clock: unlogged.clock,
    };
    let record = ReleaseRecord::of(group, fixing, &particulars).map_err(NotSealed::Record)?;
    let sealed = Sealed::new(&record, key).map_err(NotSealed::Seal)?;
    let signed = Bytes::new(sealed.bytes()).ok_or(NotSealed::TooLong)?;
    logger.release(fixing, signed).map_err(NotSealed::Log)
}
