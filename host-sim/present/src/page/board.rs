//! What the page shows: every fixing once, and what changed since.
//!
//! Why it is kept: an update costs what changed, however many fixings did not.

use super::entry::{Id, Kept, LoadedFrom};
use super::{BoardEntry, Section};
use crate::words::Speech;
use holdoff_core::log::StageWord;
use holdoff_evidence::keys::to_hex;
use holdoff_evidence::row::{Changes, CodeRow, FixingRow, Revision};
use holdoff_files::job::JobFile;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

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
    /// The first fixing of each one's group, by their places in the file.
    first: Vec<usize>,
}

impl JobShown {
    /// Of the versions of a job file, the newest last; `None` of none.
    pub fn of(versions: &[JobFile]) -> Option<Self> {
        let job = versions.last()?.job();
        let files = versions.iter().map(|version| to_hex(&version.hash().0)).collect();
        let mut shown = Self {
            title: format!("{}, {}", job.name, job.site),
            files,
            planned: Vec::new(),
            offset_seconds: job.offset_seconds,
            by_label: BTreeMap::new(),
            first: Vec::new(),
        };
        let mut first = BTreeMap::new();
        for logger in job.logger_groups() {
            for (fixing, (label, _)) in logger.fixings().iter().zip(logger.declared()) {
                let label = label.text().unwrap_or_default().to_owned();
                shown.by_label.insert(label.clone(), shown.planned.len());
                let group = logger.group().name.clone();
                shown.first.push(*first.entry(group.clone()).or_insert(shown.planned.len()));
                shown.planned.push((label, fixing.name.clone(), group));
            }
        }
        Some(shown)
    }

    /// Whether a hash, or its first 12 bytes, is that of a version of the file.
    fn holds(&self, hash: &str) -> bool {
        self.files.iter().any(|file| !hash.is_empty() && file.starts_with(hash))
    }

    /// The fixings of each group, by the place of its first: name of the group, places and names.
    fn groups(&self) -> BTreeMap<usize, (String, Vec<(usize, String)>)> {
        let mut groups = BTreeMap::new();
        for (place, ((_, name, group), first)) in self.planned.iter().zip(&self.first).enumerate() {
            let (_, fixings) = groups.entry(*first).or_insert_with(|| (group.clone(), Vec::new()));
            fixings.push((place, name.clone()));
        }
        groups
    }

    fn place(&self, label: &str) -> Option<usize> {
        self.by_label.get(label).copied()
    }

    fn group(&self, label: &str) -> Option<&str> {
        self.place(label).and_then(|place| self.planned.get(place)).map(|(_, _, group)| group.as_str())
    }
}

/// Rows by section and key.
type Order = BTreeSet<(Section, Arc<str>, Id)>;

/// The rows of the page.
#[derive(Debug)]
pub struct Board {
    job: Option<JobShown>,
    speech: Speech,
    entries: BTreeMap<Id, Kept>,
    order: Order,
    /// The same of every group that has a row.
    groups: BTreeMap<Arc<str>, Order>,
    counts: BTreeMap<Section, usize>,
    /// Rows of the register that belong to other jobs.
    others: BTreeSet<Id>,
    /// Revision of the register that is shown.
    revision: Revision,
    /// Counts the changes of this board.
    version: u64,
    changes: BTreeMap<u64, Vec<Id>>,
}

impl Board {
    /// An empty board.
    pub fn new(job: Option<JobShown>) -> Self {
        let mut board = Self {
            job,
            speech: Speech::PLAIN,
            entries: BTreeMap::new(),
            order: BTreeSet::new(),
            groups: BTreeMap::new(),
            counts: BTreeMap::new(),
            others: BTreeSet::new(),
            revision: Revision { number: -1, mark: None },
            version: 0,
            changes: BTreeMap::new(),
        };
        for (first, (group, fixings)) in board.job.as_ref().map_or_else(BTreeMap::new, JobShown::groups) {
            board.put(Kept::of_plan(first, fixings, &group));
        }
        board
    }

    /// The same in another language or other units.
    #[must_use]
    pub fn speaking(mut self, speech: Speech) -> Self {
        self.speech = speech;
        self
    }

    /// How it speaks.
    pub const fn speech(&self) -> Speech {
        self.speech
    }

    /// Takes over what changed since the revision that it shows; how many rows that were.
    pub fn take_over(&mut self, changes: Changes) -> usize {
        let mut changed = Vec::new();
        for row in changes.fixings {
            self.fixing(row, &mut changed);
        }
        for code in changes.codes {
            self.code(code, &mut changed);
        }
        self.revision = changes.revision;
        if !changed.is_empty() {
            self.version += 1;
            let count = changed.len();
            self.changes.insert(self.version, changed);
            while self.changes.len() > REMEMBERED {
                self.changes.pop_first();
            }
            return count;
        }
        0
    }

