//! The details of a fixing: reasons, materials, its cartridge, times, how the cure was counted and by which settings.

use super::canvas::Canvas;
use super::line::Line;
use super::list::{ROWS, Rows};
use super::number::{self, Round};
use super::{inject, words};
use crate::view::{Cartridge, Counting, Declared, Head, Materials, May, Setting, Times, Wall};
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
        rows.text(|line| line.and(reason.large))?;
        if all * 2 <= ROWS {
            rows.pair("", |line| line.and(reason.small))?;
        }
    }
    if all > shown {
        let rest = all.saturating_sub(shown) as u64; // 18 at most
        rows.text(|line| line.and(words::AND).number(rest).and(words::AND_MORE))?;
    }
    Ok(())
}

/// What it was set with.
pub(super) fn materials<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    of: &Materials,
) -> Result<(), D::Error> {
    let mut rows = Rows::spaced(canvas);
    rows.pair(words::HOLE, |line| line.and(words::hole(of.hole)))?;
    rows.text(|line| declared(line, words::RESIN, &of.resin))
}

/// The cartridge that it was injected from.
pub(super) fn cartridge<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    of: &Cartridge,
) -> Result<(), D::Error> {
    let mut rows = Rows::spaced(canvas);
    match of.temperature {
        Declared::NotYet => rows.pair(words::CARTRIDGE, |line| line.and(words::NONE_YET))?,
        Declared::Degrees(count) => {
            rows.pair(words::CARTRIDGE, |line| number::tidy_degrees(line, count).and(words::DEGREES))?;
        }
        // too long for one row
        Declared::Not => {
            rows.pair(words::CARTRIDGE, |line| line)?;
            rows.pair("", |line| line.and(words::NOT_DECLARED))?;
        }
    }
    rows.pair(words::USE_BY, |line| match of.use_by {
        Some(day) => number::date(line, day),
        None => line.and(words::NOT_DECLARED),
    })?;
    rows.text(|line| declared(line, words::BATCH, &of.batch))
}

/// When what was done.
pub(super) fn times<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    head: &Head,
    of: &Times,
) -> Result<(), D::Error> {
    let mut rows = Rows::new(canvas);
    for (name, at) in [(words::INJECTED, of.injected), (words::SEATED, of.seated), (words::CURED_AT, of.cured)] {
        rows.pair(name, |line| time(line, at, head.around.now))?;
    }
    rows.pair(words::TORQUE, |line| match of.torque {
        Some(torque) => number::newton_metres(line, torque),
        None => line.and(words::NONE_YET),
    })
}

fn time(line: &mut Line, at: Option<Wall>, now: Option<Wall>) -> &mut Line {
    match at {
        Some(at) => number::clock_and_day(line, at, now),
        None => line.and(words::NONE_YET),
    }
}

/// How the cure was counted.
pub(super) fn counting<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    of: &Counting,
) -> Result<(), D::Error> {
    let mut rows = Rows::new(canvas);
    let lengths = [
        (words::REQUIRED, of.required, Round::Up),
        (words::SERVED, of.served, Round::Down),
        (words::HELD, of.held, Round::Up),
        (words::UNOBSERVED, of.unobserved, Round::Up),
    ];
    for (name, seconds, round) in lengths {
        rows.pair(name, |line| number::length(line, seconds, round))?;
    }
    rows.pair(words::COLDEST, |line| match of.coldest {
        Some(coldest) => number::degrees(line, coldest).and(words::DEGREES),
        None => line.and(words::NONE_YET),
    })
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
    rows.pair(words::RULE, |line| line.and(rule))?;
    let mark = |lax: bool| if lax { words::LAX } else { "" };
    let uncertainty = Fine::new(i32::from(of.uncertainty));
    rows.pair(words::UNCERTAINTY, |line| {
        number::degrees(line, uncertainty).and(words::DEGREES).and(mark(of.laxer.uncertainty))
    })?;
    let gap = u64::from(of.longest_gap.seconds());
    rows.pair(words::LONGEST_GAP, |line| number::length(line, gap, Round::Up).and(mark(of.laxer.longest_gap)))?;
    let ppm = u64::from(of.clock_ppm);
    rows.pair(words::ALLOWANCE, |line| line.number(ppm).and(words::PPM).and(mark(of.laxer.clock_ppm)))?;
    let settle = u64::from(of.settle.seconds());
    rows.pair(words::SETTLE, |line| number::length(line, settle, Round::Down).and(mark(of.laxer.settle)))?;
    if of.laxer.uncertainty || of.laxer.longest_gap || of.laxer.clock_ppm || of.laxer.settle {
        rows.marked(words::LAXER)?;
    }
    Ok(())
}

/// A text that somebody declared, or that nobody did.
fn declared<'l, const N: usize>(line: &'l mut Line, name: &str, text: &Bytes<N>) -> &'l mut Line {
    line.and(name).byte(b' ');
    match text.text() {
        Some("") => line.and(words::NOT_DECLARED),
        Some(text) => line.and(text),
        None => line.byte(b'?'),
    }
}
