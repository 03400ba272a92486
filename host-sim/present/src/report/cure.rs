//! The cure on the page: time in bands, time that did not count, and the reckoning line by line.
//!
//! Invariant: with the schedule of the resin these tables hold all that the instant of the cure follows from; a test reads
//! them off the page and reckons it anew (`docs/report.md`).

use super::reckon::{Coldest, Reckoning, Row};
use super::values::{SessionWords, table};
use crate::words::{AccountPhrase, ReportPhrase as P};
use holdoff_core::cure::{Rule, WHOLE};
use holdoff_core::fixing::{Stage, Status};
use holdoff_core::group::Darkness;
use holdoff_core::resin::Accrual;
use holdoff_evidence::{Fixing, Session};
use maud::{Markup, html};

/// Most stretches that are listed one by one.
const MOST_LINES: usize = 500;

/// The sections about the cure.
pub(super) fn cure(said: SessionWords<'_>, fixing: &Fixing, reckoning: Option<&Reckoning>) -> Markup {
    let speech = said.speech;
    let Some(reckoning) = reckoning else {
        return html! { section.cure { h3 { (speech.say(P::Bands)) } p { (speech.say(P::NotSeated)) } } };
    };
    html! {
        section.cure {
            h3 { (speech.say(P::Bands)) }
            (bands(said, reckoning))
            @if shares_told(said) { p.small { (speech.say(P::ShareNote)) } }
        }
        section.lost {
            h3 { (speech.say(P::NotCounted)) }
            (not_counted(said, reckoning))
        }
        section.reckoned {
            h3 { (speech.say(P::Reckoning)) }
            ol.reckoning { @for line in lines(said, fixing, reckoning) { li { (line) } } }
        }
    }
}

/// Hundredths of a percent as a number with two decimals.
fn percent(said: SessionWords<'_>, hundredths: u64) -> String {
    said.speech.decimal(format!("{}.{:02} %", hundredths / 100, hundredths % 100))
}

/// Whether a share of a whole cure is told of each band: only where the resin permits that they are summed up. Elsewhere such
/// a share counts for nothing, and would be taken for how far the cure is.
fn shares_told(said: SessionWords<'_>) -> bool {
    match said.session.group.resin().accrual() {
        Accrual::Permitted => true,
        Accrual::Forbidden => false,
    }
}

fn bands(said: SessionWords<'_>, reckoning: &Reckoning) -> Markup {
    let speech = said.speech;
    let heads = [P::BandFrom, P::Counts, P::RequiredIn, P::CountedIn, P::Share].map(|head| speech.say(head));
    let shares_told = shares_told(said);
    let heads = if shares_told { &heads[..] } else { &heads[..4] };
    let row = |row: &Row| {
        html! {
            tr {
                th scope="row" { (speech.degrees(row.band.from.fine())) }
                td { (row.band.from.raw()) }
                td { (row.required) " s" }
                td { (row.counted) " s" }
                @if shares_told { td { (percent(said, row.share)) } }
            }
        }
    };
    let shares: u64 = reckoning.rows.iter().map(|row| row.share).sum();
    table(
        "bands",
        heads,
        &html! {
            @for one in &reckoning.rows { (row(one)) }
            tr.sum {
                th scope="row" { (speech.say(P::Sum)) }
                td {}
                td {}
                td { (reckoning.counted()) " s" }
                @if shares_told { td { (percent(said, shares)) } }
            }
        },
    )
}

