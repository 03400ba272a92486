//! The drivers against parts as their data sheets describe them, on a bus where everything can go wrong.
#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, reason = "a broken expectation must stop the test")]

use embedded_hal::delay::DelayNs;
use embedded_hal::digital::{ErrorType, InputPin, OutputPin};
use holdoff_core::log::{Memory, MemoryError};
use holdoff_core::probe::Refusal;
use holdoff_core::quantity::Count;
use holdoff_firmware::board::Lines;
use holdoff_firmware::driver::clock::{ClockChip, ClockFault, ClockKind, FIRST, LAST};
use holdoff_firmware::driver::memory::{MemoryPart, SerialMemory};
use holdoff_firmware::driver::probe::{Probe, SETTLE_MS};
use holdoff_firmware::driver::wires;
use holdoff_tests::fake_board::{FakeBus, Held, START, World};
use holdoff_tests::random::numbers;
use std::cell::RefCell;
use std::convert::Infallible;
use std::rc::Rc;

fn world() -> (Rc<RefCell<World>>, FakeBus) {
    let world = Rc::new(RefCell::new(World::new(START, 65_536)));
    (Rc::clone(&world), FakeBus(world))
}

fn settled(bus: &mut FakeBus) -> Probe {
    let mut probe = Probe::new(0x48);
    probe.set_up(bus, 0).expect("it is there");
    bus.delay_ms(SETTLE_MS);
    probe
}

// ---- the probe

#[test]
fn every_register_of_the_probe_comes_out_as_its_count() {
    let (world, mut bus) = world();
    let mut probe = settled(&mut bus);
    for sixteenths in (-55 * 16..=125 * 16).filter(|sixteenths| *sixteenths != 0) {
        world.borrow_mut().probe.sixteenths = Box::new(move |_| sixteenths);
        assert_eq!(probe.read(&mut bus, SETTLE_MS), Ok(Count::new((sixteenths * 16) as i16)), "{sixteenths}/16");
    }
}

#[test]
fn a_probe_is_set_to_twelve_bits_and_no_reading_is_taken_before_it_has_them() {
    let (world, mut bus) = world();
    world.borrow_mut().probe.sixteenths = Box::new(|_| 21 * 16 + 3);
    let mut probe = Probe::new(0x48);
    // not set up: it would give 21.0 with nine bits
    assert_eq!(probe.read(&mut bus, 0), Err(Refusal::PowerUp));
    assert_eq!(world.borrow().probe.configuration, 0x60);
    assert_eq!(probe.settles_in(0), SETTLE_MS);
    assert_eq!(probe.read(&mut bus, SETTLE_MS - 1), Err(Refusal::PowerUp));
    bus.delay_ms(SETTLE_MS);
    assert_eq!(probe.read(&mut bus, SETTLE_MS), Ok(Count::new((21 * 16 + 3) * 16)));
    // and 49 days later, when the uptime has gone round
    assert_eq!(probe.read(&mut bus, SETTLE_MS.wrapping_sub(1)), Ok(Count::new((21 * 16 + 3) * 16)));
}

#[test]
fn a_probe_that_lost_its_supply_between_two_readings_is_found_out() {
    let (world, mut bus) = world();
    let mut probe = settled(&mut bus);
    assert!(probe.read(&mut bus, 10_000).is_ok());
    {
        let mut world = world.borrow_mut();
        let now = world.now;
        world.probe.plug(false, now);
        world.probe.plug(true, now);
    }
    assert_eq!(probe.read(&mut bus, 20_000), Err(Refusal::PowerUp));
    assert_eq!(world.borrow().probe.configuration, 0x60);
    bus.delay_ms(SETTLE_MS);
    assert!(probe.read(&mut bus, 20_000 + SETTLE_MS).is_ok());
}

#[test]
fn a_probe_that_is_not_there_or_says_what_cannot_be_is_refused_with_its_cause() {
    let (world, mut bus) = world();
    let mut probe = settled(&mut bus);
    world.borrow_mut().probe.sixteenths = Box::new(|_| 0);
    assert_eq!(probe.read(&mut bus, 10_000), Err(Refusal::PowerUp));
    world.borrow_mut().probe.sixteenths = Box::new(|_| 126 * 16);
    assert_eq!(probe.read(&mut bus, 20_000), Err(Refusal::OutOfRange));
    world.borrow_mut().probe.plugged = false;
    assert_eq!(probe.read(&mut bus, 30_000), Err(Refusal::Bus));
    assert_eq!(Probe::new(0x48).set_up(&mut bus, 30_000), Err(Refusal::Bus));
}

