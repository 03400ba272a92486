//! The foreman's page in a real browser, and its guard.

use crate::board_support::browser::Browser;
use crate::board_support::harbour::Harbour;
use crate::folder::{holdoff, program};
use serde_json::{Value, json};

/// Labels of the rows that are seen in a section.
fn seen(browser: &mut Browser, section: &str) -> Vec<String> {
    let rows = format!(
        "[...document.querySelectorAll('section[data-section=\"{section}\"] .row')].filter(row => !row.hidden)\
         .map(row => row.querySelector('.label').textContent)"
    );
    let rows = browser.value(&rows);
    rows.as_array().unwrap().iter().map(|label| label.as_str().unwrap().to_owned()).collect()
}

fn text(browser: &mut Browser, selector: &str) -> String {
    browser.value(&format!("document.querySelector('{selector}').innerText")).as_str().unwrap().to_owned()
}

#[test]
fn the_page_says_what_may_be_torqued_what_is_next_and_what_must_not_be_loaded() {
    let harbour = Harbour::new("whole");
    harbour.bollard().ladder().stair();
    let served = harbour.serve(&[]);
    let mut browser = Browser::new("whole", 390, 844);
    browser.open(&served.address);
    browser.wait("document.getElementById('state').textContent.startsWith('Live')");
    assert_eq!(seen(&mut browser, "seat-now"), ["ladder 2 bolt 1"]);
    assert_eq!(seen(&mut browser, "torque-now"), ["bollard 3 stud 1", "stair 1 bar 1"]);
    // by the time of their forecasts
    assert_eq!(
        seen(&mut browser, "next"),
        ["bollard 3 stud 4", "ladder 2 bolt 2", "bollard 3 stud 2", "stair 1 bar 2"]
    );
    let times =
        browser.value("[...document.querySelectorAll('#next td.time time')].map(time => Date.parse(time.dateTime))");
    let times: Vec<i64> = times.as_array().unwrap().iter().map(|time| time.as_i64().unwrap()).collect();
    assert!(times.len() == 4 && times.is_sorted(), "{times:?}");
    assert_eq!(seen(&mut browser, "do-not-load"), ["bollard 3 stud 3"]);
    assert_eq!(seen(&mut browser, "do-not-inject"), ["ladder 2 bolt 3"]);
    assert_eq!(seen(&mut browser, "planned"), ["ladder 2 bolt 4"]);
    let rejected = text(&mut browser, "#do-not-load .status");
    assert!(rejected.contains("torqued before it was cured"), "{rejected}");
    let page = text(&mut browser, "body");
    for words in
        ["not a licence to load", "INVENTED RESIN", "Time has passed since", "as of", "a forecast is no release"]
    {
        assert!(page.contains(words), "{words}\n{page}");
    }
    // the sentences are those of the register's list
    let list = holdoff(&["register", "--file", &harbour.register(), "list", "--json"]);
    let list: Value = serde_json::from_slice(&list.stdout).unwrap();
    for fixing in list["fixings"].as_array().unwrap() {
        let status = fixing["status"].as_str().unwrap();
        assert!(page.contains(status), "{status}");
    }
    browser.picture("phone");
    browser.size(1280, 900);
    browser.picture("desktop");
    browser
        .call("Emulation.setEmulatedMedia", json!({"features": [{"name": "prefers-color-scheme", "value": "dark"}]}));
    browser.picture("desktop-dark");
    assert_eq!(browser.complaints(), Vec::<String>::new());
    for request in browser.requests() {
        assert!(request.starts_with(&served.address) || request.starts_with("data:"), "{request}");
    }
}

#[test]
fn the_filter_shows_one_group_with_and_without_scripts() {
    let harbour = Harbour::new("filter");
    harbour.bollard().ladder();
    let served = harbour.serve(&[]);
    let mut browser = Browser::new("filter", 390, 844);
    browser.open(&served.address);
    browser.value(
        "{ const group = document.getElementById('group'); group.value = 'ladder 2 bolt'; \
         group.dispatchEvent(new Event('input', {bubbles: true})); true }",
    );
    assert_eq!(seen(&mut browser, "torque-now"), Vec::<String>::new());
    assert_eq!(seen(&mut browser, "next"), ["ladder 2 bolt 2"]);
    assert_eq!(text(&mut browser, "#next .count"), "1");
    assert_eq!(browser.value("document.querySelector('#torque-now table').hidden"), true);
    browser.picture("phone-filtered");
    // without scripts the server does it
    browser.call("Emulation.setScriptExecutionDisabled", json!({"value": true}));
    let answer = served
        .ask(&format!("GET /?group=ladder+2+bolt HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n\r\n", served.host()));
    assert!(answer.contains("ladder 2 bolt 2") && !answer.contains("bollard 3 stud 1"), "{answer}");
}

