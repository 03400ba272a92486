//! The page: head, overview, specifications, resins, sheets, cautions.

use super::gather::{Fixing, Session};
use super::said::{Said, table};
use super::sheet::{sheet, standing};
use super::specification::{sampling, specification};
use super::style::sheet as style;
use crate::job::JobFile;
use crate::keys::to_hex;
use crate::plot::embedded_patterns;
use crate::stamp::format_seconds;
use crate::words::{ReportPhrase as P, Speech};
use holdoff_core::log::{FileHash, Standing};
use maud::{DOCTYPE, Markup, PreEscaped, html};
use sha2::{Digest, Sha256};

/// A page in the making: session by session, so that only what stands on it is kept.
#[derive(Debug)]
pub struct Page<'a> {
    speech: Speech,
    /// Versions of the job file, the newest last.
    jobs: &'a [JobFile],
    hashes: Vec<FileHash>,
    /// Groups that have a fixing on the page: version of the job file, and place in it.
    groups: Vec<(usize, usize)>,
    resins: Vec<(FileHash, Markup)>,
    entries: Vec<Entry>,
    findings: Vec<String>,
    demo: bool,
    offset_seconds: i32,
}

#[derive(Debug)]
struct Entry {
    id: String,
    label: String,
    group: String,
    headline: &'static str,
    instant: Option<Markup>,
    sheet: Markup,
}

/// How a fixing lies to the job file.
enum Place {
    /// No job file was given.
    NoJob,
    /// The logger was loaded with this version, and this group has the fixing.
    Loaded(usize, usize),
    /// The logger was loaded with another file; by its name the fixing is of this group.
    ByName(usize, usize),
    /// The job file knows no fixing of this name.
    Unknown,
}

impl<'a> Page<'a> {
    /// An empty page about a job, or about none.
    pub fn new(speech: Speech, jobs: &'a [JobFile]) -> Self {
        let hash = |job: &JobFile| FileHash(Sha256::digest(job.source().as_bytes()).into());
        Self {
            speech,
            jobs,
            hashes: jobs.iter().map(hash).collect(),
            groups: Vec::new(),
            resins: Vec::new(),
            entries: Vec::new(),
            findings: Vec::new(),
            demo: jobs.iter().any(|job| job.resin().demo()),
            offset_seconds: jobs.last().map_or(0, |job| job.job().offset_seconds),
        }
    }

    /// How many sheets it has.
    pub fn len(&self) -> usize {
        self.entries.len()
    }

    /// Whether there is no sheet on it.
    pub fn is_empty(&self) -> bool {
        self.entries.is_empty()
    }

    /// Adds what is amiss with an image.
    pub fn finding(&mut self, what: String) {
        self.findings.push(what);
    }

    /// Adds the sheets of a session's fixings; only those of this name where one is given.
    pub fn add(&mut self, session: &Session, only: Option<&str>) {
        let said = Said { speech: self.speech, session };
        let wanted = session.fixings.iter().filter(|fixing| only.is_none_or(|name| fixing.label == name));
        for fixing in wanted {
            self.resin(said);
            if let Some(tie) = session.wall.tie(i64::MAX).filter(|_| self.jobs.is_empty()) {
                self.offset_seconds = tie.offset_seconds;
            }
            let place = self.place(session, fixing);
            let id = format!("fixing-{}", self.entries.len() + 1);
            let (group, notes) = self.notes(session, fixing, &place);
            let standing = standing(said, fixing);
            let at = fixing.status.cured_at.map(|at| said.stamp(at.seconds()));
            let sheet = sheet(said, fixing, &id, &notes, &self.tests());
            self.entries.push(Entry {
                id,
                label: fixing.label.clone(),
                group,
                headline: standing.headline,
                instant: at,
                sheet,
            });
        }
    }

    fn resin(&mut self, said: Said<'_>) {
        let record = &said.session.resin;
        self.demo |= record.standing == Standing::Demo;
        if !self.resins.iter().any(|(hash, _)| *hash == record.file) {
            let markup = super::resin::resin(said, self.resins.len() + 1);
            self.resins.push((record.file, markup));
        }
    }

    fn place(&self, session: &Session, fixing: &Fixing) -> Place {
        let group_of = |version: usize| {
            let groups = &self.jobs.get(version)?.job().groups;
            groups.iter().position(|group| group.fixings.iter().any(|plan| plan.name == fixing.label))
        };
        let loaded = self.hashes.iter().rposition(|hash| *hash == session.job.file);
        if let Some(version) = loaded {
            return group_of(version).map_or(Place::Unknown, |group| Place::Loaded(version, group));
        }
        let Some(newest) = self.jobs.len().checked_sub(1) else { return Place::NoJob };
        group_of(newest).map_or(Place::Unknown, |group| Place::ByName(newest, group))
    }

