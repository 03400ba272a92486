//! The worth of a calibration against the slow reference: fractions of any size, from the text of `docs/probe.md`.

use holdoff_core::cure::Uncertainty;
use holdoff_files::calibration::Calibration;
use holdoff_files::resin_file::ResinFile;
use holdoff_site::calibration::{Asked, Cover, cover, reckon, rows};
use holdoff_tests::random::{histories, numbers};
use num::bigint::BigInt;
use num::rational::BigRational;
use num::traits::{Signed, Zero};

/// A random record; all in 10^-8 °C.
struct Invented {
    reference: i64,
    resolution: i64,
    repeatability: Option<i64>,
    between: Option<i64>,
    /// Reading, reference value, uncertainty.
    points: Vec<(i64, i64, i64)>,
}

fn decimal(parts: i64) -> String {
    let sign = if parts < 0 { "-" } else { "" };
    format!("{sign}{}.{:08}", parts.unsigned_abs() / 100_000_000, parts.unsigned_abs() % 100_000_000)
}

impl Invented {
    fn new(mut random: impl FnMut(i64, i64) -> i64) -> Self {
        // some probes are good, some are bad, some figures are round
        let grain = [1, 100_000, 390_625][random(0, 2) as usize];
        let spread = [1_000, 10_000_000, 300_000_000][random(0, 2) as usize];
        let mut at = random(-90, -10) * 100_000_000;
        let mut points: Vec<(i64, i64, i64)> = Vec::new();
        let number = random(2, 7);
        // up to 116 °C, so that no reference value is over 120 °C
        let step = (11_600_000_000 - at) / (number - 1);
        for _ in 0..number {
            let reading = at / grain * grain;
            // reference values must rise
            let least = points.last().map_or(i64::MIN, |last| last.1 + 1);
            points.push((reading, (reading + random(-spread, spread)).max(least), random(1, 40_000_000)));
            at += random(step / 2, step);
        }
        let two = points.len() == 2;
        Self {
            reference: random(1, 20_000_000),
            resolution: random(1, 12_500_000),
            repeatability: (random(0, 1) == 0).then(|| random(1, 5_000_000)),
            between: (two || random(0, 2) == 0).then(|| random(1, 20_000_000)),
            points,
        }
    }

    fn file(&self) -> Calibration {
        let mut text = "probe = \"7\"\nby = \"C. Invented\"\ndate = 2021-11-15\ndue = 2022-11-15\n".to_owned();
        text += &format!("resolution_c = {}\n", decimal(self.resolution));
        for (key, value) in [("repeatability_c", self.repeatability), ("between_c", self.between)] {
            text += &value.map_or(String::new(), |value| format!("{key} = {}\n", decimal(value)));
        }
        text += &format!("[reference]\nnumber = \"R\"\nuncertainty_c = {}\n", decimal(self.reference));
        for (reading, reference, uncertainty) in &self.points {
            let [reading, reference, uncertainty] = [reading, reference, uncertainty].map(|parts| decimal(*parts));
            text += &format!(
                "[[point]]\nreading_c = {reading}\nreference_c = {reference}\nuncertainty_c = {uncertainty}\n"
            );
        }
        Calibration::parse("p.toml", &text, "2026-01-01".parse().unwrap())
            .unwrap_or_else(|problem| panic!("{problem}\n{text}"))
    }

    /// The correction on the straight line through two points.
    fn line(&self, from: usize, to: usize, reading: i64) -> BigRational {
        let ((x0, y0, _), (x1, y1, _)) = (self.points[from], self.points[to]);
        let (d0, d1) = (whole(y0 - x0), whole(y1 - x1));
        &d0 + (&d1 - &d0) * whole(reading - x0) / whole(x1 - x0)
    }

    /// How far the correction of a point lies off the line through its neighbours, up to a whole part.
    fn off(&self, point: usize) -> BigRational {
        if point == 0 || point + 1 >= self.points.len() {
            return BigRational::zero();
        }
        let (reading, reference, _) = self.points[point];
        (whole(reference - reading) - self.line(point - 1, point + 1, reading)).abs().ceil()
    }

