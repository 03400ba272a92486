#![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop there")]

use super::{Findings, ResinFile, Severity};
use crate::problem::{Colour, Exit};
use crate::rounds::rounds;
use holdoff_core::quantity::{Count, Span};
use holdoff_core::resin::{Accrual, Hole};

const DEMO: &str = include_str!("../../../demo/harbour-slow.toml");

/// A file with nothing in it that could look odd.
const GOOD: &str = r#"name = "Invented"
[substrate]
install_least = 0
install_greatest = 40.0
cure_least = -5.0
cure_greatest = 40.0
reject_below = -12.0
reject_above = 60.0
longest_hold = "12h"
[cartridge]
least = 5.0
greatest = 35.0
[hole]
allowed = ["dry", "wet"]
wet_factor = 2
[accrual]
permitted = false
[[band]]
from = -5.0
working = "90min"
cure = "24h"
[[band]]
from = 10.0
working = "30min"
cure = "6h"
"#;

fn good(text: &str) -> ResinFile {
    ResinFile::parse("r.toml", text).unwrap()
}

fn findings(text: &str) -> Findings {
    match ResinFile::examine("r.toml", text) {
        Ok(resin) => resin.findings().clone(),
        Err(findings) => findings,
    }
}

/// Replaces a text that must be there once.
fn with(from: &str, to: &str) -> String {
    assert_eq!(GOOD.matches(from).count(), 1, "{from}");
    GOOD.replace(from, to)
}

#[test]
fn a_file_is_read_whole() {
    let resin = good(DEMO);
    assert_eq!((resin.name(), resin.demo(), resin.source()), ("Harbour slow", true, DEMO));
    assert_eq!(resin.warnings().map(|warning| warning.to_string()).collect::<Vec<_>>(), Vec::<String>::new());
    let schedule = resin.resin();
    assert_eq!(schedule.limits().install_least, Count::from_degrees(-5));
    assert_eq!(schedule.limits().reject_below, Some(Count::from_degrees(-12)));
    assert_eq!(schedule.limits().reject_above, Some(Count::from_degrees(60)));
    assert_eq!(schedule.limits().longest_hold, Some(Span::from_seconds(43_200)));
    assert_eq!(
        (schedule.cartridge_least(), schedule.cartridge_greatest()),
        (Count::from_degrees(5), Count::from_degrees(35))
    );
    assert_eq!((schedule.factor(Hole::Flooded), schedule.accrual()), (2, Accrual::Permitted));
    assert!(Hole::ALL.into_iter().all(|hole| schedule.holes().allows(hole)));
    let bands: Vec<_> = schedule.bands().iter().collect();
    assert_eq!((bands.len(), bands[0].working, bands[5].cure), (6, Span::from_seconds(5400), Span::from_seconds(4500)));
    assert_eq!(resin.edges().map(ToString::to_string).collect::<Vec<_>>(), ["-5", "0", "5", "10", "20", "30"]);
    let resin = good(GOOD);
    assert_eq!((resin.demo(), resin.resin().accrual()), (false, Accrual::Forbidden));
}

#[test]
fn temperatures_are_rounded_against_hurry() {
    // 0.001 °C is 0.256 counts
    let text = GOOD
        .replace("from = 10.0", "from = 10.001")
        .replace("= 0\n", "= -4.999\n")
        .replace("install_greatest = 40.0", "install_greatest = 39.999");
    let text =
        text.replace("= -12.0", "= -12.001").replace("= 60.0", "= 60.001").replace("least = 5.0", "least = 5.001");
    let resin = good(&text);
    let (limits, degrees) = (*resin.resin().limits(), |degrees: i16, counts: i16| Count::new(degrees * 256 + counts));
    assert_eq!(resin.resin().bands().iter().nth(1).unwrap().from, degrees(10, 1));
    assert_eq!((limits.install_least, limits.install_greatest), (degrees(-5, 1), degrees(40, -1)));
    assert_eq!((limits.reject_below, limits.reject_above), (Some(degrees(-12, 0)), Some(degrees(60, 0))));
    assert_eq!(resin.resin().cartridge_least(), degrees(5, 1));
    assert_eq!(resin.edges().nth(1).unwrap().to_string(), "10.001");
    // beyond what an f64 can tell from 10
    let resin = good(&GOOD.replace("from = 10.0", "from = 10.000000000000000000000000000001"));
    assert_eq!(resin.resin().bands().iter().nth(1).unwrap().from, degrees(10, 1));
}

