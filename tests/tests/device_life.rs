//! A whole life by buttons on the fake board.
#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_core::fixing::Stage;
use holdoff_firmware::view::State;
use holdoff_tests::fake_board::{Bench, plan};

#[test]
fn a_fixing_is_injected_seated_cured_torqued_and_released_by_buttons() {
    let mut bench = <Bench>::new();
    bench.run(10);
    bench.load(&plan(3));
    bench.run(65);
    bench.look_at(0);
    assert!(matches!(bench.state(), State::NotInjected(may) if may.is_yes()), "{}", bench.seen());
    bench.inject(0);
    assert!(matches!(bench.state(), State::SeatNow { .. }), "{}", bench.seen());
    bench.run(200);
    bench.seat(0);
    assert!(matches!(bench.state(), State::Wait(_)), "{}", bench.seen());
    bench.run(3600 + 120);
    bench.look_at(0);
    assert!(matches!(bench.state(), State::TorqueNow { .. }), "{}", bench.seen());
    bench.torque(0);
    assert!(matches!(bench.state(), State::MayBeLoaded { .. }), "{}", bench.seen());
    assert!(matches!(bench.stage(0), Stage::Released(_)));
}
