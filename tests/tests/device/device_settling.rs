//! A probe out of a warm pocket: no start, and no reading in a hole, before it has settled (rule R6).
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_core::fixing::{Ground, Grounds, Stage};
use holdoff_core::log::{Item as LogItem, Record, ResetCause};
use holdoff_core::quantity::{Count, Span};
use holdoff_firmware::run::Press;
use holdoff_firmware::view::{Glance, Item, Notice, Page, State, View};
use holdoff_tests::fake_board::{Bench, JobPlan, START, items, notice, plan, steady, trusted};

/// A probe from +20 °C on concrete of so many degrees, with a time constant of five minutes, put there at this second.
fn out_of_a_pocket(bench: &Bench, since: i64, concrete: f64) {
    bench.world.borrow_mut().probe.sixteenths = Box::new(move |second| {
        let gone = (second - since).max(0) as f64 / 300.0;
        ((concrete + (20.0 - concrete) * (-gone).exp()) * 16.0).floor() as i32
    });
}

/// A resin that may be injected from -5 °C on.
fn for_frost(fixings: usize) -> JobPlan {
    let mut plan = plan(fixings);
    let frost = Count::from_degrees(-5);
    (plan.resin.limits.install_least, plan.resin.limits.cure_least) = (frost, frost);
    plan.resin.bands[0].from = frost;
    plan
}

fn loaded(mut bench: Bench, plan: &JobPlan) -> Bench {
    bench.run(10);
    bench.load(plan);
    bench
}

fn still(bench: &mut Bench) -> Option<i64> {
    match bench.state() {
        State::Settling { still } => Some(i64::from(still.seconds())),
        _ => None,
    }
}

/// What the page of a hole that is watched says: whether there is a temperature, and the seconds left.
fn watched(bench: &mut Bench) -> Option<(bool, i64)> {
    bench.page(|_, page| match page {
        Page::HoleSettling { reading, still } => Some((reading.is_some(), i64::from(still.seconds()))),
        _ => None,
    })
}

fn in_the_hole(bench: &mut Bench) -> Option<i16> {
    bench.page(|_, page| if let Page::InHole { reading, .. } = page { Some(reading.raw()) } else { None })
}

#[test]
fn a_probe_from_a_warm_pocket_never_says_that_cold_concrete_may_be_injected() {
    for period in [10, 60] {
        let bench = <Bench>::new();
        out_of_a_pocket(&bench, START, -8.0);
        let mut bench = loaded(bench, &JobPlan { period, ..for_frost(2) });
        for _ in 0..120 {
            bench.run(14);
            bench.look_at(0);
            match bench.state() {
                State::NotInjected(may) => assert!(!may.is_yes(), "{}", bench.seen()),
                State::Settling { .. } => {}
                other => panic!("{other:?}"),
            }
            bench.inject(1);
            assert!(matches!(bench.stage(1), Stage::Refused), "{:?}", bench.stage(1));
            assert_ne!(bench.status(1).grounds, Grounds::NONE);
        }
        // in the end it is what it is: too cold, and nothing else
        assert_eq!(bench.status(1).grounds, Grounds::only(Ground::TooCold));
        trusted(&bench);
    }
}

#[test]
fn how_long_it_settles_is_counted_down_second_by_second_and_then_it_may_be_injected() {
    let mut bench = loaded(steady(12 * 16), &plan(2));
    bench.look_at(0);
    let ends = bench.second() + still(&mut bench).expect("it settles");
    assert!((170..=182).contains(&(ends - bench.second())), "{} s", ends - bench.second());
    let drawn = bench.world.borrow().drawn;
    let began = bench.second();
    // somebody has to look: a display that nobody touches goes dark
    while bench.second() < ends - 1 {
        if (bench.second() - began) % 30 == 29 {
            bench.press(Press::Right); // the other one is looked at
            bench.look_at(0);
        }
        bench.run(1);
        let left =
            still(&mut bench).unwrap_or_else(|| panic!("{} s too soon: {}", ends - bench.second(), bench.seen()));
        assert!((0..=1).contains(&(bench.second() + left - ends)), "{left} s left at {}", ends - bench.second());
    }
    let (drawn, seconds) = (bench.world.borrow().drawn - drawn, (bench.second() - began) as u64);
    assert!(drawn <= seconds + 30, "drawn {drawn} times in {seconds} s");
    bench.run(2);
    assert!(matches!(bench.state(), State::NotInjected(may) if may.is_yes()), "{}", bench.seen());
    bench.inject(0);
    assert!(matches!(bench.stage(0), Stage::Working));
}

