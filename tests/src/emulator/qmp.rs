//! The emulator's control socket (QMP: one JSON object a line).

use super::EmulatorError;
use serde_json::{Value, json};
use std::io::{BufRead, BufReader, Write};
use std::os::unix::net::UnixStream;
use std::path::Path;
use std::time::{Duration, Instant};

/// How long the emulator may take to begin or to answer, on a busy machine.
const PATIENCE: Duration = Duration::from_secs(60);

/// A connection.
#[derive(Debug)]
pub(super) struct Qmp {
    reader: BufReader<UnixStream>,
    writer: UnixStream,
}

impl Qmp {
    /// Connects, as soon as the emulator listens.
    ///
    /// # Errors
    /// It does not listen, or speaks otherwise.
    pub(super) fn connect(socket: &Path) -> Result<Self, EmulatorError> {
        let began = Instant::now();
        let stream = loop {
            match UnixStream::connect(socket) {
                Ok(stream) => break stream,
                Err(_) if began.elapsed() < PATIENCE => std::thread::sleep(Duration::from_millis(2)),
                Err(error) => return Err(EmulatorError::Control(error.to_string())),
            }
        };
        stream.set_read_timeout(Some(PATIENCE))?;
        let mut qmp = Self { reader: BufReader::new(stream.try_clone()?), writer: stream };
        qmp.line()?; // the greeting
        qmp.ask("qmp_capabilities", json!({}))?;
        Ok(qmp)
    }

    /// Has a command done; gives what it returns.
    ///
    /// # Errors
    /// The command failed, or the emulator is gone.
    pub(super) fn ask(&mut self, command: &str, arguments: Value) -> Result<Value, EmulatorError> {
        let mut text = json!({"execute": command, "arguments": arguments}).to_string();
        text.push('\n');
        self.writer.write_all(text.as_bytes())?;
        loop {
            let answer = self.line()?;
            if let Some(found) = answer.get("return") {
                return Ok(found.clone());
            }
            if let Some(error) = answer.get("error") {
                return Err(EmulatorError::Control(format!("{command}: {error}")));
            }
        }
    }

    /// What the human monitor answers.
    ///
    /// # Errors
    /// As [`Self::ask`].
    pub(super) fn monitor(&mut self, line: &str) -> Result<String, EmulatorError> {
        let answer = self.ask("human-monitor-command", json!({"command-line": line}))?;
        Ok(answer.as_str().unwrap_or_default().to_owned())
    }

    /// Words of physical memory.
    ///
    /// # Errors
    /// As [`Self::ask`].
    pub(super) fn words(&mut self, address: u32, count: usize) -> Result<Vec<u32>, EmulatorError> {
        let text = self.monitor(&format!("xp /{count}xw {address:#x}"))?;
        let words: Vec<u32> = text
            .lines()
            .filter_map(|line| line.split_once(':'))
            .flat_map(|(_, words)| words.split_whitespace())
            .filter_map(|word| u32::from_str_radix(word.trim_start_matches("0x"), 16).ok())
            .collect();
        if words.len() == count { Ok(words) } else { Err(EmulatorError::Control(format!("memory dump: {text}"))) }
    }

    fn line(&mut self) -> Result<Value, EmulatorError> {
        let mut text = String::new();
        if self.reader.read_line(&mut text)? == 0 {
            return Err(EmulatorError::Gone);
        }
        serde_json::from_str(&text).map_err(|error| EmulatorError::Control(error.to_string()))
    }
}
