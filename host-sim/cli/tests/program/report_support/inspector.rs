//! The instant of the cure, reckoned as an inspector does from what stands on a page (`docs/report.md`).
//!
//! Everything is read off the tables that a browser shows, in whole numbers and fractions; nothing of the engine is used.

use crate::board_support::browser::Browser;
use num::rational::BigRational;
use num::{BigInt, One, Zero};
use serde_json::Value;

/// What an inspector finds of one fixing.
#[derive(Debug)]
pub(crate) struct Inspected {
    pub(crate) label: String,
    /// Counted seconds by band.
    pub(crate) counted: Vec<u64>,
    pub(crate) held: u64,
    pub(crate) unobserved: u64,
    /// The instant of the cure by the reckoning, as the page writes it.
    pub(crate) cured: Option<String>,
    /// The instant of the release, as the page writes it.
    pub(crate) released: Option<String>,
}

/// The rows of a table as texts.
fn rows(browser: &mut Browser, selector: &str) -> Vec<Vec<String>> {
    let rows = browser.value(&format!(
        "[...document.querySelectorAll('{selector} tbody tr')].map(row => [...row.cells].map(cell => cell.innerText))"
    ));
    let texts = |row: &Value| row.as_array().unwrap().iter().map(|cell| cell.as_str().unwrap().to_owned()).collect();
    rows.as_array().unwrap().iter().map(texts).collect()
}

/// The whole numbers in a text.
fn numbers(text: &str) -> Vec<i64> {
    let parts = text.split(|letter: char| !(letter.is_ascii_digit() || letter == '-'));
    parts.filter_map(|part| part.parse().ok()).collect()
}

fn last(text: &str) -> i64 {
    *numbers(text).last().unwrap_or_else(|| panic!("no number in {text:?}"))
}

/// The decimals in a text, in thousandths.
fn decimals(text: &str) -> Vec<i64> {
    let parts = text.split(|letter: char| !(letter.is_ascii_digit() || letter == '.'));
    parts.filter_map(|part| part.parse::<f64>().ok()).map(|value| (value * 1000.0).round() as i64).collect()
}

/// Reckons a fixing of the page anew and holds it against what the page says. The place is from 1.
pub(crate) fn inspect(browser: &mut Browser, place: usize) -> Inspected {
    let sheet = format!("#fixing-{place}");
    let label = browser.value(&format!("document.querySelector('{sheet} h2').innerText")).as_str().unwrap().to_owned();
    let instants = rows(browser, &format!("{sheet} table.instants"));
    let instant = |what: &str| instants.iter().find(|row| row[0] == what).map(|row| (row[1].clone(), last(&row[2])));
    let bands = rows(browser, &format!("{sheet} table.bands"));
    let mut found = Inspected {
        label,
        counted: bands.iter().filter(|row| !row[1].is_empty()).map(|row| last(&row[3]) as u64).collect(),
        held: 0,
        unobserved: 0,
        cured: None,
        released: None,
    };
    let Some((_, seated)) = instant("seated") else { return found };
    let schedule: Vec<(i64, i64)> =
        rows(browser, "#resin-1 table.schedule").iter().map(|row| (last(&row[1]), last(&row[5]))).collect();
    let lost: Vec<(i64, i64, bool)> = rows(browser, &format!("{sheet} table.not-counted"))
        .iter()
        .map(|row| (last(&row[0]), last(&row[1]), row[3] == "held"))
        .collect();
    for (from, to, held) in &lost {
        *(if *held { &mut found.held } else { &mut found.unobserved }) += (to - from) as u64;
    }
    let fact = |browser: &mut Browser, row: &str| {
        last(browser.value(&format!("document.querySelector('{row}').cells[1].innerText")).as_str().unwrap())
    };
    let ppm = fact(browser, &format!("{sheet} table.log tr.clock-ppm"));
    let uncertainty = fact(browser, &format!("{sheet} table.log tr.uncertainty"));
    let wet_factor = fact(browser, "#resin-1 table.limits tr.wet-factor");
    let loaded = rows(browser, &format!("{sheet} table.loaded"));
    let says = |head: &str| loaded.iter().find(|row| row[0] == head).map(|row| row[1].clone()).unwrap();
    let factor = if says("Hole") == "dry" { 1 } else { wet_factor };
    let lines =
        browser.value(&format!("[...document.querySelectorAll('{sheet} .reckoning li')].map(line => line.innerText)"));
    let lines: Vec<&str> = lines.as_array().unwrap().iter().map(|line| line.as_str().unwrap()).collect();
    // the coldest reading, and what it asks for
    let brackets: Vec<i64> = lines[0].split('(').skip(1).map(|part| numbers(part)[0]).collect();
    let low = brackets[0] - uncertainty;
    assert_eq!(brackets[1..3], [uncertainty, low], "{}", lines[0]);
    let band = schedule.iter().rfind(|(edge, _)| *edge <= low).unwrap_or(&schedule[0]);
    let required = factor * band.1;
    let served = |counted: i64| counted - (counted * ppm + 999_999).div_euclid(1_000_000);
    let counted: Vec<i64> = found.counted.iter().map(|seconds| *seconds as i64).collect();
    // as the rule of the page has it
    let enough = |counted: &[i64]| {
        let by_coldest = served(counted.iter().sum()) >= required;
        if says("Rule of the cure").starts_with("coldest-band") {
            return by_coldest;
        }
        let mut sum = BigRational::zero();
        for (seconds, (_, cure)) in counted.iter().zip(&schedule) {
            let worth = BigInt::from(*seconds) * BigInt::from(1_000_000 - ppm);
            sum += BigRational::new(worth, BigInt::from(1_000_000 * factor * cure));
        }
        by_coldest || sum >= BigRational::one()
    };
    if !enough(&counted) {
        assert_eq!(instant("cured"), None, "{}", found.label);
        return found;
    }
    // walk from the seating over the counted seconds, around what did not count
    let (mut at, mut left) = (seated, counted.iter().sum::<i64>());
    for (from, to, _) in &lost {
        if from - at >= left {
            break;
        }
        left -= from - at;
        at = *to;
    }
    at += left;
    let (stamp, second) = instant("cured").unwrap_or_else(|| panic!("{}: cured by the reckoning", found.label));
    assert_eq!(at, second, "{}", found.label);
    // the first such second: the last one counted in the band that the page names
    let line = lines.iter().find(|line| line.contains("The last of these seconds")).unwrap();
    let edge = last(line.rsplit_once('(').unwrap().1);
    let mut shorter = counted.clone();
    *shorter.iter_mut().zip(&schedule).find(|(_, (from, _))| *from == edge).unwrap().0 -= 1;
    assert!(!enough(&shorter), "{}: it was cured a second before", found.label);
    found.cured = Some(stamp);
    // a torque within its range, not before the cure, releases
    let range = decimals(&says("Installation torque"));
    let deeds = rows(browser, &format!("{sheet} table.deeds"));
    let applied = deeds.iter().find_map(|row| row[1].strip_prefix("torque: ").map(|torque| decimals(torque)[0]));
    if let (Some((stamp, torqued)), [least, greatest], Some(applied)) = (instant("torqued"), range.as_slice(), applied)
        && torqued >= second
        && (*least..=*greatest).contains(&applied)
    {
        assert_eq!(instant("released"), Some((stamp.clone(), torqued)), "{}", found.label);
        found.released = Some(stamp);
    }
    found
}
