//! What is proved of each fixing, and everything that the proof rests on.
//!
//! Terms: a *subject* is what a proof is about; the *end* of the log is where an image ends, and what it is proved up to.
//! Invariants: a proof names resin, required seconds, rule, job, source, clock, device, key and end, whatever it came to.
//! What it does not do: say that a log is whole. Only something signed that says *the log ended here* could vouch for its end.

use super::contradiction::Dated;
use super::cover::Cover;
use super::doubt::NotProved;
use super::finding::Finding;
use super::memory::{End, Fixing, Memory, Proving, Session};
use super::walk::{Keep, own_label};
use crate::keys::verify::prove;
use crate::keys::{Ring, to_hex};
use holdoff_core::cure::{Laxer, Rule};
use holdoff_core::fixing::TorqueRange;
use holdoff_core::log::{FileHash, MountError, Source, StageWord};
use holdoff_core::quantity::{Count, Instant};
use holdoff_core::resin::ResinUse;
use holdoff_core::seal::{CodeError, End as Finish, ReleaseRecord};
use holdoff_files::stamp::Clock;
use serde::{Deserialize, Serialize};

/// What a proof is about.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Subject {
    /// A fixing, by its label (empty where it has none) and number, counted from 0.
    Fixing {
        /// What it is called.
        label: String,
        /// Its number.
        number: u8,
    },
    /// A session whose beginning is missing, by its first page.
    Session {
        /// The page.
        page: u32,
    },
}

/// What holds a release up.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
#[serde(tag = "code", rename_all = "kebab-case")]
pub enum ProvedBy {
    /// Chain, signature and engine agree.
    #[serde(rename = "proved-by-log")]
    Log {
        /// What the key is called.
        key: String,
    },
    /// The signature alone: the readings are in the device's memory.
    #[serde(rename = "proved-by-signature")]
    Signature {
        /// What the key is called.
        key: String,
        /// The device, in hexadecimal digits.
        device: String,
    },
}

/// Why a release is proved, or is not.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Why {
    /// It is proved by this.
    Proved(ProvedBy),
    /// It is not, for this.
    Not(NotProved),
}

impl Why {
    /// Why it is not proved; `None` where it is.
    pub const fn not(&self) -> Option<&NotProved> {
        match self {
            Self::Proved(_) => None,
            Self::Not(why) => Some(why),
        }
    }
}

impl From<Result<ProvedBy, NotProved>> for Why {
    fn from(verdict: Result<ProvedBy, NotProved>) -> Self {
        match verdict {
            Ok(by) => Self::Proved(by),
            Err(why) => Self::Not(why),
        }
    }
}

/// What a proof rests on.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct RestsOn {
    /// The resin's name; `None` where a code stands alone, which does not have it.
    pub resin: Option<String>,
    /// SHA-256 of the resin file; of a code its first 12 bytes.
    pub resin_hash: Vec<u8>,
    /// SHA-256 of the job file; of a code its first 12 bytes.
    pub job_hash: Vec<u8>,
    /// Required seconds of the coldest-band rule; 0 before it is seated.
    pub required: u64,
    /// The rule.
    pub rule: Rule,
    /// Where the readings come from; `None` where a code stands alone.
    pub source: Option<Source>,
    /// The wall clock that dates the cure, else the last thing recorded; `None` where none was set then.
    pub clock: Option<Clock>,
    /// The device, in hexadecimal digits.
    pub device: String,
    /// The key that the signature names, in hexadecimal digits; `None` where there is none.
    pub key: Option<String>,
    /// How far signatures of known keys cover the log; `None` where a code stands alone.
    pub cover: Option<Cover>,
    /// Where the log ends; `None` where a code stands alone.
    pub end: Option<End>,
}

/// What a proof comes to.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum ProofVerdict {
    /// The release is proved.
    Proved,
    /// It is not, or the log cannot be trusted.
    NotProved,
    /// There is none yet, and by its stage there need be none: nothing failed.
    NoReleaseYet,
    /// There is none, for it is rejected: nothing failed.
    NoRelease,
}