#[test]
fn a_bus_that_a_part_holds_down_is_freed_and_a_short_is_not_waited_for() {
    let (world, mut bus) = world();
    let mut probe = settled(&mut bus);
    world.borrow_mut().held = Held::ByAPart;
    assert!(probe.read(&mut bus, 10_000).is_ok());
    world.borrow_mut().held = Held::Short;
    let before = world.borrow().now;
    assert_eq!(probe.read(&mut bus, 20_000), Err(Refusal::Bus));
    assert!(world.borrow().now - before < 10_000, "it waited");
}

// ---- the clock chip

#[test]
fn a_clock_is_set_and_read_back_from_2000_to_2099() {
    let (world, mut bus) = world();
    let clock = ClockChip::new(ClockKind::Ds1338);
    for utc in [FIRST, 951_868_799, START, 4_070_908_799, 4_070_908_800, LAST - 1] {
        clock.set(&mut bus, utc).expect("it takes it");
        let told = clock.now(&mut bus).expect("it tells");
        assert!((0..=1).contains(&(told - utc)), "{told} for {utc}");
    }
    assert_eq!(clock.set(&mut bus, FIRST - 1), Err(ClockFault::OutOfRange));
    assert_eq!(clock.set(&mut bus, LAST + 1), Err(ClockFault::OutOfRange));
    drop(world);
}

#[test]
fn a_clock_that_stopped_tells_nothing_until_it_is_set() {
    let (world, mut bus) = world();
    let clock = ClockChip::new(ClockKind::Ds1338);
    {
        let mut world = world.borrow_mut();
        let now = world.now;
        world.clock.run(false, now);
        world.clock.run(true, now); // it goes again, but for how long it stood nobody knows
    }
    assert_eq!(clock.now(&mut bus), Err(ClockFault::Stopped));
    clock.set(&mut bus, START).expect("it takes it");
    assert!(clock.now(&mut bus).is_ok());
}

#[test]
fn the_halt_bit_and_the_other_stop_flag_are_seen_too() {
    let (world, mut bus) = world();
    world.borrow_mut().clock.garbage = Some([0x80 | 0x10, 0x30, 0x06, 3, 0x25, 0x11, 0x26]);
    for kind in [ClockKind::Ds1307, ClockKind::Ds1338] {
        assert_eq!(ClockChip::new(kind).now(&mut bus), Err(ClockFault::Stopped));
    }
    // a chip without a halt bit does not have such a second
    assert_eq!(ClockChip::new(ClockKind::Ds3231).now(&mut bus), Err(ClockFault::Impossible));
}

#[test]
fn what_is_no_time_is_no_time() {
    let (world, mut bus) = world();
    let clock = ClockChip::new(ClockKind::Ds1307);
    for garbage in [[0x7F; 7], [0; 7], [0x59, 0x59, 0x63, 1, 1, 1, 0x26], [0, 0, 0, 1, 0x31, 2, 0x26]] {
        world.borrow_mut().clock.garbage = Some(garbage);
        assert_eq!(clock.now(&mut bus), Err(ClockFault::Impossible), "{garbage:02x?}");
    }
    world.borrow_mut().clock.garbage = None;
    assert!(clock.now(&mut bus).is_ok());
    world.borrow_mut().clock.answers = false;
    assert_eq!(clock.now(&mut bus), Err(ClockFault::NoAnswer));
    assert_eq!(clock.set(&mut bus, START), Err(ClockFault::NoAnswer));
}

// ---- the memory

fn memory(bus: &FakeBus) -> SerialMemory<FakeBus> {
    let mut memory = SerialMemory::unplugged(MemoryPart::EEPROM_64K);
    memory.plug(bus.clone());
    memory
}

#[test]
fn writes_anywhere_and_of_any_length_keep_to_the_pages_of_the_part() {
    let (world, bus) = world();
    let mut memory = memory(&bus);
    let mut kept = vec![0xFFu8; 65_536];
    let mut next = numbers(7);
    for _ in 0..400 {
        let length = (next() % 600) as usize;
        let offset = (next() % (65_536 - length as u64 + 1)) as usize;
        let bytes: Vec<u8> = (0..length).map(|_| next() as u8).collect();
        memory.write(offset as u32, &bytes).expect("it takes it");
        kept[offset..offset + length].copy_from_slice(&bytes);
        let mut back = vec![0; length];
        memory.read(offset as u32, &mut back).expect("it gives it");
        assert_eq!(back, bytes);
    }
    assert!(world.borrow().memory.bytes == kept, "something outside was written over");
}