    /// Name of the group, and what is to be said about the job file.
    fn notes(&mut self, session: &Session, fixing: &Fixing, place: &Place) -> (String, Markup) {
        let speech = self.speech;
        let (version, group, other) = match place {
            Place::NoJob => return (String::new(), html! { p { (speech.say(P::NoJobFile)) } }),
            Place::Unknown => return (String::new(), html! { p.alarm { (speech.say(P::NotInJob)) } }),
            Place::Loaded(version, group) => (*version, *group, false),
            Place::ByName(version, group) => (*version, *group, true),
        };
        let Some(file) = self.jobs.get(version) else { return (String::new(), html! {}) };
        let Some(specified) = file.job().groups.get(group) else { return (String::new(), html! {}) };
        let number = match self.groups.iter().position(|known| *known == (version, group)) {
            Some(known) => known + 1,
            None => {
                self.groups.push((version, group));
                self.groups.len()
            }
        };
        let spec = specified.spec();
        let differing = [
            (spec.hole != fixing.spec.hole, P::Drilled),
            (spec.torque != fixing.spec.torque, P::Torque),
            (specified.rule != session.job.rule, P::Rule),
            (file.job().settings.uncertainty() != session.job.settings.uncertainty(), P::Uncertainty),
            (file.job().settings.longest_gap() != session.job.settings.longest_gap(), P::LongestGap),
            (file.job().settings.clock_ppm() != session.job.settings.clock_ppm(), P::ClockAllowance),
        ];
        let differing: Vec<&str> =
            differing.into_iter().filter(|(differs, _)| *differs).map(|(_, word)| speech.say(word)).collect();
        let title = speech.fill(P::Specification, &[("group", &specified.name)]);
        let markup = html! {
            p { a href=(format!("#group-{number}")) { (title) } }
            @if other { p.notice { (speech.say(P::OtherJobFile)) } }
            @if !differing.is_empty() {
                p.alarm { (speech.fill(P::LoadedOtherwise, &[("what", &differing.join(", "))])) }
            }
        };
        (specified.name.clone(), markup)
    }

    fn tests(&self) -> Markup {
        let speech = self.speech;
        html! {
            section.tests {
                h3 { (speech.say(P::ProofTests)) }
                p { (speech.say(P::NoTestsGiven)) }
            }
        }
    }

    fn group(&self, number: usize, version: usize, group: usize) -> Markup {
        let speech = self.speech;
        let Some(file) = self.jobs.get(version) else { return html! {} };
        let Some(group) = file.job().groups.get(group) else { return html! {} };
        let hash = self.hashes.get(version).map_or_else(String::new, |hash| to_hex(&hash.0));
        html! {
            section.group id=(format!("group-{number}")) {
                h2 { (speech.fill(P::Specification, &[("group", &group.name)])) }
                p { (speech.say(P::SpecificationNote)) }
                (specification(speech, file.job(), group))
                p.small { (speech.say(P::FileHash)) ": " span.hash { (hash) } }
                h3 { (speech.say(P::ProofTests)) }
                @match &group.proof {
                    Some(proof) => { (sampling(speech, group, proof)) }
                    None => { p { (speech.say(P::NoTestsAsked)) } }
                }
            }
        }
    }

    fn overview(&self) -> Markup {
        let speech = self.speech;
        let heads = [P::Fixing, P::Group, P::Status, P::CuredSince].map(|head| speech.say(head));
        html! {
            section.overview {
                h2 { (speech.say(P::Overview)) }
                (table("overview", &heads, &html! {
                    @for entry in &self.entries {
                        tr {
                            th scope="row" { a href=(format!("#{}", entry.id)) { (entry.label) } }
                            td { (entry.group) }
                            td { (entry.headline) }
                            td { @if let Some(at) = &entry.instant { (at) } }
                        }
                    }
                }))
            }
        }
    }

    /// The whole document. `now` in seconds since 1970-01-01T00:00:00Z.
    pub fn html(&self, now: i64) -> String {
        let speech = self.speech;
        let job = self.jobs.last().map(JobFile::job);
        let title = match (job, self.entries.as_slice()) {
            (_, [one]) => speech.fill(P::TitleOf, &[("of", &one.label)]),
            (Some(job), _) => speech.fill(P::TitleOf, &[("of", &job.name)]),
            (None, _) => speech.say(P::Title).to_owned(),
        };
        let made = format_seconds(now, self.offset_seconds);
        html! {
            (DOCTYPE)
            html lang=(speech.language.code()) {
                head {
                    meta charset="utf-8";
                    meta name="viewport" content="width=device-width, initial-scale=1";
                    meta http-equiv="Content-Security-Policy"
                        content="default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'";
                    meta name="referrer" content="no-referrer";
                    link rel="icon" href="data:,";
                    title { (title) }
                    style { (PreEscaped(style())) }
                }
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
                        @if self.entries.is_empty() { p.alarm { (speech.say(P::NoFixing)) } }
                        @if self.entries.len() > 1 { (self.overview()) }
                        @if !self.findings.is_empty() {
                            section.findings {
                                h2 { (speech.say(P::Findings)) }
                                ul { @for finding in &self.findings { li { (finding) } } }
                            }
                        }
                        @for ((version, group), number) in self.groups.iter().zip(1..) {
                            (self.group(number, *version, *group))
                        }
                        @for (_, resin) in &self.resins { (resin) }
                        @for entry in &self.entries { (entry.sheet) }
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
        .into_string()
    }
}
