//! The page as HTML.
//!
//! Why maud: every value is escaped where it stands, and labels come from files.
//! Semantics: one heading a section, a table with heads for its columns and rows (roles are spelt out, since on a phone the
//! rows are laid out as blocks), changes announced politely, nothing said by colour alone.

use super::style::{SCRIPT, sheet};
use super::words;
use super::{Board, BoardEntry, Moment, Section};
use crate::words::{PagePhrase as P, Speech};
use data_encoding::BASE64;
use holdoff_files::problem::without_format;
use holdoff_files::stamp::{Stamp, format_seconds};
use maud::{DOCTYPE, Markup, PreEscaped, html};
use sha2::{Digest, Sha256};

/// Most rows that a page shows at once unless it is asked for all.
const MOST_ROWS: usize = 600;
/// Rows of each section when there are more.
const FIRST_ROWS: usize = 60;
/// Most groups that are offered as a list to choose from.
const MOST_CHOICES: usize = 300;

/// Which rows are shown.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Shown {
    /// All of them.
    All,
    /// As many as a phone takes; the rest is counted.
    Few,
}

/// A page to be drawn.
#[derive(Clone, Copy, Debug)]
pub struct BoardPage<'a> {
    /// What it shows.
    pub board: &'a Board,
    /// The group that it is limited to.
    pub group: Option<&'a str>,
    /// Which rows.
    pub shown: Shown,
    /// Seconds since 1970-01-01T00:00:00Z.
    pub now: i64,
    /// Where a live page goes on listening from; `None` for a file.
    pub since: Option<&'a str>,
}

/// What the page may load and run: itself, by the hashes of its style and script, and its own events.
pub fn policy(connect: &str) -> String {
    let hash = |text: &str| format!("'sha256-{}'", BASE64.encode(&Sha256::digest(text.as_bytes())));
    format!(
        "default-src 'none'; style-src {}; script-src {}; connect-src {connect}; img-src data:; base-uri 'none'; \
         form-action {connect}",
        hash(&sheet()),
        hash(SCRIPT)
    )
}

/// The page as a file of its own: all rows, nothing live, nothing fetched.
pub fn static_file(board: &Board, now: i64) -> String {
    BoardPage { board, group: None, shown: Shown::All, now, since: None }.html()
}

/// The head of a document that fetches nothing; a policy where none comes with it from a server.
pub(crate) fn head(title: &str, sheet: &str, policy: Option<&str>) -> Markup {
    html! {
        head {
            meta charset="utf-8";
            meta name="viewport" content="width=device-width, initial-scale=1";
            @if let Some(policy) = policy { meta http-equiv="Content-Security-Policy" content=(policy); }
            meta name="referrer" content="no-referrer";
            link rel="icon" href="data:,";
            title { (title) }
            style { (PreEscaped(sheet)) }
        }
    }
}

