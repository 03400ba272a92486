//! What each output says of a fixing, put down as a verdict and its marks.
//!
//! One function an output; all of them read text that a person reads, but for the screen, of which they read the view.

use crate::scene::{Asked, Played, Reader, Site};
use holdoff_core::resin::ResinUse;
use holdoff_firmware::view::{Page, State, Wait};
use holdoff_tests::fake_board::{Bench, shown};
use holdoff_tests::link_command::holdoff_link;
use holdoff_tests::link_line::serve;

/// The outputs, as the table heads them.
pub(crate) const OUTPUTS: [&str; 6] = ["screen", "link status", "list", "page", "report", "prove"];

/// Where there is no such output.
const NONE: &str = "-";

/// Headlines of a fixing, what of its sentence is asked for, and the verdict. The first that fits counts.
const HEADLINES: [(&str, &str, &str); 17] = [
    ("DO NOT LOAD: CODE NOT CHECKED", "By its release code", "do-not-load"),
    ("DO NOT LOAD: DECISION NOT SIGNED", "Do not load it", "do-not-load"),
    ("DO NOT INJECT", "Do not inject", "do-not-inject"),
    ("NOT INJECTED", "", "nothing"),
    ("TOO LATE: DO NOT SEAT", "", "do-not-load"),
    ("SEAT NOW", "", "seat"),
    ("LEAVE ALONE: CURE HELD", "Do not touch", "held"),
    ("LEAVE ALONE", "Do not touch", "wait"),
    ("TORQUED TOO LOW: AGAIN", "Do not load it before", "again"),
    ("CURED BY ITS READINGS, NOT SIGNED", "no leave to torque or load", "ask"),
    ("TORQUED BY ITS MEMORY, NOT SIGNED", "no leave to load", "ask"),
    ("CURED", "It may be torqued now", "torque"),
    ("CURED", "It may be loaded when the foreman releases it", "load"),
    ("RELEASED", "The foreman may let the next trade load it", "load"),
    ("REJECTED, ACCEPTED AS IT IS", "See that decision before loading", "ask"),
    ("REJECTED, TO BE REMOVED", "Do not load it", "do-not-load"),
    ("DO NOT LOAD: ", "Do not load it", "do-not-load"),
];

/// What text says in weight beside a verdict, and the mark for it.
const MARKS: [(&str, &str); 14] = [
    ("RECORDED TRACE", "trace"),
    ("DEMO RESIN", "demo"),
    ("THE CLOCK OF LOGGER", "clock"),
    ("ITS CLOCK FAILED", "clock"),
    ("its clock was not set", "clock"),
    // a time that no clock on the wall dates
    ("s on the logger's clock", "clock"),
    ("of the logger's clock", "clock"),
    ("This time has passed", "passed"),
    ("NOT COVERED BY A SIGNATURE", "unsigned"),
    ("released, and not signed", "unsigned"),
    ("HELD AGAINST NO KEY", "unchecked"),
    ("CODE NOT CHECKED", "unchecked"),
    ("entered at the logger, no signed decision", "entered"),
    ("decided by E. Invented, letter 17, signed", "decided"),
];

/// What all six say.
pub(crate) fn of(played: &Played, number: &str) -> [String; 6] {
    let site = Site::new(number, &played.files);
    for (place, evidence) in played.evidence.iter().enumerate() {
        site.take_in(played, place, evidence);
    }
    [
        played.bench.as_ref().map_or_else(|| NONE.to_owned(), |bench| screen(&mut bench.borrow_mut())),
        played.link.as_ref().map_or_else(|| NONE.to_owned(), |reader| status(&site, reader)),
        list(&site, played),
        page(&site, played),
        report(&site, played),
        prove(&site, played),
    ]
}

/// A verdict and the marks of a text.
fn marked(verdict: &str, text: &str) -> String {
    let mut all = vec![verdict];
    for (words, mark) in MARKS {
        if text.contains(words) && !all.contains(&mark) {
            all.push(mark);
        }
    }
    all.join(" ")
}

/// The verdict of a headline and its sentence.
#[track_caller]
fn verdict(headline: &str, sentence: &str) -> &'static str {
    let fits = |(head, words, _): &&(&str, &str, &str)| {
        let same = if head.ends_with(' ') { headline.starts_with(head) } else { headline == *head };
        same && sentence.contains(words)
    };
    HEADLINES.iter().find(fits).unwrap_or_else(|| panic!("{headline:?} says what nobody knows: {sentence}")).2
}

