//! Our side of the plugin that holds the board (`plugin.c`).

use super::EmulatorError;
use super::image::{root, target};
use std::io::{BufReader, ErrorKind, Read, Write};
use std::os::unix::net::{UnixListener, UnixStream};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;
use std::time::Duration;

/// Hold on a board that is held at its idles.
#[derive(Debug)]
pub(super) struct Hold {
    stream: BufReader<UnixStream>,
}

/// How far the board may run.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Until {
    /// Through all idles that are given.
    Passed,
    /// Or to the first idle after something new was shown.
    Shown,
}

impl Hold {
    /// Waits for the plugin to connect, as long as the emulator `lives`.
    ///
    /// # Errors
    /// It does not.
    pub(super) fn accept(listener: &UnixListener, lives: &mut impl FnMut() -> bool) -> Result<Self, EmulatorError> {
        listener.set_nonblocking(true)?;
        let stream = loop {
            match listener.accept() {
                Ok((stream, _)) => break stream,
                Err(error) if error.kind() == ErrorKind::WouldBlock && lives() => {
                    std::thread::sleep(Duration::from_millis(2));
                }
                Err(error) if error.kind() == ErrorKind::WouldBlock => return Err(EmulatorError::Gone),
                Err(error) => return Err(error.into()),
            }
        };
        stream.set_nonblocking(false)?;
        stream.set_read_timeout(Some(Duration::from_secs(120)))?;
        Ok(Self { stream: BufReader::new(stream) })
    }

    /// Waits until the board is held.
    ///
    /// # Errors
    /// Its power is cut, as was asked for; or it is gone, or hangs.
    pub(super) fn wait(&mut self) -> Result<(), EmulatorError> {
        let mut byte = [0];
        match self.stream.read_exact(&mut byte) {
            Ok(()) if byte == *b"c" => Err(EmulatorError::Cut { strips: self.word()? }),
            Ok(()) => Ok(()),
            Err(error) if error.kind() == ErrorKind::UnexpectedEof => Err(EmulatorError::Gone),
            Err(error) => Err(EmulatorError::Hangs(error.to_string())),
        }
    }

    /// Lets the held board run; [`Self::wait`] next.
    ///
    /// # Errors
    /// It is gone.
    pub(super) fn run(&mut self, idles: u32, until: Until) -> Result<(), EmulatorError> {
        let command = match until {
            Until::Passed => 1,
            Until::Shown => 2,
        };
        self.words(&[command, idles])
    }

    /// How many instructions were executed since the start.
    ///
    /// # Errors
    /// The board is gone.
    pub(super) fn executed(&mut self) -> Result<u64, EmulatorError> {
        self.words(&[5])?;
        self.long()
    }

    /// How many had been executed whenever the watched address was written to.
    ///
    /// # Errors
    /// The board is gone.
    pub(super) fn watched(&mut self) -> Result<Vec<u64>, EmulatorError> {
        self.words(&[6])?;
        let times = self.word()?;
        (0..times).map(|_| self.long()).collect()
    }

    fn long(&mut self) -> Result<u64, EmulatorError> {
        let (low, high) = (self.word()?, self.word()?);
        Ok(u64::from(high) << 32 | u64::from(low))
    }

    /// Forgets what was counted.
    ///
    /// # Errors
    /// The board is gone.
    pub(super) fn forget(&mut self) -> Result<(), EmulatorError> {
        self.words(&[3])
    }

    /// Addresses of instructions, and how often each was executed. An address may come more than once.
    ///
    /// # Errors
    /// The board is gone.
    pub(super) fn counts(&mut self) -> Result<Vec<(u32, u32)>, EmulatorError> {
        self.words(&[4])?;
        let pairs = self.word()?;
        (0..pairs).map(|_| Ok((self.word()?, self.word()?))).collect()
    }

    fn word(&mut self) -> Result<u32, EmulatorError> {
        let mut bytes = [0; 4];
        self.stream.read_exact(&mut bytes)?;
        Ok(u32::from_le_bytes(bytes))
    }

    fn words(&mut self, words: &[u32]) -> Result<(), EmulatorError> {
        let bytes: Vec<u8> = words.iter().flat_map(|word| word.to_le_bytes()).collect();
        self.stream.get_mut().write_all(&bytes).map_err(EmulatorError::from)
    }
}

/// The plugin, compiled; once in a process.
///
/// # Errors
/// There is no C compiler, or no emulator.
pub(super) fn library() -> Result<&'static Path, EmulatorError> {
    static COMPILED: OnceLock<Result<PathBuf, EmulatorError>> = OnceLock::new();
    COMPILED.get_or_init(compile).as_deref().map_err(Clone::clone)
}

fn compile() -> Result<PathBuf, EmulatorError> {
    let directory = target().join("emulator");
    std::fs::create_dir_all(&directory)?;
    let made = directory.join(format!("plugin-{}.so", std::process::id()));
    let output = Command::new("cc")
        .args(["-O2", "-Wall", "-Wextra", "-shared", "-fPIC", "-fvisibility=hidden"])
        .arg(format!("-DINTERFACE={}", interface()?))
        .arg("-o")
        .arg(&made)
        .arg(root().join("tests/src/emulator/plugin.c"))
        .output()?;
    if !output.status.success() {
        return Err(EmulatorError::Plugin(String::from_utf8_lossy(&output.stderr).into_owned()));
    }
    // another process may be loading it: what it loads stays whole
    let path = directory.join("plugin.so");
    std::fs::rename(made, &path)?;
    Ok(path)
}

/// The version of the plugin interface that the installed emulator takes: 1 up to QEMU 8, then 2.
fn interface() -> Result<u32, EmulatorError> {
    static FOUND: OnceLock<u32> = OnceLock::new();
    if let Some(found) = FOUND.get() {
        return Ok(*found);
    }
    let output = Command::new(super::QEMU).arg("--version").output().map_err(|_| EmulatorError::NoEmulator)?;
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    let major = text
        .split_whitespace()
        .find_map(|word| word.split_once('.').and_then(|(major, _)| major.parse::<u32>().ok()))
        .ok_or_else(|| EmulatorError::Plugin(format!("which version is this: {text}")))?;
    Ok(*FOUND.get_or_init(|| if major >= 9 { 2 } else { 1 }))
}
