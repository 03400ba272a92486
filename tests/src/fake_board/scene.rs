//! What the tests of failures begin with and look at.

use super::bench::Bench;
use super::story::{records, story};
use super::talk::{JobPlan, plan};
use holdoff_core::fixing::Stage;
use holdoff_core::group::Darkness;
use holdoff_core::log::{Record, ResetCause, Trust};
use holdoff_firmware::run::Press;
use holdoff_firmware::view::{Fault, Notice, Page, View};

/// A device with a job of so many fixings ([`plan`]), a little more than three minutes after it was loaded: its probe has settled.
pub fn planned(fixings: usize) -> Bench {
    planned_as(<Bench>::new(), &plan(fixings))
}

/// The same with a job of one's own, on a device that was just switched on.
pub fn planned_as(mut bench: Bench, plan: &JobPlan) -> Bench {
    bench.run(10);
    bench.load(plan);
    bench.run(185);
    bench
}

/// A device that was just switched on, with its probe at a temperature that stays.
pub fn steady(sixteenths: i32) -> Bench {
    let bench = <Bench>::new();
    bench.world.borrow_mut().probe.sixteenths = Box::new(move |_| sixteenths);
    bench
}

/// A device with one fixing that was seated five minutes ago.
pub fn curing() -> Bench {
    let mut bench = planned(2);
    bench.inject(0);
    bench.run(60);
    bench.seat(0);
    bench.run(300);
    assert!(matches!(bench.stage(0), Stage::Curing));
    bench
}

/// When the fixing of [`curing`] is cured if nothing happens: an hour and the clock's allowance after its seating.
pub fn undisturbed() -> i64 {
    let mut bench = curing();
    bench.run(3600);
    bench.status(0).cured_at.expect("cured").seconds()
}

/// About 12 °C, and another sixteenth in every reading: what takes the most room.
pub fn noisy(second: i64) -> i32 {
    12 * 16 + (second as u64).wrapping_mul(0x9E37_79B9_7F4A_7C15).rotate_left(4) as i32 % 16
}

/// The fault on the display; whoever looks at a dark one presses a button first.
pub fn shown<const SIZE: u32, const BATTERY: bool>(bench: &mut Bench<SIZE, BATTERY>) -> Option<Fault> {
    if bench.view(|view| matches!(view, View::Dark)) {
        bench.press(Press::Down);
    }
    bench.view(|view| match view {
        View::Fault(fault) => Some(*fault),
        View::Dark | View::Start(_) | View::NoJob(_) | View::Fixing(..) | View::Overview(_) | View::Link(_) => None,
    })
}

/// What the display says was not done.
pub fn notice<const SIZE: u32, const BATTERY: bool>(bench: &mut Bench<SIZE, BATTERY>) -> Option<Notice> {
    bench.page(|_, page| if let Page::Notice(notice) = page { Some(*notice) } else { None })
}

/// The power-ups in its log.
pub fn power_ups(bench: &Bench) -> Vec<(Darkness, ResetCause)> {
    records(&bench.image())
        .iter()
        .filter_map(|record| match record {
            Record::PowerUp { dark, cause } => Some((*dark, *cause)),
            _ => None,
        })
        .collect()
}

/// Its log must be one that can be trusted.
///
/// # Panics
/// When it is not.
pub fn trusted(bench: &Bench) {
    assert_eq!(story(&bench.image()).1, Trust::Trusted);
}
