//! What stands against a fixing is told first and nobody is told to load it: proof tests, job files, torques that were too low.

use crate::board_support::loaded::loaded;
use crate::folder::{demo, holdoff};
use crate::report_support::site::{Site, proof_test};
use holdoff_core::fixing::{Action, Injection};
use holdoff_core::quantity::Torque;

/// What lets the next trade load it.
const LOAD: &str = "let the next trade load it";

/// A sleeve that failed, and one that was loaded before it was cured.
fn proof_tests() -> String {
    proof_test("L2-1", "2022-01-07T10:00:00-07:00", ["9.0", "3min"], "0.1", "failed")
        + &proof_test("L2-3", "2022-01-04T10:20:00-07:00", ["9.0", "3min"], "0.1", "passed")
}

fn text(path: &str) -> String {
    std::fs::read_to_string(path).unwrap()
}

/// The part that is told before everything else; empty where there is none.
fn first(page: &str) -> String {
    let Some((before, rest)) = page.split_once("<section class=\"first\">") else { return String::new() };
    assert!(!before.contains("class=\"overview\"") && !before.contains("<article"), "{before}");
    rest.split_once("</section>").unwrap().0.to_owned()
}

/// The sheet of a fixing.
fn sheet(page: &str, name: &str) -> String {
    let sheets = page.split("<article").skip(1);
    let mut found = sheets.filter(|sheet| sheet.contains(&format!("<h2>{name}</h2>")));
    found.next().unwrap_or_else(|| panic!("no sheet of {name}")).to_owned()
}

fn board(register: &str, more: &[&str]) -> String {
    String::from_utf8(holdoff(&[&["board", "--register", register], more].concat()).stdout).unwrap()
}

#[test]
fn a_failed_proof_test_and_a_load_before_the_cure_come_first_and_nobody_is_told_to_load_it() {
    let site = Site::new("against-tests");
    let job = site.job();
    let register = site.register(&job);
    let tests = site.path("tests.toml");
    std::fs::write(&tests, proof_tests()).unwrap();
    let page = text(&site.report("tests.html", &["--register", &register, "--job", &job, "--proof-tests", &tests]));
    let told = first(&page);
    assert!(told.contains(">L2-1</a>") && told.contains("DO NOT LOAD: PROOF TEST FAILED"), "{told}");
    assert!(told.contains("a proof test of it failed (2022-01-07T10:00:00-07:00, B. Invented)"), "{told}");
    assert!(told.contains(">L2-3</a>") && told.contains("DO NOT LOAD: LOADED BEFORE IT WAS CURED"), "{told}");
    assert!(!told.contains("L2-2"), "{told}");
    for (name, head) in [("L2-1", "DO NOT LOAD: PROOF TEST FAILED"), ("L2-3", "DO NOT LOAD: LOADED BEFORE")] {
        let sheet = sheet(&page, name);
        assert!(sheet.contains(head) && sheet.contains("Do not load it: ") && !sheet.contains(LOAD), "{sheet}");
    }
    assert!(sheet(&page, "L2-2").contains(LOAD));
    // the same without a job file: what whoever tested says counts by itself
    let image = site.path("ladder.bin");
    let page = text(&site.report("alone.html", &[&image, "--proof-tests", &tests]));
    assert!(first(&page).contains("PROOF TEST FAILED") && !sheet(&page, "L2-1").contains(LOAD));
    // and nothing stands first where nothing stands against anything
    let page = text(&site.report("fine.html", &["--register", &register, "--job", &job]));
    assert!(first(&page).is_empty() && sheet(&page, "L2-1").contains(LOAD));
}

