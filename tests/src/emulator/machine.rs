//! A running board.

use super::EmulatorError;
use super::button::Button;
use super::diary::{Diary, Idle};
use super::photo::Photo;
use super::plugin::{Hold, Until};
use super::qmp::Qmp;
use super::setup::{Counting, Probe, Setup, command, stamp};
use serde_json::json;
use std::os::unix::net::UnixListener;
use std::path::{Path, PathBuf};
use std::process::Child;

/// Bytes of the serial EEPROM.
pub const MEMORY_SIZE: usize = 65_536;
/// The longest hop of the board, in milliseconds.
const HOP_MS: i64 = 1000;
/// How long a button is held, and left alone afterwards, in milliseconds of the board: as long as contacts may bounce.
const HELD_MS: i64 = 25;

/// What the board publishes.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Words {
    /// Milliseconds since it started.
    pub uptime_ms: u32,
    /// What it last read from its clock chip: seconds of the day.
    pub chip_seconds: u32,
    /// Its uptime then.
    pub chip_read_ms: u32,
    /// Bytes that came over the link.
    pub received: u32,
    /// Strips shown.
    pub strips: u32,
}

/// A running board, held at an idle.
#[derive(Debug)]
pub struct Machine {
    process: Process,
    qmp: Qmp,
    hold: Hold,
    words_at: u32,
    /// Board time at its start, in milliseconds.
    started_ms: i64,
    /// Board time at the last idle before a cut that is awaited.
    seen_ms: Option<i64>,
    album: Option<Album>,
    diary: Option<Diary>,
    directory: tempfile::TempDir,
}

/// Where pictures of the display are kept.
#[derive(Debug)]
struct Album {
    directory: PathBuf,
    taken: u32,
    /// Strips that had been shown when it was last looked.
    strips: u32,
    /// The last picture, as a file.
    last: Vec<u8>,
}

/// Makes a memory blank, as it comes from its maker.
///
/// # Errors
/// The file cannot be written.
pub fn blank_memory(path: &Path) -> Result<(), EmulatorError> {
    std::fs::write(path, vec![0xFF; MEMORY_SIZE]).map_err(EmulatorError::from)
}

impl Machine {
    /// Starts a board, and lets it run to its first idle.
    ///
    /// # Errors
    /// It does not start.
    pub fn start(setup: &Setup<'_>) -> Result<Self, EmulatorError> {
        Self::switched_on(setup, None)
    }

    /// The same, and from then on a diary is kept ([`Self::diary`]); `file` takes every write to the memory
    /// ([`super::memories`]). Slower: the board is held at every idle.
    ///
    /// # Errors
    /// It does not start.
    pub fn start_with_diary(setup: &Setup<'_>, file: &Path) -> Result<Self, EmulatorError> {
        Self::switched_on(setup, Some(Diary::begin(file)?))
    }

    fn switched_on(setup: &Setup<'_>, diary: Option<Diary>) -> Result<Self, EmulatorError> {
        let directory = tempfile::tempdir()?;
        let place = |name: &str| directory.path().join(name);
        let listener = UnixListener::bind(place("hold"))?;
        let mut command = command(setup, diary.as_ref().map(|diary| &*diary.file), directory.path())?;
        let errors = std::fs::File::create(place("errors"))?;
        command.stderr(errors);
        let mut process = command.spawn().map(Process).map_err(|_| EmulatorError::NoEmulator)?;
        let hold = Hold::accept(&listener, &mut || process.0.try_wait().is_ok_and(|ended| ended.is_none()))
            .map_err(|error| explained(error, &place("errors")))?;
        let qmp = Qmp::connect(&place("qmp"))?;
        let mut machine = Self {
            process,
            qmp,
            hold,
            words_at: setup.image.words,
            started_ms: setup.clock * 1000,
            seen_ms: match setup.counting {
                Counting::UntilCut(_) => Some(setup.clock * 1000),
                Counting::Yes | Counting::ByPart(_) | Counting::No => None,
            },
            album: None,
            diary: None,
            directory,
        };
        if setup.probe == Probe::Plugged {
            machine.measure(setup.sixteenths)?;
        }
        let asked = machine.qmp.ask("cont", json!({}));
        if let Err(error @ EmulatorError::Control(_)) = asked {
            return Err(error);
        }
        // a cut may come before the answer
        machine.hold.wait()?;
        asked?;
        machine.wake_lines()?;
        machine.diary = diary;
        machine.note()?;
        Ok(machine)
    }

    /// Gives every line of a button its first press and release, which the board does not take for one.
    fn wake_lines(&mut self) -> Result<(), EmulatorError> {
        for button in Button::ALL {
            self.key(button, true)?;
            self.key(button, false)?;
        }
        self.pass(1)
    }

    /// What the board publishes.
    ///
    /// # Errors
    /// The emulator is gone.
    pub fn words(&mut self) -> Result<Words, EmulatorError> {
        let words = self.qmp.words(self.words_at, 5)?;
        Ok(Words {
            uptime_ms: words[0],
            chip_seconds: words[1],
            chip_read_ms: words[2],
            received: words[3],
            strips: words[4],
        })
    }

