#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a test that cannot go on should stop there; rates are printed"
)]

use super::{Times, Why, steps, suspicions};
use crate::decimal::Decimal;
use crate::resin_file::ExactBand;
use approx::assert_abs_diff_eq;
use holdoff_core::quantity::Span;
use std::collections::{BTreeMap, BTreeSet};

type Schedule = (&'static [i32], &'static [u32]);

/// Invented schedules of usual shapes, minutes: short and long, coarse and fine, with equal neighbours.
const INVENTED: [Schedule; 8] = [
    (&[-5, 0, 5, 10, 20, 30], &[1440, 720, 360, 180, 90, 60]),
    (&[-5, 0, 5, 10, 20, 30], &[1440, 840, 480, 300, 150, 75]),
    (&[-5, 0, 5, 10, 20, 30], &[90, 60, 40, 25, 12, 6]),
    (&[-10, -5, 0, 10, 20, 30], &[1440, 840, 420, 120, 60, 45]),
    (&[0, 5, 10, 15, 20, 25, 30, 35], &[2880, 1440, 960, 720, 420, 300, 240, 180]),
    (&[5, 10, 20, 30, 40], &[4320, 2880, 1440, 720, 600]),
    (&[-5, 0, 5, 10, 15, 20, 25, 30, 35], &[360, 180, 90, 60, 60, 45, 30, 25, 20]),
    (&[0, 5, 10, 20, 30], &[120, 90, 60, 45, 30]),
];

fn bands(edges: &[i32], minutes: &[u32]) -> Vec<ExactBand> {
    let band = |(edge, minutes): (&i32, &u32)| ExactBand {
        from: Decimal::from_whole(i128::from(*edge)),
        working: Span::from_seconds(60),
        cure: Span::from_seconds(minutes * 60),
        working_at: 0..0,
        cure_at: 0..0,
    };
    edges.iter().zip(minutes).map(band).collect()
}

/// Energies for "twice as fast over ten degrees" from docs/check-values.md section 2, J/mol, tolerance 1.
#[test]
fn the_energy_of_doubling_over_ten_degrees_is_the_published_one() {
    for (edge, joules) in [
        (-5, 42_985.0),
        (0, 44_574.0),
        (5, 46_191.0),
        (10, 47_837.0),
        (15, 49_512.0),
        (20, 51_216.0),
        (25, 52_949.0),
        (30, 54_710.0),
    ] {
        let found = steps(&bands(&[edge, edge + 10], &[100, 50]), Times::Cure);
        assert_eq!((found.len(), found[0].band), (1, 1));
        assert_abs_diff_eq!(found[0].energy * 1000.0, joules, epsilon = 1.0);
    }
}

#[test]
fn usual_schedules_raise_no_suspicion() {
    for (edges, minutes) in INVENTED {
        assert_eq!(suspicions(&bands(edges, minutes)), [], "{edges:?} {minutes:?}");
    }
}

#[test]
fn equal_times_count_as_one_band() {
    let found = steps(&bands(&[0, 10, 20], &[60, 60, 30]), Times::Cure);
    let over_both = steps(&bands(&[0, 20], &[60, 30]), Times::Cure);
    assert_eq!((found.len(), found[0].band, found[0].energy), (1, 2, over_both[0].energy));
    assert_eq!(steps(&bands(&[0, 10], &[60, 60]), Times::Cure), []);
    assert_eq!(steps(&bands(&[0], &[60]), Times::Cure), []);
}

#[test]
fn a_lost_digit_and_a_swapped_one_are_named_with_their_band() {
    let (edges, _) = INVENTED[0];
    let found = suspicions(&bands(edges, &[1440, 720, 360, 180, 90, 6]));
    assert_eq!((found.len(), found[0].step.band, found[0].why), (1, 5, Why::Steep));
    // 360 copied as 630
    let found = suspicions(&bands(edges, &[1440, 720, 630, 180, 90, 60]));
    assert!(
        found.iter().any(|found| (found.times, found.step.band, found.why) == (Times::Cure, 3, Why::Steep)),
        "{found:?}"
    );
    let found = suspicions(&bands(edges, &[1440, 720, 600, 300, 90, 60]));
    assert!(found.iter().any(|found| matches!(found.why, Why::Uneven { .. }) && found.step.band == 2), "{found:?}");
    assert!(found[0].to_string().contains("kJ/mol"));
}

#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
enum Slip {
    Swapped,
    Dropped,
    Doubled,
    Replaced,
}

/// Every slip of one digit in a number.
fn slips(number: u32) -> BTreeSet<(Slip, u32)> {
    let digits: Vec<char> = number.to_string().chars().collect();
    let mut made = BTreeSet::new();
    let mut add = |slip, digits: Vec<char>| {
        let text: String = digits.into_iter().collect();
        made.extend(text.parse().ok().filter(|slipped| *slipped != number).map(|slipped: u32| (slip, slipped)));
    };
    for place in 0..digits.len() {
        let mut slipped = digits.clone();
        if place > 0 {
            slipped.swap(place - 1, place);
            add(Slip::Swapped, slipped);
        }
        let mut slipped = digits.clone();
        slipped.remove(place);
        add(Slip::Dropped, slipped);
        let mut slipped = digits.clone();
        slipped.insert(place, digits[place]);
        add(Slip::Doubled, slipped);
        for other in '0'..='9' {
            let mut slipped = digits.clone();
            slipped[place] = other;
            add(Slip::Replaced, slipped);
        }
    }
    made
}

/// How many slips of one digit in a cure time are noticed: refused, since times then rise or are zero or too long, or
/// suspected. The rates stand here so that a change of the limits shows what it costs.
#[test]
fn most_slips_of_a_digit_are_noticed() {
    let mut counts: BTreeMap<Slip, (u32, u32, u32)> = BTreeMap::new();
    let mut much_too_short = 0;
    for (edges, minutes) in INVENTED {
        for place in 0..minutes.len() {
            for (slip, slipped) in slips(minutes[place]) {
                let mut copied = minutes.to_vec();
                copied[place] = slipped;
                let refused =
                    copied.windows(2).any(|pair| pair[1] > pair[0]) || copied.contains(&0) || copied[0] > 20_160;
                let suspected = !refused && !suspicions(&bands(edges, &copied)).is_empty();
                let count = counts.entry(slip).or_default();
                *count = (count.0 + 1, count.1 + u32::from(refused), count.2 + u32::from(suspected));
                much_too_short += u32::from(!refused && !suspected && slipped * 3 < minutes[place] * 2);
            }
        }
    }
    for (slip, (all, refused, suspected)) in &counts {
        println!("{slip:?}: {all}, {refused} refused, {suspected} suspected");
    }
    println!("{much_too_short} unnoticed that make a time shorter by more than a third");
    let noticed = |slip: Slip| f64::from(counts[&slip].1 + counts[&slip].2) / f64::from(counts[&slip].0);
    assert!(noticed(Slip::Dropped) >= 1.0 && noticed(Slip::Doubled) >= 1.0);
    assert!(noticed(Slip::Swapped) > 0.65, "{}", noticed(Slip::Swapped));
    assert!(noticed(Slip::Replaced) > 0.38, "{}", noticed(Slip::Replaced));
    assert!(much_too_short <= 15, "{much_too_short}");
}
