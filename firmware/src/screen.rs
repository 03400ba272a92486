//! The screens: draws a view on a display of 128 x 64 points in one colour.
//!
//! Why this way: a gloved hand and a tired eye. Few words, large; one number; which fixing it is always in the same corner.
//! Heading words in a *frame* say what may be done, dark words on a *bar* say what may not or what is wrong, so that nobody
//! takes one for the other from an arm's length away. Colour, blinking and symbols carry nothing: words do.
//!
//! ```text
//!   3 of 6     -5.2°  14:05    which fixing, temperature, time; marks of battery and fault
//!   bollard 3 stud 1   DEMO    label; mark of an invented resin
//!   ┌─────────────────────┐
//!   │     TORQUE NOW      │    heading: frame = may, bar = do not
//!   └─────────────────────┘
//!      40    N·m  38 to 42     one number, or a few words
//! ```
//!
//! Invariants: everything that a view can hold fits, whatever its values; nothing is drawn outside; no point is drawn twice
//! in one colour (so nothing overlaps); the same view gives the same picture whether it is drawn whole or strip by strip.
//! What it does not do: decide anything, keep a picture, know a display's wires.

mod canvas;
mod card;
mod code;
mod cured;
mod details;
mod device;
mod enter;
mod font;
mod head;
mod inject;
mod line;
mod list;
mod menu;
mod number;
mod overview;
mod question;
mod rejected;
mod target;
mod wait;
mod words;

pub use target::{Frame, STRIPS, StripTarget};

use crate::board::Strip;
use crate::view::{Head, Page, State, View};
use canvas::Canvas;
use card::{ALONE, BELOW_HEAD, Card};
use core::convert::Infallible;
use embedded_graphics::draw_target::DrawTarget;
use embedded_graphics::pixelcolor::BinaryColor;

/// Draws a view on a dark target.
///
/// # Errors
/// Whatever the target says.
pub fn draw<D: DrawTarget<Color = BinaryColor>>(view: &View<'_>, target: &mut D) -> Result<(), D::Error> {
    let mut canvas = Canvas::new(target);
    match view {
        View::Dark => Ok(()),
        View::Start(start) => device::start(&mut canvas, start),
        View::NoJob(around) => device::no_job(&mut canvas, around),
        View::Fixing(of, page) => fixing(&mut canvas, of, page),
        View::Overview(of) => overview::draw(&mut canvas, of),
        View::Fault(fault) => {
            let mut card = Card::new();
            device::fault(&mut card, *fault);
            card.draw(&mut canvas, ALONE)
        }
        View::Link(link) => device::link(&mut canvas, *link),
    }
}

/// Draws eight lines of a view; `place` counts from the top, 0 to 7.
pub fn draw_strip(view: &View<'_>, place: u8, strip: &mut Strip) {
    match draw(view, &mut StripTarget::new(strip, place)) {
        Ok(()) => {}
        Err(never) => match never {},
    }
}

/// Draws a whole view: for pictures and tests.
pub fn frame(view: &View<'_>) -> Frame {
    let mut frame = Frame::DARK;
    match draw(view, &mut frame) {
        Ok(()) => frame,
        Err::<(), Infallible>(never) => match never {},
    }
}

fn fixing<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    of: &Head,
    page: &Page<'_>,
) -> Result<(), D::Error> {
    let mut card = Card::new();
    match page {
        Page::Status(state) => status(&mut card, of, state),
        Page::NotYet(wait) => wait::not_yet(&mut card, of, *wait),
        Page::InHole { reading, counts_for } => inject::in_hole(&mut card, *reading, *counts_for),
        Page::HoleSettling { reading, still } => inject::hole_settling(&mut card, *reading, *still),
        Page::NoKey => code::no_key(&mut card),
        Page::Notice(notice) => device::notice(&mut card, *notice),
        Page::Question { question, answer } => {
            head::head(canvas, of)?;
            return question::draw(canvas, *question, *answer);
        }
        Page::Short(form) => {
            head::head(canvas, of)?;
            return code::short(canvas, form);
        }
        Page::Code(picture) => return code::picture(canvas, of, picture),
        Page::Reasons(_)
        | Page::Materials(_)
        | Page::Cartridge(_)
        | Page::Times(_)
        | Page::Counting(_)
        | Page::Setting(_)
        | Page::Menu { .. }
        | Page::EnterTorque { .. }
        | Page::EnterCartridge { .. } => {
            head::first_row(canvas, of)?;
            return below_first_row(canvas, of, page);
        }
    }
    head::head(canvas, of)?;
    card.draw(canvas, BELOW_HEAD)
}

fn status(card: &mut Card, of: &Head, state: &State) {
    match *state {
        State::NotInjected(may) => inject::not_injected(card, of, may),
        State::Settling { still } => inject::settling(card, still),
        State::Refused { grounds, now } => inject::refused(card, grounds, now),
        State::SeatNow { left, by } => wait::seat_now(card, of, left, by),
        State::TooLate => wait::too_late(card),
        State::Wait(wait) => wait::leave_alone(card, of, wait),
        State::TorqueNow { range, too_low } => cured::torque_now(card, of, range, too_low),
        State::Cured { .. } => cured::cured(card, of),
        State::MayBeLoaded { torque, at } => cured::may_be_loaded(card, of, torque, at),
        State::DoNotLoad { grounds, .. } => rejected::do_not_load(card, grounds),
        State::AcceptedAsIs { .. } => rejected::accepted(card),
        State::Removed { .. } => rejected::removed(card),
    }
}

/// The pages that need the room of the second row; those with a card of their own have been drawn.
fn below_first_row<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    of: &Head,
    page: &Page<'_>,
) -> Result<(), D::Error> {
    match page {
        Page::Reasons(may) => details::reasons(canvas, *may),
        Page::Materials(materials) => details::materials(canvas, materials),
        Page::Cartridge(cartridge) => details::cartridge(canvas, cartridge),
        Page::Times(times) => details::times(canvas, of, times),
        Page::Counting(counting) => details::counting(canvas, counting),
        Page::Setting(setting) => details::setting(canvas, setting),
        Page::Menu { items, chosen } => menu::draw(canvas, *items, *chosen),
        Page::EnterTorque { torque, range } => enter::torque(canvas, *torque, *range),
        Page::EnterCartridge { degrees, range } => enter::cartridge(canvas, *degrees, *range),
        Page::Status(_)
        | Page::NotYet(_)
        | Page::InHole { .. }
        | Page::HoleSettling { .. }
        | Page::NoKey
        | Page::Notice(_)
        | Page::Question { .. }
        | Page::Short(_)
        | Page::Code(_) => Ok(()),
    }
}