#[test]
fn an_fram_is_written_without_waiting_for_anything() {
    let (world, bus) = world();
    {
        let mut world = world.borrow_mut();
        (world.memory.page, world.memory.cycle) = (65_536, 0);
    }
    let mut memory = SerialMemory::unplugged(MemoryPart { bytes: 65_536, ..MemoryPart::FRAM_32K });
    memory.plug(bus);
    memory.write(100, &[7; 512]).expect("it takes it");
    assert_eq!(world.borrow().memory.cycles, 1);
    assert_eq!(world.borrow().memory.bytes[100..612], [7; 512]);
    // the larger one is written in pieces of 128, so that no board needs room for more
    let mut memory = SerialMemory::unplugged(MemoryPart::FRAM_64K);
    memory.plug(FakeBus(Rc::clone(&world)));
    memory.write(100, &[8; 512]).expect("it takes it");
    assert_eq!(world.borrow().memory.cycles, 1 + 5);
    assert_eq!(world.borrow().memory.bytes[100..612], [8; 512]);
}

#[test]
fn what_lies_outside_is_refused_before_anything_moves() {
    let (world, bus) = world();
    let mut memory = memory(&bus);
    let before = world.borrow().now;
    assert_eq!(memory.write(65_535, &[1, 2]), Err(MemoryError::OutOfRange { offset: 65_535, length: 2 }));
    assert_eq!(memory.read(u32::MAX, &mut [0; 8]), Err(MemoryError::OutOfRange { offset: u32::MAX, length: 8 }));
    assert_eq!(world.borrow().now, before);
    assert_eq!(memory.write(65_536, &[]), Ok(()));
}

#[test]
fn a_write_cycle_is_waited_for_and_one_that_never_ends_is_given_up() {
    let (world, bus) = world();
    let mut memory = memory(&bus);
    for cycle in [0, 500, 5_000, 10_000, 20_000] {
        world.borrow_mut().memory.cycle = cycle;
        assert_eq!(memory.write(0, &[cycle as u8; 300]), Ok(()), "{cycle} us");
    }
    world.borrow_mut().memory.cycle = 10_000_000;
    let before = world.borrow().now;
    assert_eq!(memory.write(0, &[1; 8]), Err(MemoryError::NoAnswer));
    assert!(world.borrow().now - before < 300_000, "it waited for {} us", world.borrow().now - before);
}

#[test]
fn a_byte_that_is_not_acknowledged_is_written_again() {
    let (world, bus) = world();
    let mut memory = memory(&bus);
    world.borrow_mut().memory.refuse_data = Some((40, 2));
    assert_eq!(memory.write(1000, &[9; 128]), Ok(()));
    assert_eq!(world.borrow().memory.bytes[1000..1128], [9; 128]);
    world.borrow_mut().memory.refuse_data = Some((0, u32::MAX));
    assert_eq!(memory.write(2000, &[9; 4]), Err(MemoryError::NoAnswer));
}

#[test]
fn what_does_not_read_back_is_not_acknowledged() {
    let (world, bus) = world();
    let mut memory = memory(&bus);
    world.borrow_mut().memory.protected = true;
    assert_eq!(memory.write(0, &[1, 2, 3]), Err(MemoryError::NoAnswer));
    world.borrow_mut().memory.protected = false;
    assert_eq!(memory.write(0, &[1, 2, 3]), Ok(()));
}

#[test]
fn a_cut_in_the_middle_leaves_what_the_contract_allows_and_is_never_acknowledged() {
    let mut next = numbers(11);
    for _ in 0..300 {
        let (world, bus) = world();
        let mut memory = memory(&bus);
        let length = 1 + (next() % 512) as usize;
        let offset = (next() % (65_536 - length as u64)) as usize;
        let old: Vec<u8> = (0..length).map(|_| next() as u8).collect();
        let new: Vec<u8> = (0..length).map(|_| next() as u8).collect();
        memory.write(offset as u32, &old).expect("it takes it");
        let cut = (next() % length as u64) as usize;
        world.borrow_mut().memory.cut_after = Some(cut as u64);
        assert_eq!(memory.write(offset as u32, &new), Err(MemoryError::NoAnswer));
        let left = world.borrow().memory.bytes[offset..offset + length].to_vec();
        assert_eq!(left[..cut], new[..cut], "a prefix of the new bytes");
        assert_eq!(left[cut + 1..], old[cut + 1..], "the old bytes behind one half written");
        assert!(memory.read(0, &mut [0]).is_err(), "the power is gone");
    }
}

