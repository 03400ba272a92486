//! The display's driver against a part as its data sheet describes it: commands with their arguments, a memory of eight pages
//! that is noise when power comes on, and wires that can fail at any transfer.
#![allow(
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a broken expectation must stop the test"
)]

use embedded_hal::delay::DelayNs;
use embedded_hal::digital::{self, OutputPin};
use embedded_hal::spi::{self, Operation, SpiDevice};
use holdoff_firmware::board::Strip;
use holdoff_firmware::driver::oled::{NotShown, Oled};
use std::cell::RefCell;
use std::rc::Rc;

/// The part.
struct Part {
    memory: [[u8; 128]; 8],
    page: usize,
    column: usize,
    on: bool,
    pump: bool,
    page_addressing: bool,
    contrast: u8,
    lines: u8,
    /// The data line, and the reset line.
    data: bool,
    running: bool,
    /// Transfers so far, and the one that fails.
    transfers: usize,
    fails_at: Option<usize>,
    /// Whether it was ever lit while something of the noise could be seen.
    noise_seen: bool,
}

const NOISE: u8 = 0xA5;

impl Part {
    fn powered() -> Self {
        Self {
            memory: [[NOISE; 128]; 8],
            page: 3,
            column: 77,
            on: false,
            pump: false,
            page_addressing: true,
            contrast: 0x7F,
            lines: 64,
            data: true,
            running: true,
            transfers: 0,
            fails_at: None,
            noise_seen: false,
        }
    }

    /// What a reset leaves: the memory as it was.
    fn reset(&mut self) {
        *self = Self { memory: self.memory, transfers: self.transfers, fails_at: self.fails_at, ..Self::powered() };
        self.running = false;
    }

    fn take(&mut self, bytes: &[u8]) {
        assert!(self.running, "a transfer while the reset line is low");
        if self.data {
            for byte in bytes {
                assert!(self.page_addressing, "the driver counts on page addressing");
                self.memory[self.page][self.column] = *byte;
                self.column = (self.column + 1) % 128; // and never on to the next page
            }
            return;
        }
        let mut bytes = bytes.iter().copied();
        while let Some(command) = bytes.next() {
            let mut argument = || bytes.next().expect("the command has an argument");
            match command {
                0x00..=0x0F => self.column = self.column & 0xF0 | usize::from(command & 0x0F),
                0x10..=0x1F => self.column = self.column & 0x0F | usize::from(command & 0x07) << 4,
                0x20 => {
                    let mode = argument();
                    assert!(mode <= 2, "no such addressing");
                    self.page_addressing = mode == 2;
                }
                0x40 | 0xA1 | 0xA4 | 0xA6 | 0xC8 => {}
                0x81 => self.contrast = argument(),
                0x8D => self.pump = argument() & 0x04 != 0,
                0xA8 => self.lines = argument() + 1,
                0xAE => self.on = false,
                0xAF => {
                    self.on = true;
                    self.noise_seen |= self.memory.iter().flatten().any(|byte| *byte == NOISE);
                }
                0xB0..=0xB7 => self.page = usize::from(command & 7),
                0xD3 => assert_eq!(argument(), 0, "the picture is shifted"),
                0xD5 | 0xD9 | 0xDA | 0xDB => {
                    argument();
                }
                other => panic!("the data sheet does not know the command {other:#04x}"),
            }
        }
    }
}

#[derive(Clone)]
struct Wires(Rc<RefCell<Part>>);

#[derive(Debug)]
struct Broken;

impl spi::Error for Broken {
    fn kind(&self) -> spi::ErrorKind {
        spi::ErrorKind::Other
    }
}

impl spi::ErrorType for Wires {
    type Error = Broken;
}

impl SpiDevice for Wires {
    fn transaction(&mut self, operations: &mut [Operation<'_, u8>]) -> Result<(), Broken> {
        let mut part = self.0.borrow_mut();
        part.transfers += 1;
        let fails = part.fails_at == Some(part.transfers);
        for operation in operations {
            let Operation::Write(bytes) = operation else { panic!("the part says nothing") };
            // half of what was sent has arrived when it breaks
            let arrived = if fails && part.data { bytes.len() / 2 } else { bytes.len() };
            if !fails || part.data {
                part.take(&bytes[..arrived]);
            }
        }
        if fails { Err(Broken) } else { Ok(()) }
    }
}

struct Line {
    part: Rc<RefCell<Part>>,
    set: fn(&mut Part, bool),
}

impl digital::ErrorType for Line {
    type Error = std::convert::Infallible;
}

impl OutputPin for Line {
    fn set_low(&mut self) -> Result<(), Self::Error> {
        (self.set)(&mut self.part.borrow_mut(), false);
        Ok(())
    }

