//! The hand-over record: an inspector's reckoning from the page alone, how it looks on paper, and what it refuses.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

#[path = "board_support/browser.rs"]
mod browser;
mod report_support;

use browser::Browser;
use report_support::inspector::{Inspected, inspect};
use report_support::site::{Site, demo, holdoff};
use serde_json::{Value, json};

/// Every fixing of a page is reckoned from the page, and the page and the engine say the same second.
fn reckoned(browser: &mut Browser, page: &str, engine: &[Value]) -> Vec<Inspected> {
    browser.open(&format!("file://{page}"));
    let inspected: Vec<Inspected> = (1..=engine.len()).map(|number| inspect(browser, number)).collect();
    for (found, engine) in inspected.iter().zip(engine) {
        assert_eq!(found.label, engine["fixing"], "{engine}");
        assert_eq!(found.cured.as_deref(), engine["cured_at"].as_str(), "{engine}");
        let counted: Vec<u64> =
            engine["bands"].as_array().unwrap().iter().map(|band| band["counted_s"].as_u64().unwrap()).collect();
        assert_eq!(found.counted, counted, "{engine}");
    }
    inspected
}

#[test]
fn an_inspector_reckons_the_release_from_what_stands_on_the_page_alone() {
    let site = Site::new("reckoned");
    let mut browser = Browser::new("reckoned", 794, 1123);
    // the coldest-band rule: released, curing in a hole that turned out wet, loaded early, cured over a gap
    let (image, engine) = site.image("quay", &std::fs::read_to_string(demo("quay.toml")).unwrap());
    let page = site.report("quay.html", &[&image, "--keys", &site.public()]);
    let found = reckoned(&mut browser, &page, &engine);
    assert_eq!(found[0].released.as_deref(), Some("2022-01-04T11:00:00-07:00"));
    assert_eq!(engine[0]["stage"], "released");
    // docs/report.md shows the reckoning of the first stud as the page has it
    let lines = browser.value("[...document.querySelectorAll('#fixing-1 .reckoning li')].map(line => line.innerText)");
    let lines: Vec<&str> = lines.as_array().unwrap().iter().map(|line| line.as_str().unwrap()).collect();
    let docs = include_str!("../../docs/report.md");
    let shown = docs.split_once("<!-- reckoning -->\n```text\n").unwrap().1.split_once("\n```").unwrap().0;
    assert_eq!(lines, shown.lines().collect::<Vec<_>>());
    assert!(found.iter().filter(|fixing| fixing.cured.is_some()).count() >= 2);
    // the same by both rules in wet holes, with an in-hole reading, held by the cold, with readings left out
    for rule in ["coldest", "accrual"] {
        let (image, engine) = site.image(rule, &site.hard(rule));
        let page = site.report(&format!("{rule}.html"), &[&image]);
        let found = reckoned(&mut browser, &page, &engine);
        assert!(found.iter().all(|fixing| fixing.cured.is_some()), "{engine:?}");
        assert!(found.iter().any(|fixing| fixing.held > 0) && found.iter().all(|fixing| fixing.unobserved > 0));
        assert!(found[0].released.is_some(), "{:?}", engine[0]);
    }
}

