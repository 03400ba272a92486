//! The scheme against closed forms and exact sums.
//!
//! Carslaw and Jaeger, Conduction of Heat in Solids, 2nd edition, sections 2.4 to 2.6 (from memory), with `erfc` of
//! Abramowitz and Stegun table 7.1 (computed by libm here, as a check of the values that stand in the tests).
#![allow(clippy::unwrap_used, clippy::panic, reason = "a broken expectation must stop the test")]

use super::{HalfSpace, SCHEME_ERROR};
use approx::assert_abs_diff_eq;
use libm::erfc;

const DAY: f64 = 86_400.0;

fn place(metres: f64, diffusivity: f64) -> f64 {
    metres / diffusivity.sqrt()
}

/// A half space at 0 °C that is asked for one depth.
fn cold(metres: f64, diffusivity: f64, seconds: f64) -> (HalfSpace, f64) {
    let place = place(metres, diffusivity);
    (HalfSpace::new(place, place, seconds, 0.0), place)
}

#[test]
fn a_step_of_the_face_arrives_as_the_complementary_error_function_says() {
    // depth m, diffusivity m²/s, s, share of the step: evaluated to nine digits with arbitrary precision
    let values = [
        (0.05, 1.0e-6, 600.0, 0.148_915),
        (0.05, 1.0e-6, 1800.0, 0.404_657),
        (0.05, 1.0e-6, 3600.0, 0.555_690),
        (0.05, 1.0e-6, 14_400.0, 0.768_278),
        (0.05, 1.0e-6, DAY, 0.904_260),
        (0.10, 1.0e-6, 600.0, 0.003_892),
        (0.10, 1.0e-6, 1800.0, 0.095_581),
        (0.10, 1.0e-6, 3600.0, 0.238_593),
        (0.10, 1.0e-6, 14_400.0, 0.555_690),
        (0.10, 1.0e-6, DAY, 0.809_894),
        (0.20, 1.0e-6, 3600.0, 0.018_422),
        (0.20, 1.0e-6, 14_400.0, 0.238_593),
        (0.20, 1.0e-6, DAY, 0.630_428),
        (0.10, 0.5e-6, 3600.0, 0.095_581),
        (0.10, 0.5e-6, 14_400.0, 0.404_657),
        (0.10, 1.5e-6, 3600.0, 0.335_924),
        (0.10, 1.5e-6, 14_400.0, 0.630_428),
    ];
    for (metres, diffusivity, seconds, share) in values {
        let (mut space, at) = cold(metres, diffusivity, seconds);
        assert_abs_diff_eq!(erfc(at / 2.0 / f64::sqrt(seconds)), share, epsilon = 1e-6);
        space.jump(1.0);
        space.pass(seconds, 1.0);
        assert_abs_diff_eq!(space.at(at), share, epsilon = SCHEME_ERROR / 2.0);
    }
}

#[test]
fn textbook_frost_depths_are_found() {
    // soil at 20 °C, face at -15 °C for 60 days, 0.138e-6 m²/s: frost down to 0.68 m (Incropera and DeWitt, Fundamentals
    // of Heat and Mass Transfer, example on burying a water main; 0.676962 m exactly)
    // soil at 15 °C, face at -10 °C for 90 days, 0.15e-6 m²/s: 0.800943 m (Çengel, Heat Transfer, example 4.6, whose chart
    // reading gives 0.78 m)
    for (soil, face, days, diffusivity, depth) in
        [(20.0, -15.0, 60.0, 0.138e-6, 0.676_962), (15.0, -10.0, 90.0, 0.15e-6, 0.800_943)]
    {
        let at = place(depth, diffusivity);
        let mut space = HalfSpace::new(at, at, days * DAY, soil);
        space.jump(face);
        space.pass(days * DAY, face);
        assert_abs_diff_eq!(space.at(at), 0.0, epsilon = SCHEME_ERROR / 2.0 * (soil - face));
    }
}

