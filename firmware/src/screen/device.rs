//! What concerns the logger itself: start, no job, faults, a PC.

use super::canvas::{Canvas, Ink, WIDTH};
use super::card::{ALONE, BELOW_HEAD, Card};
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
    let mut name = Line::of(words::NAME);
    for (place, part) in of.version.into_iter().enumerate() {
        if place > 0 {
            name.byte(b'.');
        }
        name.number(u64::from(part));
    }
    canvas.centred(&MIDDLE, (0, WIDTH), 0, &name, Ink::Lit)?;
    canvas.centred(&SMALL, (0, WIDTH), 14, device(&mut Line::of(words::DEVICE), &of.device), Ink::Lit)?;
    for (y, line) in [28, 37, 46, 55].into_iter().zip(words::CAUTION) {
        canvas.centred_words(&SMALL, (0, WIDTH), y, line, Ink::Lit)?;
    }
    Ok(())
}

/// No job is loaded.
pub(super) fn no_job<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    of: &Around,
) -> Result<(), D::Error> {
    head::around(canvas, of)?;
    let mut card = Card::new();
    card.tells(words::NO_JOB).said(&words::LOAD_ONE);
    card.draw(canvas, BELOW_HEAD)
}

/// What is wrong.
pub(super) fn fault(card: &mut Card, fault: Fault) {
    let (title, said) = words::fault(fault);
    card.do_not(title).said(&said);
    match fault {
        Fault::Losing { count } => {
            card.large().number(u64::from(count)).and(words::READINGS_LOST);
        }
        Fault::LogVersion { found } => {
            card.large().and(words::PAGE_VERSION).number(u64::from(found));
        }
        Fault::LogForeign { device: other } => {
            device(card.last().and(words::DEVICE), &other);
        }
        Fault::Restarted { dark, .. } => {
            let line = card.last();
            match dark {
                Some(dark) => number::length(line.and(words::DARK_FOR), u64::from(dark.seconds()), Round::Up),
                None => line.and(words::DARK_UNKNOWN),
            };
        }
        Fault::ProbeSilent
        | Fault::BusStuck
        | Fault::ProbeWrong
        | Fault::ProbeStuck
        | Fault::SupplyLow
        | Fault::SupplyUnknown
        | Fault::ClockNotSet
        | Fault::ClockFailed { .. }
        | Fault::ClockSilent
        | Fault::MemorySilent
        | Fault::MemoryFull
        | Fault::BatteryLow
        | Fault::BatteryVeryLow
        | Fault::LogUntrusted
        | Fault::LogNotOwn
        | Fault::MemorySize
        | Fault::NoLog => {}
    }
}

/// A PC is connected.
pub(super) fn link<D: DrawTarget<Color = BinaryColor>>(canvas: &mut Canvas<'_, D>, link: Link) -> Result<(), D::Error> {
    let mut card = Card::new();
    match link {
        Link::Connected => card.tells(words::PC).said(&words::LINKED),
        Link::Loading => card.tells(words::PC).said(&words::LOADING),
        Link::ReadingOut { done, of } => {
            let done = done.min(of);
            card.tells(words::READING_OUT);
            card.next().number(u64::from(done)).and(words::OF).number(u64::from(of)).and(words::PAGES);
            canvas.frame(0, 31, WIDTH as u32, 10)?;
            let columns = u64::from(done) * 124 / u64::from(of.max(1)); // 124 at most
            canvas.fill(2, 33, columns as u32, 6)?;
        }
    }
    card.draw(canvas, ALONE)
}

/// Something was not done.
pub(super) fn notice(card: &mut Card, notice: Notice) {
    card.do_not(words::NOT_DONE).said(&words::notice(notice));
}

/// A device's number as sixteen hexadecimal digits in groups of four.
fn device<'l>(line: &'l mut Line, device: &DeviceId) -> &'l mut Line {
    for (place, &byte) in device.0.iter().enumerate() {
        if place % 2 == 0 {
            line.byte(b' ');
        }
        for digit in [byte >> 4, byte & 15] {
            line.byte(if digit < 10 { b'0'.wrapping_add(digit) } else { b'a'.wrapping_add(digit.wrapping_sub(10)) });
        }
    }
    line
}
