//! The logger's own pages date an event by the tie of the clocks that was in force then.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_core::fixing::Stage;
use holdoff_firmware::run::Press;
use holdoff_firmware::view::{Page, Times};
use holdoff_link::message::{Answer, Request};
use holdoff_tests::fake_board::{Bench, START, curing};

/// The page with the times of the first fixing.
fn times<const SIZE: u32>(bench: &mut Bench<SIZE>) -> Times {
    bench.look_at(0);
    for _ in 0..12 {
        if let Some(found) = bench.page(|_, page| if let Page::Times(times) = page { Some(*times) } else { None }) {
            return found;
        }
        bench.press(Press::Down);
    }
    panic!("no times: {}", bench.seen());
}

#[test]
fn an_event_keeps_its_time_of_day_when_the_clock_is_set_afterwards() {
    let mut bench = curing();
    bench.run(3 * 3600);
    assert!(matches!(bench.stage(0), Stage::Cured(_)), "{:?}", bench.stage(0));
    bench.torque(0);
    assert!(matches!(bench.stage(0), Stage::Released(_)), "{:?}", bench.stage(0));
    let before = times(&mut bench);
    assert!(before.injected.is_some() && before.cured.is_some(), "{before:?}");
    assert_eq!(bench.ask(&Request::SetClock { utc: START + 900_000, offset_minutes: 120 }), Answer::Done);
    bench.run(130);
    assert_eq!(times(&mut bench), before);
    // the link tells the same ties, and the next start keeps them
    let Answer::Ties(ties) = bench.ask(&Request::Ties) else { panic!("no ties") };
    let clocks: Vec<_> = ties.iter().map(|tie| tie.clock.expect("set").1).collect();
    assert_eq!(clocks, [60, 120], "{ties:?}");
    bench.boot(holdoff_core::log::ResetCause::PowerOn);
    bench.run(70);
    assert_eq!(times(&mut bench), before);
}
