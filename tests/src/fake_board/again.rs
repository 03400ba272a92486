//! The same readings and actions once more, on the PC: what the device's log is held against.
//!
//! What for: the readings and actions are taken out of the image that the device left, put down as a trace and a plan, and
//! replayed with the PC's own recorder. The image that comes of it must be the device's, to the byte.

use super::bench::KEY;
use super::talk::JobPlan;
use crate::emulator::write_keys;
use holdoff_core::cure::{Rule, Settings};
use holdoff_core::fixing::{FixingSpec, TorqueRange};
use holdoff_core::log::read::Log;
use holdoff_core::log::{Item, Record, Source};
use holdoff_core::probe::{Refusal, SensorKind};
use holdoff_core::quantity::{Span, Torque};
use holdoff_core::resin::{Hole, ResinUse};
use holdoff_disk::Load;
use holdoff_evidence::keys::SecretFile;
use holdoff_evidence::recorder::{Loaded, Recorder};
use holdoff_files::deeds::{Act, Fixing, Plan, build};
use holdoff_files::hands::Hands;
use holdoff_files::problem::Problem;
use holdoff_files::resin_file::ResinFile;
use holdoff_files::trace::{Row, Rows, Sample};
use holdoff_link::message::Resin;
use holdoff_site::replay::run;

/// A resin file as the link loads it.
pub fn loaded(file: &ResinFile) -> Resin {
    let resin = file.resin();
    Resin {
        name: file.name().parse().expect("a short name"),
        file: sha256(file.source()),
        resin_use: if file.demo() { ResinUse::Demo } else { ResinUse::OnSite },
        limits: *resin.limits(),
        cartridge: (resin.cartridge_least(), resin.cartridge_greatest()),
        holes: (0..3).filter(|bit| resin.holes().allows(Hole::ALL[*bit])).fold(0, |holes, bit| holes | 1 << bit),
        wet_factor: resin.wet_factor(),
        accrual: resin.accrual(),
        bands: resin.bands().iter().collect(),
    }
}

/// The SHA-256 of a text.
pub fn sha256(text: &str) -> [u8; 32] {
    use sha2::{Digest, Sha256};
    Sha256::digest(text.as_bytes()).into()
}

/// What was read from the log of a device, as a trace.
struct Rereading {
    rows: std::vec::IntoIter<Row>,
    line: u64,
}

impl Rows for Rereading {
    fn next_row(&mut self) -> Result<Option<Row>, Problem> {
        self.line += 1;
        Ok(self.rows.next())
    }

    fn line(&self) -> u64 {
        self.line
    }

    fn file(&self) -> &str {
        "the device's own readings"
    }
}

/// The image that the PC makes of the readings and actions in a device's image.
pub fn again(image: &[u8], file: &ResinFile, plan: &JobPlan) -> Vec<u8> {
    let offset_seconds = i32::from(plan.offset_minutes) * 60;
    let mut rows = Vec::new();
    let mut fixings: Vec<Fixing> = plan
        .fixings
        .iter()
        .map(|planned| Fixing {
            name: Some(planned.label.clone()),
            spec: FixingSpec {
                hole: planned.hole,
                torque: planned.torque.and_then(|(least, greatest)| {
                    TorqueRange::new(Torque::from_hundredths(least), Torque::from_hundredths(greatest))
                }),
            },
            acts: Vec::new(),
            offset_seconds,
        })
        .collect();
    let log = Log::open(image, &mut |_| {}).expect("a log");
    let mut row = |seconds, reading| rows.push(Row { seconds, offset_seconds, reading });
    log.replay(
        log.newest_session(),
        &mut |_, _, _, (read, _)| match &read.item {
            Item::Reading { at, count } => row(at.seconds(), Sample::Count(*count)),
            Item::Unusable { at, cause: Refusal::PowerUp } => row(at.seconds(), Sample::PowerUp),
            Item::Unusable { at, cause: Refusal::OutOfRange } => row(at.seconds(), Sample::OutOfRange),
            Item::Record(Record::Action { at, fixing, action }) => {
                fixings[fixing.place()].acts.push(Act { at: *at, action: *action, offset_seconds, by: None });
            }
            Item::Unusable { .. } | Item::Missing { .. } => panic!("no trace can have this: {:?}", read.item),
            Item::Refused { .. } | Item::Record(_) => {}
        },
        &mut |_| {},
        &mut |_| {},
    )
    .expect("it is replayed");

    let folder = tempfile::tempdir().expect("a folder");
    let (path, _) = write_keys(folder.path(), KEY).expect("a key");
    let secret = SecretFile::load(&path).expect("a key file");

    let (settings, rule) = (Settings::DEFAULT, Rule::Coldest);
    let made = Plan { fixings, hands: Hands::NONE };
    let group = build(file.resin(), settings, rule, &made).expect("a group");
    let loaded = Loaded {
        resin: file,
        settings,
        rule,
        plan: &made,
        job: "",
        key: &secret,
        source: Source::Sensor(SensorKind::TwelveBit),
        period: Some(Span::from_seconds(plan.period)),
    };
    let mut memory = vec![0; image.len()];
    let mut recorder = Recorder::new(loaded, &mut memory).expect("a blank memory");
    let mut trace = Rereading { rows: rows.into_iter(), line: 1 };
    if let Err(problem) = run(&mut trace, group, &made, &mut recorder) {
        panic!("it is not replayed: {problem}");
    }
    recorder.finish().expect("it is recorded");
    memory
}
