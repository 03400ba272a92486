//! What the page shows: every fixing once, and what changed since.
//!
//! Why it is kept: an update costs what changed, however many fixings did not.

use super::{Entry, Section};
use crate::job::JobFile;
use crate::keys::to_hex;
use crate::register::{CodeRow, FixingRow, Is, Refusal, Register};
use sha2::{Digest, Sha256};
use std::collections::{BTreeMap, BTreeSet};

/// How many changes are remembered for pages that lost their connection.
const REMEMBERED: usize = 4096;

/// The job that a page is limited to.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct JobShown {
    /// What the job is called, and its site.
    pub title: String,
    /// SHA-256 of each version of its file, in hexadecimal digits.
    pub files: Vec<String>,
    /// Fixings by what a logger calls them (at most 16 bytes), with their name and group, in the order of the file.
    planned: Vec<(String, String, String)>,
    offset_seconds: i32,
    by_label: BTreeMap<String, usize>,
}

impl JobShown {
    /// Of the versions of a job file, the newest last; `None` of none.
    pub fn of(versions: &[JobFile]) -> Option<Self> {
        let job = versions.last()?.job();
        let files = versions.iter().map(|version| to_hex(&Sha256::digest(version.source().as_bytes()))).collect();
        let mut shown = Self {
            title: format!("{}, {}", job.name, job.site),
            files,
            planned: Vec::new(),
            offset_seconds: job.offset_seconds,
            by_label: BTreeMap::new(),
        };
        for logger in job.logger_groups() {
            for (fixing, (label, _)) in logger.fixings().iter().zip(logger.declared()) {
                let label = label.text().unwrap_or_default().to_owned();
                shown.by_label.insert(label.clone(), shown.planned.len());
                shown.planned.push((label, fixing.name.clone(), logger.group().name.clone()));
            }
        }
        Some(shown)
    }

    /// Whether a hash, or its first 12 bytes, is that of a version of the file.
    fn holds(&self, hash: &str) -> bool {
        self.files.iter().any(|file| !hash.is_empty() && file.starts_with(hash))
    }

    fn place(&self, label: &str) -> Option<usize> {
        self.by_label.get(label).copied()
    }

    fn group(&self, label: &str) -> Option<&str> {
        self.place(label).and_then(|place| self.planned.get(place)).map(|(_, _, group)| group.as_str())
    }
}

/// The rows of the page.
#[derive(Debug)]
pub struct Board {
    job: Option<JobShown>,
    entries: BTreeMap<String, Entry>,
    /// Rows by section and key.
    order: BTreeSet<(Section, String, String)>,
    groups: BTreeMap<String, usize>,
    counts: BTreeMap<Section, usize>,
    /// Rows of the register that belong to other jobs.
    others: BTreeSet<String>,
    /// Revision of the register that is shown.
    revision: i64,
    /// Counts the changes of this board.
    version: u64,
    changes: BTreeMap<u64, Vec<String>>,
}

impl Board {
    /// An empty board.
    pub fn new(job: Option<JobShown>) -> Self {
        let mut board = Self {
            job,
            entries: BTreeMap::new(),
            order: BTreeSet::new(),
            groups: BTreeMap::new(),
            counts: BTreeMap::new(),
            others: BTreeSet::new(),
            revision: -1,
            version: 0,
            changes: BTreeMap::new(),
        };
        let planned = board.job.as_ref().map_or_else(Vec::new, |job| job.planned.clone());
        for (place, (_, name, group)) in planned.iter().enumerate() {
            board.put(Entry::of_plan(place, name, group));
        }
        board
    }

    /// Takes over what changed in the register since the last time; how many rows that were.
    ///
    /// # Errors
    /// The register cannot be read; the board is then as it was.
    pub fn update(&mut self, register: &Register) -> Result<usize, Refusal> {
        let (fixings, codes, revision) = register.changes_since(self.revision)?;
        let mut changed = Vec::new();
        for row in &fixings {
            self.fixing(row, &mut changed);
        }
        for code in &codes {
            self.code(code, &mut changed);
        }
        self.revision = revision;
        if !changed.is_empty() {
            self.version += 1;
            let count = changed.len();
            self.changes.insert(self.version, changed);
            while self.changes.len() > REMEMBERED {
                self.changes.pop_first();
            }
            return Ok(count);
        }
        Ok(0)
    }

