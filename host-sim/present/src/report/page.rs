//! The page: head, overview, specifications, resins, sheets, cautions.

use super::calibration::Logged;
use super::objection::Objection;
use super::overview::{Line, first, overview};
use super::proof_tests::Against;
use super::sheet::{sheet, standing};
use super::specification::specification;
use super::style::sheet as style;
use super::values::SessionWords;
use crate::page::html::head;
use crate::plot::embedded_patterns;
use crate::words::{PagePhrase, ReportPhrase as P, Speech, Worded};
use holdoff_core::log::FileHash;
use holdoff_core::resin::ResinUse;
use holdoff_evidence::keys::to_hex;
use holdoff_evidence::row::{CodeRow, FixingRow, ReadOut};
use holdoff_evidence::{Finding, Fixing, Proving, Session};
use holdoff_files::calibration::{Calibration, latest_day};
use holdoff_files::job::{Group, JobFile};
use holdoff_files::problem::without_format;
use holdoff_files::proof_test::ProofTests;
use holdoff_files::stamp::format_seconds;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use std::collections::{BTreeMap, BTreeSet};

/// What the page may load and run: its own style.
const POLICY: &str =
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'";

/// A page in the making: session by session, so that only what stands on it is kept.
#[derive(Debug)]
pub struct ReportPage<'a> {
    speech: Speech,
    /// Versions of the job file, the newest last.
    jobs: &'a [JobFile],
    hashes: Vec<FileHash>,
    /// The groups of each version by the names of their fixings.
    by_name: Vec<BTreeMap<&'a str, usize>>,
    /// Groups that have a fixing on the page: version of the job file, and place in it.
    groups: BTreeSet<(usize, usize)>,
    resins: Vec<(FileHash, Markup)>,
    entries: Vec<ReportEntry>,
    /// Proof tests that were handed in.
    tests: Option<&'a ProofTests>,
    /// The calibration of a probe that was handed in.
    calibration: Option<&'a Calibration>,
    logged: Logged,
    findings: Vec<Finding>,
    /// What is wrong with the clocks of the loggers, where that misleads.
    clocks: BTreeSet<String>,
    demo: bool,
    offset_seconds: i32,
}

#[derive(Debug)]
struct ReportEntry {
    /// What the log or the job file calls it, whatever it is called on the page.
    label: String,
    line: Line,
    /// The cure on the wall clock, seconds since 1970-01-01T00:00:00Z.
    cured: Option<i64>,
    /// `None` where nothing was done to it, and where it is known by a release code or the job file alone.
    sheet: Option<Markup>,
}

/// How a fixing lies to the job file.
enum JobPlace {
    /// No job file was given.
    NoJob,
    /// It is of this group of this version; `same` where the logger was loaded with that, else by its name alone.
    Group { version: usize, group: usize, same: bool },
    /// The job file knows no fixing of this name.
    Unknown,
}

impl<'a> ReportPage<'a> {
    /// An empty page about a job, or about none.
    pub fn new(speech: Speech, jobs: &'a [JobFile], tests: Option<&'a ProofTests>) -> Self {
        Self {
            speech,
            jobs,
            hashes: jobs.iter().map(JobFile::hash).collect(),
            by_name: jobs.iter().map(groups_by_name).collect(),
            groups: BTreeSet::new(),
            resins: Vec::new(),
            entries: Vec::new(),
            tests,
            calibration: None,
            logged: Logged::default(),
            findings: Vec::new(),
            clocks: BTreeSet::new(),
            demo: jobs.iter().any(|job| job.resin().demo()),
            offset_seconds: jobs.last().map_or(0, |job| job.job().offset_seconds),
        }
    }

    /// The same, with the calibration of a probe.
    #[must_use]
    pub const fn with_calibration(mut self, calibration: Option<&'a Calibration>) -> Self {
        self.calibration = calibration;
        self
    }

    /// How many fixings it tells of.
    pub fn len(&self) -> usize {
        self.entries.len()
    }

    /// Whether it tells of none.
    pub fn is_empty(&self) -> bool {
        self.entries.is_empty()
    }

    /// Adds what is amiss with an image.
    pub fn finding(&mut self, what: Finding) {
        self.findings.push(what);
    }

