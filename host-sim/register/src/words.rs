//! The register for a person.

use super::take_in::{Added, Proved};
use holdoff_core::cure::Laxer;
use holdoff_core::quantity::Count;
use holdoff_evidence::CodeClaim;
use holdoff_evidence::row::{CodeRow, FixingRow, KeptSession, Verdict};
use holdoff_files::problem::{shown_file, visible};
use holdoff_present::words::{ListingPhrase, PagePhrase, ProofPhrase, RegisterPhrase as P, Speech, Worded};
use std::fmt::Write;

/// A verdict in words.
fn verdict(speech: Speech, verdict: Verdict) -> &'static str {
    speech.say(match verdict {
        Verdict::Proved => ProofPhrase::Proved,
        Verdict::NotProved => ProofPhrase::NotProved,
        Verdict::NotChecked => ProofPhrase::NotChecked,
    })
}

/// What an addition came to.
pub fn added(name: &str, added: &Added, speech: Speech) -> String {
    let (fixings, changed) = (added.fixings.to_string(), added.changed.to_string());
    let gaps =
        [("name", &*shown_file(name)), ("device", &*added.device), ("fixings", &*fixings), ("changed", &*changed)];
    let mut text = speech.fill(P::TakenIn, &gaps) + "\n";
    for release in &added.releases {
        let why = release.why.words(speech);
        let (fixing, why) = (visible(&speech.name(&release.fixing, release.number)), visible(&why));
        let gaps = [("fixing", &*fixing), ("verdict", verdict(speech, release.verdict)), ("why", &*why)];
        let phrase = if why.is_empty() { P::ReleaseOf } else { P::ReleaseOfWhy };
        let _ = writeln!(text, "  {}", speech.fill(phrase, &gaps));
        laxer(&mut text, release.laxer, speech);
        outside(&mut text, release.outside_at_seating, speech);
    }
    for finding in &added.findings {
        let what = visible(&finding.words(speech));
        let _ = writeln!(text, "  {}", speech.fill(ListingPhrase::Finding, &[("what", &what)]));
    }
    for conflict in &added.conflicts {
        let why = visible(&conflict.words(speech));
        let _ = writeln!(text, "  {}", speech.fill(P::Contradicted, &[("why", &why)]));
    }
    text
}

/// What holding every release against keys came to, and how many are proved.
pub fn proved(all: &[Proved], speech: Speech) -> (String, usize) {
    let mut text = String::new();
    for one in all {
        let why = one.why.words(speech);
        let (fixing, why) = (visible(&speech.name(&one.fixing, one.number)), visible(&why));
        let gaps = [("fixing", &*fixing), ("verdict", verdict(speech, one.verdict)), ("why", &*why)];
        let _ = writeln!(text, "{}", speech.fill(P::VerdictWhy, &gaps));
        laxer(&mut text, one.laxer, speech);
        outside(&mut text, one.outside_at_seating, speech);
    }
    let good = all.iter().filter(|one| one.verdict == Verdict::Proved).count();
    let gaps = [("good", &*good.to_string()), ("all", &*all.len().to_string())];
    let _ = writeln!(text, "{}\n{}", speech.fill(P::ProvedOf, &gaps), cautions(all, speech));
    (text, good)
}

/// What stands below releases.
pub fn cautions(releases: &[Proved], speech: Speech) -> String {
    let demo = releases.iter().any(|one| one.demo);
    let demo = if demo { format!("\n{}\n", speech.demo_caution()) } else { String::new() };
    format!("{demo}\n{}", speech.caution())
}

/// A line for settings laxer than their default, where there are any.
fn laxer(text: &mut String, laxer: Laxer, speech: Speech) {
    if let Some(note) = speech.laxer_note(laxer) {
        let _ = writeln!(text, "    {note}");
    }
}

/// A line for a reading between injection and seating that lay outside the installation limits.
fn outside(text: &mut String, outside: Option<Count>, speech: Speech) {
    if let Some(note) = speech.outside_note(outside) {
        let _ = writeln!(text, "    {note}.");
    }
}

