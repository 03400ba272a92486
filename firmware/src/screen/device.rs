//! What concerns the logger itself: start, no job, faults, a PC.

use super::canvas::{Canvas, Ink, WIDTH};
use super::card::{Body, Card};
use super::font::{MIDDLE, SMALL};
use super::line::Line;
use super::number::{self, Round};
use super::{head, words};
use crate::view::{Around, Fault, Link, Notice, Start};
use embedded_graphics::draw_target::DrawTarget;
use embedded_graphics::pixelcolor::BinaryColor;
use holdoff_core::log::DeviceId;

/// Who this is, and the cautions in short.
pub(super) fn start<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    of: &Start,
) -> Result<(), D::Error> {
    let [major, minor, patch] = of.version.map(u64::from);
    let name = Line::of(words::NAME).number(major).byte(b'.').number(minor).byte(b'.').number(patch);
    canvas.centred(&MIDDLE, (0, WIDTH), 0, &name, Ink::Lit)?;
    canvas.centred(&SMALL, (0, WIDTH), 14, &device(Line::of(words::DEVICE), &of.device), Ink::Lit)?;
    for (y, line) in [28, 37, 46, 55].into_iter().zip(words::CAUTION) {
        canvas.centred(&SMALL, (0, WIDTH), y, &Line::of(line), Ink::Lit)?;
    }
    Ok(())
}

/// No job is loaded.
pub(super) fn no_job<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    of: &Around,
) -> Result<(), D::Error> {
    head::around(canvas, of)?;
    Card::tells(words::NO_JOB, Body::said(&words::LOAD_ONE)).draw(canvas)
}

/// What is wrong.
pub(super) fn fault(fault: Fault) -> Card {
    let (title, said) = words::fault(fault);
    let (large, small) = (Line::of(said.large), Line::of(said.small));
    let (large, small) = match fault {
        Fault::Losing { count } => (Line::EMPTY.number(u64::from(count)).and(words::READINGS_LOST), small),
        Fault::LogForeign { device: other } => (large, device(Line::of(words::DEVICE), &other)),
        Fault::LogVersion { found } => (Line::of(words::PAGE_VERSION).number(u64::from(found)), small),
        Fault::Restarted { dark, .. } => {
            let small = match dark {
                Some(dark) => {
                    let length = number::length(u64::from(dark.seconds()), Round::Up);
                    Line::of(words::DARK_FOR).and_line(&length)
                }
                None => Line::of(words::DARK_UNKNOWN),
            };
            (large, small)
        }
        Fault::ProbeSilent
        | Fault::BusStuck
        | Fault::ProbeWrong
        | Fault::ProbeStuck
        | Fault::ClockNotSet
        | Fault::ClockStopped
        | Fault::ClockBack
        | Fault::ClockFast
        | Fault::ClockSilent
        | Fault::MemorySilent
        | Fault::MemoryFull
        | Fault::BatteryLow
        | Fault::BatteryVeryLow
        | Fault::LogUntrusted
        | Fault::MemorySize
        | Fault::NoLog => (large, small),
    };
    Card::do_not(title, Body::Words(large, small))
}

/// A PC is connected.
pub(super) fn link<D: DrawTarget<Color = BinaryColor>>(canvas: &mut Canvas<'_, D>, link: Link) -> Result<(), D::Error> {
    match link {
        Link::Connected => Card::tells(words::PC, Body::said(&words::LINKED)).draw_alone(canvas),
        Link::Loading => Card::tells(words::PC, Body::said(&words::LOADING)).draw_alone(canvas),
        Link::ReadingOut { done, of } => {
            let done = done.min(of);
            let pages = Line::EMPTY.number(u64::from(done)).and(words::OF).number(u64::from(of)).and(words::PAGES);
            Card::tells(words::READING_OUT, Body::Words(Line::EMPTY, pages)).draw_alone(canvas)?;
            canvas.frame(0, 31, WIDTH as u32, 10)?;
            let columns = u64::from(done) * 124 / u64::from(of.max(1)); // 124 at most
            canvas.fill(2, 33, columns as u32, 6)
        }
    }
}

/// Something was not done.
pub(super) fn notice(notice: Notice) -> Card {
    Card::do_not(words::NOT_DONE, Body::said(&words::notice(notice)))
}

/// A device's number as sixteen hexadecimal digits in groups of four.
fn device(line: Line, device: &DeviceId) -> Line {
    let digit =
        |value: u8| if value < 10 { b'0'.wrapping_add(value) } else { b'a'.wrapping_add(value.wrapping_sub(10)) };
    device.0.iter().enumerate().fold(line, |line, (place, &byte)| {
        let line = if place % 2 == 0 { line.byte(b' ') } else { line };
        line.byte(digit(byte >> 4)).byte(digit(byte & 15))
    })
}