#[test]
fn a_start_that_is_asked_for_while_it_settles_is_refused_with_its_ground_and_may_be_tried_again() {
    let mut bench = loaded(steady(12 * 16), &plan(2));
    bench.run(60);
    bench.look_at(1);
    bench.press(Press::Up);
    let glances = bench.view(|view| if let View::Overview(of) = view { of.fixings } else { [None; 16] });
    assert_eq!(glances[..2], [Some(Glance::Settling); 2], "{}", bench.seen());
    bench.inject(0);
    let settling = Grounds::only(Ground::ProbeNotSettled);
    assert!(
        matches!(bench.state(), State::Refused { grounds, now } if grounds == settling && now.is_settling()),
        "{}",
        bench.seen()
    );
    bench.run(140);
    bench.look_at(0);
    assert!(matches!(bench.state(), State::Refused { now, .. } if now.is_yes()), "{}", bench.seen());
    bench.press(Press::Up);
    let glances = bench.view(|view| if let View::Overview(of) = view { of.fixings } else { [None; 16] });
    assert_eq!(glances[..2], [Some(Glance::Refused), Some(Glance::NotInjected)], "{}", bench.seen());
    bench.inject(0);
    assert!(matches!(bench.stage(0), Stage::Working));
    // a restart begins it anew
    bench.boot(ResetCause::PowerOn);
    bench.run(10);
    bench.look_at(1);
    assert!(still(&mut bench).is_some_and(|still| still > 160), "{}", bench.seen());
    trusted(&bench);
}

#[test]
fn what_else_stands_against_it_is_said_first() {
    let mut bench = loaded(steady(4 * 16), &plan(1));
    bench.run(20);
    bench.look_at(0);
    let both = Grounds::only(Ground::TooCold).with(Ground::ProbeNotSettled);
    assert!(matches!(bench.state(), State::NotInjected(may) if may.grounds == both), "{}", bench.seen());
}

#[test]
fn a_reading_in_a_hole_is_taken_when_it_has_settled_there_and_goes_with_a_start() {
    let bench = <Bench>::new();
    out_of_a_pocket(&bench, START + 20, 8.0);
    let mut bench = loaded(bench, &plan(2));
    bench.look_at(0);
    bench.take(Item::MeasureInHole);
    let began = bench.second();
    let taken = loop {
        match in_the_hole(&mut bench) {
            Some(raw) => break raw,
            None => assert!(watched(&mut bench).is_some_and(|(reading, _)| reading), "{}", bench.seen()),
        }
        assert!(bench.world.borrow().lit, "whoever waits sees it");
        bench.run(1);
        assert!(bench.second() < began + 1_800, "never");
    };
    // 0.36 °C in 180 s are not exceeded from about 15 min on: it is then about 8.5 °C
    assert!((8 * 256..9 * 256).contains(&i32::from(taken)), "{taken} after {} s", bench.second() - began);
    // what the probe gave meanwhile is no reading of the group but in its beat
    let readings = items(&bench.image()).iter().filter(|item| matches!(item, LogItem::Reading { .. })).count() as i64;
    assert!((readings - (bench.second() - START) / 60).abs() <= 1, "{readings} in {} s", bench.second() - START);
    bench.run(21);
    assert!(matches!(bench.state(), State::NotInjected(may) if may.is_yes()), "{}", bench.seen());
    // the probe is moved, and warm again: the reading in the hole stands
    let now = bench.second();
    out_of_a_pocket(&bench, now, 12.0);
    bench.run(130);
    bench.inject(0);
    assert!(matches!(bench.stage(0), Stage::Working), "{:?}", bench.status(0));
    let records = items(&bench.image());
    let given = records.iter().any(|item| {
        matches!(item, LogItem::Record(Record::Action { action: holdoff_core::fixing::Action::Inject(injection), .. })
            if injection.in_hole.is_some_and(|in_hole| in_hole.count.raw() == taken))
    });
    assert!(given, "{records:?}");
    // the other hole was not measured
    bench.inject(1);
    assert!(bench.status(1).grounds.has(Ground::ProbeNotSettled), "{:?}", bench.status(1));
    trusted(&bench);
}

