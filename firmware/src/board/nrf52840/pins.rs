//! The five buttons, low when pressed, with the part's own pull-ups; and waking by a pin.
//!
//! Why each pin waits for the other level: the part senses a level, not an edge. A pin that is low is told to wake when
//! it is high and the other way round, right before every sleep, so that press and release both wake, and a button that is held
//! down hides no other. It costs no current.

use super::Irqs;
use crate::board::Buttons;
use embassy_nrf::gpio::{Flex, Pin, Pull};
use embassy_nrf::interrupt::typelevel::{Binding, GPIOTE, Handler, Interrupt};
use embassy_nrf::pac::gpio::vals::Sense;
use embassy_nrf::{Peri, pac};

/// The interrupt of the pins: that it came is all.
pub(super) struct Sensed;

impl Handler<GPIOTE> for Sensed {
    unsafe fn on_interrupt() {
        pac::GPIOTE.events_port(0).write_value(0);
    }
}

/// A pin that can wake the board.
pub(super) struct Watched {
    input: Flex<'static>,
    pull: Pull,
    /// Port times 32, and pin.
    number: u32,
}

impl Watched {
    pub(super) fn new(pin: Peri<'static, impl Pin>, pull: Pull) -> Self {
        let number = pin.psel_bits().0;
        let mut watched = Self { input: Flex::new(pin), pull, number };
        watched.listen();
        watched
    }

    /// Makes it an input, also after somebody else had it.
    pub(super) fn listen(&mut self) {
        self.input.set_as_input(self.pull);
    }

    pub(super) fn is_high(&self) -> bool {
        self.input.is_high()
    }

    /// From now on any other level than the one it has wakes the board.
    pub(super) fn watch(&self) {
        let sense = if self.is_high() { Sense::Low } else { Sense::High };
        let port = if self.number < 32 { pac::P0 } else { pac::P1 };
        port.pin_cnf((self.number % 32) as usize).modify(|conf| conf.set_sense(sense));
    }
}

/// Lets the pins wake the board.
pub(super) fn set_up(_: impl Binding<GPIOTE, Sensed>) {
    pac::GPIOTE.events_port(0).write_value(0);
    pac::GPIOTE.intenset(0).write(|wanted| wanted.set_port(true));
    GPIOTE::unpend();
    // SAFETY: its handler is bound, as the argument shows, and touches nothing but the event.
    unsafe { GPIOTE::enable() };
}

/// The buttons: up, down, left, right, select.
pub(super) struct Pins {
    pins: [Watched; 5],
    seen: Buttons,
}

impl Pins {
    pub(super) fn new(pins: [Watched; 5]) -> Self {
        set_up(Irqs);
        Self { pins, seen: Buttons::default() }
    }

    pub(super) fn buttons(&mut self) -> Buttons {
        self.seen = self.now();
        self.seen
    }

    /// Whether a button has changed since they were last asked for; if none has, a change wakes from now on.
    pub(super) fn changed(&self) -> bool {
        self.pins.iter().for_each(Watched::watch);
        self.now() != self.seen
    }

    fn now(&self) -> Buttons {
        let [up, down, left, right, select] = self.pins.each_ref().map(|pin| !pin.is_high());
        Buttons { up, down, left, right, select }
    }
}