#[test]
fn additions_to_the_register_arrive_without_reloading_and_are_announced() {
    let harbour = Harbour::new("live");
    harbour.bollard();
    let served = harbour.serve(&[]);
    let mut browser = Browser::new("live", 390, 844);
    browser.open(&served.address);
    browser.wait("document.getElementById('state').textContent.startsWith('Live')");
    browser.value("window.same = true");
    assert_eq!(browser.value("document.getElementById('said').getAttribute('aria-live')"), "polite");
    harbour.stair();
    browser.wait("document.querySelector('#torque-now').innerText.includes('stair 1 bar 1')");
    assert_eq!(seen(&mut browser, "torque-now"), ["bollard 3 stud 1", "stair 1 bar 1"]);
    assert_eq!(seen(&mut browser, "next"), ["bollard 3 stud 4", "bollard 3 stud 2", "stair 1 bar 2"]);
    assert_eq!(text(&mut browser, "#next .count"), "3");
    let said = text(&mut browser, "#said");
    assert!(said.contains("stair 1 bar 1: CURED"), "{said}");
    assert_eq!(browser.value("window.same"), true);
    // a group that was not there before can be chosen
    assert_eq!(
        browser.value("[...document.getElementById('group').options].map(option => option.value)"),
        json!(["", "bollard 3 stud", "stair 1 bar"])
    );
    assert_eq!(browser.value("document.getElementById('filter').hidden"), false);
    browser.picture("phone-live");
    assert_eq!(browser.complaints(), Vec::<String>::new());
    // the connection goes away: the page says so and keeps what it showed
    drop(served);
    browser.wait("document.getElementById('state').textContent.startsWith('CONNECTION LOST')");
    assert_eq!(seen(&mut browser, "torque-now").len(), 2);
    browser.picture("phone-lost");
}

#[test]
fn the_live_page_speaks_the_language_asked_for_and_so_does_what_arrives() {
    let harbour = Harbour::new("german");
    harbour.bollard();
    let served = harbour.serve(&["--language", "de"]);
    let mut browser = Browser::new("german", 390, 844);
    browser.open(&served.address);
    browser.wait("document.getElementById('state').textContent.startsWith('Laufend')");
    assert_eq!(browser.value("document.documentElement.lang"), "de");
    assert_eq!(browser.value("document.title"), "Befestigungen mit Injektionsmörtel");
    assert!(text(&mut browser, "#torque-now").contains("Darf angezogen werden"));
    // ages are told by the script, in days of the language
    let age = text(&mut browser, "#torque-now [data-at]");
    assert!(age.starts_with("vor "), "{age}");
    assert_eq!(browser.value("document.getElementById('page').dataset.day"), "T");
    harbour.stair();
    browser.wait("document.querySelector('#torque-now').innerText.includes('stair 1 bar 1')");
    let said = text(&mut browser, "#said");
    assert!(said.contains("stair 1 bar 1: AUSGEHÄRTET"), "{said}");
    assert!(text(&mut browser, "footer").contains("keine Erlaubnis zu belasten"));
    browser.picture("phone-german");
    assert_eq!(browser.complaints(), Vec::<String>::new());
}

#[test]
fn times_that_pass_say_that_they_are_no_release() {
    let harbour = Harbour::new("passed");
    harbour.ladder();
    let file = harbour.path("page.html");
    assert_eq!(harbour.board(&["--out", &file]).status.code(), Some(0));
    let mut browser = Browser::new("passed", 390, 844);
    browser.open(&format!("file://{file}"));
    let note = "getComputedStyle(document.querySelector('#next .passed-note')).display";
    assert_eq!(browser.value(note), "none");
    // the same file a day later
    let later = "{ const day = Date.now() + 864e5; Date.now = () => day; true }";
    browser.call("Page.addScriptToEvaluateOnNewDocument", json!({"source": later}));
    browser.open(&format!("file://{file}?later"));
    browser.wait(&format!("location.search === '?later' && {note} !== 'none'"));
    let next = text(&mut browser, "#next .status");
    assert!(next.contains("This time has passed. That is no release"), "{next}");
    assert!(next.contains("1 d"), "{next}");
    let seat = text(&mut browser, "#seat-now .status");
    assert!(seat.contains("it is rejected"), "{seat}");
    assert!(seen(&mut browser, "torque-now").is_empty());
}

