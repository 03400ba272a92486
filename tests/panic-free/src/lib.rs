//! The engine behind a C interface, built without the standard library. The panic handler calls a symbol that exists
//! nowhere: as long as the finished library does not ask for it, no panic is reachable from what stands here.
//! `tests/panic_free` builds it and looks.
#![no_std]

use core::cell::UnsafeCell;
use holdoff_core::cure::{Rule, Settings, Uncertainty};
use holdoff_core::fixing::{
    Action, Cartridge, CleaningDone, CleaningKind, CleaningStep, Decision, Declaration, Demands, Fact, FixingSpec, InHole,
    Injection, Needs, SeatingFacts, TorqueRange,
};
use holdoff_core::group::{Darkness, Event, FixingNumber, Group, Happening};
use holdoff_core::probe::{Refusal, SensorKind};
use holdoff_core::quantity::{Count, Instant, Span, Torque};
use holdoff_core::resin::{Accrual, Band, Hole, Holes, Limits, Resin, ResinSpec};

unsafe extern "C" {
    fn holdoff_reachable_panic() -> !;
}

#[panic_handler]
fn panic(_: &core::panic::PanicInfo<'_>) -> ! {
    // SAFETY: never linked; the symbol only marks that a panic is reachable
    unsafe { holdoff_reachable_panic() }
}

struct Slot(UnsafeCell<Option<Group>>);
// SAFETY: the library is only looked at, never run
unsafe impl Sync for Slot {}
static GROUP: Slot = Slot(UnsafeCell::new(None));

/// Makes a group of whatever numbers come in.
#[unsafe(no_mangle)]
pub extern "C" fn probe_new(numbers: &[i16; 64], spans: &[u32; 64], bytes: &[u8; 8]) -> i32 {
    let mut bands = [Band { from: Count::new(0), working: Span::ZERO, cure: Span::ZERO }; 20];
    for (band, (from, times)) in bands.iter_mut().zip(numbers.iter().zip(spans.chunks_exact(2))) {
        if let [working, cure] = times {
            *band = Band {
                from: Count::new(*from),
                working: Span::from_seconds(*working),
                cure: Span::from_seconds(*cure),
            };
        }
    }
    let [.., a, b, c, d, e, f, g, h] = *numbers;
    let count = Count::new;
    let mut holes = Holes::NONE;
    for (hole, bit) in Hole::ALL.into_iter().zip([1, 2, 4]) {
        if bytes[0] & bit != 0 {
            holes = holes.with(hole);
        }
    }
    let spec = ResinSpec {
        limits: Limits {
            install_least: count(a),
            install_greatest: count(b),
            cure_least: count(c),
            cure_greatest: count(d),
            reject_below: (bytes[1] & 1 != 0).then_some(count(e)),
            reject_above: (bytes[1] & 2 != 0).then_some(count(f)),
            longest_hold: (bytes[1] & 4 != 0).then_some(Span::from_seconds(spans[63])),
        },
        cartridge_least: count(g),
        cartridge_greatest: count(h),
        holes,
        wet_factor: bytes[2],
        accrual: if bytes[3] == 0 { Accrual::Permitted } else { Accrual::Forbidden },
        bands: bands.get(..usize::from(bytes[4])).unwrap_or(&bands),
    };
    let Ok(resin) = Resin::new(&spec) else { return -1 };
    let Ok(uncertainty) = Uncertainty::from_counts(numbers[0] as u16) else { return -2 };
    let Ok(settings) = Settings::new(uncertainty, Span::from_seconds(spans[0]), spans[1] as u16) else { return -3 };
    let rule = if bytes[5] == 0 { Rule::Coldest } else { Rule::Accrual };
    let Ok(mut group) = Group::new(resin, settings, rule) else { return -4 };
    let steps = [CleaningKind::Blow, CleaningKind::Brush].map(|kind| CleaningStep { kind, count: bytes[6] });
    let needs = if bytes[7] == 0 { Needs::Required } else { Needs::Noted };
    let Ok(demands) = Demands::new(steps, needs, needs) else { return -5 };
    let Ok(demands) = demands.with_clean_within(Span::from_seconds(spans[3])) else { return -6 };
    group.demand(demands);
    for &hundredths in spans {
        let torque = TorqueRange::new(Torque::from_hundredths(hundredths), Torque::from_hundredths(spans[2]));
        let _ = group.add(&FixingSpec { hole: Hole::Dry, torque });
    }
    // SAFETY: see `Slot`
    unsafe { *GROUP.0.get() = Some(group) };
    0
}

/// One step of whatever kind, and the status of a fixing.
#[unsafe(no_mangle)]
pub extern "C" fn probe_step(kind: u8, at: i64, raw: i16, number: u32, told: &mut [u64; 4]) -> u64 {
    // SAFETY: see `Slot`
    let Some(group) = (unsafe { &mut *GROUP.0.get() }) else { return 0 };
    let at = Instant::from_seconds(at);
    let count = Count::new(raw);
    let fixing = FixingNumber::new(number as u8);
    let injection = Injection {
        in_hole: (raw & 1 != 0).then_some(InHole { at: Instant::from_seconds(i64::from(number)), count }),
        cartridge: (raw & 2 != 0).then_some(Cartridge::exactly(count)),
        past_from: (raw & 4 != 0).then_some(Instant::from_seconds(i64::from(number))),
    };
    let action = match kind >> 4 {
        0 => Action::Inject(injection),
        1 => Action::Seat,
        2 => Action::Hole(Hole::Wet),
        3 => Action::Hole(Hole::Flooded),
        4 => Action::Torque(Torque::from_hundredths(number)),
        5 => Action::Decide(Decision::Accept),
        6 => Action::Decide(Decision::Remove),
        7 => Action::Declare(Declaration::NewNozzle),
        8 => Action::Declare(Declaration::Discarded),
        9 => Action::Declare(Declaration::Seating(SeatingFacts { excess: Fact::No, depth: Fact::Yes })),
        10 => {
            let kind = if raw & 8 == 0 { CleaningKind::Blow } else { CleaningKind::Brush };
            let took = Span::from_seconds(number);
            Action::Declare(Declaration::Cleaned(CleaningDone { kind, count: number as u8, took }))
        }
        _ => Action::CarriedOut,
    };
    let what = match (kind & 15, fixing) {
        (0, _) => Happening::Reading { at, count },
        (1, _) => Happening::Missing { at },
        (2, _) => Happening::Unusable { at, cause: Refusal::Bus },
        (3, _) => Happening::PowerUp { dark: Darkness::Known },
        (4, _) => Happening::PowerUp { dark: Darkness::Unknown },
        (5, _) => Happening::Untrusted,
        (6, _) => match SensorKind::OneWire.count(number as u16) {
            Ok(count) => Happening::Reading { at, count },
            Err(cause) => Happening::Unusable { at, cause },
        },
        (_, Some(fixing)) => Happening::Action { at, fixing, action },
        (_, None) => return 0,
    };
    let verdict = group.step(what, &mut |event| {
        if let Event::Cured { at, .. } = event {
            told[0] = at.seconds() as u64;
        }
    });
    let _ = core::hint::black_box(verdict);
    let mut sum = 0u64;
    for fixing in group.fixings() {
        let Some(status) = group.status(fixing) else { continue };
        let status = core::hint::black_box(status);
        sum = sum.wrapping_add(status.required).wrapping_add(status.tally.elapsed());
        for ground in status.grounds.iter() {
            sum = sum.wrapping_add(ground.word().len() as u64);
        }
    }
    sum
}
