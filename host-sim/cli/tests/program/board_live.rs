//! The foreman's page while things happen to its connection, its register and its server.

use crate::board_support::browser::Browser;
use crate::board_support::harbour::Harbour;
use crate::folder::holdoff;
use std::io::{ErrorKind, Read, Write};
use std::net::TcpStream;
use std::time::{Duration, Instant};

const LIVE: &str = "document.getElementById('state').textContent.startsWith('Live')";

/// Whether all of an element is in sight.
fn in_sight(browser: &mut Browser, selector: &str) -> bool {
    let place = format!(
        "(() => {{ const box = document.querySelector('{selector}').getBoundingClientRect(); \
         return box.height > 0 && box.top >= 0 && box.bottom <= innerHeight; }})()"
    );
    browser.value(&place) == true
}

#[test]
fn what_is_said_in_weight_covers_no_line_above_it() {
    let harbour = Harbour::new("weight");
    let (image, _) = harbour.stair_unread();
    let register = harbour.register();
    assert_eq!(holdoff(&["register", "--file", &register, "add", &image]).status.code(), Some(0));
    let file = harbour.path("page.html");
    assert_eq!(harbour.board(&["--out", &file]).status.code(), Some(0));
    for width in [390, 1280] {
        let mut browser = Browser::new("weight", width, 844);
        browser.open(&format!("file://{file}"));
        let weight = "document.querySelector('.status > .not-covered')";
        assert!(browser.value(&format!("{weight}.innerText")).as_str().unwrap().contains("HELD AGAINST NO KEY"));
        let below = format!(
            "{weight}.getBoundingClientRect().top >= \
             {weight}.closest('.status').querySelector('.sentence').getBoundingClientRect().bottom"
        );
        assert_eq!(browser.value(&below), true, "at {width} pixels");
    }
}

#[test]
fn a_lost_connection_is_said_in_what_stays_in_sight() {
    let harbour = Harbour::new("sight");
    harbour.bollard().ladder().stair();
    let served = harbour.serve(&[]);
    let mut browser = Browser::new("sight", 390, 844);
    browser.open(&served.address);
    browser.wait(LIVE);
    browser.value("scrollTo({top: document.body.scrollHeight, behavior: 'instant'})");
    browser.wait("scrollY > 500");
    assert!(in_sight(&mut browser, "#state") && in_sight(&mut browser, ".bar .made"));
    browser.picture("phone-scrolled-live");
    // the time it was made moves with the connection
    let made = "document.querySelector('.bar .made time').dateTime";
    let first = browser.value(made);
    browser.wait(&format!("{made} !== {first}"));
    assert_eq!(browser.complaints(), Vec::<String>::new());
    drop(served);
    browser.wait("document.getElementById('state').textContent.startsWith('CONNECTION LOST')");
    assert!(in_sight(&mut browser, "#state"));
    assert_eq!(browser.value("document.getElementById('state').classList.contains('alarm')"), true);
    browser.picture("phone-scrolled-lost");
    browser.size(1280, 900);
    browser.value("scrollTo({top: document.body.scrollHeight, behavior: 'instant'})");
    assert!(in_sight(&mut browser, "#state"));
    browser.picture("desktop-scrolled-lost");
    browser.size(320, 640);
    let wide = browser.value("document.documentElement.scrollWidth");
    assert!(wide.as_u64().unwrap() <= 320, "{wide}");
}

#[test]
fn only_stages_are_told_as_changes() {
    let harbour = Harbour::new("stages");
    harbour.bollard();
    let served = harbour.serve(&[]);
    let mut browser = Browser::new("stages", 390, 844);
    browser.open(&served.address);
    browser.wait(LIVE);
    let status = "document.querySelector('#next .row .status').textContent";
    let before = browser.value(status);
    harbour.bollard_until("2022-01-04T09:05:00-07:00");
    browser.wait(&format!("{status} !== {before}"));
    assert_eq!(browser.value("document.getElementById('said').textContent"), "");
    assert_eq!(browser.value("document.querySelectorAll('.row.fresh').length"), 0);
    // what is new is told
    harbour.stair();
    browser.wait("document.getElementById('said').textContent.includes('stair 1 bar 1: CURED')");
    assert_eq!(browser.value("document.querySelectorAll('.row.fresh').length"), 2);
}