    /// Adds how the clock of a logger went when it was read out over its line, where that misleads.
    pub fn read_out(&mut self, device: &str, read: &ReadOut) {
        self.clocks.extend(self.speech.clock_warning(device, read));
    }

    /// Adds the sheets of a session's fixings; only those of this name where one is given.
    pub fn add(&mut self, session: &Session, only: Option<&str>) {
        let said = SessionWords { speech: self.speech, session };
        let wanted = session.fixings.iter().filter(|fixing| only.is_none_or(|name| fixing.called() == name));
        for fixing in wanted {
            self.logged.take(session);
            self.resin(said);
            if let Some(clock) = session.wall.latest().filter(|_| self.jobs.is_empty()) {
                self.offset_seconds = clock.offset_seconds;
            }
            let place = self.place(&fixing.called(), |hash| *hash == session.job.file);
            let id = format!("fixing-{}", self.entries.len() + 1);
            let (group, notes) = self.notes(&place);
            let notes = html! {
                @if session.is_of_trace() { p.notice.of-trace { (self.speech.say(PagePhrase::OfTrace)) } }
                (notes)
            };
            let cured = fixing.status.cured_at.map(holdoff_core::quantity::Instant::seconds);
            let wall = cured.and_then(|at| session.wall.utc(at));
            let specified = match place {
                JobPlace::Group { version, group, .. } => self.specified(version, group),
                JobPlace::NoJob | JobPlace::Unknown => None,
            };
            let against = Against { speech: self.speech, group: specified.map(|(_, group)| group), tests: self.tests };
            let mut objections = against.objections(&fixing.called(), wall);
            objections.extend(self.objections(session, fixing, &place));
            let standing = standing(said, fixing, &objections);
            // a fixing to which nothing was done has its line in the overview, and a sheet when it is asked for
            let sheet = (only.is_some() || !fixing.deeds.is_empty())
                .then(|| sheet(said, fixing, (&id, &standing), &notes, &against.of_fixing(&fixing.called(), wall)));
            let line = Line {
                id: sheet.is_some().then_some(id),
                label: said.name(fixing),
                group,
                status: standing.headline.to_owned(),
                // beside a doubt no word of a proof
                proof: match &fixing.proving {
                    Proving::Proved(_) if standing.first => "",
                    proving => short(self.speech, proving),
                },
                first: if standing.first {
                    let told = [Some(standing.sentence), standing.weight, standing.against];
                    Some(told.into_iter().flatten().collect::<Vec<_>>().join(" "))
                } else {
                    standing.against
                },
                cured: cured.map(|at| said.stamp(at)),
            };
            self.entries.push(ReportEntry { label: fixing.called(), line, cured: wall, sheet });
        }
    }

    /// Adds a line for a fixing that is known by its release code alone.
    pub fn code(&mut self, code: &CodeRow) {
        self.demo |= code.demo;
        // it has the first 12 bytes of the hash
        let loaded = |hash: &FileHash| !code.job.is_empty() && to_hex(&hash.0).starts_with(&code.job);
        let (name, objection) = match self.place(&code.called(), loaded) {
            JobPlace::NoJob => ("", None),
            JobPlace::Unknown => ("", Some(Objection::NotInJob)),
            JobPlace::Group { version, group, same } => {
                let name = self.specified(version, group).map_or("", |(_, group)| group.name.as_str());
                (name, (!same).then(|| Objection::OtherJobFile(code.job.clone())))
            }
        };
        let mut line = Line::of_code(self.speech, code, name);
        line.objected(self.speech, objection.as_slice());
        self.entries.push(ReportEntry { label: code.called(), line, cured: None, sheet: None });
    }

    /// Adds a line for a fixing whose session can be read in no memory any more: what the register keeps of it.
    pub fn row(&mut self, row: &FixingRow) {
        self.demo |= row.session.demo;
        let label = row.fixing.called();
        let group = self.by_name.last().and_then(|groups| self.jobs.last()?.job().groups.get(*groups.get(&*label)?));
        let line = Line::of_row(self.speech, row, group.map_or("", |group| group.name.as_str()));
        self.entries.push(ReportEntry { label, line, cured: None, sheet: None });
    }

