//! The calibration of a probe on the page: what was handed in, and what comes of holding it against what the loggers were loaded with.
//!
//! Invariants: it is judged on the days of the logs and with the limits and the uncertainty in them, not with those of a file that
//! was given; it makes no fixing cured, released or rejected. No log says which probe a logger used, and the page says so.

use super::values::table;
use crate::probe::{cells, decides, first_line, heads, judged, on_day};
use crate::words::{ProbePhrase as P, Speech};
use chrono::{DateTime, NaiveDate};
use holdoff_core::cure::Uncertainty;
use holdoff_core::log::FileHash;
use holdoff_core::resin::Resin;
use holdoff_evidence::Session;
use holdoff_files::calibration::{Calibration, OnDay};
use holdoff_site::calibration::{Asked, Cover, Row, rows};
use maud::{Markup, html};

/// What the loggers on the page were loaded with, and the days of their logs.
#[derive(Debug, Default)]
pub(super) struct Logged {
    loaded: Vec<Loaded>,
    /// The first and the last day of all logs whose clock was tied.
    days: Option<(NaiveDate, NaiveDate)>,
}

#[derive(Debug)]
struct Loaded {
    file: FileHash,
    name: String,
    resin: Resin,
    uncertainty: Uncertainty,
}

impl Logged {
    /// Takes a session in.
    pub(super) fn take(&mut self, session: &Session) {
        let (record, uncertainty) = (&session.resin, session.job.settings.uncertainty());
        if !self.loaded.iter().any(|known| known.file == record.file && known.uncertainty == uncertainty) {
            self.loaded.push(Loaded {
                file: record.file,
                name: record.name.text().unwrap_or("?").to_owned(),
                resin: record.resin.clone(),
                uncertainty,
            });
        }
        let day = |at: i64| {
            let clock = session.wall.clock(at)?;
            let local = clock.utc(at).saturating_add(i64::from(clock.offset_seconds));
            Some(DateTime::from_timestamp(local, 0)?.date_naive())
        };
        for day in [session.began, session.as_of].into_iter().flatten().filter_map(day) {
            self.days = Some(self.days.map_or((day, day), |(first, last)| (first.min(day), last.max(day))));
        }
    }

    /// The section; `made` is the day that the page is made on, which counts where no log has a day.
    pub(super) fn section(&self, speech: Speech, calibration: &Calibration, made: NaiveDate) -> Markup {
        let (first, last) = self.days.unwrap_or((made, made));
        let past = on_day(speech, calibration, last);
        let (standing, sentence) = match (past.0, calibration.on(first)) {
            (OnDay::Good, OnDay::NotYet) => on_day(speech, calibration, first),
            (OnDay::Good | OnDay::PastDue | OnDay::NotYet, _) => past,
        };
        html! {
            section.calibration {
                h2 { (speech.say(P::Title)) }
                p { (first_line(speech, calibration)) "." }
                p class=(if standing == OnDay::Good { "standing panel" } else { "standing alarm" }) { (sentence) }
                p.notice { (speech.say(P::GivenBeside)) }
                @if self.loaded.is_empty() { p { (speech.say(P::NothingLoaded)) } }
                @for loaded in &self.loaded { (loaded.judged(speech, calibration)) }
                p { (speech.say(P::NotApplied)) " " (speech.say(P::LeftOut)) }
            }
        }
    }
}

impl Loaded {
    fn judged(&self, speech: Speech, calibration: &Calibration) -> Markup {
        let rows = rows(calibration, Asked::Resin(&self.resin));
        let name = speech.fill(P::AsLoaded, &[("resin", &self.name)]);
        let (cover, sentence) = judged(speech, &rows, Some((&name, self.uncertainty)));
        let covered = matches!(cover, Some(Cover::Covered { .. }));
        let line = |row: &Row| {
            let (at, found) = cells(speech, row);
            html! {
                tr {
                    th scope="row" { (at) }
                    @match &found {
                        Some(found) => { @for cell in found { td { (cell) } } }
                        None => { td colspan="3" { (speech.say(P::Outside)) } }
                    }
                    td { (decides(speech, row)) }
                }
            }
        };
        html! {
            p class=(if covered { "standing panel" } else { "standing alarm" }) { (sentence) }
            (table("probe", &heads(speech), &html! { @for row in &rows { (line(row)) } }))
        }
    }
}
