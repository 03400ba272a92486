//! Sentences and cells that the check and the hand-over record share.

use crate::words::{ProbePhrase as P, Rounding, Speech, TemperatureUnit};
use chrono::NaiveDate;
use holdoff_core::cure::Uncertainty;
use holdoff_files::calibration::{Calibration, OnDay, PARTS, PARTS_PER_COUNT};
use holdoff_site::calibration::{Cover, Place, Row, cover};

/// Parts in 0.001 °C.
const PER_THOUSANDTH: i128 = PARTS as i128 / 1000;

/// A length on the scale of temperatures, from parts, to 0.001.
pub(super) fn apart(speech: Speech, parts: i64, rounding: Rounding) -> String {
    // 1 °C is 9/5 °F
    let (above, below) = match speech.temperature {
        TemperatureUnit::Celsius => (i128::from(parts), PER_THOUSANDTH),
        TemperatureUnit::Fahrenheit => (i128::from(parts) * 9, PER_THOUSANDTH * 5),
    };
    let thousandths = match rounding {
        Rounding::Down => above.div_euclid(below),
        Rounding::Up => -(-above).div_euclid(below),
        Rounding::Nearest => (2 * above + below).div_euclid(2 * below),
    };
    let text = format!("{}.{:03}", thousandths / 1000, thousandths % 1000);
    format!("{} {}", speech.decimal(text), speech.temperature.sign())
}

/// A correction with its sign, rounded away from zero.
fn correction(speech: Speech, parts: i64) -> String {
    let sign = match parts {
        0 => "",
        1.. => "+",
        _ => "-",
    };
    format!("{sign}{}", apart(speech, parts.saturating_abs(), Rounding::Up))
}

/// The sentence that names probe, day, reference and who held it against it.
pub(crate) fn first_line(speech: Speech, calibration: &Calibration) -> String {
    let [date, due] = [calibration.date, calibration.due].map(|day| day.to_string());
    let gaps = [
        ("probe", calibration.probe.as_str()),
        ("date", &date),
        ("by", &calibration.by),
        ("reference", &calibration.reference),
        ("due", &due),
    ];
    speech.fill(P::Head, &gaps)
}

/// The temperature of a reading, to the nearest 0.001.
pub(super) fn reading(speech: Speech, parts: i64) -> String {
    speech.calculated(parts as f64 / PARTS as f64, 3)
}

/// How a day lies to the calibration.
pub(crate) fn on_day(speech: Speech, calibration: &Calibration, day: NaiveDate) -> (OnDay, String) {
    let standing = calibration.on(day);
    let [day, date, due] = [day, calibration.date, calibration.due].map(|day| day.to_string());
    let text = match standing {
        OnDay::Good => speech.fill(P::Good, &[("day", &day), ("due", &due)]),
        OnDay::PastDue => speech.fill(P::PastDue, &[("day", &day), ("due", &due)]),
        OnDay::NotYet => speech.fill(P::NotYet, &[("day", &day), ("date", &date)]),
    };
    (standing, text)
}

/// The heads of a table of rows.
pub(crate) fn heads(speech: Speech) -> [&'static str; 5] {
    [P::Reading, P::Correction, P::Expanded, P::Needed, P::Decides].map(|head| speech.say(head))
}

/// The cells of a row but the last: reading, correction, uncertainty, needed; `None` behind the reading outside the points.
pub(crate) fn cells(speech: Speech, row: &Row) -> (String, Option<[String; 3]>) {
    let found = row.reckoned.map(|found| {
        let [expanded, needed] = [found.expanded, found.needed()].map(|parts| apart(speech, parts, Rounding::Up));
        [correction(speech, found.correction), expanded, needed]
    });
    (reading(speech, row.at), found)
}

/// What decides at a row.
pub(crate) fn decides(speech: Speech, row: &Row) -> String {
    let place = |place: &Place| {
        speech.say(match place {
            Place::InstallLeast => P::InstallLeast,
            Place::InstallGreatest => P::InstallGreatest,
            Place::CureLeast => P::CureLeast,
            Place::CureGreatest => P::CureGreatest,
            Place::RejectBelow => P::RejectBelow,
            Place::RejectAbove => P::RejectAbove,
            Place::BandEdge => P::BandEdge,
            Place::Point => P::Point,
        })
    };
    speech.listed(&row.places.iter().map(place).collect::<Vec<_>>())
}

/// What comes of holding a job's uncertainty against rows; without a job, what one would need.
pub(crate) fn judged(speech: Speech, rows: &[Row], job: Option<(&str, Uncertainty)>) -> (Option<Cover>, String) {
    let needed = rows.iter().filter_map(|row| row.reckoned).map(|found| found.needed()).max().unwrap_or(0);
    let needed = apart(speech, needed, Rounding::Up);
    let outside: Vec<String> =
        rows.iter().filter(|row| row.reckoned.is_none()).map(|row| reading(speech, row.at)).collect();
    let outside = outside.join(", ");
    let Some((job, uncertainty)) = job else {
        let text = if outside.is_empty() {
            speech.fill(P::NoJob, &[("needed", &needed)])
        } else {
            speech.fill(P::NoJobUnknown, &[("outside", &outside)])
        };
        return (None, text);
    };
    let given = apart(speech, i64::from(uncertainty.counts()) * PARTS_PER_COUNT, Rounding::Down);
    let found = cover(rows, uncertainty);
    let gaps = [("job", job), ("given", &*given), ("needed", &*needed), ("outside", &*outside)];
    let text = match found {
        Cover::Covered { left } => {
            let left = apart(speech, left, Rounding::Down);
            speech.fill(P::Covered, &[&gaps[..], &[("left", &*left)]].concat())
        }
        Cover::TooSmall { .. } => speech.fill(P::TooSmall, &gaps),
        Cover::Unknown => speech.fill(P::Unknown, &gaps),
    };
    (Some(found), text)
}

#[cfg(test)]
mod tests {
    use super::{apart, correction, reading};
    use crate::words::{Language, Rounding, Speech, TemperatureUnit};

    #[test]
    fn what_is_shown_is_rounded_the_way_it_is_named() {
        let speech = Speech::PLAIN;
        let up = |parts| apart(speech, parts, Rounding::Up);
        assert_eq!(
            (up(0), up(1), up(100_000), up(100_001)),
            ("0.000 °C".into(), "0.001 °C".into(), "0.001 °C".into(), "0.002 °C".into())
        );
        assert_eq!(apart(speech, 199_999, Rounding::Down), "0.001 °C");
        assert_eq!(apart(speech, 150_000, Rounding::Nearest), "0.002 °C");
        assert_eq!(
            (correction(speech, -6_666_667), correction(speech, 1), correction(speech, 0)),
            ("-0.067 °C".into(), "+0.001 °C".into(), "0.000 °C".into())
        );
        let german = Speech { language: Language::German, temperature: TemperatureUnit::Fahrenheit, ..speech };
        assert_eq!(
            (apart(german, 100_000_000, Rounding::Up), reading(german, -1_200_000_000)),
            ("1,800 °F".into(), "10,400 °F".into())
        );
    }
}