    /// Board time.
    ///
    /// # Errors
    /// The emulator is gone.
    pub fn now_ms(&mut self) -> Result<i64, EmulatorError> {
        Ok(self.started_ms + i64::from(self.words()?.uptime_ms))
    }

    /// The clock chip was set: board time jumps by so many seconds.
    pub const fn clock_was_set(&mut self, by_seconds: i64) {
        self.started_ms += by_seconds * 1000;
    }

    /// Lets the board run through so many idles; with an album, at most to the next that something new is shown at.
    ///
    /// # Errors
    /// It is gone, or hangs; or its power is cut, as was asked for.
    pub fn pass(&mut self, idles: u32) -> Result<(), EmulatorError> {
        let until = if self.album.is_some() { Until::Shown } else { Until::Passed };
        if self.seen_ms.is_some() || self.diary.is_some() {
            for _ in 0..idles {
                self.hold.run(1, until)?;
                self.hold.wait()?;
                self.note()?;
            }
        } else {
            self.hold.run(idles, until)?;
            self.hold.wait()?;
        }
        self.keep_picture()
    }

    /// Notes what an idle is like, where anybody wants to know.
    fn note(&mut self) -> Result<(), EmulatorError> {
        if self.seen_ms.is_some() {
            self.seen_ms = Some(self.now_ms()?);
        }
        let Some(mut diary) = self.diary.take() else { return Ok(()) };
        let words = self.words()?;
        let new = diary.idles.last().is_none_or(|idle| idle.strips != words.strips);
        diary.idles.push(Idle {
            executed: self.hold.executed()?,
            strips: words.strips,
            board_ms: self.started_ms + i64::from(words.uptime_ms),
            writes: diary.writes(MEMORY_SIZE as u64)?,
            look: if new { Some(self.look()?) } else { None },
        });
        self.diary = Some(diary);
        Ok(())
    }

    /// The diary so far; empty where none is kept.
    #[must_use]
    pub fn diary(&self) -> &[Idle] {
        self.diary.as_ref().map_or(&[], |diary| &diary.idles)
    }

    /// From now on every new picture on the display is kept in a directory, as a PNG file with a running number and the
    /// second that it was first seen at.
    ///
    /// # Errors
    /// The directory cannot be made.
    pub fn keep_pictures(&mut self, directory: &Path) -> Result<(), EmulatorError> {
        std::fs::create_dir_all(directory)?;
        self.album = Some(Album { directory: directory.to_path_buf(), taken: 0, strips: 0, last: Vec::new() });
        self.keep_picture()
    }

    fn keep_picture(&mut self) -> Result<(), EmulatorError> {
        let Some(mut album) = self.album.take() else { return Ok(()) };
        let words = self.words()?;
        if words.strips != album.strips {
            album.strips = words.strips;
            let second = (self.started_ms + i64::from(words.uptime_ms)).div_euclid(1000);
            let file = format!("{:04}-{}.png", album.taken + 1, stamp(second).replace(':', ""));
            let path = album.directory.join(file);
            self.photograph(&path)?;
            let picture = std::fs::read(&path)?;
            if picture == album.last {
                std::fs::remove_file(&path)?;
            } else {
                (album.taken, album.last) = (album.taken + 1, picture);
            }
        }
        self.album = Some(album);
        Ok(())
    }

    /// Lets the board run until its time is reached, and to the idle after that.
    ///
    /// # Errors
    /// It is gone, or hangs.
    pub fn run_to(&mut self, board_ms: i64) -> Result<(), EmulatorError> {
        loop {
            let left = board_ms - self.now_ms()?;
            if left <= 0 {
                return Ok(());
            }
            // no hop is longer, so the time is never overrun by more than the last
            self.pass(u32::try_from((left / HOP_MS).max(1)).unwrap_or(u32::MAX))?;
        }
    }

    /// Sets what the probe measures: sixteenths of a degree Celsius.
    ///
    /// # Errors
    /// There is no probe.
    pub fn measure(&mut self, sixteenths: i32) -> Result<(), EmulatorError> {
        // the emulator cuts thousandths down to sixteenths: the least that gives this one
        let thousandths = (i64::from(sixteenths) * 125 + 1).div_euclid(2);
        let path = "/machine/peripheral/probe";
        self.qmp.ask("qom-set", json!({"path": path, "property": "temperature", "value": thousandths})).map(|_| ())
    }

    /// Presses a button, holds it, lets it go, and waits as long again.
    ///
    /// # Errors
    /// The board is gone, or hangs.
    pub fn press(&mut self, button: Button) -> Result<(), EmulatorError> {
        self.press_down(button)?;
        self.let_go(button)
    }