#[test]
fn numbers_may_be_written_in_every_way_of_the_format() {
    for ten in ["10", "+10", "1e1", "1_0", "0xA", "0o12", "0b1010", "1_0.0_0", "100e-1"] {
        assert_eq!(good(&with("from = 10.0", &format!("from = {ten}"))), good(GOOD), "{ten}");
    }
    for two in ["2.0", "0x2", "2e0"] {
        assert_eq!(good(&with("wet_factor = 2", &format!("wet_factor = {two}"))).resin().wet_factor(), 2);
    }
}

impl PartialEq for ResinFile {
    fn eq(&self, other: &Self) -> bool {
        (&self.name, self.demo, &self.resin) == (&other.name, other.demo, &other.resin)
    }
}

/// A change to a good file, the place of the error, words of its message.
type Bad = (&'static str, &'static str, u64, u64, &'static str);

const BAD: &[Bad] = &[
    ("name = \"Invented\"\n", "", 1, 1, "name is missing"),
    ("name = \"Invented\"", "name = 5", 1, 8, "name is a number where a text is needed"),
    ("name = \"Invented\"", "name = \"x\"\ncolour = 1", 2, 1, "unknown key \"colour\""),
    ("name = \"Invented\"", "name = \"x\"\ndemo = \"yes\"", 2, 8, "demo is a text"),
    ("cure_least = -5.0", "cure_leats = -5.0", 5, 1, "unknown key \"cure_leats\""),
    ("cure_least = -5.0\n", "", 2, 1, "cure_least is missing"),
    ("cure_least = -5.0", "cure_least = nan", 5, 14, "not a finite number"),
    ("cure_least = -5.0", "cure_least = -inf", 5, 14, "not a finite number"),
    ("cure_least = -5.0", "cure_least = -100.001", 5, 14, "outside -100 to 120"),
    ("cure_least = -5.0", "cure_least = \"-5\"", 5, 14, "a text where a number"),
    ("cure_least = -5.0", "cure_least = 40.001", 5, 14, "above cure_greatest 40"),
    ("install_least = 0", "install_least = 41", 3, 17, "install_least 41 is above install_greatest 40"),
    ("install_greatest = 40.0", "install_greatest = 120.0000000000000000000001", 4, 20, "outside"),
    ("reject_above = 60.0", "reject_above = 39.9", 8, 16, "below cure_greatest"),
    ("reject_below = -12.0", "reject_below = -4.9", 7, 16, "above -5 °C"),
    ("longest_hold = \"12h\"", "longest_hold = \"0h\"", 9, 16, "longest hold is zero"),
    ("longest_hold = \"12h\"", "longest_hold = 12", 9, 16, "a number where a duration"),
    ("longest_hold = \"12h\"", "longest_hold = \"12 hours\"", 9, 16, "no unit of time"),
    ("greatest = 35.0", "greatest = 4.0", 11, 9, "least 5 is above greatest 4"),
    ("[\"dry\", \"wet\"]", "[]", 14, 11, "no hole condition is allowed"),
    ("[\"dry\", \"wet\"]", "[\"dry\", \"damp\"]", 14, 19, "\"damp\" is no hole condition"),
    ("[\"dry\", \"wet\"]", "[\"dry\", 2]", 14, 19, "where a text"),
    ("[\"dry\", \"wet\"]", "\"dry\"", 14, 11, "where a list"),
    ("wet_factor = 2", "wet_factor = 1", 15, 14, "no whole number from 2 to 10"),
    ("wet_factor = 2", "wet_factor = 11", 15, 14, "no whole number from 2 to 10"),
    ("wet_factor = 2", "wet_factor = 2.5", 15, 14, "no whole number from 2 to 10"),
    ("wet_factor = 2", "wet_factor = -2", 15, 14, "no whole number from 2 to 10"),
    ("wet_factor = 2", "wet_factor = 0xFFFFFFFFFFFFFFFFFFFFFFFFFFFFFFFFFFFFFFFF", 15, 14, "no whole number"),
    ("wet_factor = 2\n", "", 13, 1, "wet_factor is missing"),
    ("[accrual]\npermitted = false\n", "", 1, 1, "accrual is missing"),
    ("permitted = false\n", "", 16, 1, "permitted is missing"),
    ("permitted = false", "permitted = 0", 17, 13, "where true or false"),
    ("from = -5.0", "from = 10.0", 23, 8, "does not lie above"),
    ("from = 10.0", "from = -4.9999999\nform = 1", 24, 1, "unknown key \"form\""),
    ("working = \"30min\"", "working = \"91min\"", 24, 11, "the working time 1h 31min is longer than the 1h 30min"),
    ("cure = \"6h\"", "cure = \"1441min\"", 25, 8, "the cure time 1d 1min is longer than the 1d"),
    ("working = \"30min\"", "working = \"0s\"", 24, 11, "working time is zero"),
    ("cure = \"6h\"", "cure = \"0min\"", 25, 8, "cure time is zero"),
    ("cure = \"24h\"", "cure = \"14d 1s\"", 21, 8, "longer than 14d"),
    ("cure = \"6h\"", "cure = \"6\"", 25, 8, "a unit is missing"),
    ("cure = \"6h\"\n", "", 22, 1, "cure is missing"),
    ("cure = \"6h\"", "cure = 2026-01-01", 25, 8, "a date or time"),
    ("cure = \"6h\"", "cure = \"6h\"\ncure = \"7h\"", 26, 1, "duplicate key"),
    ("cure = \"6h\"", "cure = 6h", 25, 8, "no TOML"),
    ("cure = \"6h\"", "cure = \"6h", 25, 11, "no TOML"),
];

#[test]
fn everything_unusable_is_refused_at_its_place() {
    for (from, to, line, column, words) in BAD {
        let text = with(from, to);
        let problem = ResinFile::parse("r.toml", &text).unwrap_err();
        let all: Vec<_> = std::iter::once(&problem).chain(problem.more()).collect();
        let found = all.iter().find(|problem| problem.what().contains(words));
        let place = found.map(|problem| (problem.line(), problem.column()));
        assert_eq!(place, Some((Some(*line), Some(*column))), "{to}: {problem}");
        assert!(all.iter().all(|problem| problem.exit() == Exit::Unusable && !problem.remedy().is_empty()));
        // a key written wrongly is one too many and one missing; nothing else makes two of one
        assert!(all.len() == 1 || (all.len() == 2 && to.contains("leats")), "{to}: {problem}");
    }
}

#[test]
fn bands_are_needed_in_double_brackets_and_sixteen_at_most() {
    let head = &GOOD[..GOOD.find("[[band]]").unwrap()];
    for (tail, words) in [
        ("", "band is missing"),
        ("[band]\nfrom = 1\n", "band is a table where a list of bands is needed"),
        ("band = []\n", "unknown key"), // stands below [accrual]
    ] {
        let text = findings(&format!("{head}{tail}")).problems().map(|problem| problem.to_string()).collect::<String>();
        assert!(text.contains(words), "{text}");
    }
    let bands = |count: i32| -> String {
        let band =
            |edge| format!("[[band]]\nfrom = {edge}\nworking = \"{}min\"\ncure = \"{}h\"\n", 60 - edge, 40 - edge);
        (-5..count - 5).map(band).collect()
    };
    assert_eq!(good(&format!("{head}{}", bands(16))).resin().bands().len(), 16);
    let problem = ResinFile::parse("r.toml", &format!("{head}{}", bands(18))).unwrap_err();
    assert_eq!((problem.what(), problem.line()), ("there are 18 bands, and at most 16 are counted", Some(18 + 16 * 4)));
}

#[test]
fn all_errors_of_a_file_are_found_in_one_go_and_in_its_order() {
    let text = GOOD
        .replace("cure_least = -5.0", "cure_least = 300")
        .replace("wet_factor = 2", "wet_factr = 2")
        .replace("\"6h\"", "\"6x\"");
    let problem = ResinFile::parse("r.toml", &text).unwrap_err();
    let lines: Vec<_> =
        std::iter::once(&problem).chain(problem.more()).map(|problem| problem.line().unwrap()).collect();
    // the missing wet_factor stands at the table's header
    assert_eq!(lines, [5, 13, 15, 25], "{problem}");
    assert_eq!(problem.to_string().lines().count(), 8);
    let found = findings("a = \n[x\n b = 01\n");
    assert!(found.iter().count() >= 2 && found.iter().all(|finding| finding.what.starts_with("this is no TOML")));
}

#[test]
fn what_looks_odd_is_a_warning_and_the_file_is_usable() {
    let cases: &[(&str, &str, u64, &str)] = &[
        ("name = \"Invented\"", "name = \" \"", 1, "name is empty"),
        ("name = \"Invented\"", "name = \"a\\u001b[2Jb\"", 1, "can't be seen"),
        ("from = 10.0", "from = 40.0", 23, "can never be used"),
        ("reject_below = -12.0\nreject_above = 60.0\nlongest_hold = \"12h\"\n", "", 2, "no reject temperature"),
        (
            "reject_below = -12.0\nreject_above = 60.0\nlongest_hold = \"12h\"\n",
            "reject_above = 60.0\n",
            2,
            "no reject temperature",
        ),
        ("cure_least = -5.0", "cure_least = -10.0", 5, "below the first band"),
        ("cure_greatest = 40.0", "cure_greatest = 60.0", 6, "far above the warmest band"),
        ("cure_greatest = 40.0", "cure_greatest = 35.0", 4, "above cure_greatest"),
        ("install_least = 0", "install_least = -8", 3, "under which the cure is held"),
        ("install_least = 0", "install_least = 39.5", 4, "no start is allowed"),
        ("install_least = 0", "install_least = 32", 3, "°F"),
        ("longest_hold = \"12h\"", "longest_hold = \"5min\"", 9, "one missed reading"),
        ("cure = \"6h\"", "cure = \"30min\"", 24, "not shorter than the cure time"),
        ("least = 5.0", "least = -20.0", 11, "unusually cold"),
        ("greatest = 35.0", "greatest = 95.0", 12, "unusually warm"),
        ("greatest = 35.0", "greatest = 5.0", 12, "hardly more than one temperature"),
        ("[\"dry\", \"wet\"]", "[\"wet\"]", 14, "dry holes are not allowed"),
        ("[\"dry\", \"wet\"]", "[\"dry\", \"flooded\"]", 14, "flooded holes are allowed"),
        ("[\"dry\", \"wet\"]", "[\"dry\", \"wet\", \"dry\"]", 14, "listed twice"),
        ("working = \"30min\"\ncure = \"6h\"", "working = \"90min\"\ncure = \"24h\"", 22, "same times"),
    ];
    assert_eq!(findings(GOOD).iter().count(), 0);
    for (from, to, line, words) in cases {
        let text =
            if *from == "least = 5.0" { GOOD.replace("\nleast = 5.0", "\nleast = -20.0") } else { with(from, to) };
        let resin = good(&text);
        let warnings: Vec<_> = resin.warnings().collect();
        let found = warnings.iter().find(|warning| warning.what().contains(words) || warning.remedy().contains(words));
        assert_eq!(found.and_then(|warning| warning.line()), Some(*line), "{to}: {warnings:?}");
        assert!(resin.findings().iter().all(|finding| finding.severity == Severity::Warning));
    }
}

#[test]
fn bands_below_every_limit_are_warned_of() {
    let colder = "[[band]]\nfrom = -20\nworking = \"2h\"\ncure = \"2d\"\n[[band]]\nfrom = -15\nworking = \"2h\"\ncure = \"30h\"\n[[band]]\nfrom = -5.0";
    let text = with("[[band]]\nfrom = -5.0", colder);
    let what: Vec<_> = good(&text).warnings().map(|warning| warning.to_string()).collect();
    assert_eq!(what.len(), 2, "{what:?}");
    assert!(what[0].contains("from -20 °C can never be used: all of it lies below reject_below"), "{what:?}");
    assert!(what[1].contains("from -15 °C can never be used for counting"), "{what:?}");
    let inside = good(&text.replace("cure_least = -5.0", "cure_least = -18").replace("= -12.0", "= -19"));
    assert_eq!(inside.warnings().count(), 0);
}

#[test]
fn a_finding_is_shown_in_its_line_and_no_file_steers_the_terminal() {
    let found = findings(&with("wet_factor = 2", "wet_factor = 1 # \u{1b}[31m \u{202E}x"));
    // a control character in a comment makes it no TOML at all
    for colour in [Colour::Plain, Colour::Ansi] {
        let mut shown = Vec::new();
        found.render(&mut shown, colour).unwrap();
        let shown = String::from_utf8(shown).unwrap();
        match colour {
            Colour::Plain => {
                assert!(shown.contains("wet_factor = 1 # ?[31m ???x") && !shown.contains('\u{1b}'), "{shown}")
            }
            Colour::Ansi => assert!(!shown.contains("# \u{1b}[31m ") && !shown.contains('\u{202E}'), "{shown}"),
        }
    }
    let found = findings(&with("wet_factor = 2", "wet_factor = 1"));
    let mut shown = Vec::new();
    found.render(&mut shown, Colour::Plain).unwrap();
    let shown = String::from_utf8(shown).unwrap();
    assert!(
        shown.contains("r.toml:15:14") && shown.contains("15 | wet_factor = 1") && shown.contains("at least doubled"),
        "{shown}"
    );
}

/// Random changes of numbers: the places' own checks and the engine's last word agree, so no refusal lacks its place.
#[test]
fn no_schedule_is_refused_by_the_engine_alone() {
    let mut random = fastrand::Rng::with_seed(1);
    let (all, mut usable, mut refused) = (rounds(10_000), 0, 0);
    let keys = [
        "install_least",
        "install_greatest",
        "cure_least",
        "cure_greatest",
        "reject_below",
        "reject_above",
        "\nleast",
        "\ngreatest",
        "from",
    ];
    for _ in 0..all {
        let mut text = GOOD.to_owned();
        for _ in 0..random.usize(1..3) {
            let key = random.choice(keys).unwrap();
            let places: Vec<usize> =
                text.match_indices(&format!("{key} = ")).map(|(at, found)| at + found.len()).collect();
            let at = places[random.usize(0..places.len())];
            let end = at + text[at..].find('\n').unwrap();
            // around the edges that others stand at, a fraction of a count away or more
            let near = random.choice([-12, -5, 0, 5, 10, 35, 40, 60]).unwrap();
            let off = random.choice(["", ".001", ".002", ".004", ".5"]).unwrap();
            text.replace_range(at..end, &format!("{near}{off}"));
        }
        let found = findings(&text);
        match found.any_error() {
            true => refused += 1,
            false => usable += 1,
        }
        assert!(!found.iter().any(|finding| finding.what.contains("engine")), "{text}");
    }
    assert!(usable * 8 > all && refused * 8 > all, "{usable} {refused}");
}

#[test]
fn no_text_at_all_makes_it_panic() {
    let mut random = fastrand::Rng::with_seed(2);
    let odd: Vec<char> = "\"[]=.-_0129eEinfa{},\n\t\u{0}\u{1b}é\u{202E}#xXhmd ".chars().collect();
    for _ in 0..rounds(5_000) {
        let mut text: Vec<char> = DEMO.chars().collect();
        for _ in 0..random.usize(1..6) {
            let place = random.usize(0..text.len());
            let other = random.choice(&odd).copied().unwrap();
            match random.u8(0..3) {
                0 => text[place] = other,
                1 => text.insert(place, other),
                _ => drop(text.drain(place..(place + random.usize(0..30)).min(text.len()))),
            }
        }
        let text: String = text.into_iter().collect();
        let found = findings(&text);
        let mut shown = Vec::new();
        found.render(&mut shown, Colour::Plain).unwrap();
        assert!(found.problems().all(|problem| !problem.to_string().is_empty()));
    }
}
