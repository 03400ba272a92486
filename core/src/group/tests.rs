//! The short path held against the long one.
//!
//! Two groups are told the same. One takes the short path where it may; the other is made to attend to every reading,
//! so that the rules are applied to it as they are written. Verdicts and events must be equal after every step, and
//! status, readings and last reading whenever they are looked at. Each test sees to it that the short path was in fact
//! taken.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

extern crate std;

use super::{Darkness, Event, FixingNumber, Group, GroupError, Happening, MOST_FIXINGS, STUCK_SECONDS, Verdict};
use crate::cure::{Rule, Settings, Uncertainty};
use crate::fixing::{Action, Fixing, FixingSpec, InHole, Injection, Stage, TorqueRange};
use crate::probe::Refusal;
use crate::quantity::{Count, Instant, Span, Torque};
use crate::resin::{Accrual, Band, Hole, Holes, Limits, Resin, ResinSpec};
use std::vec::Vec;

/// Random numbers (SplitMix64, Steele, Lea and Flood 2014; from memory).
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// From `least` to `greatest`, both included.
    fn between(&mut self, least: i64, greatest: i64) -> i64 {
        least + (self.next() % (greatest - least + 1).unsigned_abs()).cast_signed()
    }

    fn one_in(&mut self, many: i64) -> bool {
        self.between(1, many) == 1
    }
}

/// Bands from -5 to 30 °C with cures of hours, limits that reject, a hold, both rules.
fn group(dice: &mut Dice, gap: u32) -> Group {
    let hours = dice.between(1, 30) as u32;
    let bands = [(-5, 12), (0, 8), (5, 5), (10, 5), (20, 2), (30, 1)].map(|(from, share): (i8, u32)| Band {
        from: Count::from_degrees(from),
        working: Span::from_seconds(share * 600),
        cure: Span::from_seconds(share * hours * 600),
    });
    let degrees = Count::from_degrees;
    let limits = Limits {
        install_least: degrees(-20),
        install_greatest: degrees(60),
        cure_least: degrees(-4),
        cure_greatest: degrees(35),
        reject_below: dice.one_in(3).then_some(degrees(-7)),
        reject_above: dice.one_in(3).then_some(degrees(38)),
        longest_hold: dice.one_in(2).then(|| Span::from_seconds(dice.between(1, 200_000) as u32)),
    };
    let resin = Resin::new(&ResinSpec {
        limits,
        cartridge_least: degrees(5),
        cartridge_greatest: degrees(35),
        holes: Hole::ALL.into_iter().fold(Holes::NONE, Holes::with),
        wet_factor: dice.between(2, 3) as u8,
        accrual: Accrual::Permitted,
        bands: &bands,
    });
    let uncertainty = Uncertainty::from_counts(dice.between(0, 1) as u16 * dice.between(0, 600) as u16);
    let settings =
        Settings::new(uncertainty.expect("below 10 °C"), Span::from_seconds(gap), dice.between(0, 200) as u16);
    let settle = Span::from_seconds(if dice.one_in(2) { 0 } else { dice.between(0, 400) as u32 });
    let settings = settings.and_then(|settings| settings.with_settle(settle));
    let rule = if dice.one_in(2) { Rule::Coldest } else { Rule::Accrual };
    Group::new(resin.expect("valid"), settings.expect("in bounds"), rule).expect("accrual is permitted")
}

#[test]
fn a_group_with_room_for_one_counts_as_one_with_room_for_sixteen() {
    let (mut dice, mut cured) = (Dice(16), 0);
    for _ in 0..50 {
        let mut many = group(&mut dice, 300);
        let (resin, settings, rule) = (many.resin().clone(), *many.settings(), many.rule());
        let mut one = Group::<1>::with_room(resin, settings, rule).expect("as the other");
        let spec = FixingSpec { hole: Hole::Dry, torque: None };
        let number = many.add(&spec).expect("room");
        assert_eq!(one.add(&spec), Ok(number));
        assert_eq!(one.add(&spec), Err(GroupError::Full));
        for minute in 0..2_000 {
            let (at, count) = (Instant::from_seconds(60 * minute), Count::new(dice.between(0, 4_000) as i16));
            let what = match minute {
                200 => Happening::Action { at, fixing: number, action: Action::Inject(Injection::default()) },
                201 => Happening::Action { at, fixing: number, action: Action::Seat },
                _ => Happening::Reading {
                    at,
                    count: Count::new(count.raw() / if minute < 300 { 500 } else { 1 } + 1_400),
                },
            };
            let (mut of_one, mut of_many) = (Vec::new(), Vec::new());
            let verdict = one.step(what, &mut |event| of_one.push(event));
            assert_eq!(verdict, many.step(what, &mut |event| of_many.push(event)));
            cured += of_one.iter().filter(|event| matches!(event, Event::Cured { .. })).count();
            assert_eq!((of_one, one.status(number)), (of_many, many.status(number)));
        }
    }
    assert!(cured > 10, "{cured} of 50");
    let fewer = size_of::<Group>() - size_of::<Group<1>>();
    assert!(fewer >= 15 * size_of::<Fixing>(), "{fewer} bytes");
}