    fn fixing(&mut self, row: &FixingRow, changed: &mut Vec<String>) {
        let label = &row.fixing.label;
        if self.job.as_ref().is_some_and(|job| !job.holds(&row.session.job)) {
            self.others.insert(format!("f{}", row.id));
            return;
        }
        let entry = Entry::of_fixing(row, self.job.as_ref().and_then(|job| job.group(label)));
        self.replaces_plan(label, changed);
        changed.push(entry.id.clone());
        self.put(entry);
    }

    fn code(&mut self, code: &CodeRow, changed: &mut Vec<String>) {
        let id = format!("c{}", code.id);
        if code.in_memory == Is::Yes {
            // its memory has been taken in: the fixing itself is told
            self.take(&id);
            changed.push(id);
            return;
        }
        if self.job.as_ref().is_some_and(|job| !job.holds(&code.job)) {
            self.others.insert(id);
            return;
        }
        let entry = Entry::of_code(code, self.job.as_ref().and_then(|job| job.group(&code.label)));
        self.replaces_plan(&code.label, changed);
        changed.push(id);
        self.put(entry);
    }

    /// A fixing that the register tells of stands no longer as merely planned.
    fn replaces_plan(&mut self, label: &str, changed: &mut Vec<String>) {
        if let Some(place) = self.job.as_ref().and_then(|job| job.place(label)) {
            let id = format!("p{place}");
            if self.take(&id) {
                changed.push(id);
            }
        }
    }

    fn put(&mut self, entry: Entry) {
        self.take(&entry.id);
        self.order.insert((entry.section, entry.key.clone(), entry.id.clone()));
        *self.groups.entry(entry.group.clone()).or_default() += 1;
        *self.counts.entry(entry.section).or_default() += 1;
        self.entries.insert(entry.id.clone(), entry);
    }

    /// Whether there was such a row.
    fn take(&mut self, id: &str) -> bool {
        let Some(entry) = self.entries.remove(id) else { return false };
        if let Some(count) = self.counts.get_mut(&entry.section) {
            *count -= 1;
        }
        self.order.remove(&(entry.section, entry.key, entry.id));
        if let Some(count) = self.groups.get_mut(&entry.group) {
            *count -= 1;
            if *count == 0 {
                self.groups.remove(&entry.group);
            }
        }
        true
    }

    /// The job that it is limited to.
    pub fn job(&self) -> Option<&JobShown> {
        self.job.as_ref()
    }

    /// The rows of a section in their order, of one group or of all.
    pub fn section<'b>(&'b self, section: Section, group: Option<&'b str>) -> impl Iterator<Item = &'b Entry> + 'b {
        self.order
            .range((section, String::new(), String::new())..)
            .take_while(move |(of, _, _)| *of == section)
            .filter_map(|(_, _, id)| self.entries.get(id))
            .filter(move |entry| group.is_none_or(|group| entry.group == group))
    }

    /// How many rows a section has.
    pub fn count(&self, section: Section) -> usize {
        self.counts.get(&section).copied().unwrap_or(0)
    }

    /// A row.
    pub fn entry(&self, id: &str) -> Option<&Entry> {
        self.entries.get(id)
    }

    /// How many rows there are.
    pub fn len(&self) -> usize {
        self.entries.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.entries.is_empty()
    }

    /// The groups in their order.
    pub fn groups(&self) -> impl Iterator<Item = &str> {
        self.groups.keys().map(String::as_str)
    }

    /// How many fixings of other jobs are left out.
    pub fn others(&self) -> usize {
        self.others.len()
    }

    /// Counts the changes.
    pub fn version(&self) -> u64 {
        self.version
    }

    /// Rows that changed or went away after a version, each once; `None` where that is not known any more.
    pub fn changes_since(&self, version: u64) -> Option<BTreeSet<&str>> {
        if version > self.version {
            return None;
        }
        let oldest = self.changes.first_key_value().map_or(self.version + 1, |(oldest, _)| *oldest);
        if version + 1 < oldest && version < self.version {
            return None;
        }
        Some(self.changes.range(version + 1..).flat_map(|(_, ids)| ids.iter().map(String::as_str)).collect())
    }

    /// Seconds that the clocks of the site are ahead of UTC: the job's, else those of the logger that recorded last.
    pub fn offset_seconds(&self) -> i32 {
        let latest = || self.entries.values().filter_map(|entry| entry.as_of_at).max();
        let job = self.job.as_ref().map(|job| job.offset_seconds);
        job.or_else(|| latest().map(|at| at.offset_seconds)).unwrap_or(0)
    }

    /// Whether a row rests on an invented resin.
    pub fn demo(&self) -> Is {
        self.entries.values().any(|entry| entry.demo == Is::Yes).into()
    }
}