fn not_counted(said: SessionWords<'_>, reckoning: &Reckoning) -> Markup {
    let (speech, session) = (said.speech, said.session);
    let heads = [P::From, P::To, P::Seconds, P::Kind, P::Why].map(|head| speech.say(head));
    let (shown, rest) = reckoning.stretches.split_at(reckoning.stretches.len().min(MOST_LINES));
    let (mut held, mut unobserved) = reckoning.unlisted;
    for stretch in rest {
        if stretch.why.is_held() { held += stretch.seconds() } else { unobserved += stretch.seconds() }
    }
    // the time, and below it the second of the logger's clock
    let moment = |at: i64| html! { (said.stamp(at)) " " span.second { (at) } };
    let within = |at: i64| (reckoning.seated..=reckoning.until).contains(&at);
    html! {
        @if reckoning.stretches.is_empty() && (held, unobserved) == (0, 0) { p { (speech.say(P::AllCounted)) } }
        @if !shown.is_empty() {
            (table("not-counted", &heads, &html! {
                @for stretch in shown {
                    tr {
                        td { (moment(stretch.from)) }
                        td { (moment(stretch.to)) }
                        td { (stretch.seconds()) }
                        td {
                            (speech.say(if stretch.why.is_held() { AccountPhrase::Held } else { AccountPhrase::Unobserved }))
                        }
                        td { (speech.why(stretch.why)) }
                    }
                }
            }))
        }
        @if (held, unobserved) != (0, 0) {
            p.unlisted {
                (speech.fill(P::NotListed, &[("held", &held.to_string()), ("unobserved", &unobserved.to_string())]))
            }
        }
        @for loss in session.losses.iter().filter(|loss| within(loss.last.seconds()) || within(loss.first.seconds())) {
            p {
                (speech.fill(P::Losses, &[
                    ("number", &loss.count.to_string()),
                    ("from", &said.instant(loss.first)),
                    ("to", &said.instant(loss.last)),
                ]))
            }
        }
        @for (at, dark) in session.restarts.iter().filter_map(|(at, dark)| Some(((*at)?, dark))).filter(|(at, _)| within(*at)) {
            p {
                (speech.fill(
                    match dark { Darkness::Known => P::RestartKnown, Darkness::Unknown => P::RestartUnknown },
                    &[("at", &said.time(at))],
                ))
            }
        }
    }
}

fn lines(said: SessionWords<'_>, fixing: &Fixing, reckoning: &Reckoning) -> Vec<String> {
    let (speech, status) = (said.speech, &fixing.status);
    let mut lines = Vec::new();
    let cure = reckoning.rows.get(reckoning.coldest_band).map_or(0, |row| u64::from(row.band.cure.seconds()));
    if let Some(coldest) = reckoning.coldest {
        lines.push(coldest_line(said, reckoning, coldest, cure));
    }
    let (factor, required) = (reckoning.factor.to_string(), status.required.to_string());
    let hole = speech.hole(status.hole);
    let gaps = [("hole", hole), ("factor", &factor), ("cure", &cure.to_string()), ("required", &required)];
    lines.push(speech.fill(P::ReckonRequired, &gaps));
    let counted = reckoning.counted();
    let (ppm, served) = (said.session.job.settings.clock_ppm().to_string(), status.served.to_string());
    let lost = counted.saturating_sub(status.served).to_string();
    let counted = counted.to_string();
    let gaps = [("ppm", &*ppm), ("counted", &counted), ("lost", &lost), ("served", &served)];
    lines.push(speech.fill(P::ReckonServed, &gaps));
    let enough = if status.served >= status.required { P::ReckonEnough } else { P::ReckonShort };
    lines.push(speech.fill(enough, &[("served", &served), ("required", &required)]));
    if said.session.job.rule == Rule::Accrual {
        lines.push(sum_line(said, reckoning, status, &ppm));
    }
    let [held, unobserved, elapsed] =
        [status.tally.held, status.tally.unobserved, status.tally.elapsed()].map(|seconds| seconds.to_string());
    let gaps = [("counted", &*counted), ("held", &held), ("unobserved", &unobserved), ("elapsed", &elapsed)];
    lines.push(speech.fill(P::ReckonElapsed, &gaps));
    match reckoning.cured {
        Some(cured) => {
            let (seated, second, at) = (reckoning.seated.to_string(), cured.to_string(), said.time(cured));
            let edge = reckoning.last_band.and_then(|place| reckoning.rows.get(place));
            let edge = edge.map_or_else(|| speech.say(P::NotSaid).to_owned(), |row| said.count(row.band.from));
            let gaps = [("seated", &*seated), ("elapsed", &elapsed), ("cured", &second), ("at", &at), ("edge", &edge)];
            lines.push(speech.fill(P::ReckonCured, &gaps));
            if is_first(reckoning, said.session, status) {
                lines.push(speech.say(P::ReckonFirst).to_owned());
            }
        }
        None => lines.push(speech.say(P::ReckonNotCured).to_owned()),
    }
    if let (Stage::Released(released), Some(range)) = (status.stage, fixing.spec.torque) {
        let (least, greatest) = speech.torque_range(range);
        let (torque, second) = (speech.torque(released.torque()), released.at().seconds().to_string());
        let at = said.instant(released.at());
        let gaps = [("torque", &*torque), ("least", &least), ("greatest", &greatest), ("second", &second), ("at", &at)];
        lines.push(speech.fill(P::ReckonReleased, &gaps));
    }
    lines
}

