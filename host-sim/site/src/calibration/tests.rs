#![allow(clippy::unwrap_used, reason = "a broken expectation must stop the test")]
//! Published figures, and what is covered. The slow reference stands in the tests that span crates.

use super::{Asked, Cover, Place, Terms, cover, reckon, rows};
use holdoff_core::cure::Uncertainty;
use holdoff_files::calibration::{Calibration, PARTS};
use holdoff_files::resin_file::ResinFile;

const NOTHING: Terms = Terms { reference: 0, point: 0, resolution: 0, repeatability: 0, between: 0 };

fn calibration(head: &str, points: &[(&str, &str, &str)]) -> Calibration {
    let mut text = format!(
        "probe = \"7\"\nby = \"C. Invented\"\ndate = 2021-11-15\ndue = 2022-11-15\n{head}\n[reference]\n\
         number = \"R\"\nuncertainty_c = 0.06\n"
    );
    for (reading, reference, uncertainty) in points {
        text +=
            &format!("[[point]]\nreading_c = {reading}\nreference_c = {reference}\nuncertainty_c = {uncertainty}\n");
    }
    Calibration::parse("p.toml", &text, "2026-01-01".parse().unwrap()).unwrap()
}

#[test]
fn each_term_is_divided_as_jcgm_100_has_it() {
    // JCGM 100:2008, F.2.2.1: a step of 1 has a standard uncertainty of 0.29; expanded 0.577 350 269 19
    assert_eq!(Terms { resolution: PARTS, ..NOTHING }.ceil_expanded(), 57_735_027);
    // 4.3.7, example 1: a half-width of 0.40 (10^-6 /°C) has 0.23; expanded 0.461 880 215 35
    assert_eq!(Terms { between: 40_000_000, ..NOTHING }.ceil_expanded(), 46_188_022);
    // 4.3.3: an expanded uncertainty with k = 2 is twice the standard one; a standard deviation counts as it is
    assert_eq!(Terms { reference: 123, ..NOTHING }.ceil_expanded(), 123);
    assert_eq!(Terms { point: 123, ..NOTHING }.ceil_expanded(), 123);
    assert_eq!(Terms { repeatability: 123, ..NOTHING }.ceil_expanded(), 246);
    assert_eq!(NOTHING.ceil_expanded(), 0);
}

#[test]
fn the_root_of_the_sum_of_squares_is_that_of_the_end_gauge_of_jcgm_100() {
    // H.1 (from memory): 25 nm, 16.6 nm, 9.7 nm and 2.9 nm make a combined 32 nm; here in hundredths, as two expanded
    // uncertainties, a standard deviation, and a step of 2.9 x √12
    let terms = Terms { reference: 5000, point: 3320, repeatability: 970, resolution: 1005, between: 0 };
    assert_eq!((terms.ceil_expanded() as f64 / 200.0).round(), 32.0);
    assert_eq!(terms.ceil_expanded(), 6335);
}

#[test]
fn the_thermometer_of_jcgm_100_has_the_corrections_of_its_line() {
    // H.3, table H.6 (from memory): readings, corrections; the line fitted there: -0.1712 + 0.002 18 (t - 20), s = 0.0035
    let table = [
        ("21.521", "-0.171"),
        ("22.012", "-0.169"),
        ("22.512", "-0.166"),
        ("23.003", "-0.159"),
        ("23.507", "-0.164"),
        ("23.999", "-0.165"),
        ("24.513", "-0.156"),
        ("25.002", "-0.157"),
        ("25.503", "-0.159"),
        ("26.010", "-0.161"),
        ("26.511", "-0.160"),
    ];
    let sums: Vec<String> = table
        .iter()
        .map(|(reading, correction)| {
            format!("{:.3}", reading.parse::<f64>().unwrap() + correction.parse::<f64>().unwrap())
        })
        .collect();
    let points: Vec<(&str, &str, &str)> =
        table.iter().zip(&sums).map(|((reading, _), sum)| (*reading, sum.as_str(), "0.01")).collect();
    let calibration = calibration("resolution_c = 0.001", &points);
    for thousandths in 21_521..=26_511_i64 {
        let found = reckon(&calibration, thousandths * 100_000).unwrap();
        let line = -0.1712 + 0.002_18 * (thousandths as f64 / 1000.0 - 20.0);
        let apart = (found.correction as f64 / PARTS as f64 - line).abs();
        assert!(apart < 2.0 * 0.0035, "{thousandths}: {apart}");
        assert!(found.expanded > 2 * 350_000, "the scatter of the points is in the uncertainty");
    }
    // outside the points nothing is said, though the standard's line goes on to 30 °C
    assert_eq!(reckon(&calibration, 3_000_000_000), None);
    assert_eq!(reckon(&calibration, 2_152_099_999), None);
}