#[test]
fn what_a_logger_was_loaded_with_otherwise_than_the_job_file_says_comes_first() {
    let site = Site::new("against-job");
    let job = site.job();
    let register = site.register(&job);
    let image = site.path("ladder.bin");
    let of = |job: &str| text(&site.report("job.html", &[&image, "--job", job, "--fixing", "L2-1"]));
    let right = of(&job);
    assert!(first(&right).is_empty() && sheet(&right, "L2-1").contains(LOAD));
    let changed = site.path("changed.toml");
    let change = |from: &str, to: &str| {
        let before = text(&job);
        assert!(before.contains(from), "{from}");
        std::fs::write(&changed, before.replace(from, to)).unwrap();
        of(&changed)
    };
    let cases = [
        ("name = \"Quay rebuilding", "name = \"Quay  rebuilding", "from another job file or version of it, "),
        ("torque_nm = 20.0", "torque_nm = 30.0", "otherwise than the job file says (Installation torque)"),
        ("uncertainty_c = 1.0", "uncertainty_c = 1.5", "(Uncertainty of a reading)"),
        ("name_prefix = \"L2-\"", "name_prefix = \"L9-\"", "the job file knows no fixing of this name"),
    ];
    for (from, to, words) in cases {
        let page = change(from, to);
        assert!(first(&page).contains("LOG AND JOB FILE CONTRADICT EACH OTHER"), "{to}: {page}");
        assert!(first(&page).contains(words), "{to}: {}", first(&page));
        let sheet = sheet(&page, "L2-1");
        assert!(sheet.contains("CONTRADICT EACH OTHER") && !sheet.contains(LOAD), "{to}: {sheet}");
    }
    // another resin under the very same job file
    let resin = site.path("harbour-slow.toml");
    std::fs::write(&resin, text(&resin) + "\n# another day\n").unwrap();
    let page = of(&job);
    assert!(first(&page).contains("another resin than the one that the job file names"), "{page}");
    assert!(!sheet(&page, "L2-1").contains(LOAD) && !page.contains("another job file"), "{page}");
    assert!(std::path::Path::new(&register).exists());
}

/// The ladder's logger, loaded from a job file: its first sleeve released, the second torqued much too early, the third curing.
fn ladder(site: &Site, job: &str) -> String {
    let _ = site.hard("coldest");
    let torque = |at: i64| (at, Action::Torque(Torque::from_hundredths(2000)));
    let start = 1_641_186_000; // 2022-01-03T05:00:00Z
    let begun = |from: i64| vec![(from, Action::Inject(Injection::default())), (from + 120, Action::Seat)];
    let mut acts = vec![begun(start), begun(start + 600), begun(start + 3600)];
    acts[0].push(torque(start + 70 * 3600));
    acts[1].push(torque(start + 3600));
    let memory = loaded(job, "ladder 2", &site.path("hard.csv"), &site.path("logger/secret.key"), &acts);
    std::fs::write(site.path("ladder.bin"), memory).unwrap();
    let register = site.path("quay.db");
    let added = holdoff(&["register", "--file", &register, "add", &site.path("ladder.bin"), "--keys", &site.public()]);
    assert!(added.status.success(), "{}", String::from_utf8_lossy(&added.stderr));
    register
}

#[test]
fn what_was_done_under_an_earlier_version_of_the_job_file_stands_in_its_row_and_on_its_sheet() {
    let site = Site::new("against-version");
    let job = site.job();
    let register = ladder(&site, &job);
    let corrected = site.path("corrected.toml");
    std::fs::write(&corrected, text(&job) + "\n# corrected\n").unwrap();
    let sum = <sha2::Sha256 as sha2::Digest>::digest(text(&job).as_bytes());
    let hash: String = sum.iter().take(6).map(|byte| format!("{byte:02x}")).collect();
    let row = |board: &str, name: &str| {
        let lines: Vec<&str> = board.lines().collect();
        let at = lines.iter().position(|line| line.starts_with(&format!("  {name} ("))).expect(board);
        lines[at..].iter().take_while(|line| !line.is_empty()).copied().collect::<Vec<_>>().join("\n")
    };
    let words = format!("loaded from another job file or version, {hash}");
    let told = board(&register, &["--job", &corrected]);
    let rejected = row(&told, "L2-2");
    assert!(rejected.contains("DO NOT LOAD: REJECTED") && rejected.contains(&words), "{rejected}");
    let released = row(&told, "L2-1");
    assert!(
        released.contains("DO NOT LOAD: OTHER JOB FILE") && released.contains("its logger says RELEASED"),
        "{told}"
    );
    assert!(released.contains(&words) && released.contains("(--job)") && !released.contains(LOAD), "{released}");
    // nothing was done to the fourth
    let fourth = row(&told, "L2-4 to L2-12");
    assert!(fourth.contains("NOT INJECTED") && fourth.contains("The register holds nothing of it."), "{fourth}");
    assert!(!told.contains("RELEASED (") && !told.contains("MAY BE TORQUED ("), "{told}");
    // with that version as well it is told as any other
    let both = board(&register, &["--job", &job, "--job", &corrected]);
    assert!(row(&both, "L2-1").contains(LOAD) && !both.contains("another job file"), "{both}");
    // the file, and the hand-over record
    let page = site.path("board.html");
    assert!(holdoff(&["board", "--register", &register, "--job", &corrected, "--out", &page]).status.success());
    assert!(text(&page).contains("DO NOT LOAD: OTHER JOB FILE") && text(&page).contains(&words));
    let report = text(&site.report("version.html", &["--register", &register, "--job", &corrected]));
    for name in ["L2-1", "L2-2"] {
        assert!(first(&report).contains(&format!(">{name}</a>")), "{}", first(&report));
        let sheet = sheet(&report, name);
        assert!(sheet.contains(&hash) && sheet.contains("DO NOT LOAD") && !sheet.contains(LOAD), "{sheet}");
    }
    assert!(sheet(&report, "L2-2").contains("DO NOT LOAD: REJECTED"));
    assert!(!report.contains("<article class=\"sheet\" id=\"fixing-4\""));
}