#[test]
fn the_file_is_the_same_page_prints_well_and_fetches_nothing() {
    let harbour = Harbour::new("file");
    harbour.bollard().ladder().stair();
    let file = harbour.path("page.html");
    assert_eq!(harbour.board(&["--out", &file]).status.code(), Some(0));
    let mut browser = Browser::new("file", 794, 1123);
    browser.open(&format!("file://{file}"));
    assert_eq!(seen(&mut browser, "torque-now"), ["bollard 3 stud 1", "stair 1 bar 1"]);
    browser.value(
        "{ const group = document.getElementById('group'); group.value = 'stair 1 bar'; \
         group.dispatchEvent(new Event('input', {bubbles: true})); true }",
    );
    assert_eq!(seen(&mut browser, "torque-now"), ["stair 1 bar 1"]);
    browser.value(
        "{ const group = document.getElementById('group'); group.value = ''; \
         group.dispatchEvent(new Event('input', {bubbles: true})); true }",
    );
    browser.call("Emulation.setEmulatedMedia", json!({"media": "print"}));
    let display = |browser: &mut Browser, selector: &str| {
        browser.value(&format!("getComputedStyle(document.querySelector('{selector}')).display"))
    };
    assert_eq!(display(&mut browser, "nav"), "none");
    assert_eq!(display(&mut browser, "#filter"), "none");
    assert_eq!(display(&mut browser, "#released"), "none", "an empty section is not printed");
    assert_eq!(display(&mut browser, "#torque-now .row"), "table-row");
    let colours = "(() => { const style = getComputedStyle(document.querySelector('#do-not-load h2')); \
                   return [style.color, style.backgroundColor]; })()";
    assert_eq!(browser.value(colours), json!(["rgb(0, 0, 0)", "rgb(255, 255, 255)"]));
    let page = text(&mut browser, "body");
    assert!(page.contains("not a licence to load") && page.contains("bollard 3 stud 3"));
    browser.picture("print");
    let pdf = browser.call("Page.printToPDF", json!({"paperWidth": 8.27, "paperHeight": 11.69}));
    let pdf = data_encoding::BASE64.decode(pdf["data"].as_str().unwrap().as_bytes()).unwrap();
    assert!(pdf.starts_with(b"%PDF-"));
    assert_eq!(browser.complaints(), Vec::<String>::new());
    for request in browser.requests() {
        assert!(request.starts_with("file://") || request.starts_with("data:"), "{request}");
    }
}

#[test]
fn a_screen_reader_finds_headings_tables_and_their_heads_on_a_phone_too() {
    let harbour = Harbour::new("reader");
    harbour.bollard().ladder();
    let served = harbour.serve(&[]);
    let mut browser = Browser::new("reader", 390, 844);
    browser.open(&served.address);
    browser.wait("document.getElementById('state').textContent.startsWith('Live')");
    let tree = browser.call("Accessibility.getFullAXTree", json!({}));
    let nodes = tree["nodes"].as_array().unwrap();
    let named = |role: &str, name: &str| {
        nodes.iter().any(|node| {
            let found = node["name"]["value"].as_str().unwrap_or_default();
            node["ignored"] == false && node["role"]["value"] == role && found.contains(name)
        })
    };
    for (role, name) in [
        ("heading", "Bonded fixings"),
        ("heading", "May be torqued"),
        ("heading", "Do not load"),
        ("navigation", "Overview"),
        ("table", "Next"),
        ("columnheader", "Status"),
        ("rowheader", "bollard 3 stud 1"),
        ("status", ""),
        ("main", ""),
        ("contentinfo", ""),
        ("search", ""),
    ] {
        assert!(named(role, name), "no {role} {name:?}");
    }
    let box_of_choice = ["combobox", "listbox"].iter().any(|role| named(role, "Group"));
    assert!(box_of_choice, "the choice of a group has no name");
    assert_eq!(browser.value("document.documentElement.lang"), "en");
    let ids = "(() => { const ids = [...document.querySelectorAll('[id]')].map(e => e.id); \
               return ids.length === new Set(ids).size; })()";
    assert_eq!(browser.value(ids), true);
}