#[test]
fn a_memory_that_is_not_there_or_has_no_bus_says_so_soon() {
    let (world, bus) = world();
    world.borrow_mut().memory.answers = false;
    let mut gone = memory(&bus);
    let before = world.borrow().now;
    assert_eq!(gone.read(0, &mut [0; 512]), Err(MemoryError::NoAnswer));
    assert_eq!(gone.write(0, &[0; 512]), Err(MemoryError::NoAnswer));
    assert!(world.borrow().now - before < 400_000);
    world.borrow_mut().memory.answers = true;
    assert_eq!(gone.write(0, &[0; 512]), Ok(()));
    let mut none = SerialMemory::<FakeBus>::unplugged(MemoryPart::EEPROM_32K);
    assert_eq!((none.size(), none.read(0, &mut [0])), (32_768, Err(MemoryError::NoAnswer)));
}

#[test]
fn a_bus_that_is_held_down_in_the_middle_of_a_write_is_freed() {
    let (world, bus) = world();
    let mut memory = memory(&bus);
    world.borrow_mut().held = Held::ByAPart;
    assert_eq!(memory.write(512, &[3; 512]), Ok(()));
    world.borrow_mut().held = Held::Short;
    assert_eq!(memory.write(512, &[4; 512]), Err(MemoryError::NoAnswer));
    assert_eq!(world.borrow().memory.bytes[512..1024], [3; 512]);
}

// ---- the wires

/// Two wires; a part sends low bits for so many clock pulses.
#[derive(Debug, Default)]
struct Wires {
    sda: bool,
    scl: bool,
    pulses_left: u8,
    pulses: u8,
    stops: u8,
    shorted: bool,
}

#[derive(Clone)]
struct Pin(Rc<RefCell<Wires>>, bool);

impl ErrorType for Pin {
    type Error = Infallible;
}

impl OutputPin for Pin {
    fn set_low(&mut self) -> Result<(), Infallible> {
        let mut wires = self.0.borrow_mut();
        if self.1 {
            wires.scl = false
        } else {
            wires.sda = false
        }
        Ok(())
    }

    fn set_high(&mut self) -> Result<(), Infallible> {
        let mut wires = self.0.borrow_mut();
        if self.1 {
            if !wires.scl {
                wires.pulses += 1;
                wires.pulses_left = wires.pulses_left.saturating_sub(1);
            }
            wires.scl = true;
        } else {
            if !wires.sda && wires.scl {
                wires.stops += 1;
            }
            wires.sda = true;
        }
        Ok(())
    }
}

impl InputPin for Pin {
    fn is_high(&mut self) -> Result<bool, Infallible> {
        let wires = self.0.borrow();
        Ok(if self.1 { wires.scl } else { wires.sda && wires.pulses_left == 0 && !wires.shorted })
    }

    fn is_low(&mut self) -> Result<bool, Infallible> {
        self.is_high().map(|high| !high)
    }
}

struct NoDelay;

impl DelayNs for NoDelay {
    fn delay_ns(&mut self, _: u32) {}
}

#[test]
fn at_most_nine_pulses_and_a_stop_free_the_wires() {
    for pulses_left in 0..=9 {
        let wires = Rc::new(RefCell::new(Wires { pulses_left, ..Wires::default() }));
        let (mut scl, mut sda) = (Pin(Rc::clone(&wires), true), Pin(Rc::clone(&wires), false));
        wires.borrow_mut().scl = true;
        assert_eq!(wires::free(&mut scl, &mut sda, &mut NoDelay), Lines::Free, "{pulses_left}");
        assert!(wires.borrow().pulses <= 10 && wires.borrow().stops >= 1);
    }
    let wires = Rc::new(RefCell::new(Wires { shorted: true, scl: true, ..Wires::default() }));
    let (mut scl, mut sda) = (Pin(Rc::clone(&wires), true), Pin(Rc::clone(&wires), false));
    assert_eq!(wires::free(&mut scl, &mut sda, &mut NoDelay), Lines::Held);
}