#[test]
fn a_code_of_another_version_of_the_job_file_releases_nothing() {
    let site = Site::new("against-code");
    let job = site.job();
    ladder(&site, &job);
    let listing = holdoff(&["read", &site.path("ladder.bin"), "--json"]);
    let listing: serde_json::Value = serde_json::from_slice(&listing.stdout).unwrap();
    let records = listing["sessions"][0]["records"].as_array().unwrap();
    let code = records.iter().find_map(|record| record["code"].as_str()).unwrap();
    let register = site.path("codes.db");
    assert!(holdoff(&["register", "--file", &register, "add", code, "--keys", &site.public()]).status.success());
    let corrected = site.path("corrected.toml");
    std::fs::write(&corrected, text(&job) + "\n# corrected\n").unwrap();
    assert!(board(&register, &["--job", &job]).contains("RELEASED (1)"));
    let told = board(&register, &["--job", &corrected]);
    assert!(told.contains("DO NOT LOAD: OTHER JOB FILE") && !told.contains("RELEASED (1)"), "{told}");
    let report = text(&site.report("code.html", &["--register", &register, "--job", &corrected]));
    assert!(first(&report).contains("L2-1") && first(&report).contains("CONTRADICT EACH OTHER"), "{}", first(&report));
}

#[test]
fn a_torque_that_was_too_low_is_told_until_there_is_another() {
    let site = Site::new("against-torque");
    let quay = text(&demo("quay.toml"));
    let own = "\n[[fixing.action]]\nat = 2022-01-04T11:00:00-07:00\ntorque = 40.0\n";
    assert!(quay.contains(own));
    let low = "\n[[fixing.action]]\nat = 2022-01-04T11:00:00-07:00\ntorque = 30.0\n";
    let again = |torque: &str| format!("{low}[[fixing.action]]\nat = 2022-01-04T11:10:00-07:00\ntorque = {torque}\n");
    let name = "bollard 3 stud 1";
    for (number, (acts, head)) in [
        (low.to_owned(), "TORQUED TOO LOW: AGAIN"),
        (again("37.99"), "TORQUED TOO LOW: AGAIN"),
        (again("38.0"), "RELEASED"),
        (again("43.0"), "DO NOT LOAD: REJECTED"),
    ]
    .into_iter()
    .enumerate()
    {
        let (image, _) = site.image(&format!("low-{number}"), &quay.replace(own, &acts));
        let register = site.path(&format!("low-{number}.db"));
        assert!(holdoff(&["register", "--file", &register, "add", &image, "--keys", &site.public()]).status.success());
        let list = String::from_utf8(holdoff(&["register", "--file", &register, "list"]).stdout).unwrap();
        let report = text(&site.report("low.html", &[&image]));
        let account = holdoff(&["replay", "--scenario", &site.path(&format!("low-{number}.toml"))]).stdout;
        let account = String::from_utf8(account).unwrap();
        let (page, sheet) = (board(&register, &[]), sheet(&report, name));
        for told in [&list, &page, &sheet, &account] {
            assert!(told.contains(head), "{number}: {told}");
            assert_eq!(told.contains("TOO LOW: AGAIN"), number < 2, "{number}: {told}");
            assert_eq!(told.contains("which is too low: torque it again, to 38 N·m to 42 N·m"), number < 2, "{told}");
        }
        if number < 2 {
            assert!(page.contains("MAY BE TORQUED (") && !sheet.contains(LOAD), "{page}");
        }
    }
}
