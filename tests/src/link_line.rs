//! Lines between the PC's side and a fake device: sockets that break at any byte, a pseudo terminal that loses and garbles.

use crate::link_device::{FakeDevice, spoil};
use crate::random::numbers;
use holdoff_firmware::link::Session;
use std::io::{Read, Write};
use std::os::unix::net::{UnixListener, UnixStream};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::sync::{Arc, Mutex};
use std::thread::JoinHandle;
use std::time::Duration;

/// A device with its session, shared with the thread that serves it.
pub type Shared = Arc<Mutex<(Session, FakeDevice)>>;

/// A device that is served until this is dropped.
pub struct Served {
    /// The device; look at it between requests.
    pub device: Shared,
    /// How often the line broke.
    pub breaks: Arc<AtomicU32>,
    stop: Arc<AtomicBool>,
    thread: Option<JoinHandle<()>>,
}

impl Served {
    /// Looks at the device, or does something to it.
    pub fn with<T>(&self, look: impl FnOnce(&mut FakeDevice) -> T) -> T {
        look(&mut self.device.lock().expect("the server did not fail").1)
    }

    /// The device loses its power and comes up again: its session is forgotten, its memory is not.
    pub fn restart(&self) {
        self.device.lock().expect("the server did not fail").0 = Session::new();
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        self.stop.store(true, Ordering::Relaxed);
        if let Some(thread) = self.thread.take() {
            let _ = thread.join();
        }
    }
}

/// A path for a socket or a file of one test.
pub fn path(name: &str) -> PathBuf {
    let path = std::env::temp_dir().join(format!("holdoff-link-{name}-{}", std::process::id()));
    let _ = std::fs::remove_file(&path);
    path
}

/// Serves a device at a UNIX socket. Each connection is cut after a random number of bytes, fewer than `longest`, counted
/// in both directions; `None` for a line that holds.
pub fn serve(device: FakeDevice, socket: &Path, longest: Option<u64>) -> Served {
    let _ = std::fs::remove_file(socket);
    let listener = UnixListener::bind(socket).expect("a socket");
    listener.set_nonblocking(true).expect("a socket");
    let device: Shared = Arc::new(Mutex::new((Session::new(), device)));
    let (stop, breaks) = (Arc::new(AtomicBool::new(false)), Arc::new(AtomicU32::new(0)));
    let (shared, stopped, broken) = (Arc::clone(&device), Arc::clone(&stop), Arc::clone(&breaks));
    let thread = std::thread::spawn(move || {
        let mut number = numbers(longest.unwrap_or(0));
        while !stopped.load(Ordering::Relaxed) {
            let Ok((stream, _)) = listener.accept() else {
                std::thread::sleep(Duration::from_millis(1));
                continue;
            };
            let allowance = longest.map_or(u64::MAX, |longest| number() % longest);
            talk(stream, allowance, &shared, &stopped);
            broken.fetch_add(1, Ordering::Relaxed);
        }
    });
    Served { device, breaks, stop, thread: Some(thread) }
}

fn talk(mut stream: UnixStream, mut allowance: u64, shared: &Shared, stop: &AtomicBool) {
    stream.set_nonblocking(false).expect("a socket");
    stream.set_read_timeout(Some(Duration::from_millis(5))).expect("a socket");
    let mut bytes = [0; 64];
    while !stop.load(Ordering::Relaxed) {
        let read = match stream.read(&mut bytes) {
            Ok(0) => return,
            Ok(read) => read,
            Err(error) if matches!(error.kind(), std::io::ErrorKind::WouldBlock | std::io::ErrorKind::TimedOut) => {
                continue;
            }
            Err(_) => return,
        };
        let taken = read.min(usize::try_from(allowance).unwrap_or(usize::MAX));
        allowance -= taken as u64;
        let mut answer = Vec::new();
        let (session, device) = &mut *shared.lock().expect("the test did not fail");
        session.take(&bytes[..taken], device, &mut |piece| answer.extend_from_slice(piece));
        let sent = answer.len().min(usize::try_from(allowance).unwrap_or(usize::MAX));
        allowance -= sent as u64;
        if stream.write_all(&answer[..sent]).is_err() || allowance == 0 {
            return;
        }
    }
}

/// Serves a device at a pseudo terminal that spoils about one byte in `one_in` on the way, both ways. Returns the path of
/// the PC's end.
pub fn serve_pty(device: FakeDevice, one_in: Option<u64>) -> (Served, String) {
    use rustix::pty::{OpenptFlags, grantpt, openpt, ptsname, unlockpt};
    let master = openpt(OpenptFlags::RDWR | OpenptFlags::NOCTTY).expect("a pseudo terminal");
    grantpt(&master).expect("a pseudo terminal");
    unlockpt(&master).expect("a pseudo terminal");
    let name = ptsname(&master, Vec::new()).expect("a name").into_string().expect("text");
    // as long as one descriptor of the PC's end is open, the line does not hang up between two programs
    let keep = std::fs::OpenOptions::new().read(true).write(true).open(&name).expect("the other end");
    let mut attributes = rustix::termios::tcgetattr(&keep).expect("a terminal");
    attributes.make_raw();
    rustix::termios::tcsetattr(&keep, rustix::termios::OptionalActions::Now, &attributes).expect("a terminal");
    rustix::io::ioctl_fionbio(&master, true).expect("a terminal");
    let device: Shared = Arc::new(Mutex::new((Session::new(), device)));
    let (stop, breaks) = (Arc::new(AtomicBool::new(false)), Arc::new(AtomicU32::new(0)));
    let (shared, stopped) = (Arc::clone(&device), Arc::clone(&stop));
    let thread = std::thread::spawn(move || {
        let _keep = keep;
        let mut master = std::fs::File::from(master);
        let mut number = numbers(17);
        let mut bytes = [0; 64];
        let mut waiting: Vec<u8> = Vec::new();
        while !stopped.load(Ordering::Relaxed) {
            let read = master.read(&mut bytes).unwrap_or(0);
            if read == 0 && waiting.is_empty() {
                std::thread::sleep(Duration::from_micros(200));
                continue;
            }
            let came = match one_in {
                Some(one_in) => spoil(&bytes[..read], one_in, &mut number),
                None => bytes[..read].to_vec(),
            };
            let mut answer = Vec::new();
            let (session, device) = &mut *shared.lock().expect("the test did not fail");
            session.take(&came, device, &mut |piece| answer.extend_from_slice(piece));
            waiting.extend(match one_in {
                Some(one_in) => spoil(&answer, one_in, &mut number),
                None => answer,
            });
            match master.write(&waiting) {
                Ok(written) => drop(waiting.drain(..written)),
                Err(_) => std::thread::sleep(Duration::from_micros(200)),
            }
        }
    });
    (Served { device, breaks, stop, thread: Some(thread) }, name)
}
