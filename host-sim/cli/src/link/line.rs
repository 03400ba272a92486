//! Lines to a logger: serial port, pty, UNIX socket, TCP.

use std::io::{self, Read, Write};
use std::net::{TcpStream, ToSocketAddrs};
use std::time::Duration;

/// How long a connection over a network may take to come about.
const CONNECT: Duration = Duration::from_secs(5);

/// Something that carries bytes, and gives up waiting for them after a while.
pub trait Line: Read + Write {
    /// How long a read waits for the first byte before it returns an error of the kind `TimedOut` or `WouldBlock`.
    ///
    /// # Errors
    /// The line is broken.
    fn wait(&mut self, longest: Duration) -> io::Result<()>;
}

impl Line for TcpStream {
    fn wait(&mut self, longest: Duration) -> io::Result<()> {
        self.set_read_timeout(Some(longest))
    }
}

#[cfg(unix)]
impl Line for std::os::unix::net::UnixStream {
    fn wait(&mut self, longest: Duration) -> io::Result<()> {
        self.set_read_timeout(Some(longest))
    }
}

struct Serial(Box<dyn serialport::SerialPort>);

impl Read for Serial {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        self.0.read(into)
    }
}

impl Write for Serial {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        // waiting until the last bit is on the line is of no use, and a pty whose other end nobody reads never gets there
        Ok(())
    }
}

impl Line for Serial {
    fn wait(&mut self, longest: Duration) -> io::Result<()> {
        self.0.set_timeout(longest).map_err(io::Error::from)
    }
}

/// Where a logger is.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Port {
    /// As the user wrote it: a device, `unix:PATH` or `tcp:HOST:PORT`.
    pub name: String,
    /// Bits a second of a serial line.
    pub baud: u32,
}

impl Port {
    /// Opens the line.
    ///
    /// # Errors
    /// It is not there, or not to be opened.
    pub fn open(&self) -> io::Result<Box<dyn Line>> {
        if let Some(path) = self.name.strip_prefix("unix:") {
            return unix(path);
        }
        if let Some(address) = self.name.strip_prefix("tcp:") {
            return tcp(address);
        }
        let baud = if is_pty(&self.name) { 0 } else { self.baud };
        let opened = serialport::new(&self.name, baud).timeout(CONNECT).open();
        opened.map(|port| Box::new(Serial(port)) as Box<dyn Line>).map_err(io::Error::from)
    }
}

fn tcp(address: &str) -> io::Result<Box<dyn Line>> {
    let mut last = io::Error::new(io::ErrorKind::NotFound, "no such host");
    for address in address.to_socket_addrs()? {
        match TcpStream::connect_timeout(&address, CONNECT) {
            Ok(stream) => {
                stream.set_nodelay(true)?;
                stream.set_write_timeout(Some(CONNECT))?;
                return Ok(Box::new(stream));
            }
            Err(error) => last = error,
        }
    }
    Err(last)
}

#[cfg(unix)]
fn unix(path: &str) -> io::Result<Box<dyn Line>> {
    let stream = std::os::unix::net::UnixStream::connect(path)?;
    stream.set_write_timeout(Some(CONNECT))?;
    Ok(Box::new(stream))
}

#[cfg(not(unix))]
fn unix(_: &str) -> io::Result<Box<dyn Line>> {
    Err(io::Error::new(io::ErrorKind::Unsupported, "this system has no UNIX sockets"))
}

/// Whether a device is the slave side of a pseudo terminal, which has no speed to be set.
#[cfg(unix)]
fn is_pty(name: &str) -> bool {
    use std::os::unix::fs::{FileTypeExt, MetadataExt};
    /// Device numbers of UNIX98 pseudo terminals (Linux, Documentation/admin-guide/devices.txt).
    const PTY: std::ops::RangeInclusive<u64> = 136..=143;
    let metadata = std::fs::metadata(name);
    metadata.is_ok_and(|found| found.file_type().is_char_device() && PTY.contains(&(found.rdev() >> 8 & 0xFFF)))
}

#[cfg(not(unix))]
fn is_pty(_: &str) -> bool {
    false
}
