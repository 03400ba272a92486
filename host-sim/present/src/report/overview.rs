//! The overview of a page with several fixings: who stands where, and of whom nothing is recorded.

use super::objection::{Objection, against};
use super::values::table;
use crate::words::{PagePhrase, ProofPhrase, ReportPhrase as P, Speech, Worded};
use holdoff_evidence::CodeClaim;
use holdoff_evidence::row::{CodeRow, FixingRow};
use maud::{Markup, html};

/// A line of the overview.
#[derive(Debug)]
pub(super) struct Line {
    /// The sheet, where there is one.
    pub(super) id: Option<String>,
    pub(super) label: String,
    pub(super) group: String,
    pub(super) status: String,
    /// What is said of it before everything else; `None` where nothing is.
    pub(super) first: Option<String>,
    /// What came of holding its release against keys, in a word or two.
    pub(super) proof: &'static str,
    pub(super) cured: Option<Markup>,
}

impl Line {
    /// Of a fixing of the job file of which nothing is recorded.
    pub(super) fn without(speech: Speech, label: &str, group: &str) -> Self {
        Self {
            id: None,
            label: label.to_owned(),
            group: group.to_owned(),
            status: speech.say(P::NoRecord).to_owned(),
            first: None,
            proof: "",
            cured: None,
        }
    }

    /// Of a fixing that the register keeps and no memory tells of any more.
    pub(super) fn of_row(speech: Speech, row: &FixingRow, group: &str) -> Self {
        let standing = speech.standing_of(&row.fixing, &row.session);
        Self {
            id: None,
            label: speech.fixing_name(&row.fixing),
            group: group.to_owned(),
            status: standing.headline.to_owned(),
            first: Some(standing.sentence),
            proof: "",
            cured: None,
        }
    }

    /// Of a fixing that is known by its release code alone.
    pub(super) fn of_code(speech: Speech, code: &CodeRow, group: &str) -> Self {
        let at = speech.dated(code.clock, code.speaks_for);
        let proof = match code.claim() {
            CodeClaim::Contradicted(why) => speech.fill(P::Contradicted, &[("why", &why.words(speech))]),
            CodeClaim::Void(why) => {
                format!("{}{}{}", speech.say(ProofPhrase::VoidHead), speech.colon(), why.words(speech))
            }
            CodeClaim::NotChecked => {
                format!("{}{}{}", speech.say(PagePhrase::NotChecked), speech.colon(), speech.say(P::NoKeys))
            }
            CodeClaim::Signed => speech.fill(P::Proved, &[("why", &code.why.words(speech))]),
        };
        let mut status = speech.fill(P::CodeAlone, &[("at", &at), ("proof", &proof)]);
        for note in speech.laxer_note(code.laxer).into_iter().chain(speech.outside_note(code.outside_at_seating)) {
            status = speech.listed(&[status, note]);
        }
        Self {
            id: None,
            label: speech.name(&code.label, code.number),
            group: group.to_owned(),
            // one that nobody proved lets nobody load
            first: (code.void() || matches!(code.claim(), CodeClaim::NotChecked)).then(|| status.clone()),
            status,
            proof: "",
            cured: None,
        }
    }

    /// Tells it as *do not load*, with what stands against it.
    pub(super) fn objected(&mut self, speech: Speech, objections: &[Objection]) {
        let Some((worst, why)) = objections.first().zip(against(speech, objections)) else { return };
        self.first = Some(why);
        self.status = speech.listed(&[speech.say(worst.head()), &self.status]);
    }
}

/// Those that are not to be loaded, with their reasons: before everything else.
pub(super) fn first<'l>(speech: Speech, lines: impl Iterator<Item = &'l Line>) -> Markup {
    let told: Vec<(&Line, &String)> = lines.filter_map(|line| Some((line, line.first.as_ref()?))).collect();
    html! {
        @if !told.is_empty() {
            section.first {
                h2 { (speech.say(P::DoNotLoad)) }
                p.alarm { (speech.say(P::DoNotLoadNote)) }
                ul {
                    @for (line, why) in told {
                        li {
                            strong {
                                @match &line.id {
                                    Some(id) => { a href=(format!("#{id}")) { (line.label) } }
                                    None => (line.label),
                                }
                                @if !line.group.is_empty() { " (" (line.group) ")" }
                                br;
                                (line.status)
                            }
                            @if *why != line.status { br; (why) }
                        }
                    }
                }
            }
        }
    }
}

/// The table of all lines.
pub(super) fn overview<'l>(speech: Speech, lines: impl Iterator<Item = &'l Line>) -> Markup {
    let heads = [P::Fixing, P::Group, P::Status, P::Proof, P::CuredSince].map(|head| speech.say(head));
    html! {
        section.overview {
            h2 { (speech.say(P::Overview)) }
            (table("overview", &heads, &html! {
                @for line in lines {
                    tr {
                        th scope="row" {
                            @match &line.id {
                                Some(id) => { a href=(format!("#{id}")) { (line.label) } }
                                None => (line.label),
                            }
                        }
                        td { (line.group) }
                        td { (line.status) }
                        td { (line.proof) }
                        td { @if let Some(at) = &line.cured { (at) } }
                    }
                }
            }))
        }
    }
}
