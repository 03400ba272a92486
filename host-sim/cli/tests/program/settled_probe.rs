//! What a start needs of the probe, what is named of it, and what a report of an early torque does: on the command line.

use crate::folder::{Folder, demo, holdoff};
use serde_json::{Value, json};
use std::path::Path;
use std::process::Output;

/// A folder with a made-up trace.
struct Site(Folder);

impl Site {
    fn new(name: &str) -> Self {
        Self(Folder::new(name))
    }

    /// A trace with a row every `period` seconds from 08:00 on.
    fn trace(&self, name: &str, period: u32, celsius: impl Iterator<Item = f64>) -> String {
        let mut text = "time,temperature_c\n".to_owned();
        for (row, celsius) in (0u32..).zip(celsius) {
            let at = 8 * 3600 + row * period;
            let (hour, minute, second) = (at / 3600 % 24, at / 60 % 60, at % 60);
            text.push_str(&format!("2026-01-{:02}T{hour:02}:{minute:02}:{second:02}Z,{celsius:.4}\n", 5 + at / 86_400));
        }
        self.0.file(name, &text)
    }

    /// A scenario of one fixing with these actions.
    fn scenario(&self, head: &str, torque: &str, actions: &[(&str, &str)]) -> String {
        self.0.demo("harbour-slow.toml");
        let mut text = format!(
            "trace = \"t.csv\"\nresin = \"harbour-slow.toml\"\n{head}\n[[fixing]]\nname = \"bar 1\"\nhole = \"dry\"\n{torque}\n"
        );
        for (at, what) in actions {
            text.push_str(&format!("[[fixing.action]]\nat = 2026-01-{at}Z\n{what}\n"));
        }
        self.0.file("s.toml", &text)
    }
}

#[track_caller]
fn said(output: &Output) -> String {
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout.clone()).unwrap()
}

#[track_caller]
fn told(output: &Output) -> Value {
    serde_json::from_str(&said(output)).unwrap()
}

/// Frozen concrete, and a probe that comes out of a pocket of 20 °C with a time constant of 5 min.
fn pocket(site: &Site) -> String {
    site.trace("t.csv", 10, (0..1440).map(|row| -8.0 + 28.0 * (-f64::from(row) * 10.0 / 300.0).exp()))
}

fn replay(trace: &str, inject: &str, more: &[&str]) -> Output {
    let (resin, at) = (demo("harbour-slow.toml"), format!("2026-01-05T{inject}Z"));
    holdoff(&[&["replay", trace, "--resin", &resin, "--hole", "dry", "--inject", &at][..], more].concat())
}

#[test]
fn a_probe_out_of_a_warm_pocket_is_refused_and_the_account_says_what_to_do() {
    let site = Site::new("pocket");
    let trace = pocket(&site);
    let object = told(&replay(&trace, "08:01:07", &["--json"]));
    assert_eq!((&object["stage"], &object["reasons"]), (&json!("refused"), &json!(["probe-not-settled"])));
    assert!(object["status"].as_str().unwrap().contains("Leave the probe clipped on and wait"), "{object}");
    let account = said(&replay(&trace, "08:01:07", &[]));
    for word in ["DO NOT INJECT", "the probe has not settled", "or measure at the bottom of the hole", "settle 3 min"] {
        assert!(account.contains(word), "{word:?} is not in: {account}");
    }
    // with the rule switched off it begins, which every output names
    let lax = told(&replay(&trace, "08:01:07", &["--settle", "0s", "--json"]));
    assert_eq!((lax["stage"] == "refused", &lax["laxer"]), (false, &json!(["settle"])));
    assert!(said(&replay(&trace, "08:01:07", &["--settle", "0s"])).contains("LAXER THAN THE DEFAULT: settle"));
    // a reading of the hole is enough; once it has settled the concrete itself is too cold
    let in_hole = ["--in-hole", "-3", "--seat", "2026-01-05T08:05:00Z", "--json"];
    assert_eq!(told(&replay(&trace, "08:01:07", &in_hole))["reasons"], json!([]));
    assert_eq!(told(&replay(&trace, "10:00:00", &["--json"]))["reasons"], json!(["too-cold"]));
    // and the face and what lies below it are judged alike
    let resin = demo("harbour-slow.toml");
    let fixing = ["--resin", &resin, "--hole", "dry", "--inject", "2026-01-05T08:01:07Z", "--json"];
    let depth = told(&holdoff(&[&["depth", &trace, "--depth", "60"][..], &fixing].concat()));
    assert_eq!(depth["stated"]["stage"], "refused");
    assert!(depth["face"]["reasons"].as_array().unwrap().contains(&json!("probe-not-settled")), "{depth}");
    let off = told(&holdoff(&[&["depth", &trace, "--depth", "60", "--settle", "0s"][..], &fixing].concat()));
    assert_eq!(off["laxer"], json!(["settle"]));
    assert!(!off["face"]["reasons"].as_array().unwrap().contains(&json!("probe-not-settled")), "{off}");
}