    /// Correction and the square of the expanded uncertainty at a reading, the worse of two legs; nothing outside.
    fn at(&self, reading: i64) -> Option<(BigRational, BigRational)> {
        let mut worst: Option<(BigRational, BigRational)> = None;
        for leg in 0..self.points.len() - 1 {
            let (from, to) = (self.points[leg], self.points[leg + 1]);
            if reading < from.0 || reading > to.0 {
                continue;
            }
            let squared = |value: BigRational| &value * &value;
            let two = whole(2);
            let between =
                [whole(self.between.unwrap_or(0)), self.off(leg), self.off(leg + 1)].into_iter().max().unwrap();
            // standard uncertainties, squared: JCGM 100:2008, 4.3.3, 4.3.3, F.2.2.1, 4.2.2, 4.3.7
            let sum = squared(whole(self.reference) / &two)
                + squared(whole(from.2.max(to.2)) / &two)
                + squared(whole(self.resolution)) / whole(12)
                + squared(whole(self.repeatability.unwrap_or(0)))
                + squared(between) / whole(3);
            let expanded = sum * whole(4);
            if worst.as_ref().is_none_or(|(_, known)| expanded > *known) {
                worst = Some((self.line(leg, leg + 1, reading), expanded));
            }
        }
        worst
    }
}

fn whole(value: i64) -> BigRational {
    BigRational::from_integer(BigInt::from(value))
}

/// Whether |correction| + root is at most so much.
fn enough(correction: &BigRational, square: &BigRational, given: i64) -> bool {
    let left = whole(given) - correction.abs();
    !left.is_negative() && &left * &left >= *square
}

#[test]
fn random_calibrations_are_worth_what_fractions_say_and_what_covers_them_covers_every_reading() {
    let resin = ResinFile::parse("r.toml", include_str!("../../../host-sim/demo/harbour-slow.toml")).unwrap();
    let mut seen = [0u64; 3];
    for seed in 0..histories(300) {
        let mut next = numbers(seed);
        let mut random = |least: i64, most: i64| least + (next() % (most - least + 1) as u64) as i64;
        let invented = Invented::new(&mut random);
        let file = invented.file();
        let (first, last) = (invented.points[0].0, invented.points[invented.points.len() - 1].0);
        let on_points = invented.points.iter().map(|point| point.0);
        let anywhere = (0..20).map(|_| random(first - 100_000_000, last + 100_000_000)).collect::<Vec<_>>();
        for reading in on_points.chain(anywhere).chain([first - 1, last + 1]) {
            match (reckon(&file, reading), invented.at(reading)) {
                (None, None) => {}
                (Some(found), Some((correction, square))) => {
                    let away = if correction.is_negative() { correction.floor() } else { correction.ceil() };
                    assert_eq!(whole(found.correction), away, "seed {seed}, reading {reading}");
                    // the least whole number whose square is not below
                    let (least, below) = (whole(found.expanded), whole(found.expanded - 1));
                    assert!(&least * &least >= square && &below * &below < square, "seed {seed}, reading {reading}");
                }
                (found, expected) => panic!("seed {seed}, reading {reading}: {found:?}, {expected:?}"),
            }
        }
        let counts = random(0, 512) as u16;
        let rows = rows(&file, Asked::Resin(resin.resin()));
        let judged = cover(&rows, Uncertainty::from_counts(counts).unwrap());
        let given = i64::from(counts) * 390_625;
        // -12 to 60 °C: the coldest and the warmest limit of the resin
        let within = (0..40).map(|_| random(-1_200_000_000, 6_000_000_000)).collect::<Vec<_>>();
        match judged {
            Cover::Covered { .. } => {
                seen[0] += 1;
                for reading in within {
                    let (correction, square) = invented.at(reading).expect("within the points");
                    assert!(enough(&correction, &square, given), "seed {seed}, reading {reading}");
                }
            }
            Cover::TooSmall { .. } => {
                seen[1] += 1;
                let worst = rows.iter().filter_map(|row| invented.at(row.at));
                // rounded up to a part, which is all that is between them
                assert!(worst.into_iter().any(|(c, s)| !enough(&c, &s, given - 2)), "seed {seed}");
            }
            Cover::Unknown => {
                seen[2] += 1;
                assert!(first > -1_200_000_000 || last < 6_000_000_000, "seed {seed}");
            }
        }
    }
    assert!(seen.iter().all(|number| *number > 0), "{seen:?}");
}
