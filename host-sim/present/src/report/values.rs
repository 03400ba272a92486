//! How values stand on the page: times, temperatures, rows of facts.

use crate::words::{ReportPhrase as P, Speech, Worded};
use holdoff_core::quantity::{Count, Fine, Instant};
use holdoff_evidence::{Fixing, Session};
use maud::{Markup, html};

/// A session, and how it is said.
#[derive(Clone, Copy, Debug)]
pub(super) struct SessionWords<'a> {
    pub(super) speech: Speech,
    pub(super) session: &'a Session,
}

impl SessionWords<'_> {
    /// RFC 3339 with the local offset, or the second of the logger's clock.
    pub(super) fn time(self, at: i64) -> String {
        let second = || self.speech.fill(P::LoggerSecond, &[("at", &at.to_string())]);
        self.session.wall.stamp(at).unwrap_or_else(second)
    }

    /// The same, marked as a time.
    pub(super) fn stamp(self, at: i64) -> Markup {
        match self.session.wall.stamp(at) {
            Some(stamp) => html! { time datetime=(stamp) { (stamp) } },
            None => html! { (self.speech.say(P::WallUnknown)) },
        }
    }

    /// What happened at an instant as sentences name it.
    pub(super) fn instant(self, at: Instant) -> String {
        self.time(at.seconds())
    }

    /// A code with its fields, told.
    pub(super) fn told(self, what: &impl Worded) -> String {
        what.words(self.speech)
    }

    /// What a fixing is called; one without a label by its number.
    pub(super) fn name(self, fixing: &Fixing) -> String {
        // at most 15
        self.speech.name(&fixing.label, fixing.number.place() as u8)
    }

    /// A temperature with its exact count: `2.75 °C (704)`.
    pub(super) fn exact(self, raw: i32) -> String {
        format!("{} ({raw})", self.speech.degrees(Fine::new(raw)))
    }

    /// The same of a count.
    pub(super) fn count(self, count: Count) -> String {
        self.exact(count.fine().raw())
    }
}

/// A row of facts: its head, and what it says.
pub(super) fn fact(head: &str, what: impl maud::Render) -> Markup {
    html! { tr { th scope="row" { (head) } td { (what) } } }
}

/// Rows of facts in a table.
pub(super) fn facts(class: &str, rows: &Markup) -> Markup {
    html! { table class=(format!("facts {class}")) { tbody { (rows) } } }
}

/// A table with heads for its columns; on a narrow screen it is pushed sideways, not the page.
pub(super) fn table(class: &str, heads: &[&str], body: &Markup) -> Markup {
    html! {
        div.wide tabindex="0" {
            table class=(class) {
                thead { tr { @for head in heads { th scope="col" { (head) } } } }
                tbody { (body) }
            }
        }
    }
}
