//! The details of a fixing, on four pages: reasons, materials, times, how the cure was counted and by which settings.

use super::canvas::Canvas;
use super::line::Line;
use super::list::{ROWS, Rows};
use super::number::{self, Round};
use super::{inject, words};
use crate::view::{Counting, Head, Materials, May, Setting, Times, Wall};
use embedded_graphics::draw_target::DrawTarget;
use embedded_graphics::pixelcolor::BinaryColor;
use holdoff_core::cure::Rule;
use holdoff_core::log::Bytes;
use holdoff_core::quantity::Fine;

/// Every reason, in a word or two each.
pub(super) fn reasons<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    may: May,
) -> Result<(), D::Error> {
    let mut rows = Rows::new(canvas);
    let all = inject::reasons(may).count();
    // two rows a reason where there is room; where there are more reasons than rows, the last row says how many
    let shown = if all > ROWS { ROWS - 1 } else { all };
    for reason in inject::reasons(may).take(shown) {
        rows.text(&Line::of(reason.large))?;
        if all * 2 <= ROWS {
            rows.pair("", &Line::of(reason.small))?;
        }
    }
    if all > shown {
        let rest = all.saturating_sub(shown) as u64; // 18 at most
        rows.text(&Line::of(words::AND).number(rest).and(words::AND_MORE))?;
    }
    Ok(())
}

/// What it was set with.
pub(super) fn materials<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    of: &Materials,
) -> Result<(), D::Error> {
    let mut rows = Rows::spaced(canvas);
    rows.pair(words::HOLE, &Line::of(words::hole(of.hole)))?;
    rows.text(&declared(words::BATCH, &of.batch))?;
    rows.text(&declared(words::RESIN, &of.resin))
}

/// When what was done.
pub(super) fn times<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    head: &Head,
    of: &Times,
) -> Result<(), D::Error> {
    let mut rows = Rows::new(canvas);
    let time = |at: Option<Wall>| match at {
        Some(at) => number::clock_and_day(Line::EMPTY, at, head.around.now),
        None => Line::of(words::NONE_YET),
    };
    rows.pair(words::INJECTED, &time(of.injected))?;
    rows.pair(words::SEATED, &time(of.seated))?;
    rows.pair(words::CURED_AT, &time(of.cured))?;
    let torque = match of.torque {
        Some(torque) => number::torque(Line::EMPTY, torque).byte(b' ').and(words::NEWTON_METRES),
        None => Line::of(words::NONE_YET),
    };
    rows.pair(words::TORQUE, &torque)
}

/// How the cure was counted.
pub(super) fn counting<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    of: &Counting,
) -> Result<(), D::Error> {
    let mut rows = Rows::new(canvas);
    rows.pair(words::REQUIRED, &number::length(of.required, Round::Up))?;
    rows.pair(words::SERVED, &number::length(of.served, Round::Down))?;
    rows.pair(words::HELD, &number::length(of.held, Round::Up))?;
    rows.pair(words::UNOBSERVED, &number::length(of.unobserved, Round::Up))?;
    let coldest = of.coldest.map_or(Line::of(words::NONE_YET), |coldest| number::degrees(coldest).and(words::DEGREES));
    rows.pair(words::COLDEST, &coldest)
}

/// The settings that the count rests on; a laxer one is marked.
pub(super) fn setting<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    of: &Setting,
) -> Result<(), D::Error> {
    let mut rows = Rows::new(canvas);
    let rule = match of.rule {
        Rule::Coldest => words::COLDEST_BAND,
        Rule::Accrual => words::ACCRUAL,
    };
    rows.pair(words::RULE, &Line::of(rule))?;
    let mark = |lax: bool, line: Line| if lax { line.and(words::LAX) } else { line };
    let uncertainty = number::degrees(Fine::new(i32::from(of.uncertainty))).and(words::DEGREES);
    rows.pair(words::UNCERTAINTY, &mark(of.laxer.uncertainty, uncertainty))?;
    let gap = number::length(u64::from(of.longest_gap.seconds()), Round::Up);
    rows.pair(words::LONGEST_GAP, &mark(of.laxer.longest_gap, gap))?;
    let allowance = Line::EMPTY.number(u64::from(of.clock_ppm)).and(words::PPM);
    rows.pair(words::ALLOWANCE, &mark(of.laxer.clock_ppm, allowance))?;
    if of.laxer.uncertainty || of.laxer.longest_gap || of.laxer.clock_ppm {
        rows.marked(words::LAXER)?;
    }
    Ok(())
}

/// A text that somebody declared, or that nobody did.
fn declared<const N: usize>(name: &str, text: &Bytes<N>) -> Line {
    let line = Line::of(name).byte(b' ');
    match text.text() {
        Some("") => line.and(words::NOT_DECLARED),
        Some(text) => line.and(text),
        None => line.byte(b'?'),
    }
}