#[test]
fn the_time_to_settle_has_its_bounds_as_an_option_and_in_files() {
    let site = Site::new("bounds");
    let trace = site.trace("t.csv", 60, std::iter::repeat_n(12.5, 90));
    for (settle, laxer) in
        [("0s", json!(["settle"])), ("179s", json!(["settle"])), ("180s", json!([])), ("1h", json!([]))]
    {
        assert_eq!(told(&replay(&trace, "09:10:00", &["--settle", settle, "--json"]))["laxer"], laxer, "{settle}");
    }
    for wrong in ["3601s", "3", "-1s", ""] {
        let option = format!("--settle={wrong}");
        assert_eq!(replay(&trace, "09:10:00", &[&option]).status.code(), Some(2), "{wrong}");
    }
    let inject = [("05T09:10:00", "inject = {}")];
    let scenario = site.scenario("settle = \"0s\"", "", &inject);
    assert_eq!(told(&holdoff(&["replay", "--scenario", &scenario, "--json"]))["laxer"], json!(["settle"]));
    // an option is over the file
    let over = holdoff(&["replay", "--scenario", &scenario, "--settle", "5min", "--json"]);
    assert_eq!(told(&over)["laxer"], json!([]));
    let scenario = site.scenario("settle = \"2h\"", "", &inject);
    assert_eq!(holdoff(&["replay", "--scenario", &scenario]).status.code(), Some(2));
    // three minutes after the first row, and not a second before
    let seat = ["--seat", "2026-01-05T08:10:00Z", "--json"];
    assert_eq!(told(&replay(&trace, "08:02:59", &seat))["reasons"], json!(["probe-not-settled"]));
    assert_eq!(told(&replay(&trace, "08:03:00", &seat))["reasons"], json!([]));
}

#[test]
fn a_logger_that_does_not_keep_enough_readings_takes_no_such_job() {
    let site = Site::new("logger");
    let trace = site.trace("t.csv", 1, std::iter::repeat_n(12.5, 1200));
    assert!(holdoff(&["keys", "new", &site.0.path("k")]).status.success());
    let (key, image) = (site.0.path("k/secret.key"), site.0.path("m.bin"));
    let wanted = ["--image", &image, "--key", &key, "--settle", "10min"];
    let refused = replay(&trace, "08:15:00", &[&wanted[..], &["--sensor", "16bit"]].concat());
    let message = String::from_utf8_lossy(&refused.stderr).into_owned();
    assert_eq!(refused.status.code(), Some(3), "{message}");
    assert!(message.contains("a logger that reads every 1s") && message.contains("settle"), "{message}");
    assert!(!Path::new(&image).exists(), "nothing is left behind");
    // no logger, no such bound; nor where its readings lie further apart
    assert_eq!(replay(&trace, "08:15:00", &wanted).status.code(), Some(0));
    let far = [&wanted[..], &["--sensor", "16bit", "--interval", "10s"]].concat();
    assert_eq!(replay(&trace, "08:15:00", &far).status.code(), Some(0));
    let job = std::fs::read_to_string(demo("quay-job.toml")).unwrap();
    std::fs::copy(demo("harbour-slow.toml"), site.0.path("harbour-slow.toml")).unwrap();
    let check = |settle: &str| {
        let job = job.replace("settle = \"3min\"", settle).replace("period = \"1min\"", "period = \"3s\"");
        holdoff(&["job", "check", &site.0.file("job.toml", &job)])
    };
    let refused = check("settle = \"1h\"");
    assert_eq!(refused.status.code(), Some(3));
    assert!(String::from_utf8_lossy(&refused.stderr).contains("a logger that reads every 3s"));
    let laxer = check("settle = \"1min\"");
    assert!(said(&laxer).contains("settle 1 min") && said(&laxer).contains("LAXER THAN THE DEFAULT: settle"));
    assert!(String::from_utf8_lossy(&laxer.stderr).contains("settle is laxer than its default"));
    let load = holdoff(&["link", "unix:/no/such/line", "load", &site.scenario("settle = \"1h\"", "", &[])]);
    assert_eq!(load.status.code(), Some(3), "{}", String::from_utf8_lossy(&load.stderr));
    let scenario = site.0.path("s.toml");
    let load = holdoff(&["link", "unix:/no/such/line", "load", &scenario, "--interval", "10s"]);
    let message = String::from_utf8_lossy(&load.stderr).into_owned();
    assert_eq!(load.status.code(), Some(2), "{message}");
    assert!(
        message.contains("a logger that reads every 10s does not keep the readings of a settle of 1h"),
        "{message}"
    );
}