#[test]
fn fingers_hit_what_they_aim_at_and_nothing_runs_out_of_a_small_screen() {
    let harbour = Harbour::new("touch");
    harbour.bollard().ladder().labelled("WWWWWWWWWWWWWWWW");
    let served = harbour.serve(&[]);
    let mut browser = Browser::new("touch", 320, 640); // WCAG 2.2, 1.4.10: 320 CSS pixels
    browser.open(&served.address);
    let wide = browser.value("document.documentElement.scrollWidth");
    assert!(wide.as_u64().unwrap() <= 320, "{wide}");
    let small = browser.value(
        "[...document.querySelectorAll('a:not(.skip), button:not([hidden]), select, input')]\
         .map(e => [e.outerHTML, e.getBoundingClientRect()])\
         .filter(([, box]) => box.height < 44 || box.width < 44).map(([text]) => text)",
    );
    assert_eq!(small, json!([]));
    browser.picture("phone-320");
}

#[test]
fn labels_from_files_are_text_and_nothing_else() {
    let harbour = Harbour::new("escape");
    harbour.labelled("<b id=x>&amp;'\"");
    let served = harbour.serve(&[]);
    let mut browser = Browser::new("escape", 390, 844);
    browser.open(&served.address);
    assert_eq!(seen(&mut browser, "planned"), ["<b id=x>&amp;'\""]);
    assert_eq!(browser.value("document.getElementById('x')"), Value::Null);
    // and what arrives later
    harbour.bollard();
    browser.wait("document.querySelector('#torque-now').innerText.includes('bollard 3 stud 1')");
    assert_eq!(browser.complaints(), Vec::<String>::new());
}

#[test]
fn only_looking_is_answered_and_only_under_its_own_names() {
    let harbour = Harbour::new("guard");
    harbour.ladder();
    let served = harbour.serve(&[]);
    let before = std::fs::read(harbour.register()).unwrap();
    let ask = |request: &str, host: &str| {
        let answer = served
            .ask(&format!("{request} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\nContent-Length: 0\r\n\r\n"));
        let status: u16 = answer.split(' ').nth(1).unwrap_or("0").parse().unwrap();
        (status, answer)
    };
    let (status, answer) = ask("GET /", served.host());
    assert_eq!(status, 200);
    let policy = answer.lines().find(|line| line.starts_with("content-security-policy")).unwrap().to_owned();
    assert!(policy.contains("default-src 'none'") && policy.contains("frame-ancestors 'none'"), "{policy}");
    assert!(!policy.contains("unsafe"), "{policy}");
    for method in ["POST", "PUT", "DELETE", "PATCH", "OPTIONS", "TRACE"] {
        for path in ["/", "/events"] {
            assert_eq!(ask(&format!("{method} {path}"), served.host()).0, 405, "{method} {path}");
        }
    }
    let (status, answer) = ask("HEAD /", served.host());
    assert_eq!(status, 200);
    assert!(!answer.contains("<html"), "{answer}");
    assert_eq!(ask("GET /other", served.host()).0, 404);
    for host in ["evil.example", "evil.example:80", "localhost.evil.example"] {
        let (status, answer) = ask("GET /", host);
        assert_eq!(status, 421);
        assert!(!answer.contains("ladder"), "{answer}");
    }
    assert_eq!(ask("GET /", "localhost:80").0, 200);
    assert!(before == std::fs::read(harbour.register()).unwrap());
}

#[test]
fn a_token_opens_the_page_and_nothing_else_does() {
    let harbour = Harbour::new("token");
    harbour.ladder();
    let token = "harbour-office-4711";
    let served = harbour.serve(&["--token", token]);
    let ask = |path: &str, more: &str| {
        let host = served.host();
        let answer = served.ask(&format!("GET {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n{more}\r\n"));
        (answer.split(' ').nth(1).unwrap_or("0").parse::<u16>().unwrap(), answer)
    };
    for (path, more) in [
        ("/", String::new()),
        ("/events", String::new()),
        ("/harbour-office-4712/", String::new()),
        ("/", "Cookie: holdoff=harbour-office-4712\r\n".to_owned()),
        ("/", "Authorization: Bearer harbour-office-471\r\n".to_owned()),
    ] {
        let (status, answer) = ask(path, &more);
        assert_eq!(status, 401, "{path} {more}");
        assert!(!answer.contains("ladder"), "{answer}");
    }
    assert_eq!(ask("/", &format!("Cookie: a=b; holdoff={token}\r\n")).0, 200);
    assert_eq!(ask("/", &format!("Authorization: Bearer {token}\r\n")).0, 200);
    let mut browser = Browser::new("token", 390, 844);
    assert!(served.address.ends_with(&format!("/{token}/")));
    browser.open(&served.address);
    browser.wait("document.getElementById('state')?.textContent.startsWith('Live')");
    assert_eq!(browser.value("location.pathname"), "/", "the token does not stay in the address");
}