/// What is proved of one fixing.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Proof {
    /// Of what.
    pub subject: Subject,
    /// What holds its release up, or why it is not proved.
    pub verdict: Result<ProvedBy, NotProved>,
    /// The second of the cure, as the signed record says.
    pub cured: Option<Dated>,
    /// When it was torqued, as the signed record says; `None` where no torque is specified.
    pub released: Option<Dated>,
    /// Whether the resin is an invented one.
    pub demo: bool,
    /// Settings laxer than their default that it rests on.
    pub laxer: Laxer,
    /// The reading between injection and seating that lay furthest outside the installation limits (rule A5).
    pub outside_at_seating: Option<Count>,
    /// The torque that is specified; `None` where there is none, or nobody knows.
    pub torque: Option<TorqueRange>,
    /// What it rests on; `None` where the beginning of the session is missing.
    pub rests_on: Option<RestsOn>,
}

/// Files that a proof is held against.
#[derive(Clone, Copy, PartialEq, Eq, Default, Debug)]
pub struct Files {
    /// The job file.
    pub job: Option<FileHash>,
    /// The resin file.
    pub resin: Option<FileHash>,
}

impl Proof {
    /// Whether the release is proved.
    pub const fn is_proved(&self) -> bool {
        self.verdict.is_ok()
    }

    /// What it comes to. A logger signs a release when a fixing is released, and where no torque is specified when it is cured:
    /// before that there need be none.
    pub const fn came_to(&self) -> ProofVerdict {
        let stage = match &self.verdict {
            Ok(_) => return ProofVerdict::Proved,
            Err(NotProved::NoRelease { stage }) => *stage,
            Err(_) => return ProofVerdict::NotProved,
        };
        match (stage, self.torque) {
            (StageWord::Released, _) | (StageWord::Cured, None) => ProofVerdict::NotProved,
            (StageWord::Planned | StageWord::Refused | StageWord::Working | StageWord::Curing | StageWord::Held, _)
            | (StageWord::Cured, Some(_)) => ProofVerdict::NoReleaseYet,
            (StageWord::Rejected | StageWord::AcceptedAsIs | StageWord::Removed, _) => ProofVerdict::NoRelease,
        }
    }

    /// The same, held against files as well: with another one it is not proved.
    #[must_use]
    pub fn with(self, files: &Files) -> Self {
        let Some(on) = &self.rests_on else { return self };
        let differs = |file: Option<FileHash>, hash: &[u8]| {
            file.filter(|file| hash.is_empty() || !file.0.starts_with(hash)).map(|file| to_hex(&file.0))
        };
        let why = match (differs(files.job, &on.job_hash), differs(files.resin, &on.resin_hash)) {
            (Some(given), _) => NotProved::JobFileDiffers { loaded: to_hex(&on.job_hash), given },
            (None, Some(given)) => NotProved::ResinFileDiffers { loaded: to_hex(&on.resin_hash), given },
            (None, None) => return self,
        };
        match self.verdict {
            Ok(_) => Self { verdict: Err(why), ..self },
            Err(_) => self,
        }
    }

    fn of_record(subject: Subject, verdict: Result<ProvedBy, NotProved>, record: Option<&ReleaseRecord>) -> Self {
        let dated = |record: &ReleaseRecord, at: Instant| Dated {
            at_s: at.seconds(),
            clock: Clock::of_release(record.particulars().clock),
        };
        Self {
            subject,
            verdict,
            cured: record.map(|record| dated(record, record.cured_at())),
            released: record.and_then(|record| match record.end() {
                Finish::Torqued { .. } => Some(dated(record, record.speaks_for())),
                Finish::NoTorque => None,
            }),
            demo: record.is_some_and(|record| record.particulars().resin_use == ResinUse::Demo),
            laxer: record.map_or_else(Laxer::default, |record| record.settings().laxer()),
            outside_at_seating: record.and_then(ReleaseRecord::outside_at_seating),
            torque: None,
            rests_on: None,
        }
    }

