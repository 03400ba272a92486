//! The page over HTTP: one document and its events.
//!
//! Invariants: nothing but GET and HEAD is answered, so nothing can be changed from here; every answer carries a policy by
//! which the browser loads and runs nothing but the page itself.

use super::Guard;
use super::doors::Doors;
use super::guard::Admitted;
use super::watch::Live;
use axum::Router;
use axum::body::Body;
use axum::extract::rejection::QueryRejection;
use axum::extract::{Query, Request, State};
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, Response, StatusCode, header};
use axum::response::IntoResponse;
use axum::response::sse::{Event, Sse};
use holdoff_files::problem::{visible, without_format};
use holdoff_files::stamp::format_seconds;
use holdoff_present::page::html::{policy, row};
use holdoff_present::page::{Board, BoardPage, Id, Section, Shown};
use holdoff_present::words::PagePhrase as P;
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use serde::Deserialize;
use serde_json::{Map, Value, json};
use std::collections::VecDeque;
use std::convert::Infallible;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, SystemTime, UNIX_EPOCH};
use tokio::net::TcpListener;
use tokio::sync::watch::Receiver;

/// How often a page hears that the connection stands.
const TICK: Duration = Duration::from_secs(10);
/// How long whoever opens a connection has to say what for, and how long one may stand idle.
const HEADERS: Duration = Duration::from_secs(10);
/// Most bytes of what is read of a request.
const MOST_HEADER: usize = 16 * 1024;
/// How long no connection is taken after one that failed.
const PAUSE: Duration = Duration::from_millis(100);
/// Most pages that are live at once.
const MOST_LISTENERS: usize = 200;

/// What a request may ask for.
#[derive(Deserialize, Default)]
struct Asked {
    group: Option<String>,
    all: Option<String>,
    since: Option<String>,
}

struct Served {
    live: Arc<Live>,
    guard: Guard,
    listeners: AtomicUsize,
}

/// Serves the page until the program ends.
///
/// Whoever opens a connection and does not say in time what for, or has too many open, is left.
pub async fn serve(listener: TcpListener, live: Arc<Live>, guard: Guard) -> ! {
    let served = Arc::new(Served { live, guard, listeners: AtomicUsize::new(0) });
    let router = Router::new().fallback(answer).with_state(served);
    let doors = Arc::new(Doors::default());
    loop {
        let Ok((stream, from)) = listener.accept().await else {
            // this one failed, or there is no room for another just now: the next one may do
            tokio::time::sleep(PAUSE).await;
            continue;
        };
        let Some(inside) = doors.enter(from.ip()) else { continue };
        let service = TowerToHyperService::new(router.clone());
        tokio::spawn(async move {
            let mut http = http1::Builder::new();
            http.timer(TokioTimer::new()).header_read_timeout(HEADERS).max_buf_size(MOST_HEADER);
            let _ = http.serve_connection(TokioIo::new(stream), service).await;
            drop(inside);
        });
    }
}

async fn answer(
    State(served): State<Arc<Served>>,
    asked: Result<Query<Asked>, QueryRejection>,
    request: Request,
) -> Response<Body> {
    let mut response = decide(&served, asked.map(|Query(asked)| asked).unwrap_or_default(), &request);
    let headers = response.headers_mut();
    let policy = format!("{}; frame-ancestors 'none'", policy("'self'"));
    set(headers, header::CONTENT_SECURITY_POLICY, &policy);
    set(headers, header::X_CONTENT_TYPE_OPTIONS, "nosniff");
    set(headers, header::REFERRER_POLICY, "no-referrer");
    set(headers, header::CACHE_CONTROL, "no-store");
    set(headers, HeaderName::from_static("cross-origin-resource-policy"), "same-origin");
    response
}

fn set(headers: &mut HeaderMap, name: HeaderName, value: &str) {
    if let Ok(value) = HeaderValue::from_str(value) {
        headers.insert(name, value);
    }
}

fn plain(status: StatusCode, text: &'static str) -> Response<Body> {
    (status, text).into_response()
}

/// What a person reads who gets no page.
fn told(served: &Served, status: StatusCode, what: P) -> Response<Body> {
    let speech = served.live.look(|board, _, _| board.speech());
    (status, format!("{}\n", speech.say(what))).into_response()
}

fn decide(served: &Arc<Served>, asked: Asked, request: &Request) -> Response<Body> {
    let text = |name| request.headers().get(name).and_then(|value| value.to_str().ok());
    if !served.guard.knows_host(text(header::HOST)) {
        return told(served, StatusCode::MISDIRECTED_REQUEST, P::OtherName);
    }
    let path = request.uri().path();
    match served.guard.admits(path, text(header::COOKIE), text(header::AUTHORIZATION)) {
        Admitted::Yes => {}
        Admitted::No => return told(served, StatusCode::UNAUTHORIZED, P::NeedsToken),
        Admitted::ByPath => {
            let mut response = plain(StatusCode::SEE_OTHER, "");
            set(response.headers_mut(), header::LOCATION, "/");
            if let Some(token) = &served.guard.token {
                set(response.headers_mut(), header::SET_COOKIE, &token.cookie());
            }
            return response;
        }
    }
    let head = match *request.method() {
        Method::GET => false,
        Method::HEAD => true,
        _ => {
            let mut response = told(served, StatusCode::METHOD_NOT_ALLOWED, P::OnlyLooks);
            set(response.headers_mut(), header::ALLOW, "GET, HEAD");
            return response;
        }
    };
    match path {
        "/" => page(served, &asked),
        "/events" if head => plain(StatusCode::OK, ""),
        "/events" => {
            let mark = text(HeaderName::from_static("last-event-id")).map(str::to_owned).or(asked.since);
            events(served, mark.as_deref().unwrap_or_default())
        }
        _ => told(served, StatusCode::NOT_FOUND, P::OnePage),
    }
}