    /// Adds every group of the job, and a line for each of its fixings that is not on the page yet.
    pub fn whole_job(&mut self) {
        let Some(newest) = self.jobs.len().checked_sub(1) else { return };
        let Some(file) = self.jobs.get(newest) else { return };
        let told: BTreeSet<String> = self.entries.iter().map(|entry| entry.label.clone()).collect();
        for (place, group) in file.job().groups.iter().enumerate() {
            self.groups.insert((newest, place));
            for fixing in &group.fixings {
                if !told.contains(&fixing.name) {
                    let line = Line::without(self.speech, &fixing.name, &group.name);
                    self.entries.push(ReportEntry { label: fixing.name.clone(), line, cured: None, sheet: None });
                }
            }
        }
        let names = file.job().groups.iter().flat_map(|group| &group.fixings).map(|fixing| fixing.name.as_str());
        let order: BTreeMap<&str, usize> = names.zip(0..).collect();
        self.entries.sort_by_key(|entry| order.get(entry.label.as_str()).copied().unwrap_or(usize::MAX));
    }

    fn resin(&mut self, said: SessionWords<'_>) {
        let record = &said.session.resin;
        self.demo |= record.resin_use == ResinUse::Demo;
        if !self.resins.iter().any(|(hash, _)| *hash == record.file) {
            let markup = super::resin::resin(said, self.resins.len() + 1);
            self.resins.push((record.file, markup));
        }
    }

    /// Where a fixing of this name stands; `loaded` tells a version of the job file that its logger was loaded from.
    fn place(&self, name: &str, loaded: impl Fn(&FileHash) -> bool) -> JobPlace {
        let group_of = |version: usize| self.by_name.get(version)?.get(name).copied();
        if let Some(version) = self.hashes.iter().rposition(loaded) {
            return group_of(version).map_or(JobPlace::Unknown, |group| JobPlace::Group { version, group, same: true });
        }
        let Some(newest) = self.jobs.len().checked_sub(1) else { return JobPlace::NoJob };
        group_of(newest).map_or(JobPlace::Unknown, |group| JobPlace::Group { version: newest, group, same: false })
    }

    /// A version of the job file, and a group of it.
    fn specified(&self, version: usize, group: usize) -> Option<(&'a JobFile, &'a Group)> {
        let file = self.jobs.get(version)?;
        Some((file, file.job().groups.get(group)?))
    }

    /// What the job file says against what the logger was loaded with.
    fn objections(&self, session: &Session, fixing: &Fixing, place: &JobPlace) -> Vec<Objection> {
        let (version, group, same) = match *place {
            JobPlace::NoJob => return Vec::new(),
            JobPlace::Unknown => return vec![Objection::NotInJob],
            JobPlace::Group { version, group, same } => (version, group, same),
        };
        let specified = self.specified(version, group);
        specified
            .map_or_else(Vec::new, |(file, group)| Objection::of_job(self.speech, (file, group, same), session, fixing))
    }

    /// Name of the group, and what is to be said about the job file.
    fn notes(&mut self, place: &JobPlace) -> (String, Markup) {
        let speech = self.speech;
        let (version, group, same) = match *place {
            JobPlace::NoJob => return (String::new(), html! { p { (speech.say(P::NoJobFile)) } }),
            // it is said among what stands against it
            JobPlace::Unknown => return (String::new(), html! {}),
            JobPlace::Group { version, group, same } => (version, group, same),
        };
        let Some((_, specified)) = self.specified(version, group) else { return (String::new(), html! {}) };
        self.groups.insert((version, group));
        let title = speech.fill(P::Specification, &[("group", &specified.name)]);
        let markup = html! {
            p { a href=(format!("#{}", group_id(version, group))) { (title) } }
            @if !same { p.notice { (speech.say(P::OtherJobFile)) } }
        };
        (specified.name.clone(), markup)
    }