#[test]
fn a_plan_does_not_ask_a_forecast_whether_it_has_settled() {
    let site = Site::new("plan");
    std::fs::copy(demo("harbour-slow.toml"), site.0.path("harbour-slow.toml")).unwrap();
    let job = std::fs::read_to_string(demo("quay-job.toml")).unwrap();
    let plan = |settle: &str| {
        let job = site.0.file("job.toml", job.replace("settle = \"3min\"", settle));
        told(&holdoff(&["plan", &job, "--forecast", &demo("winter-day.csv"), "--json"]))
    };
    let strict = plan("settle = \"3min\"");
    assert_eq!(strict["laxer"], json!([]));
    assert!(!strict.to_string().contains("probe-not-settled"), "a forecast is no probe");
    // what the job itself is laxer in is still named
    assert_eq!(plan("settle = \"0s\"")["laxer"], json!(["settle"]));
}

#[test]
fn a_reading_outside_the_limits_before_the_seating_is_named_and_not_judged() {
    let site = Site::new("outside");
    // from 08:24 on the concrete cools below what may be injected at; seated at 08:30
    let celsius = (0..600).map(|row| if (24..32).contains(&row) { -4.5 - f64::from(row - 24) * 0.1 } else { -3.5 });
    let trace = site.trace("t.csv", 60, celsius);
    let seat = ["--seat", "2026-01-05T08:30:00Z"];
    let object = told(&replay(&trace, "08:20:00", &[&seat[..], &["--json"]].concat()));
    assert_eq!(object["outside_at_seating"], json!(-5.1015625), "{object}");
    assert!(object["stage"] == "curing" || object["stage"] == "held", "named, not judged: {object}");
    let account = said(&replay(&trace, "08:20:00", &seat));
    let line =
        "Between injection and seating a reading of -5.10 °C lay outside the installation limits; named, not judged.";
    assert!(account.contains(line), "{account}");
    let calm = told(&replay(&trace, "08:10:00", &["--seat", "2026-01-05T08:15:00Z", "--json"]));
    assert!(calm["outside_at_seating"].is_null());
}

#[test]
fn a_report_of_an_early_torque_rejects_and_after_the_cure_has_no_effect() {
    let site = Site::new("early");
    site.trace("t.csv", 60, std::iter::repeat_n(12.5, 900));
    let range = "torque_least = 38.0\ntorque_greatest = 42.0";
    let set = [("05T08:10:00", "inject = {}"), ("05T08:15:00", "seat = true")];
    let early = [&set[..], &[("05T09:00:00", "torqued_early = 40.0")]].concat();
    let scenario = site.scenario("", range, &early);
    let object = told(&holdoff(&["replay", "--scenario", &scenario, "--json"]));
    assert_eq!((&object["stage"], &object["reasons"]), (&json!("rejected"), &json!(["loaded-early"])));
    assert_eq!(object["torque_nm"], 40.0);
    let account = said(&holdoff(&["replay", "--scenario", &scenario]));
    assert!(
        account.contains("rejected: torqued before it was cured (reported as torqued early, to 40 N·m)"),
        "{account}"
    );
    // long after the cure: no effect, and why
    let late = [&set[..], &[("05T22:00:00", "torqued_early = 40.0")]].concat();
    let scenario = site.scenario("", range, &late);
    let object = told(&holdoff(&["replay", "--scenario", &scenario, "--json"]));
    assert_eq!((&object["stage"], &object["torque_nm"]), (&json!("cured"), &Value::Null));
    assert_eq!(object["no_effect"], json!([{"action": "report of an early torque", "at": "2026-01-05T22:00:00Z"}]));
    let account = said(&holdoff(&["replay", "--scenario", &scenario]));
    assert!(account.contains("it was cured by then, so that was not early"), "{account}");
    let fine = site.scenario("", range, &[("05T09:00:00", "torqued_early = 40.001")]);
    let refused = holdoff(&["replay", "--scenario", &fine]);
    assert_eq!(refused.status.code(), Some(3));
    assert!(String::from_utf8_lossy(&refused.stderr).contains("torqued_early is finer than 0.01 N·m"));
}

#[test]
fn a_torque_where_none_is_specified_is_noted_after_the_cure_and_rejects_before_it() {
    let site = Site::new("unspecified");
    site.trace("t.csv", 60, std::iter::repeat_n(12.5, 900));
    let set = [("05T08:10:00", "inject = {}"), ("05T08:15:00", "seat = true")];
    let replayed = |more: &[(&str, &str)], json: bool| {
        let scenario = site.scenario("", "", &[&set[..], more].concat());
        let more: &[&str] = if json { &["--json"] } else { &[] };
        said(&holdoff(&[&["replay", "--scenario", &scenario][..], more].concat()))
    };
    let late = [("05T22:00:00", "torque = 30.0")];
    let object: Value = serde_json::from_str(&replayed(&late, true)).unwrap();
    assert_eq!((&object["stage"], &object["no_effect"]), (&json!("cured"), &Value::Null));
    assert_eq!(object["torque_nm"], 30.0);
    let account = replayed(&late, false);
    assert!(account.contains("torqued to 30 N·m: noted, its stage stays as it was"), "{account}");
    let object: Value = serde_json::from_str(&replayed(&[("05T09:00:00", "torque = 30.0")], true)).unwrap();
    assert_eq!((&object["stage"], &object["reasons"]), (&json!("rejected"), &json!(["loaded-early"])));
}
