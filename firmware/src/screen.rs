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
use card::{Body, Card};
use core::convert::Infallible;
use embedded_graphics::draw_target::DrawTarget;
use embedded_graphics::pixelcolor::BinaryColor;
use holdoff_core::quantity::Span;
use line::Line;

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
        View::Fault(fault) => device::fault(*fault).draw_alone(&mut canvas),
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
    match page {
        Page::Status(state) => with_head(canvas, of, &status(of, state)),
        Page::NotYet(wait) => with_head(canvas, of, &wait::not_yet(of, *wait)),
        Page::InHole { reading, counts_for } => {
            let number = number::degrees(reading.fine());
            let beside = [Line::of(words::DEGREES), Line::of(words::COUNTS_FOR), minutes(*counts_for)];
            with_head(canvas, of, &Card::tells(words::IN_THE_HOLE, Body::Number(number, beside)))
        }
        Page::NoKey => with_head(canvas, of, &code::no_key()),
        Page::Notice(notice) => with_head(canvas, of, &device::notice(*notice)),
        Page::Question { question, answer } => {
            head::head(canvas, of)?;
            question::draw(canvas, *question, *answer)
        }
        Page::Short(form) => {
            head::head(canvas, of)?;
            code::short(canvas, form)
        }
        Page::Code(picture) => code::picture(canvas, of, picture),
        Page::Reasons(may) => below_first_row(canvas, of, |canvas| details::reasons(canvas, *may)),
        Page::Materials(materials) => below_first_row(canvas, of, |canvas| details::materials(canvas, materials)),
        Page::Times(times) => below_first_row(canvas, of, |canvas| details::times(canvas, of, times)),
        Page::Counting(counting) => below_first_row(canvas, of, |canvas| details::counting(canvas, counting)),
        Page::Setting(setting) => below_first_row(canvas, of, |canvas| details::setting(canvas, setting)),
        Page::Menu { items, chosen } => below_first_row(canvas, of, |canvas| menu::draw(canvas, *items, *chosen)),
        Page::EnterTorque { torque, range } => {
            below_first_row(canvas, of, |canvas| enter::torque(canvas, *torque, *range))
        }
        Page::EnterCartridge { degrees, range } => {
            below_first_row(canvas, of, |canvas| enter::cartridge(canvas, *degrees, *range))
        }
    }
}

fn status(of: &Head, state: &State) -> Card {
    match *state {
        State::NotInjected(may) => inject::not_injected(of, may),
        State::Refused { grounds, now } => inject::refused(grounds, now),
        State::SeatNow { left, by } => wait::seat_now(left, by),
        State::Wait(wait) => wait::leave_alone(of, wait),
        State::TorqueNow { range, too_low } => cured::torque_now(of, range, too_low),
        State::Cured { .. } => cured::cured(of),
        State::MayBeLoaded { torque, at } => cured::may_be_loaded(of, torque, at),
        State::DoNotLoad { grounds, .. } => rejected::do_not_load(grounds),
        State::AcceptedAsIs { .. } => rejected::accepted(),
        State::Removed { .. } => rejected::removed(),
    }
}

fn with_head<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    of: &Head,
    card: &Card,
) -> Result<(), D::Error> {
    head::head(canvas, of)?;
    card.draw(canvas)
}

fn below_first_row<'a, D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'a, D>,
    of: &Head,
    rest: impl FnOnce(&mut Canvas<'a, D>) -> Result<(), D::Error>,
) -> Result<(), D::Error> {
    head::first_row(canvas, of)?;
    rest(canvas)
}

/// A short time in minutes, rounded down.
fn minutes(span: Span) -> Line {
    Line::EMPTY.number(u64::from(span.seconds() / 60)).and(words::MIN)
}
