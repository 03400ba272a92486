//! What a board is started with, and the emulator's command line for it.

use super::image::{Image, RAM, RAM_SIZE};
use super::plugin::library;
use super::profile::Parts;
use super::{EmulatorError, QEMU, known_seed};
use std::path::Path;
use std::process::{Command, Stdio};

/// Where the key's seed lies in the flash.
const SEED_AT: u32 = 0x3_FC00;

/// Where the board puts a byte that goes out over the two-wire bus.
const BUS_DATA: u32 = 0x4002_0008;

/// Whether a probe hangs on the bus.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Probe {
    /// Yes.
    Plugged,
    /// No.
    Unplugged,
}

/// Whether executed instructions are counted (half as fast).
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Counting<'a> {
    /// Yes, by blocks: what stands behind an access to a part of the board may be counted twice.
    Yes,
    /// Yes, one by one, and to the parts of the image: what is nobody's own is counted to whoever called it. Slower still.
    ByPart(&'a Parts),
    /// As by blocks, and after so many, from the start on, the board's power is cut: whatever lets it run then fails with
    /// [`EmulatorError::Cut`].
    UntilCut(u64),
    /// No.
    No,
}

/// What a board is started with.
#[derive(Clone, Debug)]
pub struct Setup<'a> {
    /// The image.
    pub image: &'a Image,
    /// The file that holds the memory.
    pub memory: &'a Path,
    /// What the clock chip says at the start: seconds since 1970, UTC.
    pub clock: i64,
    /// Seed of the device's key; `None` where none was put in.
    pub seed: Option<[u8; 32]>,
    /// The probe.
    pub probe: Probe,
    /// What the probe measures at the start: sixteenths of a degree Celsius.
    pub sixteenths: i32,
    /// Whether instructions are counted.
    pub counting: Counting<'a>,
    /// The RAM above everything static is filled with this before the start.
    pub paint: Option<u8>,
    /// Where what the telling image tells is kept, in its own coding.
    pub told: Option<&'a Path>,
}

impl<'a> Setup<'a> {
    /// With the known key and a probe; nothing is counted, painted or told.
    #[must_use]
    pub fn plain(image: &'a Image, memory: &'a Path, clock: i64, sixteenths: i32) -> Self {
        Self {
            image,
            memory,
            clock,
            seed: Some(known_seed()),
            probe: Probe::Plugged,
            sixteenths,
            counting: Counting::No,
            paint: None,
            told: None,
        }
    }
}

/// The emulator, about to be started; its sockets will stand in the directory, and a file that is given takes every write to
/// the memory.
pub(super) fn command(setup: &Setup<'_>, diary: Option<&Path>, directory: &Path) -> Result<Command, EmulatorError> {
    let place = |name: &str| directory.join(name);
    let plugin = library()?;
    let mut command = Command::new(QEMU);
    command
        .env("LD_PRELOAD", plugin) // for a time of day that goes as the board's
        .args(["-machine", "lm3s6965evb", "-display", "none", "-monitor", "none", "-S"])
        .args(["-icount", "shift=6,sleep=off"])
        .arg("-rtc")
        .arg(format!("clock=vm,base={}", stamp(setup.clock)))
        .arg("-qmp")
        .arg(format!("unix:{},server=on,wait=off", place("qmp").display()))
        .arg("-chardev")
        .arg(format!("socket,id=link,path={},server=on,wait=off", place("link").display()))
        .args(["-serial", "chardev:link", "-device", "ds1338,bus=i2c,address=0x68"])
        .arg("-blockdev")
        .arg(format!("file,node-name=file,locking=off,filename={}", setup.memory.display()))
        .arg("-blockdev")
        .arg(match diary {
            None => "raw,node-name=memory,file=file".to_owned(),
            Some(file) => format!(
                "blklogwrites,node-name=memory,log-super-update-interval=1,file=file,log.driver=file,log.locking=off,log.filename={}",
                file.display()
            ),
        })
        .args(["-device", "at24c-eeprom,bus=i2c,address=0x50,rom-size=65536,drive=memory"])
        .arg("-plugin")
        .arg(format!(
            "file={},socket={},idle={:#x},shown={:#x}{}{}",
            plugin.display(),
            place("hold").display(),
            setup.image.idle,
            setup.image.shown,
            match setup.counting {
                Counting::Yes => ",count=1".to_owned(),
                Counting::ByPart(parts) => {
                    let own = place("own");
                    std::fs::write(&own, parts.own())?;
                    format!(",count=2,own={}", own.display())
                }
                Counting::UntilCut(instructions) => format!(",count=1,cut={}", instructions.max(1)),
                Counting::No => String::new(),
            },
            if diary.is_some() { format!(",watch={BUS_DATA:#x}") } else { String::new() }
        ))
        .arg("-kernel")
        .arg(&setup.image.path);
    match setup.probe {
        Probe::Plugged => {
            command.args(["-device", "tmp105,bus=i2c,address=0x48,id=probe"]);
        }
        Probe::Unplugged => {}
    }
    if let Some(seed) = setup.seed {
        load(&mut command, &place("seed"), &seed, SEED_AT)?;
    }
    if let Some(paint) = setup.paint {
        let from = RAM + RAM_SIZE;
        let bytes = vec![paint; (from - setup.image.static_end) as usize];
        load(&mut command, &place("paint"), &bytes, setup.image.static_end)?;
    }
    command.stdin(Stdio::null()).stdout(Stdio::null());
    if let Some(told) = setup.told {
        // what the board tells comes out of the emulator itself
        command.args(["-semihosting-config", "enable=on,target=native"]).stdout(std::fs::File::create(told)?);
    }
    Ok(command)
}

/// Has bytes in the board's memory from the start.
fn load(command: &mut Command, path: &Path, bytes: &[u8], at: u32) -> Result<(), EmulatorError> {
    std::fs::write(path, bytes)?;
    command.arg("-device").arg(format!("loader,file={},addr={at:#x},force-raw=on", path.display()));
    Ok(())
}

/// As the emulator takes a time: no offset, UTC meant.
pub(super) fn stamp(seconds: i64) -> String {
    holdoff_files::stamp::format_seconds(seconds, 0).chars().take("2026-01-05T06:00:00".len()).collect()
}
