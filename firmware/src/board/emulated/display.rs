//! The display: 128 x 64, four bits a pixel, of which only the darkest and the lightest grey are used.

use super::published::{HOLDOFF_WORDS, count};
use super::register::{read, write};
use crate::board::{DISPLAY_WIDTH, Strip};

const SSI: usize = 0x4000_8000;
const CONTROL_0: usize = SSI;
const CONTROL_1: usize = SSI + 4;
const DATA: usize = SSI + 8;
const STATUS: usize = SSI + 0xC;
const PRESCALE: usize = SSI + 0x10;
const SOMETHING_IN: u32 = 4;

/// Port C, line 7: low for commands, high for data.
const DATA_LINE: usize = 0x4000_6000 + (0x80 << 2);
const C_DIRECTION: usize = 0x4000_6400;
const C_DIGITAL: usize = 0x4000_651C;
/// Port D, line 0: high while the display listens.
const SELECT_LINE: usize = 0x4000_7000 + (0x01 << 2);
const D_DIRECTION: usize = 0x4000_7400;
const D_DIGITAL: usize = 0x4000_751C;

/// Lines of a strip.
const STRIP_LINES: u32 = 8;
/// Places for strips.
const STRIPS: u8 = 8;

enum Kind {
    Command,
    Data,
}

pub(super) fn set_up() {
    write(C_DIRECTION, 0x80);
    write(C_DIGITAL, 0x80);
    write(D_DIRECTION, 0x01);
    write(D_DIGITAL, 0x01);
    write(CONTROL_1, 0);
    write(CONTROL_0, 7); // eight bits
    write(PRESCALE, 2);
    write(CONTROL_1, 2);
    begin(Kind::Command);
    for byte in [0xA0, 0x52, 0xAF] {
        put(byte);
    }
    end();
    clear();
}

fn begin(kind: Kind) {
    write(
        DATA_LINE,
        match kind {
            Kind::Command => 0,
            Kind::Data => 0x80,
        },
    );
    write(SELECT_LINE, 1);
}

fn end() {
    write(SELECT_LINE, 0);
}

fn put(byte: u8) {
    write(DATA, u32::from(byte));
    while read(STATUS) & SOMETHING_IN == 0 {}
    read(DATA); // what came back; the queue would fill
}

fn window(first_line: u8, last_line: u8) {
    begin(Kind::Command);
    for byte in [0x15, 0, 63, 0x75, first_line, last_line] {
        put(byte);
    }
    end();
}

pub(super) fn show(place: u8, strip: &Strip) {
    if place >= STRIPS {
        return;
    }
    let first = place * 8;
    window(first, first + 7);
    begin(Kind::Data);
    for line in 0..STRIP_LINES {
        for pair in strip.as_chunks::<2>().0 {
            let [left, right] = pair.map(|column| (column >> line) & 1);
            put((left * 0xF0) | (right * 0x0F));
        }
    }
    end();
    count(&HOLDOFF_WORDS.strips, 1);
    holdoff_shown();
}

pub(super) fn light(on: bool) {
    if !on {
        clear(); // the emulator shows what is in the display's memory, lit or not
    }
    begin(Kind::Command);
    put(if on { 0xAF } else { 0xAE });
    end();
}

fn clear() {
    for place in 0..STRIPS {
        show(place, &[0; DISPLAY_WIDTH as usize]);
    }
}

/// Called when something new is on the display. Two instructions, lest it be merged with [`super::time`]'s idle function.
#[unsafe(no_mangle)]
#[inline(never)]
extern "C" fn holdoff_shown() {
    cortex_m::asm::nop();
    cortex_m::asm::nop();
}