#[test]
fn a_correction_is_rounded_away_from_zero_and_the_worse_leg_counts_at_a_point() {
    let points = [("0", "0.1", "0.02"), ("3", "3", "0.04"), ("6", "5.9", "0.02"), ("9", "8.8", "0.02")];
    let calibration = calibration("resolution_c = 0.0625\nrepeatability_c = 0.01", &points);
    let correction = |reading: i64| reckon(&calibration, reading).unwrap().correction;
    assert_eq!((correction(0), correction(300_000_000), correction(600_000_000)), (10_000_000, 0, -10_000_000));
    assert_eq!((correction(100_000_000), correction(400_000_000)), (6_666_667, -3_333_334));
    // three corrections on a line
    assert_eq!(reckon(&calibration, 300_000_000).unwrap().terms.between, 0);
    let two = super::between(
        &super::tests::calibration("resolution_c = 0.1", &[("0", "0", "0.1"), ("1", "1.3", "0.1"), ("2", "2", "0.1")]),
        0,
    );
    assert_eq!(two, 30_000_000);
    let at = |reading| reckon(&calibration, reading).unwrap().terms.point;
    assert_eq!((at(599_999_999), at(600_000_000), at(600_000_001)), (4_000_000, 4_000_000, 2_000_000));
}

#[test]
fn what_is_needed_is_never_more_between_the_rows_than_at_them() {
    let points = [("-12", "-12.3", "0.05"), ("0", "0.2", "0.03"), ("21", "20.7", "0.05"), ("60", "59.6", "0.2")];
    let calibration = calibration("resolution_c = 0.0625", &points);
    let resin = ResinFile::parse("r.toml", include_str!("../../../demo/harbour-slow.toml")).unwrap();
    let rows = rows(&calibration, Asked::Resin(resin.resin()));
    let most = rows.iter().map(|row| row.reckoned.unwrap().needed()).max().unwrap();
    for reading in (-1_200_000_000..=6_000_000_000_i64).step_by(390_625) {
        assert!(reckon(&calibration, reading).unwrap().needed() <= most, "{reading}");
    }
}

#[test]
fn covered_means_at_every_limit_and_never_outside_the_points() {
    let resin = ResinFile::parse("r.toml", include_str!("../../../demo/harbour-slow.toml")).unwrap();
    let whole = [("-12", "-12.1", "0.05"), ("0", "0.1", "0.05"), ("60", "59.9", "0.05")];
    let calibration = calibration("resolution_c = 0.0625", &whole);
    let asked = Asked::Resin(resin.resin());
    let judged =
        |calibration: &Calibration, counts| cover(&rows(calibration, asked), Uncertainty::from_counts(counts).unwrap());
    let Cover::TooSmall { needed } = judged(&calibration, 0) else { unreachable!("0 °C covers nothing") };
    // the corrections are -0.1, 0.1, -0.1: the middle one lies 0.2 off the line through its neighbours
    let off = 0.2;
    let square = 0.06_f64.powi(2) + 0.05_f64.powi(2) + 0.0625_f64.powi(2) / 3.0 + 4.0 * f64::powi(off, 2) / 3.0;
    assert!((needed as f64 / PARTS as f64 - 0.1 - square.sqrt()).abs() < 1e-7, "{needed}");
    let just = u16::try_from(needed.div_euclid(390_625) + 1).unwrap();
    assert!(matches!(judged(&calibration, just), Cover::Covered { left } if (0..390_625).contains(&left)));
    assert_eq!(judged(&calibration, just - 1), Cover::TooSmall { needed });
    let narrow =
        self::calibration("resolution_c = 0.0625\nbetween_c = 0.05", &[("0", "0.1", "0.05"), ("40", "40", "0.05")]);
    assert_eq!(judged(&narrow, 256), Cover::Unknown);
    let outside: Vec<i64> =
        rows(&narrow, asked).iter().filter(|row| row.reckoned.is_none()).map(|row| row.at / PARTS).collect();
    assert_eq!(outside, [-12, -5, 60]);
    assert_eq!(judged(&narrow, 10), Cover::TooSmall { needed: reckon(&narrow, 0).unwrap().needed() });
    let points = rows(&narrow, Asked::Points);
    assert!(points.len() == 2 && points.iter().all(|row| row.places == [Place::Point]));
}