#[test]
fn the_page_fits_its_paper_and_the_phone_and_prints() {
    let site = Site::new("paper");
    let (image, _) = site.image("quay", &std::fs::read_to_string(demo("quay.toml")).unwrap());
    let mut browser = Browser::new("paper", 794, 1123);
    for language in ["en", "de", "fr"] {
        let out = format!("{language}.html");
        let page = site
            .report(&out, &[&image, "--job", &demo("quay-job.toml"), "--keys", &site.public(), "--language", language]);
        browser.open(&format!("file://{page}"));
        assert_eq!(browser.value("document.documentElement.lang"), language);
        // A4 less the margins of the sheet, in CSS pixels
        browser.call("Emulation.setEmulatedMedia", json!({"media": "print"}));
        browser.size(688, 1000);
        assert_eq!(browser.value(WIDER), json!([]), "{language} on paper");
        browser.call("Emulation.setEmulatedMedia", json!({"media": ""}));
        browser.size(794, 1123);
        assert_eq!(browser.value("document.documentElement.scrollWidth <= innerWidth"), true, "{language}");
        browser.picture(&format!("report-{language}"));
        let printed = browser.call("Page.printToPDF", json!({"preferCSSPageSize": true}));
        let pdf = data_encoding::BASE64.decode(printed["data"].as_str().unwrap().as_bytes()).unwrap();
        assert!(pdf.starts_with(b"%PDF-"));
    }
    let page = browser.value("document.body.innerText");
    for words in ["Ne jamais l'utiliser sur chantier", "pas une autorisation de charger", "libération signée"] {
        assert!(page.as_str().unwrap().contains(words), "{words}");
    }
    // every head of a table says what it heads, and nothing was fetched or complained of
    let heads = "[...document.querySelectorAll('th')].every(head => ['row', 'col'].includes(head.scope))";
    assert_eq!(browser.value(heads), true);
    assert_eq!(browser.complaints(), Vec::<String>::new());
    assert!(browser.requests().iter().all(|address| address.starts_with("file:") || address.starts_with("data:")));
}

/// What reaches beyond the width of the sheet.
const WIDER: &str = "[...document.querySelectorAll('body *')].filter(element => \
    element.getBoundingClientRect().right > innerWidth + 0.5).map(element => element.outerHTML.slice(0, 80))";

#[test]
fn names_from_files_stay_text() {
    let site = Site::new("names");
    let odd = "<b>&\"'</b>";
    let scenario = format!("[[fixing]]\nname = {}\nhole = \"dry\"\n", serde_json::to_string(odd).unwrap());
    let (image, _) = site.image("odd", &site.with_trace(&scenario));
    let page = site.report("odd.html", &[&image]);
    let text = std::fs::read_to_string(&page).unwrap();
    assert!(text.contains("&lt;b&gt;&amp;&quot;'&lt;/b&gt;") && !text.contains("<b>"));
}

#[test]
fn what_cannot_be_reported_is_said_with_its_status_and_leaves_no_file() {
    let site = Site::new("refused");
    let (image, _) = site.image("quay", &std::fs::read_to_string(demo("quay.toml")).unwrap());
    let out = site.path("no.html");
    let (slow, nowhere) = (demo("harbour-slow.toml"), site.path("no/no.html"));
    let cases: [(&[&str], i32, &str); 6] = [
        (&[&image], 2, "--out"),
        (&["missing.bin", "--out", &out], 3, "missing.bin: it can't be read"),
        (&[&slow, "--out", &out], 3, "are no memory of a logger"),
        (&[&image, "--fixing", "stud 9", "--out", &out], 3, "no fixing named \"stud 9\""),
        (&[&image, "--job", &slow, "--out", &out], 3, "harbour-slow.toml:"),
        (&[&image, "--out", &nowhere], 3, "it can't be written"),
    ];
    for (arguments, status, words) in cases {
        let output = holdoff(&[&["report"], arguments].concat());
        let error = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(status), "{arguments:?}: {error}");
        assert!(error.contains(words) && output.stdout.is_empty(), "{arguments:?}: {error}");
    }
    assert!(!std::path::Path::new(&out).exists());
}

#[test]
fn a_release_that_other_keys_do_not_prove_is_void_on_the_page() {
    let site = Site::new("void");
    let (image, _) = site.image("quay", &std::fs::read_to_string(demo("quay.toml")).unwrap());
    let other = site.keys("other");
    let page = site.path("void.html");
    let name = "bollard 3 stud 1";
    let output = holdoff(&["report", &image, "--keys", &other, "--fixing", name, "--out", &page]);
    assert_eq!(output.status.code(), Some(1), "{}", String::from_utf8_lossy(&output.stderr));
    let text = std::fs::read_to_string(&page).unwrap();
    assert!(text.contains("DO NOT LOAD: RELEASE NOT PROVED") && !text.contains("RELEASED<"));
    assert!(!text.contains("bollard 3 stud 2"));
}