/// The display.
fn screen(bench: &mut Bench) -> String {
    let fault = shown(bench).map(|fault| format!("{fault:?}")).unwrap_or_default();
    bench.look_at(0);
    let resin = bench.page(|head, page| if let Page::Status(_) = page { Some(head.resin) } else { None });
    let verdict = match bench.state() {
        State::NotInjected(may) if may.is_yes() => "inject",
        State::NotInjected(_) | State::Refused { .. } => "do-not-inject",
        State::Settling { .. } | State::Wait(Wait::NotSeated | Wait::Curing(_)) => "wait",
        State::SeatNow { .. } => "seat",
        State::Wait(Wait::Held(_)) => "held",
        State::TorqueNow { too_low: None, .. } => "torque",
        State::TorqueNow { too_low: Some(_), .. } => "again",
        State::Cured { .. } | State::MayBeLoaded { .. } => "load",
        State::AcceptedAsIs { .. } => "ask",
        State::TooLate | State::DoNotLoad { .. } | State::Removed { .. } => "do-not-load",
    };
    let mut all = vec![verdict];
    if resin == Some(ResinUse::Demo) {
        all.push("demo");
    }
    if fault.starts_with("Clock") {
        all.push("clock");
    }
    all.join(" ")
}

/// `holdoff link PORT status`.
fn status(site: &Site, reader: &Reader) -> String {
    let socket = site.path("status.socket");
    let _served = serve(reader.device(), &socket, None);
    let (exit, out, err) = holdoff_link(&format!("unix:{}", socket.display()), &["status"]);
    assert_eq!(exit, 0, "{err}");
    let lines: Vec<&str> = out.lines().collect();
    let at = lines.iter().position(|line| line.starts_with(" 1  ")).unwrap_or_else(|| panic!("no fixing 1: {out}"));
    let (_, headline) = lines[at][4..].split_once("  ").expect("a headline behind the label");
    let of_fixing: Vec<&str> = lines[at + 1..].iter().take_while(|line| line.starts_with("    ")).copied().collect();
    let warnings: Vec<&str> = lines.iter().filter(|line| line.starts_with("  ! ")).copied().collect();
    let demo = if out.contains("DEMO RESIN") { "DEMO RESIN" } else { "" };
    marked(
        verdict(headline.trim(), of_fixing.first().expect("a sentence")),
        &format!("{}\n{}\n{demo}", of_fixing.join("\n"), warnings.join("\n")),
    )
}

/// `holdoff register list`.
fn list(site: &Site, played: &Played) -> String {
    let text = site.register(&["list"]);
    let label = format!("  {}", played.name);
    let mut lines: Vec<&str> = text.lines().collect();
    let at = lines.iter().position(|line| line.starts_with(&format!("{label} "))).unwrap_or_else(|| panic!("{text}"));
    let fixing: Vec<&str> = lines.split_off(at);
    let own: Vec<&str> = fixing[1..].iter().take_while(|line| line.starts_with("    ")).copied().collect();
    let head = fixing[0].strip_prefix(&label).unwrap_or_default().trim();
    // what is said of its logger stands over its fixings
    let logger: Vec<&str> =
        lines.iter().filter(|line| line.starts_with("  ! ") || !line.starts_with(' ')).copied().collect();
    let demo = if text.contains("DEMO RESIN") { "DEMO RESIN" } else { "" };
    let beside = format!("{}\n{}\n{demo}", own.join("\n"), logger.join("\n"));
    if head.starts_with("release of ") {
        let said = own.iter().find_map(|line| line.trim().starts_with("DO NOT LOAD: ").then_some("do-not-load"));
        let proved = head.contains(": proved ") || head.contains(": PROVED ");
        let by_code = match (said, proved, head.contains("torqued to")) {
            (Some(said), _, _) => said,
            (None, true, _) => "load",
            (None, false, _) => panic!("nobody forbids it, and nobody proved it: {text}"),
        };
        return marked(by_code, &format!("{head}\n{beside}"));
    }
    marked(verdict(head, own.first().expect("a sentence")), &beside)
}

/// The foreman's page in the terminal; the file has the same rows.
fn page(site: &Site, played: &Played) -> String {
    let text = site.board(played);
    let (mut section, mut found) = ("", None);
    let lines: Vec<&str> = text.lines().collect();
    for (place, line) in lines.iter().enumerate() {
        if !line.starts_with(' ') && line.ends_with(')') {
            section = line.rsplit_once(" (").map_or("", |(name, _)| name);
        }
        if line.starts_with(&format!("  {} (", played.name)) || line.starts_with(&format!("  {} to ", played.name)) {
            found = Some((section, place));
        }
    }
    let (section, place) = found.unwrap_or_else(|| panic!("no {}: {text}", played.name));
    let row: Vec<&str> = lines[place + 1..].iter().take_while(|line| line.starts_with("    ")).copied().collect();
    let headline = row.first().expect("a headline").trim();
    let verdict = match headline {
        // told by a release code alone
        "CURED" | "RELEASED" if row[1].contains("By its release code") => "load",
        _ => verdict(headline, &row[1..].join("\n")),
    };
    let allowed: &[&str] = match section {
        "SEAT NOW" => &["seat"],
        "MAY BE TORQUED" => &["torque", "again", "load"],
        "LOOK AT THE LOGGER: NOT SIGNED" => &["ask"],
        "NEXT" => &["wait"],
        "HELD, NO FORECAST" => &["held", "wait"],
        "DO NOT LOAD" => &["do-not-load", "ask"],
        "DO NOT INJECT" => &["do-not-inject"],
        "NOT INJECTED" => &["nothing"],
        "RELEASED" => &["load"],
        _ => &[],
    };
    assert!(allowed.contains(&verdict), "{verdict} stands under {section}: {text}");
    let head: Vec<&str> =
        lines.iter().filter(|line| line.starts_with("! ") || line.starts_with("DEMO")).copied().collect();
    let file = site.board_file(played);
    assert!(file.contains(headline), "the file says something else: {headline}");
    marked(verdict, &format!("{}\n{}", head.join("\n"), row.join("\n")))
}