    /// The revision of the register that it shows.
    pub const fn revision(&self) -> &Revision {
        &self.revision
    }

    fn fixing(&mut self, row: FixingRow, changed: &mut Vec<Id>) {
        let id = Id::Fixing(row.id);
        let from = self.loaded_from(&row.session.job);
        // nothing is denied that was done to a fixing of this name; that another logger plans one of it says nothing
        let planned = row.fixing.seen.word == StageWord::Planned && row.session.untrusted.is_none();
        if from == LoadedFrom::Another && (planned || !self.plans(&row.fixing.called())) {
            self.others.insert(id);
            return;
        }
        self.others.remove(&id);
        self.replaces_plan(&row.fixing.called(), changed);
        let group = self.job.as_ref().and_then(|job| job.group(&row.fixing.called())).map(Arc::from);
        let kept = Kept::of_fixing(row, group, from);
        changed.push(kept.id);
        self.put(kept);
    }

    fn code(&mut self, code: CodeRow, changed: &mut Vec<Id>) {
        let id = Id::Code(code.id);
        if code.told_otherwise {
            // its memory has been taken in, or a later release of it
            self.others.remove(&id);
            self.take(id);
            changed.push(id);
            return;
        }
        let from = self.loaded_from(&code.job);
        if from == LoadedFrom::Another && !self.plans(&code.called()) {
            self.others.insert(id);
            return;
        }
        self.replaces_plan(&code.called(), changed);
        let group = self.job.as_ref().and_then(|job| job.group(&code.called())).map(Arc::from);
        changed.push(id);
        self.put(Kept::of_code(code, group, from));
    }

    /// What a logger was loaded from, by the hash of the file or its first 12 bytes.
    fn loaded_from(&self, hash: &str) -> LoadedFrom {
        match &self.job {
            Some(job) if !job.holds(hash) => LoadedFrom::Another,
            Some(_) | None => LoadedFrom::Job,
        }
    }

    /// Whether the job has a fixing of this name.
    fn plans(&self, label: &str) -> bool {
        self.job.as_ref().is_some_and(|job| job.place(label).is_some())
    }

    /// A fixing that the register tells of stands no longer as merely planned.
    fn replaces_plan(&mut self, label: &str, changed: &mut Vec<Id>) {
        let Some(job) = &self.job else { return };
        let Some((place, first)) = job.place(label).and_then(|place| Some((place, *job.first.get(place)?))) else {
            return;
        };
        let id = Id::Plan(first);
        let Some((before, left)) = self.entries.get(&id).map(|kept| (kept.fixings(), kept.without(place))) else {
            return;
        };
        if left.as_ref().is_some_and(|left| left.fixings() == before) {
            return;
        }
        self.take(id);
        if let Some(left) = left {
            self.put(left);
        }
        changed.push(id);
    }

    fn put(&mut self, kept: Kept) {
        self.take(kept.id);
        let place = (kept.section, kept.key.clone(), kept.id);
        match self.groups.get_mut(&kept.group) {
            Some(order) => {
                order.insert(place.clone());
            }
            None => {
                self.groups.insert(kept.group.clone(), Order::from([place.clone()]));
            }
        }
        self.order.insert(place);
        *self.counts.entry(kept.section).or_default() += kept.fixings();
        self.entries.insert(kept.id, kept);
    }

    fn take(&mut self, id: Id) {
        let Some(kept) = self.entries.remove(&id) else { return };
        if let Some(count) = self.counts.get_mut(&kept.section) {
            *count -= kept.fixings();
        }
        let place = (kept.section, kept.key, kept.id);
        self.order.remove(&place);
        if let Some(order) = self.groups.get_mut(&kept.group) {
            order.remove(&place);
            if order.is_empty() {
                self.groups.remove(&kept.group);
            }
        }
    }

    /// The job that it is limited to.
    pub fn job(&self) -> Option<&JobShown> {
        self.job.as_ref()
    }