fn page(served: &Served, asked: &Asked) -> Response<Body> {
    let group = asked.group.as_deref().filter(|group| !group.is_empty()).map(visible);
    let group = group.as_deref();
    let shown = if asked.all.is_some() { Shown::All } else { Shown::Few };
    let text =
        served.live.look(|board, mark, _| BoardPage { board, group, shown, now: now(), since: Some(mark) }.html());
    let mut response = text.into_response();
    set(response.headers_mut(), header::CONTENT_TYPE, "text/html; charset=utf-8");
    response
}

/// Seconds since 1970-01-01T00:00:00Z.
fn now() -> i64 {
    SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |since| since.as_secs() as i64)
}

/// A page that listens.
struct Listener {
    served: Arc<Served>,
    changed: Receiver<u64>,
    /// The version that the page has; `None` where that is not known any more.
    version: Option<u64>,
    mark: String,
    waiting: VecDeque<Event>,
    begun: bool,
}

impl Drop for Listener {
    fn drop(&mut self) {
        self.served.listeners.fetch_sub(1, Ordering::Relaxed);
    }
}

fn events(served: &Arc<Served>, mark: &str) -> Response<Body> {
    if served.listeners.fetch_add(1, Ordering::Relaxed) >= MOST_LISTENERS {
        served.listeners.fetch_sub(1, Ordering::Relaxed);
        return told(served, StatusCode::SERVICE_UNAVAILABLE, P::TooMany);
    }
    let listener = Listener {
        served: served.clone(),
        changed: served.live.follow(),
        version: served.live.version_of(mark),
        mark: mark.to_owned(),
        waiting: VecDeque::new(),
        begun: false,
    };
    let stream = futures_util::stream::unfold(listener, |mut listener| async move {
        let event = listener.next().await;
        Some((Ok::<_, Infallible>(event), listener))
    });
    Sse::new(stream).into_response()
}

impl Listener {
    async fn next(&mut self) -> Event {
        if self.waiting.is_empty() {
            if self.begun {
                // a change or a while: whatever comes first
                let _ = tokio::time::timeout(TICK, self.changed.changed()).await;
            }
            self.begun = true;
            self.changed.mark_unchanged();
            self.news();
        }
        self.waiting.pop_front().unwrap_or_else(|| Event::default().comment(""))
    }

    /// What there is to tell: changes first, then that the connection stands.
    fn news(&mut self) {
        let known = self.version.filter(|_| self.served.live.version_of(&self.mark).is_some());
        let now = now();
        let (event, version, mark, failed, made) = self.served.live.look(|board, mark, failed| {
            let changes = known.and_then(|version| board.changes_since(version));
            let event = changes.map(|ids| if ids.is_empty() { None } else { Some(change(board, &ids)) });
            let made = format_seconds(now, board.offset_seconds());
            (event, board.version(), mark.to_owned(), failed.map(str::to_owned), made)
        });
        match event {
            // an event without data is none to a browser
            None => self.waiting.push_back(Event::default().event("reload").data("anew")),
            Some(Some(data)) => {
                self.waiting.push_back(Event::default().event("change").id(&mark).data(data.to_string()));
            }
            Some(None) => {}
        }
        (self.version, self.mark) = (Some(version), mark);
        let tick = json!({"now": now, "made": made, "failed": failed});
        self.waiting.push_back(Event::default().event("tick").data(tick.to_string()));
    }
}

/// Rows that changed, as the page takes them.
fn change(board: &Board, ids: &std::collections::BTreeSet<Id>) -> Value {
    let (now, speech) = (now(), board.speech());
    let (mut rows, mut gone, mut groups) = (Vec::new(), Vec::new(), Vec::new());
    for id in ids {
        match board.entry(*id) {
            Some(entry) => {
                groups.push(entry.group.clone());
                let html = without_format(&row(speech, &entry, now).into_string());
                rows.push(json!({"id": id.to_string(), "section": entry.section.word(), "html": html}));
            }
            None => gone.push(id.to_string()),
        }
    }
    groups.sort_unstable();
    groups.dedup();
    let counts: Map<String, Value> = Section::ALL
        .into_iter()
        .map(|section| (section.word().to_owned(), board.count(section, None).into()))
        .collect();
    let groups: Vec<&str> = groups.iter().map(|group| &**group).collect();
    json!({"rows": rows, "gone": gone, "groups": groups, "counts": counts})
}