    /// Lets a button go that was put down, and waits a moment.
    ///
    /// # Errors
    /// The board is gone, or hangs.
    pub fn let_go(&mut self, button: Button) -> Result<(), EmulatorError> {
        self.key(button, false)?;
        let released = self.now_ms()?;
        self.pass(1)?;
        self.run_to(released + HELD_MS)
    }

    /// Puts a button down and holds it for a moment.
    ///
    /// # Errors
    /// The board is gone, or hangs.
    pub fn press_down(&mut self, button: Button) -> Result<(), EmulatorError> {
        self.key(button, true)?;
        let pressed = self.now_ms()?;
        self.pass(1)?;
        self.run_to(pressed + HELD_MS)
    }

    /// Puts a button down, or lets it go.
    ///
    /// # Errors
    /// The emulator is gone.
    pub fn key(&mut self, button: Button, down: bool) -> Result<(), EmulatorError> {
        let key = json!({"type": "qcode", "data": button.key()});
        let event = json!({"type": "key", "data": {"down": down, "key": key}});
        self.qmp.ask("input-send-event", json!({"events": [event]})).map(|_| ())
    }

    /// Photographs the display into a PNG file.
    ///
    /// # Errors
    /// The file cannot be written.
    pub fn photograph(&mut self, path: &Path) -> Result<(), EmulatorError> {
        self.qmp.ask("screendump", json!({"filename": path, "format": "png"})).map(|_| ())
    }

    /// What the display shows.
    ///
    /// # Errors
    /// The emulator is gone.
    pub fn look(&mut self) -> Result<Photo, EmulatorError> {
        let path = self.directory.path().join("look.png");
        self.photograph(&path)?;
        Photo::read(&path)
    }

    /// A path in the board's own directory, which goes with it.
    pub(super) fn place(&self, name: &str) -> PathBuf {
        self.directory.path().join(name)
    }

    /// The socket of the board's link.
    #[must_use]
    pub fn link(&self) -> PathBuf {
        self.directory.path().join("link")
    }

    /// Whether a byte waits in the board's serial port.
    ///
    /// # Errors
    /// The emulator is gone.
    pub fn byte_waits(&mut self) -> Result<bool, EmulatorError> {
        const FLAGS: u32 = 0x4000_C018;
        const NOTHING_IN: u32 = 0x10;
        Ok(self.qmp.words(FLAGS, 1)?[0] & NOTHING_IN == 0)
    }

    /// Cuts the board's power here and now.
    ///
    /// # Errors
    /// It is gone already.
    pub fn cut(mut self) -> Result<(), EmulatorError> {
        self.process.0.kill()?;
        self.process.0.wait()?;
        Ok(())
    }

    /// Instructions executed since the start. Needs [`Counting::Yes`].
    ///
    /// # Errors
    /// The board is gone.
    pub fn executed(&mut self) -> Result<u64, EmulatorError> {
        self.hold.executed()
    }

    /// How many instructions had been executed whenever a byte went out over the two-wire bus; needs a diary, and
    /// [`Counting::Yes`].
    ///
    /// # Errors
    /// The board is gone.
    pub fn bytes_sent(&mut self) -> Result<Vec<u64>, EmulatorError> {
        self.hold.watched()
    }

    /// Board time at the last idle before the cut that was asked for, which comes less than two seconds later.
    #[must_use]
    pub const fn seen_ms(&self) -> Option<i64> {
        self.seen_ms
    }

    /// Resets the board as its reset pin does; its clock chip runs on. Stops at the first idle.
    ///
    /// # Errors
    /// It does not come up again.
    pub fn reset(&mut self) -> Result<(), EmulatorError> {
        self.started_ms = self.now_ms()?;
        self.qmp.ask("system_reset", json!({}))?;
        self.pass(1)?;
        self.wake_lines()
    }

    /// Forgets what was counted.
    ///
    /// # Errors
    /// The board is gone.
    pub fn forget(&mut self) -> Result<(), EmulatorError> {
        self.hold.forget()
    }

    /// Addresses of instructions, and how often each was executed. An address may come more than once.
    ///
    /// # Errors
    /// The board is gone.
    pub fn counts(&mut self) -> Result<Vec<(u32, u32)>, EmulatorError> {
        self.hold.counts()
    }

    /// All of its RAM.
    ///
    /// # Errors
    /// The emulator is gone.
    pub fn ram(&mut self) -> Result<Vec<u8>, EmulatorError> {
        let path = self.directory.path().join("ram");
        let (val, size) = (super::image::RAM, super::image::RAM_SIZE);
        self.qmp.ask("pmemsave", json!({"val": val, "size": size, "filename": path}))?;
        std::fs::read(path).map_err(EmulatorError::from)
    }
}

/// The emulator's process; ends with this.
#[derive(Debug)]
struct Process(Child);

impl Drop for Process {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

/// What the emulator itself said, where it has ended.
fn explained(error: EmulatorError, errors: &Path) -> EmulatorError {
    match (error, std::fs::read_to_string(errors)) {
        (EmulatorError::Gone, Ok(text)) => EmulatorError::Control(text),
        (error, _) => error,
    }
}