/// A group on both paths.
struct Both {
    short: Group,
    long: Group,
    readings: u64,
    /// Readings that took the short path.
    glided: u64,
    warned: u64,
    cured: u64,
    rejected: u64,
}

impl Both {
    fn new(dice: &mut Dice, gap: u32, fixings: usize) -> Self {
        let mut short = group(dice, gap);
        let torque = TorqueRange::new(Torque::from_hundredths(10), Torque::from_hundredths(20));
        for _ in 0..fixings {
            let hole = if dice.one_in(3) { Hole::Wet } else { Hole::Dry };
            short.add(&FixingSpec { hole, torque }).expect("at most sixteen");
        }
        Self { long: short.clone(), short, readings: 0, glided: 0, warned: 0, cured: 0, rejected: 0 }
    }

    fn step(&mut self, what: Happening) -> Verdict {
        (self.long.attention_at, self.long.quiet_until) = (super::DISTANT_PAST, super::DISTANT_PAST);
        let (mut short, mut long) = (Vec::new(), Vec::new());
        let verdict = self.short.step(what, &mut |event| short.push(event));
        assert_eq!(verdict, self.long.step(what, &mut |event| long.push(event)), "{what:?}");
        assert_eq!(short, long, "{what:?}");
        self.readings += 1;
        self.glided += u64::from(self.short.recent_from != self.short.watch.last.at);
        for event in short {
            self.warned += u64::from(matches!(event, Event::Stuck { .. }));
            self.cured += u64::from(matches!(event, Event::Cured { .. }));
            self.rejected += u64::from(matches!(event, Event::Rejected { .. }));
        }
        assert_eq!(self.long.recent_from, self.long.watch.last.at, "the long path leaves nothing unsettled");
        verdict
    }

    fn look(&self) {
        for number in self.short.fixings() {
            let status = self.short.status(number);
            assert_eq!(status, self.long.status(number), "{number:?}");
            // what is asked for by itself is no other
            assert_eq!(self.short.stage(number), status.map(|status| status.stage), "{number:?}");
        }
        assert_eq!(self.short.readings(), self.long.readings());
        assert_eq!(self.short.last_reading(), self.long.last_reading());
        assert_eq!(self.short.is_outside(), self.long.is_outside());
    }

    /// Something is done to a fixing: mostly what is due at its stage.
    fn act(&mut self, dice: &mut Dice, at: Instant) {
        let Some(number) = FixingNumber::new(dice.between(0, 15) as u8) else { return };
        let Some(status) = self.short.status(number) else { return };
        let raw = self.short.last_reading().map_or(0, |(_, count)| count.raw());
        let in_hole = dice.one_in(4).then(|| InHole { at, count: Count::new(raw - dice.between(-100, 300) as i16) });
        let action = match status.stage {
            Stage::Planned | Stage::Refused => Action::Inject(Injection { in_hole, ..Injection::default() }),
            Stage::Working => Action::Seat,
            Stage::Cured(_) => Action::Torque(Torque::from_hundredths(dice.between(8, 20) as u32)),
            Stage::Curing | Stage::Held if !dice.one_in(10) => return,
            Stage::Curing
            | Stage::Held
            | Stage::Released(_)
            | Stage::Rejected(_)
            | Stage::AcceptedAsIs(_)
            | Stage::Removed(_) => Action::Hole(Hole::Wet),
        };
        let _ = self.step(Happening::Action { at, fixing: number, action }); // on both paths the same
    }

    /// Goes through a series: seconds to the next reading and its raw count, as `next` draws them from the last count.
    fn go(&mut self, dice: &mut Dice, rows: u32, mut next: impl FnMut(&mut Dice, i16) -> (i64, i16)) {
        let (mut at, mut raw) = (Instant::from_seconds(1_000_000), 12 * 256);
        for row in 0..rows {
            let (seconds, count) = next(dice, raw);
            (at, raw) = (at.after(seconds), count);
            let _ = self.step(Happening::Reading { at, count: Count::new(raw) }); // as the series has it
            // all fixings are begun in the first rows; later little happens but readings
            if row < 200 || dice.one_in(500) {
                self.act(dice, at);
            }
            if dice.one_in(2000) {
                let at = at.after(1);
                let _ = self.step(match dice.between(0, 3) {
                    0 => Happening::Missing { at },
                    1 => Happening::Unusable { at, cause: Refusal::Bus },
                    2 => Happening::PowerUp { dark: Darkness::Known },
                    _ => Happening::Reading { at, count: Count::new(raw.wrapping_add(9000)) },
                });
            }
            if row % 97 == 0 {
                self.look();
            }
        }
        self.look();
    }