#[test]
fn a_register_that_stays_locked_turns_the_page_red_and_comes_back() {
    let harbour = Harbour::new("locked");
    harbour.bollard();
    let served = harbour.serve(&[]);
    let mut browser = Browser::new("locked", 390, 844);
    browser.open(&served.address);
    browser.wait(LIVE);
    let other = rusqlite::Connection::open(harbour.register()).unwrap();
    other.execute_batch("BEGIN EXCLUSIVE").unwrap();
    let begun = Instant::now();
    browser.wait("document.getElementById('state').classList.contains('alarm')");
    assert!(begun.elapsed() >= Duration::from_secs(3), "another program may write for a moment");
    let state = browser.value("document.getElementById('state').textContent");
    assert!(state.as_str().unwrap().starts_with("THE REGISTER CANNOT BE READ"), "{state}");
    other.execute_batch("ROLLBACK").unwrap();
    browser.wait(LIVE);
    assert_eq!(browser.complaints(), Vec::<String>::new());
}

#[test]
fn a_register_copied_over_the_one_that_is_shown_is_filled_anew() {
    // as many additions of the same size: what SQLite itself goes by is the same in both
    let [harbour, other] = ["copied", "copied-other"].map(Harbour::new);
    harbour.bollard();
    other.stair();
    let served = harbour.serve(&[]);
    let mut browser = Browser::new("copied", 390, 844);
    browser.open(&served.address);
    browser.wait(LIVE);
    let earlier = harbour.path("earlier.db");
    std::fs::copy(harbour.register(), &earlier).unwrap();
    let shows = |what: &str, not: &str| {
        format!(
            "document.getElementById('torque-now')?.textContent.includes('{what}') && \
             !document.body.textContent.includes('{not}')"
        )
    };
    std::fs::copy(other.register(), harbour.register()).unwrap();
    browser.wait(&shows("stair 1 bar 1", "bollard 3 stud 1"));
    // an earlier copy of the very register
    harbour.ladder();
    browser.wait("document.body.textContent.includes('ladder 2 bolt 1')");
    std::fs::copy(&earlier, harbour.register()).unwrap();
    browser.wait(&shows("bollard 3 stud 1", "ladder 2 bolt 1"));
    browser.wait(LIVE);
}

/// Whether the other side closes within a while.
fn closes(stream: &mut TcpStream, within: Duration) -> bool {
    stream.set_read_timeout(Some(within)).unwrap();
    let mut bytes = Vec::new();
    match stream.read_to_end(&mut bytes) {
        Ok(_) => true,
        Err(error) => !matches!(error.kind(), ErrorKind::WouldBlock | ErrorKind::TimedOut),
    }
}

#[test]
fn who_opens_a_connection_and_does_not_ask_is_left() {
    let harbour = Harbour::new("slow");
    harbour.ladder();
    let served = harbour.serve(&[]);
    let mut slow = TcpStream::connect(served.host()).unwrap();
    slow.write_all(format!("GET / HTTP/1.1\r\nHost: {}\r\nX-Slow: ", served.host()).as_bytes()).unwrap();
    let mut silent = TcpStream::connect(served.host()).unwrap();
    let begun = Instant::now();
    assert!(closes(&mut slow, Duration::from_secs(40)), "the header has no end");
    assert!(begun.elapsed() > Duration::from_secs(5), "a slow phone has time");
    assert!(closes(&mut silent, Duration::from_secs(40)), "nothing was said");
    // a page that listens stays, though it says nothing more
    let mut page = TcpStream::connect(served.host()).unwrap();
    page.write_all(format!("GET /events HTTP/1.1\r\nHost: {}\r\n\r\n", served.host()).as_bytes()).unwrap();
    assert!(!closes(&mut page, Duration::from_secs(9)), "ticks come every ten seconds");
}

#[test]
fn one_address_has_so_many_connections_and_no_more() {
    let harbour = Harbour::new("many");
    harbour.ladder();
    let served = harbour.serve(&[]);
    let mut open: Vec<TcpStream> = (0..64).map(|_| TcpStream::connect(served.host()).unwrap()).collect();
    std::thread::sleep(Duration::from_millis(500));
    let mut over = TcpStream::connect(served.host()).unwrap();
    assert!(closes(&mut over, Duration::from_secs(3)), "one too many is closed at once");
    open.truncate(32);
    std::thread::sleep(Duration::from_millis(500));
    let answer = served.ask(&format!("GET / HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n\r\n", served.host()));
    assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
}