#[test]
fn beyond_the_loopback_a_token_is_needed() {
    let harbour = Harbour::new("loopback");
    harbour.ladder();
    for arguments in [
        &["--listen", "0.0.0.0:0"][..],
        &["--listen", "192.0.2.1:8080"],
        &["--listen", "127.0.0.1:0", "--token", "short"],
        &["--listen", "127.0.0.1:0", "--token", "aaaaaaaaaaaaaaaaaaaaaaaa"],
        &["--listen", "127.0.0.1:0", "--token", "abcdefghijklmnopqrst"],
        &["--listen", "127.0.0.1:0", "--token", "passwordpassword"],
        &["--token", "harbour-office-4711"],
        &["--listen", "nowhere"],
    ] {
        let output = harbour.board(arguments);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert!(output.stdout.is_empty());
    }
}

#[test]
fn the_terminal_says_the_same() {
    let harbour = Harbour::new("terminal");
    harbour.bollard().ladder().stair();
    let output = harbour.board(&[]);
    assert_eq!(output.status.code(), Some(0));
    let text = String::from_utf8(output.stdout).unwrap();
    let heads: Vec<&str> = text.lines().filter(|line| line.ends_with(')') && line.to_uppercase() == **line).collect();
    assert_eq!(
        heads,
        ["SEAT NOW (1)", "MAY BE TORQUED (2)", "NEXT (4)", "DO NOT LOAD (1)", "DO NOT INJECT (1)", "NOT INJECTED (1)"]
    );
    assert!(text.contains("not a licence to load") && text.contains("Never use it"), "{text}");
    let one = String::from_utf8(harbour.board(&["--group", "stair 1 bar"]).stdout).unwrap();
    assert!(one.contains("stair 1 bar 1") && !one.contains("bollard"), "{one}");
    let no_such = harbour.board(&["--group", "stair 1 bra"]);
    assert_eq!((no_such.status.code(), no_such.stdout.is_empty()), (Some(3), true));
    let said = String::from_utf8(no_such.stderr).unwrap();
    assert!(said.contains("no group named \"stair 1 bra\"") && said.contains("stair 1 bar"), "{said}");
    let none = holdoff(&["board", "--register", &harbour.path("none.db")]);
    assert_eq!((none.status.code(), none.stdout.is_empty()), (Some(3), true));
}

/// Labels and headlines in the terminal's text, section by section.
fn told(text: &str) -> Vec<(String, String, String)> {
    let mut told = Vec::new();
    let (mut section, mut label) = (String::new(), None);
    for line in text.lines() {
        if let Some((head, _)) = line
            .split_once(" (")
            .filter(|(head, _)| !head.is_empty() && !head.starts_with(' ') && head.to_uppercase() == *head)
        {
            section = head.to_owned();
        } else if let Some(rest) = line.strip_prefix("    ") {
            if let Some(label) = label.take() {
                told.push((section.clone(), label, rest.to_owned()));
            }
        } else if let Some(rest) = line.strip_prefix("  ") {
            label = rest.split(" (").next().map(str::to_owned);
        }
    }
    told
}

fn told_by(harbour: &Harbour, arguments: &[&str]) -> Vec<(String, String, String)> {
    let output = harbour.board(arguments);
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    told(&String::from_utf8(output.stdout).unwrap())
}

#[test]
fn a_code_releases_on_the_page_only_when_it_is_proved() {
    let harbour = Harbour::new("codes");
    let (image, public) = harbour.stair_unread();
    let listing = holdoff(&["read", &image, "--json"]);
    let listing: Value = serde_json::from_slice(&listing.stdout).unwrap();
    let records = listing["sessions"][0]["records"].as_array().unwrap();
    let code = records.iter().find(|record| record["kind"] == "release").unwrap()["code"].as_str().unwrap();
    let row =
        |section: &str, headline: &str| vec![(section.to_owned(), "stair 1 bar 1".to_owned(), headline.to_owned())];
    assert!(holdoff(&["register", "--file", &harbour.register(), "add", code]).status.success());
    assert_eq!(told_by(&harbour, &[]), row("DO NOT LOAD", "DO NOT LOAD: CODE NOT CHECKED"));
    assert!(holdoff(&["register", "--file", &harbour.register(), "prove", "--keys", &public]).status.success());
    assert_eq!(told_by(&harbour, &[]), row("MAY BE TORQUED", "CURED"));
    // keys that are not the logger's
    harbour.ladder();
    let other = harbour.path("logger-2/public.key");
    assert_eq!(holdoff(&["register", "--file", &harbour.register(), "prove", "--keys", &other]).status.code(), Some(1));
    let told = told_by(
        &harbour,
        &["--group", &format!("logger {}", listing["sessions"][0]["records"][0]["device"].as_str().unwrap())],
    );
    assert_eq!(told, row("DO NOT LOAD", "DO NOT LOAD: RELEASE NOT PROVED"));
}