    fn set_high(&mut self) -> Result<(), Self::Error> {
        (self.set)(&mut self.part.borrow_mut(), true);
        Ok(())
    }
}

struct NoWait;

impl DelayNs for NoWait {
    fn delay_ns(&mut self, _: u32) {}
}

type Shown = Oled<Wires, Line, Line, NoWait>;

fn display() -> (Rc<RefCell<Part>>, Shown) {
    let part = Rc::new(RefCell::new(Part::powered()));
    let data = Line { part: Rc::clone(&part), set: |part, high| part.data = high };
    let reset =
        Line { part: Rc::clone(&part), set: |part, high| if high { part.running = true } else { part.reset() } };
    (Rc::clone(&part), Oled::new(Wires(Rc::clone(&part)), data, reset, NoWait))
}

/// A strip that is like no other, and no noise.
fn strip(place: u8) -> Strip {
    std::array::from_fn(|column| (column as u8).wrapping_mul(2).wrapping_add(place * 16) | 2)
}

fn picture() -> [[u8; 128]; 8] {
    std::array::from_fn(|place| strip(place as u8))
}

#[test]
fn a_display_is_cleared_before_it_is_lit_and_strips_land_where_they_belong_in_any_order() {
    let (part, mut oled) = display();
    oled.light(true).expect("it takes it");
    {
        let part = part.borrow();
        assert!(part.on && part.pump && part.page_addressing && !part.noise_seen);
        assert_eq!((part.lines, part.contrast), (64, 0x7F));
        assert_eq!(part.memory, [[0; 128]; 8]);
    }
    for place in [5, 0, 7, 2, 1, 6, 3, 4] {
        oled.show(place, &strip(place)).expect("it takes it");
    }
    assert_eq!(part.borrow().memory, picture());
    let transfers = part.borrow().transfers;
    assert_eq!(oled.show(8, &[0xFF; 128]), Ok(()));
    assert_eq!((part.borrow().memory, part.borrow().transfers), (picture(), transfers), "there is no ninth strip");
}

#[test]
fn a_byte_lost_on_the_way_spoils_no_strip_but_its_own() {
    let (part, mut oled) = display();
    oled.light(true).expect("it takes it");
    for place in 0..8 {
        oled.show(place, &strip(place)).expect("it takes it");
    }
    part.borrow_mut().column = 99; // as after a clock pulse too few
    part.borrow_mut().page = 6;
    for place in 0..8 {
        oled.show(place, &strip(place)).expect("it takes it");
    }
    assert_eq!(part.borrow().memory, picture());
}

#[test]
fn a_dark_display_sleeps_and_is_not_written_to() {
    let (part, mut oled) = display();
    oled.light(true).expect("it takes it");
    oled.light(false).expect("it takes it");
    assert!(!part.borrow().on && !part.borrow().pump);
    let transfers = part.borrow().transfers;
    assert_eq!(oled.show(0, &strip(0)), Ok(()));
    assert_eq!(part.borrow().transfers, transfers);
    oled.light(true).expect("it takes it");
    assert!(part.borrow().on);
    assert_eq!(part.borrow().memory, [[0; 128]; 8], "lit again, it begins dark");
}

#[test]
fn a_transfer_that_fails_ends_the_call_and_the_next_strip_sets_the_display_up_again() {
    // a whole life: lit, eight strips, and the same again
    let life = |oled: &mut Shown| {
        let mut failures = 0;
        let mut count = |result: Result<(), NotShown>| failures += usize::from(result.is_err());
        count(oled.light(true));
        for place in (0..8).chain(0..8) {
            count(oled.show(place, &strip(place)));
        }
        failures
    };
    let (part, mut oled) = display();
    assert_eq!(life(&mut oled), 0);
    let most = part.borrow().transfers;
    let set_up = 2 + 2 * 8;
    assert_eq!(most, set_up + 2 * 16);
    for fails_at in 1..=most {
        let (part, mut oled) = display();
        part.borrow_mut().fails_at = Some(fails_at);
        assert_eq!(life(&mut oled), 1, "transfer {fails_at}: one call says so, and no other is kept from working");
        let part = part.borrow();
        assert!(part.transfers <= most + set_up + 2, "transfer {fails_at}: {} transfers", part.transfers);
        assert!(part.on && part.pump && !part.noise_seen);
        // whatever failed on the last round may lack; all but the last strip that was sent is there
        let lacking = (0..8).filter(|place| part.memory[*place] != picture()[*place]).count();
        assert!(fails_at >= set_up + 2 * 8 || lacking == 0, "transfer {fails_at}: {lacking} strips lack");
    }
    // and one that always fails costs one transfer a call
    let (part, mut oled) = display();
    for call in 1..=20 {
        part.borrow_mut().fails_at = Some(call);
        assert_eq!(oled.show(0, &strip(0)), Err(NotShown));
        assert_eq!(part.borrow().transfers, call);
    }
}