    fn group(&self, version: usize, place: usize) -> Markup {
        let speech = self.speech;
        let Some((file, group)) = self.specified(version, place) else { return html! {} };
        let against = Against { speech, group: Some(group), tests: self.tests };
        let hash = self.hashes.get(version).map_or_else(String::new, |hash| to_hex(&hash.0));
        html! {
            section.group id=(group_id(version, place)) {
                h2 { (speech.fill(P::Specification, &[("group", &group.name)])) }
                p { (speech.say(P::SpecificationNote)) }
                (specification(speech, file.job(), group))
                p.small { (speech.say(P::FileHash)) (speech.colon()) span.hash { (hash) } }
                (against.of_group(&|label| self.cured(label)))
            }
        }
    }

    /// The cure of a fixing on the wall clock; the latest of several of this name.
    fn cured(&self, label: &str) -> Option<i64> {
        self.entries.iter().filter(|entry| entry.label == label).filter_map(|entry| entry.cured).max()
    }

    /// The whole document. `now` in seconds since 1970-01-01T00:00:00Z.
    pub fn html(&self, now: i64) -> String {
        let speech = self.speech;
        let job = self.jobs.last().map(JobFile::job);
        let title = match (job, self.entries.as_slice()) {
            (_, [one]) => speech.fill(P::TitleOf, &[("of", &one.line.label)]),
            (Some(job), _) => speech.fill(P::TitleOf, &[("of", &job.name)]),
            (None, _) => speech.say(P::Title).to_owned(),
        };
        let made = format_seconds(now, self.offset_seconds);
        let text = html! {
            (DOCTYPE)
            html lang=(speech.language.code()) {
                (head(&title, &style(), Some(POLICY)))
                body.paper {
                    (PreEscaped(embedded_patterns()))
                    header {
                        h1 { (title) }
                        @if let Some(job) = job { p.site { (job.name) ", " (job.site) } }
                        p.small { (speech.say(P::Made)) " " time datetime=(made) { (made) } }
                        @if self.demo { p.notice { (speech.demo_caution()) } }
                        p.caution { (speech.caution()) }
                    }
                    main {
                        @for clock in &self.clocks { p.notice.clock { (clock) "." } }
                        (first(speech, self.entries.iter().map(|entry| &entry.line)))
                        @if self.entries.is_empty() { p.alarm { (speech.say(P::NoFixing)) } }
                        @if self.entries.len() > 1 || self.entries.iter().any(|entry| entry.sheet.is_none()) {
                            (overview(speech, self.entries.iter().map(|entry| &entry.line)))
                        }
                        @if !self.findings.is_empty() {
                            section.findings {
                                h2 { (speech.say(P::Findings)) }
                                ul { @for finding in &self.findings { li { (finding.words(speech)) } } }
                            }
                        }
                        @if let Some(calibration) = self.calibration {
                            (self.logged.section(speech, calibration, latest_day(now)))
                        }
                        @for (version, group) in &self.groups { (self.group(*version, *group)) }
                        @for (_, resin) in &self.resins { (resin) }
                        @for sheet in self.entries.iter().filter_map(|entry| entry.sheet.as_ref()) { (sheet) }
                    }
                    footer {
                        h2 { (speech.say(P::Cautions)) }
                        @if self.demo { p.notice { (speech.demo_caution()) } }
                        p { (speech.caution()) }
                        p.signature { (speech.say(P::Signature)) }
                    }
                }
            }
        }
        .into_string();
        without_format(&text)
    }
}

/// What came of holding a release against keys, in a word or two.
const fn short(speech: Speech, proving: &Proving) -> &'static str {
    let word = match proving {
        Proving::NoRelease => return "",
        Proving::NoKeys => P::ShortNoKeys,
        Proving::Proved(_) => P::ShortProved,
        Proving::NotProved(_) => P::ShortNotProved,
    };
    word.of(speech.language)
}

/// Where the page has a group of a version of the job file.
fn group_id(version: usize, group: usize) -> String {
    format!("group-{}-{}", version + 1, group + 1)
}

/// The groups of a job file by the names of their fixings.
fn groups_by_name(file: &JobFile) -> BTreeMap<&str, usize> {
    let groups = file.job().groups.iter().zip(0..);
    groups.flat_map(|(group, place)| group.fixings.iter().map(move |fixing| (fixing.name.as_str(), place))).collect()
}