#[test]
fn a_job_limits_the_page_to_its_own_fixings_and_names_those_without_a_record() {
    let harbour = Harbour::new("job");
    harbour.ladder();
    let job = harbour.job();
    let told = told_by(&harbour, &["--job", &job]);
    // what the register knows of another file is none of this job's
    assert!(
        told.iter().all(|(section, _, headline)| section == "NOT INJECTED" && headline == "NOT INJECTED"),
        "{told:?}"
    );
    // a line a group
    let names: Vec<&str> = told.iter().map(|(_, label, _)| label.as_str()).collect();
    assert!(names.contains(&"L2-1 to L2-12") && names.contains(&"bollard 3 stud 1 to bollard 3 stud 4"), "{names:?}");
    let planned = told.len();
    let text = String::from_utf8(harbour.board(&["--job", &job]).stdout).unwrap();
    assert!(text.contains("NOT INJECTED (58)"), "{text}");
    harbour.bollard_of_job(&job);
    let told = told_by(&harbour, &["--job", &job]);
    assert_eq!(told.len(), planned + 3);
    let of = |section: &str| -> Vec<&str> {
        told.iter().filter(|(of, _, _)| of == section).map(|(_, label, _)| label.as_str()).collect()
    };
    assert_eq!(of("NEXT"), ["bollard 3 stud 1"]);
    // those that its logger was loaded with stand by themselves
    assert_eq!(of("NOT INJECTED").len(), planned + 2);
    let text = String::from_utf8(harbour.board(&["--job", &job]).stdout).unwrap();
    assert!(text.starts_with("Quay rebuilding, section 2, "), "{text}");
    assert!(text.contains("4 fixings in the register belong to other job files"), "{text}");
    // a corrected file is another one: what was done under the earlier version is told, and counts when that is given
    let corrected = harbour.path("corrected.toml");
    std::fs::write(&corrected, std::fs::read_to_string(&job).unwrap() + "\n# corrected\n").unwrap();
    let next =
        |told: Vec<(String, String, String)>| told.into_iter().filter(|(of, _, _)| of == "NEXT").collect::<Vec<_>>();
    assert_eq!(next(told_by(&harbour, &["--job", &corrected])), next(told.clone()));
    let text = String::from_utf8(harbour.board(&["--job", &corrected]).stdout).unwrap();
    assert_eq!(text.matches("loaded from another job file or version, ").count(), 1, "{text}");
    assert_eq!(told_by(&harbour, &["--job", &job, "--job", &corrected]), told);
}

#[test]
fn what_listens_everywhere_names_an_address_that_a_phone_can_open() {
    let harbour = Harbour::new("everywhere");
    harbour.stair();
    let own = std::net::UdpSocket::bind("0.0.0.0:0").and_then(|socket| {
        socket.connect("192.0.2.1:9")?;
        socket.local_addr()
    });
    let mut child = program()
        .args(["board", "--register", &harbour.register(), "--listen", "0.0.0.0:0", "--token", "quay2-stair-9xk41"])
        .stdout(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    let mut line = String::new();
    std::io::BufRead::read_line(&mut std::io::BufReader::new(child.stdout.as_mut().unwrap()), &mut line).unwrap();
    let address = line.trim().trim_start_matches("http://").split('/').next().unwrap().to_owned();
    let opened = std::net::TcpStream::connect(&address);
    let (_, _) = (child.kill(), child.wait());
    assert!(opened.is_ok(), "{line}");
    // a computer without a network has no better address
    if let Ok(own) = own {
        assert!(address.starts_with(&format!("{}:", own.ip())) && !address.starts_with("0.0.0.0"), "{line}");
    }
    assert!(line.ends_with("/quay2-stair-9xk41/\n"), "{line}");
}