    /// Of a fixing of a session that was held against keys.
    fn of_fixing(session: &Session, fixing: &Fixing) -> Self {
        let subject = Subject::Fixing {
            label: fixing.label.clone(),
            number: fixing.number.place() as u8, // at most 15
        };
        let stage = StageWord::of(&fixing.status.stage);
        let verdict = match (&fixing.proving, session.untrusted) {
            (Proving::Proved(by), _) => Ok(by.clone()),
            (Proving::NotProved(why), _) => Err(why.clone()),
            (Proving::NoRelease | Proving::NoKeys, Some(why)) => Err(NotProved::LogUntrusted { why }),
            (Proving::NoRelease | Proving::NoKeys, None) => Err(NotProved::NoRelease { stage }),
        };
        let own = || session.releases.iter().filter(|release| release.fixing == fixing.number);
        let record = own().next_back().and_then(|release| release.record.as_ref());
        let dating = fixing.status.cured_at.map(Instant::seconds).or(session.as_of);
        Self {
            demo: session.resin.resin_use == ResinUse::Demo,
            laxer: session.job.settings.laxer(),
            outside_at_seating: fixing.status.outside_at_seating,
            torque: fixing.spec.torque,
            rests_on: Some(RestsOn {
                resin: Some(session.resin.name.text().unwrap_or("?").to_owned()),
                resin_hash: session.resin.file.0.to_vec(),
                job_hash: session.job.file.0.to_vec(),
                required: fixing.status.required,
                rule: session.job.rule,
                source: Some(session.identity.source),
                clock: dating.and_then(|at| session.wall.clock(at)),
                device: session.device(),
                key: record.map(|record| to_hex(&record.particulars().key.0)),
                cover: Some(session.cover),
                end: Some(End::of(session)),
            }),
            ..Self::of_record(subject, verdict, record)
        }
    }
}

/// Proves every fixing of a memory that was walked through with keys.
pub fn proofs(memory: &Memory) -> Vec<Proof> {
    let stumps = memory.stumps.iter().map(|stump| {
        let why = NotProved::LogUntrusted { why: stump.why };
        (stump.first_page, vec![Proof::of_record(Subject::Session { page: stump.first_page }, Err(why), None)])
    });
    let sessions = memory.sessions.iter().map(|session| {
        let of = session.fixings.iter().map(|fixing| Proof::of_fixing(session, fixing));
        (session.first_page, of.collect())
    });
    let mut all: Vec<(u32, Vec<Proof>)> = stumps.chain(sessions).collect();
    all.sort_by_key(|(first, _)| *first);
    all.into_iter().flat_map(|(_, proofs)| proofs).collect()
}

/// Proves every fixing of an image; what else is amiss comes with them.
///
/// # Errors
/// Why it holds no log that can be read.
pub fn prove_image(image: &[u8], ring: &Ring) -> Result<(Vec<Proof>, Vec<Finding>), MountError> {
    let memory = Memory::of(image, Some(ring), Keep::Told)?;
    Ok((proofs(&memory), memory.findings))
}

/// Proves a release code: that a device vouches for it. The readings behind it are in that device's memory.
///
/// # Errors
/// Why the text is no release code.
pub fn prove_code(text: &str, ring: &Ring) -> Result<Proof, CodeError> {
    let mut buffer = [0; holdoff_core::seal::MOST_SEALED];
    let view = holdoff_core::seal::read(text.trim().as_bytes(), &mut buffer)?;
    let record = view.unverified();
    let particulars = record.particulars();
    let device = to_hex(&particulars.device.0);
    let verdict = match prove(&view, ring) {
        Ok(proved) => Ok(ProvedBy::Signature { key: proved.key.name.clone(), device: device.clone() }),
        Err(why) => Err(why),
    };
    let subject = Subject::Fixing {
        label: own_label(record.label(), record.fixing()),
        number: record.fixing().place() as u8, // at most 15
    };
    let rests_on = RestsOn {
        resin: None,
        resin_hash: particulars.resin.0.to_vec(),
        job_hash: particulars.job.0.to_vec(),
        required: record.required_seconds(),
        rule: record.rule(),
        source: None,
        clock: Clock::of_release(particulars.clock),
        device,
        key: Some(to_hex(&particulars.key.0)),
        cover: None,
        end: None,
    };
    Ok(Proof { rests_on: Some(rests_on), ..Proof::of_record(subject, verdict, Some(record)) })
}
