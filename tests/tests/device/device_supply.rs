//! The probe's supply: below what it needs nothing is read, and what there is of it stands in the log (rule R7).
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_core::fixing::Stage;
use holdoff_core::log::{Item as LogItem, Record, ResetCause};
use holdoff_core::probe::Refusal;
use holdoff_firmware::run::Press;
use holdoff_firmware::view::{Fault, Item, State};
use holdoff_tests::fake_board::{Bench, curing, items, plan, planned, records, shown, trusted, undisturbed};

fn cells(bench: &Bench, millivolts: Option<u16>) {
    bench.world.borrow_mut().battery_mv = millivolts;
}

/// What was recorded of the supply.
fn recorded(bench: &Bench) -> Vec<Option<u16>> {
    let supply =
        |record: &Record| if let Record::Supply { millivolts, .. } = record { Some(*millivolts) } else { None };
    records(&bench.image()).iter().filter_map(supply).collect()
}

/// Readings that were taken, and causes of those that were not.
fn readings(bench: &Bench) -> (usize, Vec<Refusal>) {
    let items = items(&bench.image());
    let taken = items.iter().filter(|item| matches!(item, LogItem::Reading { .. })).count();
    let cause = |item: &LogItem| if let LogItem::Unusable { cause, .. } = item { Some(*cause) } else { None };
    (taken, items.iter().filter_map(cause).collect())
}

#[test]
fn below_what_the_probe_needs_no_reading_is_taken_and_the_display_says_why() {
    for (millivolts, fault) in [(Some(2_200), Fault::SupplyLow), (None, Fault::SupplyUnknown)] {
        let mut bench = curing();
        let (before, refused) = readings(&bench);
        assert_eq!(refused, []);
        cells(&bench, millivolts);
        // it is not even asked: one that is not there is not what is said
        {
            let mut world = bench.world.borrow_mut();
            let now = world.now;
            world.probe.plug(false, now);
        }
        bench.run(3_600);
        let (taken, refused) = readings(&bench);
        assert_eq!(taken, before, "a reading was taken at {millivolts:?}");
        assert!(refused.len() >= 59 && refused.iter().all(|cause| *cause == Refusal::Supply), "{refused:?}");
        assert_eq!(shown(&mut bench), Some(fault), "{}", bench.seen());
        assert!(!matches!(bench.stage(0), Stage::Cured(_)), "nothing was counted");
        // nothing is begun, and nothing measured in a hole
        bench.look_at(1);
        assert!(matches!(bench.state(), State::NotInjected(may) if !may.is_yes()), "{}", bench.seen());
        bench.take(Item::MeasureInHole);
        bench.run(200);
        bench.look_at(1);
        bench.take(Item::Inject);
        for press in [Press::Select, Press::Right, Press::Select] {
            bench.press(press);
        }
        assert!(matches!(bench.stage(1), Stage::Planned | Stage::Refused), "{:?}", bench.stage(1));
        // with new cells the cure goes on, and what was not read earns nothing
        cells(&bench, Some(3_000));
        {
            let mut world = bench.world.borrow_mut();
            let now = world.now;
            world.probe.plug(true, now);
        }
        bench.run(2 * 3_600);
        assert!(bench.status(0).cured_at.expect("cured").seconds() > undisturbed() + 3_500);
        trusted(&bench);
    }
}

#[test]
fn the_supply_is_recorded_at_a_start_when_it_changes_by_a_tenth_of_a_volt_and_once_a_day() {
    let mut bench = planned(1);
    assert_eq!(recorded(&bench), [Some(3_000)]);
    for (millivolts, more) in [(Some(2_910), 0), (Some(2_901), 0), (Some(2_900), 1), (Some(2_990), 0), (Some(3_001), 1)]
    {
        let before = recorded(&bench).len();
        cells(&bench, millivolts);
        bench.run(130);
        assert_eq!(recorded(&bench).len() - before, more, "{millivolts:?}: {:?}", recorded(&bench));
    }
    cells(&bench, None);
    bench.run(130);
    cells(&bench, Some(3_000));
    bench.run(130);
    assert_eq!(recorded(&bench), [Some(3_000), Some(2_900), Some(3_001), None, Some(3_000)]);
    bench.run(2 * 86_400);
    assert_eq!(recorded(&bench).len(), 7);
    bench.boot(ResetCause::PowerOn);
    bench.run(70);
    assert_eq!(recorded(&bench)[7..], [Some(3_000)]);
    // the next job's log has its own
    bench.load(&plan(1));
    bench.run(70);
    assert_eq!(recorded(&bench), [Some(3_000)]);
    trusted(&bench);
}

#[test]
fn a_board_that_is_fed_from_the_bench_measures_and_records_no_supply() {
    let mut bench = <Bench<65_536, false>>::new();
    bench.world.borrow_mut().battery_mv = Some(1_000);
    bench.run(10);
    bench.load(&plan(1));
    bench.run(600);
    assert!(records(&bench.image()).iter().all(|record| !matches!(record, Record::Supply { .. })));
    assert_eq!(shown(&mut bench), None, "{}", bench.seen());
    assert!(bench.device.logger().group().and_then(|group| group.last_reading()).is_some());
}
