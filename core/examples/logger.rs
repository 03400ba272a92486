//! A logger on plain arrays: its memory is one, and so are the readings of its probe. On a board the memory is the driver of
//! an EEPROM, and the registers come from a sensor; everything else stays.
//!
//! Resin and temperatures are invented and must never be used on site.

use holdoff_core::cure::{Rule, Settings};
use holdoff_core::fixing::{Action, Demands, FixingSpec, Injection, TorqueRange};
use holdoff_core::group::{Happening, Verdict};
use holdoff_core::log::{
    Acknowledged, Beginning, Bytes, DeviceId, FileHash, Job, Logger, RamMemory, ResinRecord, Source,
};
use holdoff_core::probe::SensorKind;
use holdoff_core::quantity::{Count, Instant, Span, Torque};
use holdoff_core::resin::{Accrual, Band, Hole, Holes, Limits, Resin, ResinError, ResinSpec, ResinUse};
use std::error::Error;

/// What the sensor's register holds, for ten minutes each: 12 °C, falling to 9 °C.
const REGISTERS: [u16; 16] = [
    0x0C00, 0x0C00, 0x0C00, 0x0B80, 0x0B00, 0x0A80, 0x0A00, 0x0980, 0x0900, 0x0900, 0x0900, 0x0900, 0x0900, 0x0900,
    0x0900, 0x0900,
];

/// Where the fixing stands, whenever that changes. At 12 °C the printed schedule says one hour; it became colder, so it takes two
/// from the seating on, and the allowance for the clock makes it one reading more.
const ACCOUNT: [&str; 5] =
    ["minute 0: planned", "minute 10: working", "minute 14: curing", "minute 135: cured", "minute 140: released"];

fn resin() -> Result<Resin, ResinError> {
    let degrees = Count::from_degrees;
    let minutes = |minutes: u32| Span::from_seconds(minutes * 60);
    let limits = Limits {
        install_least: degrees(0),
        install_greatest: degrees(40),
        cure_least: degrees(0),
        cure_greatest: degrees(40),
        reject_below: None,
        reject_above: None,
        longest_hold: None,
    };
    let bands = [
        Band { from: degrees(0), working: minutes(20), cure: minutes(120) },
        Band { from: degrees(10), working: minutes(8), cure: minutes(60) },
    ];
    let (cartridge_least, cartridge_greatest, holes) = (degrees(5), degrees(40), Holes::NONE.with(Hole::Dry));
    let accrual = Accrual::Forbidden;
    let spec = ResinSpec { limits, cartridge_least, cartridge_greatest, holes, wet_factor: 2, accrual, bands: &bands };
    Resin::new(&spec)
}

/// What happened is recorded first, then the engine takes it.
fn take(logger: &mut Logger<RamMemory<'_>>, what: Happening) -> Result<(), Box<dyn Error>> {
    match logger.happen(what, &mut |_| {}) {
        Ok(Acknowledged::Stored(Verdict::NotApplicable(why))) => Err(why.into()),
        Ok(Acknowledged::Stored(_)) => Ok(()),
        Ok(Acknowledged::Lost { count }) => Err(format!("{count} readings found no room in the memory").into()),
        Err(why) => Err(why.into()),
    }
}

fn account() -> Result<Vec<String>, Box<dyn Error>> {
    let mut memory = [0xFF; 32 * 1024]; // as an EEPROM comes from the factory
    let mut logger = Logger::new(RamMemory(&mut memory), DeviceId(*b"example1").into());
    logger.mount(&mut |_| {}, &mut |_| {})?;
    let unnamed = FileHash([0; 32]); // there is no resin file and no job file here
    let name = Bytes::new(b"invented").ok_or("a name of at most 32 bytes")?;
    let resin = ResinRecord { resin: resin()?, resin_use: ResinUse::Demo, file: unnamed, name };
    let job = Job { file: unnamed, settings: Settings::DEFAULT, rule: Rule::Coldest, period: Span::from_seconds(60) };
    let (source, demands) = (Source::Sensor(SensorKind::TwelveBit), Demands::NONE);
    let beginning = Beginning { firmware: [0, 1, 0], source, resin, job, demands };
    logger.begin(&beginning)?;
    let newton_metres = |whole: u32| Torque::from_hundredths(whole * 100);
    let torque = TorqueRange::new(newton_metres(18), newton_metres(22));
    let label = Bytes::new(b"quay stud 1").ok_or("a label of at most 16 bytes")?;
    let fixing = logger.add(label, FixingSpec { hole: Hole::Dry, torque })?;

    let (mut lines, mut word) = (Vec::new(), "");
    for minute in 0..10 * REGISTERS.len() {
        let at = Instant::from_seconds(minute as i64 * 60);
        let reading = match SensorKind::TwelveBit.count(REGISTERS[minute / 10]) {
            Ok(count) => Happening::Reading { at, count },
            Err(cause) => Happening::Unusable { at, cause },
        };
        take(&mut logger, reading)?;
        let deed = match minute {
            10 => Some(Action::Inject(Injection::default())),
            14 => Some(Action::Seat),
            140 => Some(Action::Torque(newton_metres(20))),
            _ => None,
        };
        if let Some(action) = deed {
            take(&mut logger, Happening::Action { at, fixing, action })?;
        }
        let stage = logger.group().and_then(|group| group.stage(fixing)).ok_or("there is such a fixing")?;
        if stage.word() != word {
            word = stage.word();
            lines.push(format!("minute {minute}: {word}"));
        }
    }
    Ok(lines)
}

fn main() -> Result<(), Box<dyn Error>> {
    let lines = account()?;
    assert_eq!(lines, ACCOUNT);
    println!("{}", lines.join("\n"));
    Ok(())
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_account_is_the_one_it_should_be() -> Result<(), Box<dyn std::error::Error>> {
        super::main()
    }
}
