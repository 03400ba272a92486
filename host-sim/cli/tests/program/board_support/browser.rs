//! Chromium without a screen, steered over its debugging socket.
//!
//! Why so little: a page, an evaluation, a picture and a few emulations are all that is asked for.

use crate::folder::{Folder, repository};
use serde_json::{Value, json};
use std::io::{BufRead, BufReader};
use std::net::TcpStream;
use std::path::PathBuf;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};
use tungstenite::stream::MaybeTlsStream;
use tungstenite::{Message, WebSocket};

/// How long a page may take to become what is expected of it.
const PATIENCE: Duration = Duration::from_secs(60);

/// A browser with one page.
pub(crate) struct Browser {
    child: Child,
    _profile: Folder,
    socket: WebSocket<MaybeTlsStream<TcpStream>>,
    session: String,
    count: u64,
    /// What the browser told without being asked: console, violations, requests.
    pub(crate) told: Vec<Value>,
}

impl Browser {
    /// Starts it with a window of this size in CSS pixels.
    pub(crate) fn new(name: &str, width: u32, height: u32) -> Self {
        // a browser that is missing is installed by the project's own setup
        static SETUP: std::sync::Once = std::sync::Once::new();
        SETUP.call_once(|| {
            let setup = Command::new("bash")
                .current_dir(repository())
                .args(["-c", "source tests/setup && setup_browser"])
                .status();
            assert!(setup.unwrap().success(), "tests/setup failed");
        });
        let profile = Folder::new(&format!("browser-{name}"));
        let mut child = Command::new("chromium")
            .args(["--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking"])
            .args(["--disable-dev-shm-usage", "--hide-scrollbars", "--remote-debugging-port=0"])
            .arg(format!("--user-data-dir={}", profile.root().display()))
            .arg("about:blank")
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .expect("chromium must be there: tests/setup installs it");
        let lines = BufReader::new(child.stderr.take().unwrap()).lines();
        let mut address = None;
        let mut rest = lines;
        for line in rest.by_ref() {
            if let Some((_, found)) = line.unwrap().split_once("DevTools listening on ") {
                address = Some(found.to_owned());
                break;
            }
        }
        // what it complains of later is read away, so that it never waits for us
        std::thread::spawn(move || rest.for_each(drop));
        let (socket, _) = tungstenite::connect(address.expect("an address").as_str()).unwrap();
        let mut browser = Self { child, _profile: profile, socket, session: String::new(), count: 0, told: Vec::new() };
        let target = browser.call("Target.createTarget", json!({"url": "about:blank"}));
        let id = target["targetId"].as_str().unwrap().to_owned();
        let attached = browser.call("Target.attachToTarget", json!({"targetId": id, "flatten": true}));
        browser.session = attached["sessionId"].as_str().unwrap().to_owned();
        for domain in ["Page", "Runtime", "Log", "Network"] {
            browser.call(&format!("{domain}.enable"), json!({}));
        }
        browser.size(width, height);
        browser
    }

    /// Sets the window's size.
    pub(crate) fn size(&mut self, width: u32, height: u32) {
        let metrics = json!({"width": width, "height": height, "deviceScaleFactor": 2, "mobile": width < 600});
        self.call("Emulation.setDeviceMetricsOverride", metrics);
    }

    /// Asks for something, and waits for the answer.
    pub(crate) fn call(&mut self, method: &str, parameters: Value) -> Value {
        self.count += 1;
        let id = self.count;
        let mut message = json!({"id": id, "method": method, "params": parameters.clone()});
        if !self.session.is_empty() {
            message["sessionId"] = self.session.as_str().into();
        }
        self.socket.send(Message::text(message.to_string())).unwrap();
        loop {
            let Message::Text(text) = self.socket.read().unwrap() else { continue };
            let answer: Value = serde_json::from_str(&text).unwrap();
            if answer["id"] == id {
                // a page that loads itself anew meanwhile has no value yet
                let left = answer["error"]["message"].as_str().is_some_and(|why| why.contains("navigated or closed"));
                if left && method == "Runtime.evaluate" {
                    std::thread::sleep(std::time::Duration::from_millis(50));
                    return self.call(method, parameters);
                }
                assert!(answer["error"].is_null(), "{method}: {}", answer["error"]);
                return answer["result"].clone();
            }
            self.told.push(answer);
        }
    }

    /// Opens an address and waits until the page is loaded.
    pub(crate) fn open(&mut self, address: &str) {
        self.call("Page.navigate", json!({"url": address}));
        self.wait("document.readyState === 'complete' && location.href !== 'about:blank'");
    }

    /// The value of an expression.
    pub(crate) fn value(&mut self, expression: &str) -> Value {
        let parameters = json!({"expression": expression, "returnByValue": true, "awaitPromise": true});
        let answer = self.call("Runtime.evaluate", parameters);
        assert!(answer["exceptionDetails"].is_null(), "{expression}: {answer}");
        answer["result"]["value"].clone()
    }

    /// Waits until an expression is true.
    pub(crate) fn wait(&mut self, expression: &str) {
        let started = Instant::now();
        while self.value(expression) != true {
            let text = self.value("document.body?.innerText ?? ''");
            assert!(started.elapsed() < PATIENCE, "never true: {expression}\n{text}");
            std::thread::sleep(Duration::from_millis(100));
        }
    }

    /// A picture of the whole page, kept with what the tests build.
    pub(crate) fn picture(&mut self, name: &str) {
        let answer = self.call("Page.captureScreenshot", json!({"captureBeyondViewport": true}));
        let bytes = data_encoding::BASE64.decode(answer["data"].as_str().unwrap().as_bytes()).unwrap();
        let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("board");
        std::fs::create_dir_all(&folder).unwrap();
        std::fs::write(folder.join(format!("{name}.png")), bytes).unwrap();
    }

    /// What went wrong in the page so far: errors of scripts, violations of the policy, failed loads.
    pub(crate) fn complaints(&self) -> Vec<String> {
        let wrong = |told: &&Value| match told["method"].as_str() {
            Some("Runtime.exceptionThrown") => true,
            Some("Log.entryAdded") => told["params"]["entry"]["level"] == "error",
            Some("Runtime.consoleAPICalled") => told["params"]["type"] == "error",
            _ => false,
        };
        self.told.iter().filter(wrong).map(ToString::to_string).collect()
    }

    /// Addresses that were asked for.
    pub(crate) fn requests(&self) -> Vec<String> {
        let sent = self.told.iter().filter(|told| told["method"] == "Network.requestWillBeSent");
        sent.map(|told| told["params"]["request"]["url"].as_str().unwrap_or_default().to_owned()).collect()
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