#[test]
fn a_job_that_switches_the_rule_off_injects_and_takes_a_reading_in_a_hole_at_once() {
    let mut bench = loaded(steady(12 * 16), &JobPlan { settle: 0, ..plan(1) });
    bench.run(5);
    bench.look_at(0);
    assert!(matches!(bench.state(), State::NotInjected(may) if may.is_yes()), "{}", bench.seen());
    bench.take(Item::MeasureInHole);
    assert_eq!(in_the_hole(&mut bench), Some(12 * 256), "{}", bench.seen());
    bench.inject(0);
    assert!(matches!(bench.stage(0), Stage::Working));
    // and the page of its settings says that it is laxer
    for _ in 0..10 {
        bench.press(Press::Down);
        let laxer =
            bench.page(|_, page| if let Page::Setting(of) = page { Some((of.settle, of.laxer.settle)) } else { None });
        if let Some(laxer) = laxer {
            assert_eq!(laxer, (Span::ZERO, true));
            return;
        }
    }
    panic!("no page of the settings: {}", bench.seen());
}

#[test]
fn a_press_leaves_a_hole_that_settles_and_nothing_was_taken() {
    let mut bench = loaded(steady(12 * 16), &plan(1));
    bench.look_at(0);
    bench.take(Item::MeasureInHole);
    bench.run(100);
    let (_, left) = watched(&mut bench).unwrap_or_else(|| panic!("{}", bench.seen()));
    assert!((80..=82).contains(&left), "{left} s left");
    bench.press(Press::Left);
    assert!(still(&mut bench).is_some(), "{}", bench.seen());
    bench.run(40);
    assert!(in_the_hole(&mut bench).is_none());
    bench.inject(0);
    assert!(bench.status(0).grounds.has(Ground::ProbeNotSettled), "it goes with no reading of the hole");
    // begun again, it takes all of its time again
    bench.look_at(0);
    bench.take(Item::MeasureInHole);
    bench.run(170);
    assert!(watched(&mut bench).is_some(), "{}", bench.seen());
    bench.run(15);
    assert_eq!(in_the_hole(&mut bench), Some(12 * 256), "{}", bench.seen());
}

#[test]
fn a_probe_that_gives_nothing_in_the_hole_is_said_at_once_and_one_that_moves_for_ever_in_the_end() {
    let mut bench = loaded(steady(12 * 16), &plan(1));
    bench.run(70);
    let plug = |bench: &mut Bench, plugged| {
        let mut world = bench.world.borrow_mut();
        let now = world.now;
        world.probe.plug(plugged, now);
    };
    plug(&mut bench, false);
    bench.look_at(0);
    bench.take(Item::MeasureInHole);
    assert_eq!(notice(&mut bench), Some(Notice::NoReading), "{}", bench.seen());
    plug(&mut bench, true);
    bench.run(130);
    bench.look_at(0);
    bench.take(Item::MeasureInHole);
    bench.run(90);
    // pulled off for a moment: it begins anew
    plug(&mut bench, false);
    bench.run(20);
    assert_eq!(watched(&mut bench).map(|(reading, _)| reading), Some(false), "{}", bench.seen());
    plug(&mut bench, true);
    bench.run(100);
    let (reading, left) = watched(&mut bench).unwrap_or_else(|| panic!("{}", bench.seen()));
    assert!(reading && left > 70, "{left} s left");
    // a third of a degree a minute, for as long as it takes
    let began = bench.second();
    bench.world.borrow_mut().probe.sixteenths = Box::new(move |second| 12 * 16 + ((second - began) / 12) as i32);
    while watched(&mut bench).is_some() {
        bench.run(5);
        assert!(bench.second() < began + 1_200, "for ever");
    }
    assert!(bench.second() > began + 600);
    assert_eq!(notice(&mut bench), Some(Notice::HoleUnsettled), "{}", bench.seen());
    bench.inject(0);
    assert!(bench.status(0).grounds.has(Ground::ProbeNotSettled));
}
