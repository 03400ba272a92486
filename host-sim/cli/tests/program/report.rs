//! The hand-over record: an inspector's reckoning from the page alone, how it looks on paper, and what it refuses.

use crate::board_support::browser::Browser;
use crate::folder::{demo, holdoff};
use crate::report_support::inspector::{Inspected, inspect};
use crate::report_support::site::{Site, proof_test};
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
    let docs = include_str!("../../../../docs/report.md");
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
        // the whole group once, and in the other languages the fixing of which most is to be said
        let only: &[&str] = if language == "en" { &[] } else { &["--fixing", "bollard 3 stud 3"] };
        let (job, public) = (demo("quay-job.toml"), site.public());
        let arguments = [&image, "--job", &job, "--keys", &public, "--language", language];
        let page = site.report(&out, &[&arguments[..], only].concat());
        browser.open(&format!("file://{page}"));
        assert_eq!(browser.value("document.documentElement.lang"), language);
        // A4 less the margins of the sheet, in CSS pixels
        browser.call("Emulation.setEmulatedMedia", json!({"media": "print"}));
        browser.size(688, 1000);
        assert_eq!(browser.value(WIDER), json!([]), "{language} on paper");
        browser.call("Emulation.setEmulatedMedia", json!({"media": ""}));
        for width in [390, 794] {
            browser.size(width, 1123);
            let wide = browser.value("document.documentElement.scrollWidth").as_u64().unwrap();
            assert!(wide <= u64::from(width), "{language}: {wide} of {width}");
        }
        browser.picture(&format!("report-{language}"));
        let printed = browser.call("Page.printToPDF", json!({"preferCSSPageSize": true}));
        let pdf = data_encoding::BASE64.decode(printed["data"].as_str().unwrap().as_bytes()).unwrap();
        assert!(pdf.starts_with(b"%PDF-"));
    }
    let page = browser.value("document.body.innerText");
    for words in
        ["Ne jamais l'utiliser sur chantier", "pas une autorisation de charger", "aucun bon de mise en charge signé"]
    {
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
    let wrong = site.path("tests.toml");
    std::fs::write(&wrong, proof_tests("0.12")).unwrap();
    let cases: [(&[&str], i32, &str); 9] = [
        (&[&image], 2, "--out"),
        (&["missing.bin", "--out", &out], 3, "missing.bin: it can't be read"),
        (&[&slow, "--out", &out], 3, "this is a resin file, and the memory of a logger is needed here"),
        (&[&image, "--fixing", "stud 9", "--out", &out], 3, "no fixing named \"stud 9\""),
        (&[&image, "--job", &slow, "--out", &out], 3, "harbour-slow.toml:"),
        (&[&image, "--out", &nowhere], 3, "it can't be written"),
        (&[&image, "--register", "quay.db", "--out", &out], 2, "cannot be used with"),
        (&["--register", "no.db", "--out", &out], 3, "no.db: there is no such register"),
        (&[&image, "--proof-tests", &wrong, "--out", &out], 3, "tests.toml:2:10: there is no fixing named \"L2-1\""),
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
    // nor does anything count in a log with a hole
    let whole = std::fs::read(&image).unwrap();
    for (place, missing, untrusted) in [(700, "page 1", 4), (1_212, "page 2", 0)] {
        let mut damaged = whole.clone();
        damaged[place] ^= 0x10;
        std::fs::write(&image, damaged).unwrap();
        let output = holdoff(&["report", &image, "--keys", &site.public(), "--out", &page]);
        assert_eq!(output.status.code(), Some(1), "{}", String::from_utf8_lossy(&output.stderr));
        let text = std::fs::read_to_string(&page).unwrap();
        assert_eq!(text.matches("<td>DO NOT LOAD: LOG NOT TRUSTED</td>").count(), untrusted);
        assert_eq!(text.matches("<td>DO NOT LOAD: REJECTED</td>").count(), 4 - untrusted);
        assert!(text.contains(&format!("{missing} is missing or damaged")));
        assert!(!text.contains("RELEASED") && !text.contains("CURED<") && !text.contains("NOT INJECTED"));
    }
}

#[test]
fn a_fixing_that_the_job_calls_by_its_number_is_one_fixing_in_every_language() {
    let site = Site::new("numbered");
    let job = site.job();
    let text = std::fs::read_to_string(&job).unwrap();
    std::fs::write(&job, text.replace("name_prefix = \"L2-\"", "name_prefix = \"fixing \"")).unwrap();
    let register = site.register(&job);
    let rows = |language: &str| {
        let page = site.report("numbered.html", &["--register", &register, "--job", &job, "--language", language]);
        let text = std::fs::read_to_string(page).unwrap();
        let overview = text.split_once("section class=\"overview\"").unwrap().1.split_once("</section>").unwrap().0;
        overview.matches("<tr>").count()
    };
    // a head, and a row for each of the 58
    assert_eq!(["en", "de", "fr"].map(rows), [59, 59, 59]);
}

#[test]
fn fixings_whose_memory_lost_the_beginning_of_their_session_are_told_as_the_register_keeps_them() {
    let site = Site::new("lost");
    let job = site.job();
    let register = site.register(&job);
    let page = |status: i32| {
        let out = site.path("lost.html");
        let output = holdoff(&["report", "--register", &register, "--job", &job, "--out", &out]);
        assert_eq!(output.status.code(), Some(status), "{}", String::from_utf8_lossy(&output.stderr));
        let text = std::fs::read_to_string(out).unwrap();
        ["LOG NOT TRUSTED", "the register holds nothing of it"].map(|words| text.matches(words).count())
    };
    let [doubted, nothing] = page(0);
    // as a later memory leaves it in which the page of the job can't be read
    let lost = "UPDATE session SET first_page = 900, untrusted = '{\"code\":\"page-lost\",\"page\":0}'";
    assert_eq!(rusqlite::Connection::open(&register).unwrap().execute(lost, []).unwrap(), 1);
    let [doubted_now, nothing_now] = page(1);
    assert!(doubted == 0 && doubted_now >= 4, "{doubted_now}");
    assert_eq!(nothing_now, nothing, "what the register holds is not nothing");
}

#[test]
fn a_release_known_by_its_code_alone_is_held_against_the_keys_that_are_given() {
    let site = Site::new("code");
    let (image, _) = site.image("quay", &std::fs::read_to_string(demo("quay.toml")).unwrap());
    let listing: Value = serde_json::from_slice(&holdoff(&["read", &image, "--json"]).stdout).unwrap();
    let records = listing["sessions"][0]["records"].as_array().unwrap();
    let code = records.iter().find_map(|record| record["code"].as_str()).unwrap();
    let (register, page, other) = (site.path("site.db"), site.path("code.html"), site.keys("other"));
    assert!(holdoff(&["register", "--file", &register, "add", code]).status.success());
    let report = |keys: &str, more: &[&str]| {
        let arguments = ["report", "--register", &register, "--keys", keys, "--out", &page];
        let exit = holdoff(&[&arguments[..], more].concat()).status.code();
        (exit, std::fs::read_to_string(&page).unwrap_or_default())
    };
    let (exit, proved) = report(&site.public(), &[]);
    assert!(exit == Some(0) && proved.contains("proved: signed by"), "{proved}");
    assert!(!proved.contains("no keys were given") && !proved.contains("DO NOT LOAD"), "{proved}");
    let (exit, void) = report(&other, &["--fixing", "bollard 3 stud 1"]);
    assert!(exit == Some(1) && void.contains("DO NOT LOAD: RELEASE NOT PROVED"), "{void}");
    // and so says the register's list, once it was held against them there
    assert_eq!(holdoff(&["register", "--file", &register, "prove", "--keys", &other]).status.code(), Some(1));
    let list = String::from_utf8(holdoff(&["register", "--file", &register, "list"]).stdout).unwrap();
    assert!(list.contains("DO NOT LOAD: RELEASE NOT PROVED"), "{list}");
}

/// Tests of three sleeves, the first displaced by so much, the third loaded before it was cured.
fn proof_tests(first: &str) -> String {
    proof_test("L2-1", "2022-01-07T10:00:00-07:00", ["9.0", "3min"], first, "passed")
        + &proof_test("L2-2", "2022-01-07T10:20:00-07:00", ["9.5", "4min"], "0.2", "passed")
        + &proof_test("L2-3", "2022-01-04T10:20:00-07:00", ["9.0", "3min"], "0.1", "passed")
        + "note = \"<early>\"\n"
}

#[test]
fn a_job_is_handed_over_with_what_was_tested_and_what_is_missing() {
    let site = Site::new("job");
    let job = site.job();
    let register = site.register(&job);
    let tests = site.path("tests.toml");
    std::fs::write(&tests, proof_tests("0.12")).unwrap();
    let of_job = ["--register", &register, "--job", &job];
    let page = site.report("job.html", &[&of_job[..], &["--proof-tests", &tests]].concat());
    let mut browser = Browser::new("job", 794, 1123);
    browser.open(&format!("file://{page}"));
    let text = |browser: &mut Browser, selector: &str| {
        browser.value(&format!("document.querySelector('{selector}').innerText")).as_str().unwrap().to_owned()
    };
    let rows = browser.value("document.querySelectorAll('table.overview tbody tr').length");
    // a sheet for each fixing to which something was done
    assert_eq!((rows, browser.value("document.querySelectorAll('article.sheet').length")), (json!(58), json!(4)));
    let overview = text(&mut browser, "table.overview");
    assert!(
        overview.contains("L2-1\tladder 2\tRELEASED\tproved\t") && overview.contains("L2-12\tladder 2\tNOT INJECTED")
    );
    assert!(overview.contains("PH-1\tpipe hangers\tthe register holds nothing of it"), "{overview}");
    // what an earlier proof came to is told without keys
    assert!(text(&mut browser, "#fixing-1 table.loaded").contains("proved: the chain holds"));
    // the third was loaded before it was cured: it does not count, and one more is asked for
    let ladder = "#group-1-2";
    let standing = text(&mut browser, &format!("{ladder} .standing"));
    assert_eq!(standing, "2 tested, 3 asked for, 0 failed: 1 MORE TO BE TESTED.");
    let third = text(&mut browser, "#fixing-3 table.proof-tests");
    assert!(third.contains("LOADED BEFORE IT WAS CURED") && third.contains("<early>"), "{third}");
    assert!(text(&mut browser, "#fixing-4 .tests").contains("No test of this fixing was handed in."));
    assert_eq!(browser.value(&format!("document.querySelector('{ladder} .standing').className")), "standing alarm");
    browser.picture("report-job");
    browser.call("Emulation.setEmulatedMedia", json!({"media": "print"}));
    browser.size(688, 1000);
    assert_eq!(browser.value(WIDER), json!([]), "on paper");
    // a failure asks for more
    std::fs::write(&tests, proof_tests("0.21")).unwrap();
    let page = site.report("failed.html", &[&of_job[..], &["--proof-tests", &tests]].concat());
    let failed = std::fs::read_to_string(page).unwrap();
    assert!(failed.contains("2 tested, 6 asked for, 1 failed: 4 MORE TO BE TESTED."));
    assert!(failed.contains("displaced by more than what passes, though said to be passed"));
    // nothing handed in is said
    let none = std::fs::read_to_string(site.report("none.html", &of_job)).unwrap();
    assert!(none.contains("No results of proof tests were handed in. 0 tested, 3 asked for, 0 failed: 3 MORE"));
    // one fixing of the job, by its name
    let one = std::fs::read_to_string(site.report("one.html", &[&of_job[..], &["--fixing", "L2-4"]].concat())).unwrap();
    assert!(one.contains("<h2>L2-4</h2>") && !one.contains("<h2>L2-1</h2>") && one.contains("Hand-over record: L2-4"));
}
