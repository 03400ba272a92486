//! What only the parts of the fake board can do: the same firmware, the same buttons, the same comparison.

use super::lists::FAKE;
use super::seen::Seen;
use holdoff_core::fixing::Grounds;
use holdoff_core::log::ResetCause;
use holdoff_core::quantity::{Count, Span};
use holdoff_core::resin::ResinUse;
use holdoff_core::seal::Label;
use holdoff_firmware::run::Press;
use holdoff_firmware::screen::Frame;
use holdoff_firmware::view::{
    Alert, Around, Battery, ClockFailure, Fault, Goes, Head, Lack, Lacks, May, Notice, Page, State, View, Wall, Which,
};
use holdoff_tests::emulator::Photo;
use holdoff_tests::fake_board::{Bench, Held, curing};

/// What the display shows.
fn look(bench: &Bench) -> Photo {
    let world = bench.world.borrow();
    Photo::of(if world.lit { &world.frame } else { &Frame::DARK })
}

/// Presses until the display is lit.
fn light(bench: &mut Bench) {
    if !bench.world.borrow().lit {
        bench.press(Press::Down);
    }
}

/// A fault, on the display by itself, or after a press on a dark one.
fn fault(seen: &mut Seen, name: &'static str, bench: &mut Bench, fault: Fault) {
    light(bench);
    seen.see(name, &View::Fault(fault), &look(bench));
}

/// The second fixing, not injected.
fn second_fixing(bench: &Bench, temperature: Option<Count>, battery: Battery) -> Head {
    Head {
        which: Which { number: 2, of: 2 },
        label: Label::new(b"quay stud 2").expect("a label"),
        resin: ResinUse::Demo,
        around: Around { temperature, now: Some(Wall::new(bench.second(), 60)), battery, alert: Alert::Fault },
    }
}

fn lacking(lack: Lack) -> Page<'static> {
    Page::Status(State::NotInjected(May { grounds: Grounds::NONE, lacks: Lacks::NONE.with(lack) }))
}

#[test]
fn what_fails_otherwise_than_an_emulators_parts_can_shows_its_screen() {
    let mut seen = Seen::nothing();
    let twelve = Some(Count::from_degrees(12));

    let mut bench = curing();
    bench.world.borrow_mut().held = Held::Short;
    bench.run(100);
    fault(&mut seen, "bus-stuck", &mut bench, Fault::BusStuck);

    let mut bench = curing();
    bench.world.borrow_mut().clock.answers = false;
    bench.run(10);
    fault(&mut seen, "clock-silent", &mut bench, Fault::ClockSilent);
    bench.press(Press::Down);
    bench.press(Press::Right);
    let timeless = |bench: &Bench| {
        let head = second_fixing(bench, None, Battery::Good);
        Head { around: Around { now: None, ..head.around }, ..head }
    };
    let head = timeless(&bench);
    seen.see("do-not-inject-clock-silent", &View::Fixing(head, lacking(Lack::ClockSilent)), &look(&bench));

    let mut bench = curing();
    {
        let mut world = bench.world.borrow_mut();
        let now = world.now;
        world.clock.run(false, now);
    }
    bench.run(10);
    let stopped = |goes| Fault::ClockFailed { how: ClockFailure::Stopped, goes };
    fault(&mut seen, "clock-stopped", &mut bench, stopped(Goes::Again));

    let mut bench = curing();
    {
        let mut world = bench.world.borrow_mut();
        let now = world.now;
        world.clock.run(false, now);
        world.clock.takes = false;
    }
    bench.run(10);
    fault(&mut seen, "clock-failed", &mut bench, stopped(Goes::Not));
    bench.press(Press::Down);
    bench.press(Press::Right);
    let head = timeless(&bench);
    seen.see("do-not-inject-clock-failed", &View::Fixing(head, lacking(Lack::ClockFailed)), &look(&bench));

    let mut bench = curing();
    {
        let mut world = bench.world.borrow_mut();
        let now = world.now;
        world.clock.pace(2_000, now);
    }
    bench.run(20);
    fault(&mut seen, "clock-fast", &mut bench, Fault::ClockFailed { how: ClockFailure::Fast, goes: Goes::Again });

    let mut bench = curing();
    bench.press(Press::Left); // lights it
    bench.press(Press::Right);
    bench.press(Press::Select); // the menu of the second fixing, before it fails
    bench.press(Press::Left);
    bench.world.borrow_mut().memory.answers = false;
    bench.run(130);
    fault(&mut seen, "memory-silent", &mut bench, Fault::MemorySilent);
    bench.press(Press::Down);
    let head = second_fixing(&bench, twelve, Battery::Good);
    seen.see("do-not-inject-memory-silent", &View::Fixing(head, lacking(Lack::MemorySilent)), &look(&bench));
    for press in [Press::Select, Press::Down, Press::Down, Press::Select, Press::Right, Press::Select] {
        bench.press(press); // the hole got wet
    }
    seen.see("notice", &View::Fixing(head, Page::Notice(Notice::NotRecorded)), &look(&bench));

    for (name, millivolts, said) in
        [("supply-low", Some(2_200), Fault::SupplyLow), ("supply-unknown", None, Fault::SupplyUnknown)]
    {
        let mut bench = curing();
        bench.world.borrow_mut().battery_mv = millivolts;
        bench.run(70);
        fault(&mut seen, name, &mut bench, said);
    }

    let mut bench = curing();
    bench.world.borrow_mut().battery_mv = Some(2_550);
    bench.run(70);
    fault(&mut seen, "battery-low", &mut bench, Fault::BatteryLow);
    bench.world.borrow_mut().battery_mv = Some(2_300);
    bench.run(70);
    fault(&mut seen, "battery-very-low", &mut bench, Fault::BatteryVeryLow);
    bench.press(Press::Right);
    let head = second_fixing(&bench, twelve, Battery::VeryLow);
    seen.see("do-not-inject-battery", &View::Fixing(head, lacking(Lack::Battery)), &look(&bench));

    let mut bench = curing();
    // dark for 70 minutes, and for what it takes from the last reading and until the memory is mounted: under a minute
    let last = bench.device.logger().group().expect("a group").last_reading().expect("a reading").0;
    let dark = Some(Span::from_seconds(70 * 60 + (bench.second() - last.seconds()) as u32));
    bench.world.borrow_mut().now += 70 * 60 * 1_000_000;
    bench.boot(ResetCause::Watchdog);
    bench.run(3);
    fault(&mut seen, "restarted-watchdog", &mut bench, Fault::Restarted { cause: ResetCause::Watchdog, dark });
    seen.are(FAKE);
}