impl BoardPage<'_> {
    /// The whole document.
    pub fn html(&self) -> String {
        let speech = self.board.speech();
        let title = self.board.job().map_or_else(|| speech.say(P::Title), |job| job.title.as_str());
        let few = self.shown == Shown::Few && self.group.is_none() && self.board.len() > MOST_ROWS;
        let complete = !few && self.group.is_none();
        let made = format_seconds(self.now, self.board.offset_seconds());
        let made_at = html! { (speech.say(P::Made)) " " time.whole datetime=(made) { (made) } };
        let text = html! {
            (DOCTYPE)
            html lang=(speech.language.code()) {
                (head(title, &sheet(), self.since.is_none().then(|| policy("'none'")).as_deref()))
                body.paper {
                    a.skip.notice href="#page" { (speech.say(words::section(Section::TorqueNow))) }
                    // outside of the header, so that it stays in sight wherever the page is scrolled to
                    @if self.since.is_some() {
                        div.bar.no-print {
                            p #state .state.panel role="status" hidden { (speech.say(P::Live)) }
                            noscript { p.state.panel { (speech.say(P::NoScript)) } }
                            p.made.paper.small { (made_at) }
                        }
                    }
                    header {
                        h1 { (title) }
                        // on paper, where there is no bar
                        p class=(if self.since.is_some() { "small made print-only" } else { "small made" }) { (made_at) }
                        p.notice { (speech.say(P::AsOfNote)) }
                        @if self.board.demo() { p.notice { (speech.demo_caution()) } }
                        @for warning in self.board.warnings() { p.notice.weight { (warning) } }
                        p #said .state.panel.no-print aria-live="polite" {}
                    }
                    (self.overview())
                    (self.filter())
                    main #page
                        data-complete=(if complete { "yes" } else { "no" })
                        data-since=[self.since]
                        data-live=(speech.say(P::Live))
                        data-lost=(speech.say(P::LostConnection))
                        data-failed=(speech.say(P::Failed))
                        data-just-now=(speech.say(P::JustNow))
                        data-ago=(speech.fill(P::Ago, &[("length", "{}")]))
                        data-day=(speech.language.day())
                        data-many=(speech.fill(P::ChangedMany, &[("number", "{}")]))
                    {
                        @if self.board.is_empty() { p { (speech.say(P::Empty)) } }
                        @for section in Section::ALL { (self.section(section, few)) }
                        @if self.board.others() > 0 { p { (words::counted(speech, P::Others, self.board.others())) } }
                    }
                    footer { p { (speech.caution()) } }
                    script { (PreEscaped(SCRIPT)) }
                }
            }
        }
        .into_string();
        without_format(&text)
    }

    fn count(&self, section: Section) -> usize {
        self.board.count(section, self.group)
    }

    fn overview(&self) -> Markup {
        let speech = self.board.speech();
        html! {
            nav.no-print aria-label=(speech.say(P::Overview)) {
                ul.overview {
                    @for section in Section::ALL {
                        li {
                            a class=(head_class(section)) href=(format!("#{}", section.word())) {
                                b data-count=(section.word()) { (self.count(section)) }
                                span { (speech.say(words::section(section))) }
                            }
                        }
                    }
                }
            }
        }
    }

    fn filter(&self) -> Markup {
        let (count, speech) = (self.board.groups().count(), self.board.speech());
        html! {
            @if count > 1 || self.since.is_some() {
                form #filter .no-print method="get" role="search" hidden[count <= 1] {
                    label for="group" { (speech.say(P::Group)) }
                    @if count <= MOST_CHOICES {
                        select #group .paper name="group" {
                            option value="" { (speech.say(P::AllGroups)) }
                            @for (group, name) in self.board.groups() {
                                option value=(group) selected[self.group == Some(group)] { (name) }
                            }
                        }
                    } @else {
                        input #group .paper type="search" name="group" value=(self.group.unwrap_or_default())
                            placeholder=(speech.say(P::AllGroups));
                    }
                    button.panel type="submit" { (speech.say(P::Show)) }
                }
            }
        }
    }

    fn section(&self, section: Section, few: bool) -> Markup {
        let (count, word, speech) = (self.count(section), section.word(), self.board.speech());
        let rows = self.board.rows(section, self.group);
        let most = if few { FIRST_ROWS } else { usize::MAX };
        let title = format!("{word}-title");
        html! {
            section #(word) data-section=(word) aria-labelledby=(title) class=(if count == 0 { "empty" } else { "" }) {
                h2 #(title) class=(head_class(section)) {
                    span { (speech.say(words::section(section))) }
                    span.count data-count=(word) { (count) }
                }
                p.section-note { (speech.say(words::section_note(section))) }
                table role="table" aria-labelledby=(title) hidden[count == 0] {
                    thead role="rowgroup" {
                        tr role="row" {
                            @for column in words::COLUMNS { th scope="col" role="columnheader" { (speech.say(column)) } }
                        }
                    }
                    tbody role="rowgroup" {
                        @for entry in self.board.section(section, self.group).take(most) { (row(speech, &entry, self.now)) }
                    }
                }
                @if rows > most {
                    p.section-note.no-print {
                        (words::counted(speech, P::More, rows - most)) " "
                        a href="?all=yes" { (speech.say(P::ShowAll)) }
                    }
                }
            }
        }
    }
}

const fn head_class(section: Section) -> &'static str {
    match section {
        Section::SeatNow => "head-seat-now",
        Section::TorqueNow => "head-torque-now",
        Section::Next => "head-next",
        Section::NotSigned | Section::Held => "head-held",
        Section::DoNotLoad => "head-do-not-load",
        Section::DoNotInject | Section::Planned | Section::Released => "head-quiet",
    }
}

