//! The schedule and the limits of a resin, as the logger was loaded with them.

use super::values::{SessionWords, fact, facts, table};
use crate::words::ReportPhrase as P;
use holdoff_core::resin::ResinUse;
use holdoff_core::resin::{Accrual, Band};
use holdoff_evidence::keys::to_hex;
use maud::{Markup, html};

/// The section of a resin; `number` counts the resins of the page from 1.
pub(super) fn resin(said: SessionWords<'_>, number: usize) -> Markup {
    let (speech, record) = (said.speech, &said.session.resin);
    let name = record.name.text().unwrap_or("?");
    let heads = [
        speech.say(P::BandFrom),
        speech.say(P::Counts),
        speech.say(P::Working),
        speech.say(P::InSeconds),
        speech.say(P::CureDry),
        speech.say(P::InSeconds),
    ];
    let row = |band: Band| {
        let (working, cure) = (band.working.seconds(), band.cure.seconds());
        html! {
            tr {
                th scope="row" { (speech.degrees(band.from.fine())) }
                td { (band.from.raw()) }
                td { (speech.length(u64::from(working))) }
                td { (working) }
                td { (speech.length(u64::from(cure))) }
                td { (cure) }
            }
        }
    };
    html! {
        section.resin id=(format!("resin-{number}")) {
            h2 { (speech.fill(P::Resin, &[("name", name)])) }
            @if record.resin_use == ResinUse::Demo { p.notice { (speech.demo_caution()) } }
            h3 { (speech.say(P::Schedule)) }
            (table("schedule", &heads, &html! { @for band in record.resin.bands().iter() { (row(band)) } }))
            h3 { (speech.say(P::Limits)) }
            (facts("limits", &limits(said)))
        }
    }
}

fn limits(said: SessionWords<'_>) -> Markup {
    let (speech, record) = (said.speech, &said.session.resin);
    let (resin, limits) = (&record.resin, record.resin.limits());
    let from_to = |least, most| speech.fill(P::FromTo, &[("from", &said.count(least)), ("to", &said.count(most))]);
    let accrual = match resin.accrual() {
        Accrual::Permitted => P::Yes,
        Accrual::Forbidden => P::No,
    };
    html! {
        (fact(speech.say(P::InstallLimits), from_to(limits.install_least, limits.install_greatest)))
        (fact(speech.say(P::CureLimits), from_to(limits.cure_least, limits.cure_greatest)))
        (fact(speech.say(P::UsableEdge), said.count(resin.coldest_usable_edge())))
        @if let Some(reject) = limits.reject_below { (fact(speech.say(P::RejectBelow), said.count(reject))) }
        @if let Some(reject) = limits.reject_above { (fact(speech.say(P::RejectAbove), said.count(reject))) }
        @if let Some(hold) = limits.longest_hold {
            (fact(speech.say(P::LongestHold), speech.length(u64::from(hold.seconds()))))
        }
        (fact(speech.say(P::CartridgeLimits), from_to(resin.cartridge_least(), resin.cartridge_greatest())))
        (fact(speech.say(P::HolesAllowed), speech.holes(resin.holes())))
        tr.wet-factor { th scope="row" { (speech.say(P::WetFactor)) } td { (resin.wet_factor()) } }
        (fact(speech.say(P::AccrualAllowed), speech.say(accrual)))
        (fact(speech.say(P::ResinHash), html! { span.hash { (to_hex(&record.file.0)) } }))
    }
}