    fn mostly_glided(&self) {
        assert!(self.glided * 10 > self.readings * 9, "{} of {} on the short path", self.glided, self.readings);
    }
}

/// A step towards a target that moves with the days: what weather does.
fn weather(hour: i64, raw: i16) -> i16 {
    let of_day = hour % 24;
    let target = 256 * (20 - (of_day - 12).abs() * 2) as i16; // -4 to 20 °C
    raw + (target - raw).signum() * 3
}

#[test]
fn smooth_series_give_the_same_on_both_paths() {
    let (mut cured, mut rejected) = (0, 0);
    for seed in 0..30 {
        let mut dice = Dice(seed);
        let mut both = Both::new(&mut dice, 300, 1 + seed as usize % MOST_FIXINGS);
        let mut minutes = 0;
        both.go(&mut dice, 6_000, |_, raw| {
            minutes += 1;
            (60, weather(minutes / 60, raw))
        });
        both.mostly_glided();
        (cured, rejected) = (cured + both.cured, rejected + both.rejected);
    }
    assert!(cured > 100 && rejected > 5, "{cured} cured, {rejected} rejected");
}

#[test]
fn random_series_give_the_same_on_both_paths() {
    for seed in 100..140 {
        let mut dice = Dice(seed);
        let mut both = Both::new(&mut dice, 300, 1 + seed as usize % MOST_FIXINGS);
        // around a band's edge, or around a limit, where every other reading is outside
        let middle = *[3 * 256, 10 * 256, -3 * 256, 34 * 256].get(seed as usize % 4).expect("a place");
        both.go(&mut dice, 6_000, |dice, _| (dice.between(55, 65), middle + dice.between(-700, 700) as i16));
        assert!(both.glided * 2 > both.readings, "{} of {} on the short path", both.glided, both.readings);
    }
}

#[test]
fn gaps_up_to_an_hour_give_the_same_on_both_paths() {
    // the seconds kept apart on the short path are sixteen bits a band: six hours of whole hours and one more
    for seed in 200..230 {
        let mut dice = Dice(seed);
        let mut both = Both::new(&mut dice, 3600, 1 + seed as usize % MOST_FIXINGS);
        let most = *[3600, 3601, 3599, 900].get(seed as usize % 4).expect("a place");
        both.go(&mut dice, 3_000, |dice, raw| (most - dice.between(0, 1) * dice.between(0, most - 1), raw ^ 1));
        assert!(both.glided > 0);
    }
}

#[test]
fn counts_that_stand_still_for_hours_give_the_same_on_both_paths() {
    let mut warned = 0;
    for seed in 300..340 {
        let mut dice = Dice(seed);
        let mut both = Both::new(&mut dice, 600, 1 + seed as usize % 4);
        // a change so rare that runs of about six hours are usual
        let spacing = dice.between(1, 4) * 60;
        let usual_rows = STUCK_SECONDS / spacing;
        both.go(&mut dice, 8_000, |dice, raw| (spacing, if dice.one_in(usual_rows) { raw ^ 1 } else { raw }));
        both.mostly_glided();
        warned += both.warned;
    }
    assert!(warned > 200, "only {warned} warnings");
}

#[test]
fn a_count_that_never_moves_warns_once_on_both_paths() {
    let mut dice = Dice(400);
    let mut both = Both::new(&mut dice, 300, 1);
    for minute in 0..20_000 {
        let what = Happening::Reading { at: Instant::from_seconds(minute * 60), count: Count::new(2000) };
        assert_eq!(both.step(what), Verdict::Accepted);
    }
    both.look();
    both.mostly_glided();
    assert_eq!(both.warned, 1);
}

#[test]
fn refusals_and_their_confirmation_give_the_same_on_both_paths() {
    for seed in 500..540 {
        let mut dice = Dice(seed);
        let mut both = Both::new(&mut dice, 300, 1 + seed as usize % MOST_FIXINGS);
        both.go(&mut dice, 4_000, |dice, raw| {
            let jump = if dice.one_in(20) { dice.between(-4000, 4000) } else { dice.between(-60, 60) };
            let raw = (i64::from(raw) + jump).clamp(-1500, 8600);
            (dice.between(-1, 120), raw as i16)
        });
        assert!(both.glided > 0);
    }
}

#[test]
fn a_copy_made_in_the_middle_of_the_short_path_goes_on_as_the_original() {
    let mut dice = Dice(600);
    let mut both = Both::new(&mut dice, 300, 3);
    both.go(&mut dice, 1_000, |dice, raw| (60, raw + dice.between(-1, 1) as i16));
    both.mostly_glided();
    let (mut first, mut second) = (both.short.clone(), both.short.clone());
    let (at, count) = both.short.last_reading().expect("a thousand");
    for minute in 1..3_000 {
        let what = Happening::Reading { at: at.after(minute * 60), count };
        assert_eq!(first.step(what, &mut |_| {}), second.step(what, &mut |_| {}));
    }
    assert_eq!(first, second);
}