/// A row; also what a live page gets when it changed.
pub fn row(speech: Speech, entry: &BoardEntry, now: i64) -> Markup {
    let until = entry.passed().and(entry.moment).map(|moment| moment.utc);
    let passed = until.is_some_and(|until| now >= until);
    html! {
        tr #(entry.id) role="row" class=(if passed { "row passed" } else { "row" })
            data-key=(entry.key) data-group=(entry.group) data-until=[until]
            data-fixings=(entry.fixings)
            data-said=(speech.fill(P::Changed, &[("label", &entry.said), ("headline", entry.headline)]))
        {
            th scope="row" role="rowheader" {
                span.label { (entry.label) }
                span.small.quiet.group { (entry.group_name) }
            }
            td.time role="cell" {
                @if let Some(moment) = entry.moment { (clock(speech, entry.section, moment)) }
            }
            td.status role="cell" {
                span.headline { (entry.headline) }
                span.sentence { (sentence(&entry.sentence)) }
                @if let Some(weight) = &entry.weight { span.notice.not-covered { (sentence(weight)) } }
                @if let Some(warning) = &entry.warning { span.notice { (warning) } }
                @if let Some(words) = entry.passed() { span.passed-note.notice.small { (speech.say(words)) } }
                @if !entry.notes.is_empty() || entry.demo {
                    span.small {
                        @for note in &entry.notes { span.tag { (note) } " " }
                        @if entry.demo { span.tag { (speech.say(P::Invented)) } }
                    }
                }
                @if !entry.as_of.is_empty() {
                    span.small.quiet {
                        (sentence(&entry.as_of))
                        @if let Some(at) = entry.as_of_at { " (" span data-at=(at.utc) { (words::ago(speech, now, at.utc)) } ")" }
                    }
                }
                @if let Some(read) = &entry.read { span.small.quiet { (sentence(read)) } }
            }
        }
    }
}

/// A sentence whose times are marked as such, and not broken at a line's end.
fn sentence(text: &str) -> Markup {
    html! {
        @for (place, word) in text.split(' ').enumerate() {
            @if place > 0 { " " }
            @let bare = word.trim_start_matches('(').trim_end_matches([')', '.', ',', ';']);
            @if bare.len() > 18 && Stamp::parse(bare).is_ok() {
                @let (before, after) = word.split_once(bare).unwrap_or((word, ""));
                (before) time.whole datetime=(bare) { (bare) } (after)
            } @else {
                (word)
            }
        }
    }
}

/// The time of a row in large figures. A forecast is rounded up to the minute, the time to seat down.
fn clock(speech: Speech, section: Section, moment: Moment) -> Markup {
    let up = i64::from(section != Section::SeatNow) * 59;
    let whole = moment.utc.saturating_add(up).div_euclid(60).saturating_mul(60);
    let exact = format_seconds(moment.utc, moment.offset_seconds);
    let (day, time) = day_and_time(whole, moment.offset_seconds);
    html! {
        time datetime=(exact) {
            span.small { (day) }
            span.clock { (time) }
        }
        span.small.quiet { (words::moment(speech, section)) }
    }
}

/// `2022-01-04` and `13:19`.
pub(super) fn day_and_time(utc: i64, offset_seconds: i32) -> (String, String) {
    let text = format_seconds(utc, offset_seconds);
    match text.split_once('T') {
        Some((day, rest)) => (day.to_owned(), rest.get(..5).unwrap_or(rest).to_owned()),
        None => (text, String::new()),
    }
}

#[cfg(test)]
mod tests {
    use super::{Moment, Section, Speech, clock, words};

    #[test]
    fn times_at_the_ends_of_what_a_memory_can_say_are_told() {
        for (utc, ago) in [(i64::MIN, "106751991167300 d"), (i64::MAX, "ahead of this one")] {
            for section in Section::ALL {
                let told = clock(Speech::PLAIN, section, Moment { utc, offset_seconds: 3600 }).into_string();
                assert!(told.contains("s after 1970-01-01T00:00:00Z"), "{told}");
            }
            let told = words::ago(Speech::PLAIN, 1_641_229_200, utc);
            assert!(told.contains(ago), "{told}");
        }
    }
}