fn coldest_line(said: SessionWords<'_>, reckoning: &Reckoning, coldest: Coldest, cure: u64) -> String {
    let speech = said.speech;
    let uncertainty = said.session.job.settings.uncertainty().counts();
    let time = coldest.at.map_or_else(|| speech.say(P::NotSaid).to_owned(), |at| said.time(at));
    let time = if coldest.in_hole { speech.fill(P::InHoleAt, &[("at", &time)]) } else { time };
    let degrees = |raw: i32| speech.degrees(holdoff_core::quantity::Fine::new(raw));
    let edge = reckoning.rows.get(reckoning.coldest_band).map_or(0, |row| i32::from(row.band.from.raw()));
    let off = speech.degrees_apart(holdoff_core::quantity::Fine::new(i32::from(uncertainty)));
    let phrase = if coldest.low < edge { P::ReckonColdestBelow } else { P::ReckonColdest };
    speech.fill(
        phrase,
        &[
            ("degrees", &degrees(coldest.count)),
            ("count", &coldest.count.to_string()),
            ("at", &time),
            ("uncertainty", &off),
            ("u", &uncertainty.to_string()),
            ("low", &degrees(coldest.low)),
            ("low_count", &coldest.low.to_string()),
            ("edge", &degrees(edge)),
            ("edge_count", &edge.to_string()),
            ("cure", &cure.to_string()),
        ],
    )
}

fn sum_line(said: SessionWords<'_>, reckoning: &Reckoning, status: &Status, ppm: &str) -> String {
    let spent = reckoning.rows.iter().filter(|row| row.counted > 0);
    let terms: Vec<String> = spent.map(|row| format!("{} s / {} s", row.counted, row.required)).collect();
    let terms = if terms.is_empty() { "0".to_owned() } else { terms.join(" + ") };
    let hundredths = status.accrued.saturating_mul(10_000) / WHOLE; // rounded down
    let percent = said.speech.decimal(format!("{}.{:02}", hundredths / 100, hundredths % 100));
    said.speech.fill(P::ReckonSum, &[("ppm", ppm), ("terms", &terms), ("percent", &percent)])
}

/// Whether the cure would not have been complete with its last counted second left out.
fn is_first(reckoning: &Reckoning, session: &Session, status: &Status) -> bool {
    let ppm = session.job.settings.clock_ppm();
    let short = holdoff_core::cure::served(reckoning.counted().saturating_sub(1), ppm) < status.required;
    let Rule::Accrual = session.job.rule else { return short };
    let mut bands = status.tally.bands;
    let Some(band) = reckoning.last_band.and_then(|place| bands.get_mut(place)) else { return false };
    *band = band.saturating_sub(1);
    let factor = session.group.resin().factor(status.hole);
    short && holdoff_core::cure::accrued(session.group.resin().bands(), &bands, factor, ppm) < WHOLE
}
