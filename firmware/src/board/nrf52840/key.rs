//! The seed of the signing key: born in the part, and kept where nobody but the part reads it.
//!
//! What for: a key that was made on a PC is on that PC, and on whatever it was carried with. This one is drawn from the part's own
//! source of noise at its very first start, and never leaves it: the PC learns the public key only (`holdoff link PORT enrol`).
//! How: the user's registers (UICR CUSTOMER) have room for three seeds, each with a word behind it that says that it is whole,
//! written last. They can be written once, so a seed whose writing was cut is given up for the next place; one that stands there
//! from a programmer is taken as it is. With a seed in it the part closes its debug port (`super::power`).

use embassy_nrf::pac;
use embassy_nrf::pac::nvmc::vals::Wen;

/// Words of a seed.
const WORDS: usize = 8;
/// Places for a seed, each of its words and the one that says that it is whole.
const PLACES: usize = 3;
const PLACE: usize = WORDS + 1;
/// Says that the seed before it is whole: `HOK1`.
const WHOLE: u32 = 0x484F_4B31;
/// What was never written.
const BLANK: u32 = u32::MAX;
/// Looks until the source of noise counts as silent; a byte takes it some 120 microseconds (from memory of its data sheet).
const LOOKS: u32 = 1_000_000;

fn word(number: usize) -> u32 {
    pac::UICR.customer(number).read()
}

/// The seed; `None` where none is whole.
pub(super) fn seed() -> Option<[u8; 32]> {
    let place = (0..PLACES).map(|place| place * PLACE).find(|from| word(from + WORDS) == WHOLE)?;
    let mut seed = [0; 32];
    for (bytes, number) in seed.as_chunks_mut::<4>().0.iter_mut().zip(place..) {
        *bytes = word(number).to_le_bytes();
    }
    crate::board::seed_of(seed)
}

/// Makes a seed where there is none; the first thing at a start. Where the source of noise is silent there is none afterwards
/// either.
pub(super) fn bear() {
    if seed().is_some() {
        return;
    }
    let blank = |from: &usize| (*from..from + PLACE).all(|number| word(number) == BLANK);
    let Some(from) = (0..PLACES).map(|place| place * PLACE).find(blank) else { return };
    let Some(drawn) = draw() else { return };
    for (number, bytes) in (from..).zip(drawn.as_chunks::<4>().0) {
        write(number, u32::from_le_bytes(*bytes));
    }
    write(from + WORDS, WHOLE);
}

/// 32 bytes from the source of noise, its bias taken out.
fn draw() -> Option<[u8; 32]> {
    let source = pac::RNG;
    source.config().write(|config| config.set_dercen(true));
    source.events_valrdy().write_value(0);
    source.tasks_start().write_value(1);
    let mut drawn = [0; 32];
    let all = drawn.iter_mut().all(|byte| {
        let ready = (0..LOOKS).any(|_| source.events_valrdy().read() != 0);
        source.events_valrdy().write_value(0);
        *byte = source.value().read().value();
        ready
    });
    source.tasks_stop().write_value(1);
    all.then_some(drawn)
}

fn write(number: usize, value: u32) {
    let wait = || (0..LOOKS).any(|_| pac::NVMC.ready().read().ready());
    pac::NVMC.config().write(|config| config.set_wen(Wen::Wen));
    if wait() {
        pac::UICR.customer(number).write_value(value);
        wait();
    }
    pac::NVMC.config().write(|config| config.set_wen(Wen::Ren));
}