    /// The rows of a section in their order, of one group or of all.
    pub fn section<'b>(&'b self, section: Section, group: Option<&str>) -> impl Iterator<Item = BoardEntry> + use<'b> {
        self.places(section, group).filter_map(|id| self.entry(id))
    }

    fn places<'b>(&'b self, section: Section, group: Option<&str>) -> impl Iterator<Item = Id> + use<'b> {
        let order = match group {
            None => Some(&self.order),
            Some(group) => self.groups.get(group),
        };
        let first = (section, Arc::from(""), Id::Fixing(i64::MIN));
        let rows = order.map(|order| order.range(first..)).into_iter().flatten();
        rows.take_while(move |(of, _, _)| *of == section).map(|(_, _, id)| *id)
    }

    /// How many rows a section has, of one group or of all.
    pub fn rows(&self, section: Section, group: Option<&str>) -> usize {
        self.places(section, group).count()
    }

    /// How many fixings a section has, of one group or of all.
    pub fn count(&self, section: Section, group: Option<&str>) -> usize {
        match group {
            None => self.counts.get(&section).copied().unwrap_or(0),
            Some(_) => self.places(section, group).filter_map(|id| self.entries.get(&id)).map(Kept::fixings).sum(),
        }
    }

    /// A row.
    pub fn entry(&self, id: Id) -> Option<BoardEntry> {
        self.entries.get(&id).map(|kept| kept.entry(self.speech))
    }

    /// How many rows there are.
    pub fn len(&self) -> usize {
        self.entries.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.entries.is_empty()
    }

    /// The groups in their order: as each is asked for, and what it is called.
    pub fn groups(&self) -> impl Iterator<Item = (&str, String)> {
        self.groups.iter().map(|(group, order)| {
            let first = order.first().and_then(|(_, _, id)| self.entries.get(id));
            (&**group, first.map_or_else(|| group.to_string(), |kept| kept.group_name(self.speech)))
        })
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
    pub fn changes_since(&self, version: u64) -> Option<BTreeSet<Id>> {
        if version > self.version {
            return None;
        }
        let oldest = self.changes.first_key_value().map_or(self.version + 1, |(oldest, _)| *oldest);
        if version + 1 < oldest && version < self.version {
            return None;
        }
        Some(self.changes.range(version + 1..).flat_map(|(_, ids)| ids.iter().copied()).collect())
    }

    /// Seconds that the clocks of the site are ahead of UTC: the job's, else those of the logger that recorded last.
    pub fn offset_seconds(&self) -> i32 {
        let latest = || self.entries.values().filter_map(Kept::as_of).max();
        let job = self.job.as_ref().map(|job| job.offset_seconds);
        job.or_else(|| latest().map(|at| at.offset_seconds)).unwrap_or(0)
    }

    /// What is wrong with the clocks of loggers, each once.
    pub fn warnings(&self) -> BTreeSet<String> {
        self.entries.values().filter_map(|kept| kept.warning(self.speech)).collect()
    }

    /// Whether a row rests on an invented resin.
    pub fn demo(&self) -> bool {
        self.entries.values().any(Kept::demo)
    }
}

#[cfg(test)]
mod tests {
    use super::{Board, JobShown, Section};
    use holdoff_core::cure::Laxer;
    use holdoff_evidence::row::{Changes, CodeRow, Revision, Verdict};
    use std::collections::BTreeMap;

    /// A job of one fixing that is called as one without a label is, by its number.
    fn board() -> Board {
        Board::new(Some(JobShown {
            title: "quay".to_owned(),
            files: vec!["aa".repeat(32)],
            planned: vec![("fixing 3".to_owned(), "fixing 3".to_owned(), "fixing".to_owned())],
            offset_seconds: 0,
            by_label: BTreeMap::from([("fixing 3".to_owned(), 0)]),
            first: vec![0],
        }))
    }

    /// The release code of a fixing without a label, whose logger was loaded from another file than the job's.
    fn code(number: u8, told_otherwise: bool) -> CodeRow {
        CodeRow {
            id: i64::from(number),
            device: "0101010101010101".to_owned(),
            number,
            label: String::new(),
            job: "bb".repeat(12),
            demo: false,
            laxer: Laxer::default(),
            outside_at_seating: None,
            cured: 0,
            speaks_for: 0,
            torque: None,
            clock: None,
            verdict: Verdict::Proved,
            why: None,
            contradicted: None,
            short: String::new(),
            text: String::new(),
            told_otherwise,
        }
    }

    fn told(codes: Vec<CodeRow>) -> Changes {
        Changes { fixings: Vec::new(), codes, revision: Revision { number: 0, mark: None } }
    }

    #[test]
    fn a_code_whose_memory_came_is_no_longer_counted_among_other_jobs() {
        let mut board = board();
        board.take_over(told(vec![code(8, false)]));
        assert_eq!((board.others(), board.len()), (1, 1));
        board.take_over(told(vec![code(8, true)]));
        assert_eq!((board.others(), board.len()), (0, 1));
    }

    #[test]
    fn a_code_without_a_label_is_shown_where_the_job_names_its_fixing_by_the_number() {
        let mut board = board();
        board.take_over(told(vec![code(2, false)]));
        assert_eq!((board.others(), board.count(Section::Planned, None)), (0, 0));
        assert_eq!(board.count(Section::DoNotLoad, None), 1);
    }
}