#[test]
fn a_step_is_met_at_every_time_and_depth_of_use() {
    let mut worst: f64 = 0.0;
    for metres in [0.02, 0.04, 0.06, 0.1, 0.2, 0.4] {
        for diffusivity in [0.55e-6, 1.67e-6] {
            let (mut space, at) = cold(metres, diffusivity, 2.0 * DAY);
            space.jump(1.0);
            let mut now = 0.0;
            while now < 2.0 * DAY {
                let next = now + (now / 20.0).max(60.0);
                space.pass(next - now, 1.0);
                now = next;
                worst = worst.max((space.at(at) - erfc(at / 2.0 / now.sqrt())).abs());
            }
        }
    }
    assert!(worst < 0.6 * SCHEME_ERROR, "{worst}");
    assert!(worst > 1e-6, "a scheme without any error was not run: {worst}");
}

/// Temperature at a place when the face rises by one degree a second from time 0: 4 t i²erfc(place / 2√t) (Carslaw and
/// Jaeger, section 2.5).
fn rise(place: f64, seconds: f64) -> f64 {
    if seconds <= 0.0 {
        return 0.0;
    }
    let z = place / 2.0 / seconds.sqrt();
    seconds * ((1.0 + 2.0 * z * z) * erfc(z) - 2.0 * z / std::f64::consts::PI.sqrt() * (-z * z).exp())
}

#[test]
fn a_face_that_warms_evenly_is_followed() {
    for metres in [0.05, 0.1, 0.2] {
        let (mut space, at) = cold(metres, 1.0e-6, 6.0 * 3600.0);
        for hour in 1..=6 {
            let now = f64::from(hour) * 3600.0;
            space.pass(3600.0, now / 3600.0);
            assert_abs_diff_eq!(space.at(at), rise(at, now) / 3600.0, epsilon = SCHEME_ERROR / 5.0 * f64::from(hour));
        }
    }
}

#[test]
fn the_swing_of_a_day_is_damped_and_late_as_the_damping_depth_says() {
    // depth m, diffusivity m²/s, share of the swing left, lag in hours: e^(-x/d) and x/(dω), d = √(2α/ω)
    let values = [
        (0.10, 0.5e-6, 0.426_23, 3.2574),
        (0.10, 1.0e-6, 0.547_17, 2.3033),
        (0.10, 1.5e-6, 0.611_19, 1.8806),
        (0.165_84, 1.0e-6, 0.367_88, 3.8197),
    ];
    let omega = std::f64::consts::TAU / DAY;
    for (metres, diffusivity, share, lag) in values {
        let (mut space, at) = cold(metres, diffusivity, 20.0 * DAY);
        let mut now = 0.0;
        let (mut most, mut most_at) = (f64::MIN, 0.0);
        // after twenty days the beginning is forgotten to a few thousandths
        while now < 20.0 * DAY {
            now += 300.0;
            space.pass(300.0, (omega * now).sin());
            if now > 19.0 * DAY && space.at(at) > most {
                (most, most_at) = (space.at(at), now);
            }
        }
        assert_abs_diff_eq!(most, share, epsilon = SCHEME_ERROR);
        assert_abs_diff_eq!((most_at - 19.25 * DAY) / 3600.0, lag, epsilon = 0.1);
    }
}

#[test]
fn places_and_times_scale_together() {
    let (mut shallow, at) = cold(0.05, 1.0e-6, 3600.0);
    shallow.jump(1.0);
    shallow.pass(3600.0, 1.0);
    let (mut deep, twice) = cold(0.10, 1.0e-6, 4.0 * 3600.0);
    deep.jump(1.0);
    deep.pass(4.0 * 3600.0, 1.0);
    assert_abs_diff_eq!(shallow.at(at), deep.at(twice), epsilon = SCHEME_ERROR / 2.0);
    assert_abs_diff_eq!(shallow.at(at), 0.555_690, epsilon = SCHEME_ERROR / 2.0);
}

/// The exact temperature for a face that goes evenly from point to point (s, °C), the half space at `before` until the
/// first: a jump and one rise for every bend, summed.
fn exact(points: &[(f64, f64)], before: f64, place: f64, now: f64) -> f64 {
    let (start, first) = points[0];
    let mut sum = before + (first - before) * erfc(place / 2.0 / (now - start).max(1e-9).sqrt());
    let mut slope_before = 0.0;
    for pair in points.windows(2) {
        let [(from, a), (to, b)] = [pair[0], pair[1]];
        if from >= now {
            return sum;
        }
        let slope = (b - a) / (to - from);
        sum += (slope - slope_before) * rise(place, now - from);
        slope_before = slope;
    }
    let (end, _) = points[points.len() - 1];
    sum - slope_before * rise(place, now - end)
}