/// The hand-over record: a sheet, or a line of the overview.
fn report(site: &Site, played: &Played) -> String {
    let (html, exit) = site.report(played);
    let demo = if html.contains("DEMO RESIN") { "DEMO RESIN" } else { "" };
    let between = |text: &str, from: &str, to: &str| -> Option<String> {
        let (_, rest) = text.split_once(from)?;
        Some(rest.split_once(to)?.0.to_owned())
    };
    let plain = |text: &str| text.replace("&#39;", "'").replace("&amp;", "&");
    let first = between(&html, "<section class=\"first\">", "</section>").unwrap_or_default();
    let named = |text: &str| text.contains(&format!(">{}<", played.name));
    let clocks = html.split("<section").next().unwrap_or_default().to_owned();
    let sheet = html.split("<article").skip(1).find(|sheet| sheet.contains(&format!("<h2>{}</h2>", played.name)));
    let Some(sheet) = sheet else {
        let row = html
            .split("<tr>")
            .find(|row| row.starts_with("<th scope=\"row\">") && named(row))
            .unwrap_or_else(|| panic!("no {}: {html}", played.name));
        let cells: Vec<&str> = row.split("<td>").skip(1).map(|cell| cell.split("</td>").next().unwrap_or("")).collect();
        let said = plain(cells[1]);
        let forbidden = named(&first);
        let word = match said.as_str() {
            "NOT INJECTED" | "The register holds nothing of it." | "nothing is recorded of it" => "nothing",
            _ if forbidden && first.contains("DO NOT LOAD") => "do-not-load",
            _ if said.starts_with("known by its release code of ")
                && said.contains("proved: signed")
                && exit == 0
                && !forbidden =>
            {
                "load"
            }
            "DO NOT INJECT" => "do-not-inject",
            _ if forbidden => "do-not-load",
            _ => panic!("the overview says what nobody knows: {said}"),
        };
        return marked(word, &format!("{said}\n{demo}\n{clocks}"));
    };
    let headline = ["alarm", "panel"]
        .into_iter()
        .find_map(|class| between(sheet, &format!("<p class=\"headline {class}\">"), "</p>"));
    let headline = plain(&headline.expect("a headline"));
    let sentence = plain(&between(sheet, "</p><p>", "</p>").expect("a sentence"));
    let word = verdict(&headline, &sentence);
    // whatever somebody might load comes first
    let removed = headline == "REJECTED, TO BE REMOVED";
    assert_eq!(named(&first), headline.starts_with("DO NOT LOAD") || headline.ends_with("NOT SIGNED"), "{headline}");
    assert!(word != "do-not-load" || named(&first) || removed, "{headline} is not told first");
    marked(word, &format!("{}\n{demo}\n{clocks}", plain(sheet.split("<table").next().unwrap_or_default())))
}

/// `holdoff prove` of one piece of evidence.
fn prove(site: &Site, played: &Played) -> String {
    let Asked::Of(place) = played.prove else { return NONE.to_owned() };
    let text = site.prove(played, place);
    let label = format!("{}: ", played.name);
    let lines: Vec<&str> = text.lines().collect();
    let at = lines.iter().position(|line| line.starts_with(&label)).unwrap_or_else(|| panic!("no {label}: {text}"));
    let word = match lines[at].strip_prefix(&label) {
        Some("PROVED") => "proved",
        Some("NOT PROVED") => "not-proved",
        Some("NO RELEASE YET") => "none-yet",
        Some("NO RELEASE") => "none",
        other => panic!("{other:?}: {text}"),
    };
    let own: Vec<&str> = lines[at + 1..].iter().take_while(|line| line.starts_with("  ")).copied().collect();
    let demo = if text.contains("DEMO RESIN") { "DEMO RESIN" } else { "" };
    let unset = if own.iter().any(|line| line.contains("NOT SET")) { "its clock was not set" } else { "" };
    let trace = own.iter().any(|line| line.contains("a recorded trace"));
    marked(word, &format!("{demo}\n{unset}\n{}", if trace { "RECORDED TRACE" } else { "" }))
}
