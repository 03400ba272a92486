//! The memory of a logger that was loaded from a job file.

use holdoff_core::fixing::Action;
use holdoff_core::log::Source;
use holdoff_core::quantity::Instant;
use holdoff_disk::Load;
use holdoff_evidence::keys::SecretFile;
use holdoff_evidence::recorder::{Loaded, Recorder};
use holdoff_files::deeds::{Act, build};
use holdoff_files::job::JobFile;
use holdoff_files::trace::{Options, Trace};
use holdoff_site::replay;
use std::path::Path;

/// What it holds after the readings of a trace, and after these acts on the first fixings of the group, in seconds since
/// 1970-01-01T00:00:00Z.
pub(crate) fn loaded(job: &str, group: &str, trace: &str, secret: &str, acts: &[Vec<(i64, Action)>]) -> Vec<u8> {
    let job = JobFile::load(job).unwrap();
    let logger = job.job().logger_group(group).unwrap();
    let mut plan = logger.plan();
    let offset_seconds = logger.offset_seconds();
    for (fixing, acts) in plan.fixings.iter_mut().zip(acts) {
        let act = |(at, action): &(i64, Action)| Act {
            at: Instant::from_seconds(*at),
            action: *action,
            offset_seconds,
            by: None,
        };
        fixing.acts = acts.iter().map(act).collect();
    }
    let mut trace = Trace::new("loaded.csv", std::fs::File::open(trace).unwrap(), &Options::default()).unwrap();
    let key = SecretFile::load(Path::new(secret)).unwrap();
    let loaded = Loaded {
        resin: job.resin(),
        settings: logger.settings(),
        rule: logger.rule(),
        plan: &plan,
        job: job.source(),
        key: &key,
        source: Source::Trace,
        period: None,
    };
    let mut memory = vec![0xFF; 65_536];
    let mut recorder = Recorder::new(loaded, &mut memory).unwrap();
    let group = build(job.resin().resin(), logger.settings(), logger.rule(), &plan).unwrap();
    replay::run(&mut trace, group, &plan, &mut recorder).unwrap();
    recorder.finish().unwrap();
    memory
}