/// Goes along a face with the scheme and compares; gives the greatest difference as a share of the range.
fn share_off(points: &[(f64, f64)], before: f64, metres: f64, diffusivity: f64) -> f64 {
    let at = place(metres, diffusivity);
    let span = points[points.len() - 1].0 - points[0].0;
    let mut space = HalfSpace::new(at, at, span, before);
    space.jump(points[0].1);
    let (mut low, mut high) = (before.min(points[0].1), before.max(points[0].1));
    let mut worst: f64 = 0.0;
    for (place, pair) in points.windows(2).enumerate() {
        let [(from, _), (to, celsius)] = [pair[0], pair[1]];
        space.pass(to - from, celsius);
        (low, high) = (low.min(celsius), high.max(celsius));
        if place % 7 == 0 {
            worst = worst.max((space.at(at) - exact(points, before, at, to)).abs() / (high - low));
        }
    }
    worst
}

#[test]
fn a_recorded_winter_day_agrees_with_the_exact_sum() {
    let text = include_str!("../../../demo/winter-day.csv");
    let points: Vec<(f64, f64)> = (0u32..)
        .zip(text.lines().skip(1))
        .map(|(row, line)| (f64::from(row) * 300.0, line.split_once(',').unwrap().1))
        .filter(|(_, celsius)| !celsius.is_empty())
        .map(|(now, celsius)| (now, celsius.parse().unwrap()))
        .collect();
    for (metres, diffusivity) in [(0.04, 0.55e-6), (0.09, 0.8e-6), (0.17, 1.67e-6)] {
        let off = share_off(&points, -2.0, metres, diffusivity);
        assert!(off < SCHEME_ERROR / 2.0, "{metres} m: {off}");
    }
}

#[test]
fn random_faces_agree_with_the_exact_sum() {
    let mut dice = fastrand::Rng::with_seed(1);
    for _ in 0..60 {
        let (mut now, mut celsius) = (0.0, 10.0 * dice.f64());
        let mut points = vec![(now, celsius)];
        for _ in 0..150 {
            let seconds = [60.0, 300.0, 300.0, 600.0, 3600.0][dice.usize(0..5)];
            now += seconds;
            // as far as a reading may lie from the one before
            celsius += (2.0 * dice.f64() - 1.0) * (1.0 + 5.0 * f64::min(seconds / 60.0, 1.0));
            points.push((now, celsius));
        }
        let (metres, diffusivity) = (0.02 + 0.3 * dice.f64(), (0.55 + 1.12 * dice.f64()) * 1e-6);
        let off = share_off(&points, celsius - 10.0 * dice.f64(), metres, diffusivity);
        assert!(off < 0.6 * SCHEME_ERROR, "{metres} m, {diffusivity} m²/s: {off}");
    }
}

#[test]
fn no_depth_is_colder_or_warmer_than_what_it_came_from_and_a_colder_face_never_warms() {
    let mut dice = fastrand::Rng::with_seed(2);
    for _ in 0..200 {
        let mut warm = HalfSpace::new(50.0, 130.0, 50_000.0, 5.0);
        let mut cold = warm.clone();
        let (mut low, mut high) = (5.0f64, 5.0f64);
        for _ in 0..40 {
            let (seconds, celsius) = (1.0 + 3600.0 * dice.f64(), 60.0 * dice.f64() - 30.0);
            let colder = celsius - 5.0 * dice.f64();
            (low, high) = (low.min(celsius), high.max(celsius));
            if dice.bool() {
                warm.jump(celsius);
                cold.jump(colder);
            }
            warm.pass(seconds, celsius);
            cold.pass(seconds, colder);
            for at in [0.0, 3.0, 50.0, 90.0, 130.0, 1000.0] {
                assert!((low - 1e-9..=high + 1e-9).contains(&warm.at(at)));
                assert!(cold.at(at) <= warm.at(at) + 1e-9);
            }
            assert!(warm.coldest(50.0, 130.0) <= warm.at(50.0).min(warm.at(77.7)).min(warm.at(130.0)) + 1e-12);
        }
    }
}