fn head(session: &KeptSession, speech: Speech) -> String {
    let as_of = session
        .span
        .map_or_else(|| speech.say(P::OfUnknownTime).to_owned(), |(_, at)| speech.dated(session.wall.clock(at), at));
    let (group, resin) = (visible(&speech.group_name(session)), visible(&session.resin));
    let gaps = [("group", &*group), ("as_of", &*as_of), ("device", &*session.device), ("resin", &*resin)];
    let phrase = if session.demo { P::HeadInvented } else { P::Head };
    let mut text = speech.fill(phrase, &gaps) + "\n";
    if let Some(read) = &session.read {
        if let Some(warning) = speech.clock_warning(&session.device, read) {
            let _ = writeln!(text, "  ! {warning}");
        }
        let offset = session.wall.latest().map_or(0, |clock| clock.offset_seconds);
        let _ = writeln!(text, "  {}", speech.read_words(read, offset));
    }
    if let Some(why) = &session.untrusted {
        let _ = writeln!(text, "  {}", speech.fill(P::CannotBeTrusted, &[("why", &why.words(speech))]));
    }
    if session.of_trace {
        let _ = writeln!(text, "  ! {}", speech.say(PagePhrase::OfTrace));
    }
    laxer(&mut text, session.laxer(), speech);
    text
}

/// Every fixing with its status, and every release that is known by its code alone; `now` in seconds since 1970.
pub fn listed(fixings: &[FixingRow], codes: &[CodeRow], speech: Speech, now: i64) -> String {
    let mut text = String::new();
    let mut last: Option<&KeptSession> = None;
    let mut demo = codes.iter().any(|code| code.demo);
    for row in fixings {
        if last != Some(&row.session) {
            let _ = write!(text, "{}{}", if last.is_some() { "\n" } else { "" }, head(&row.session, speech));
            last = Some(&row.session);
            demo |= row.session.demo;
        }
        let fixing = &row.fixing;
        let label = visible(&speech.fixing_name(fixing));
        let standing = speech.standing_of(fixing, &row.session);
        let _ = writeln!(text, "  {label:<16}  {}\n    {}", standing.headline, visible(&standing.sentence));
        if let Some(weight) = standing.weight {
            let _ = writeln!(text, "    ! {weight}");
        }
        if let Some(decision) = speech.decision_beside(fixing.seen.word, fixing.decided.as_ref(), &fixing.conflicts) {
            let _ = writeln!(text, "    {decision}");
        }
        if let Some(passed) = fixing.passed(&row.session, now) {
            let _ = writeln!(text, "    {}", speech.passed(passed));
        }
        // beside a doubt no word of a proof
        if let Some(found) = fixing.claim(&row.session).stage().and(fixing.verdict) {
            let _ = writeln!(text, "    {}", speech.fill(P::Release, &[("verdict", verdict(speech, found))]));
        }
        outside(&mut text, fixing.outside_at_seating, speech);
    }
    if !codes.is_empty() {
        let _ = writeln!(text, "\n{}", speech.say(P::ByCodes));
    }
    for code in codes {
        let _ = writeln!(text, "  {:<16}  {}", visible(&speech.name(&code.label, code.number)), of_code(code, speech));
        laxer(&mut text, code.laxer, speech);
        outside(&mut text, code.outside_at_seating, speech);
        let void = match code.claim() {
            CodeClaim::Contradicted(why) => speech.fill(P::Contradicted, &[("why", &visible(&why.words(speech)))]),
            CodeClaim::Void(why) => {
                format!("{}{}{}", speech.say(ProofPhrase::VoidHead), speech.colon(), visible(&why.words(speech)))
            }
            CodeClaim::NotChecked => speech.say(PagePhrase::NotChecked).to_owned(),
            CodeClaim::Signed => continue,
        };
        let _ = writeln!(text, "    {void}");
    }
    if fixings.is_empty() && codes.is_empty() {
        let _ = writeln!(text, "{}", speech.say(P::Empty));
    }
    if demo {
        let _ = writeln!(text, "\n{}", speech.demo_caution());
    }
    let _ = writeln!(text, "\n{}\n{}", speech.say(P::TimePassed), speech.caution());
    text
}

fn of_code(code: &CodeRow, speech: Speech) -> String {
    let when = speech.dated(code.clock, code.speaks_for);
    let torque = code.torque.map(|applied| speech.torque(applied));
    let (phrase, torque) = match &torque {
        Some(torque) => (P::OfCodeTorqued, torque.as_str()),
        None => (P::OfCode, ""),
    };
    let gaps = [
        ("when", when.as_str()),
        ("torque", torque),
        ("verdict", verdict(speech, code.verdict)),
        ("device", code.device.as_str()),
    ];
    speech.fill(phrase, &gaps)
}
