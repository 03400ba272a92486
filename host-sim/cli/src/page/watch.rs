//! A board that follows its register.

use holdoff_present::page::{Board, JobShown};
use holdoff_present::words::Speech;
use holdoff_register::{Refusal, Register};
use std::path::{Path, PathBuf};
use std::sync::{Arc, PoisonError, RwLock, RwLockReadGuard};
use std::time::{Duration, Instant, SystemTime, UNIX_EPOCH};
use tokio::sync::watch::{Receiver, Sender};

/// How often the register is asked whether it changed.
const PERIOD: Duration = Duration::from_millis(500);

/// How long another program may keep the register locked before the page says that it cannot be read.
const LONGEST_BUSY: Duration = Duration::from_secs(3);

/// A board that others look at while it changes.
#[derive(Debug)]
pub struct Live {
    state: RwLock<State>,
    /// Tells of every change.
    told: Sender<u64>,
}

#[derive(Debug)]
struct State {
    board: Board,
    /// Distinguishes boards that were filled anew.
    epoch: u64,
    failed: Option<String>,
}

impl Live {
    /// The board as it is, for a look.
    pub(super) fn look<T>(&self, look: impl FnOnce(&Board, &str, Option<&str>) -> T) -> T {
        let state = self.read();
        look(&state.board, &format!("{:x}-{}", state.epoch, state.board.version()), state.failed.as_deref())
    }

    fn read(&self) -> RwLockReadGuard<'_, State> {
        self.state.read().unwrap_or_else(PoisonError::into_inner)
    }

    /// Tells of changes from now on.
    pub(super) fn follow(&self) -> Receiver<u64> {
        self.told.subscribe()
    }

    /// The version that a mark means, when the board has not been filled anew since.
    pub(super) fn version_of(&self, mark: &str) -> Option<u64> {
        let (epoch, version) = mark.split_once('-')?;
        (u64::from_str_radix(epoch, 16).ok()? == self.read().epoch).then(|| version.parse().ok())?
    }

    fn change(&self, change: impl FnOnce(&mut State)) {
        change(&mut self.state.write().unwrap_or_else(PoisonError::into_inner));
        self.told.send_modify(|count| *count = count.wrapping_add(1));
    }
}

/// Fills a board from a register and follows it from then on, on a thread of its own.
///
/// # Errors
/// The register cannot be used.
pub fn watch(file: &Path, job: Option<JobShown>, speech: Speech) -> Result<Arc<Live>, Refusal> {
    let mut board = Board::new(job.clone()).speaking(speech);
    // looked at before it is read: what is written meanwhile is seen as a change
    let stamp = Stamp::of(file);
    let register = Register::open(file)?;
    let seen = register.change()?;
    register.fill(&mut board)?;
    let state = RwLock::new(State { board, epoch: epoch(), failed: None });
    let live = Arc::new(Live { state, told: Sender::new(0) });
    let follower = Follower {
        file: file.to_path_buf(),
        job,
        speech,
        live: live.clone(),
        register: Some(register),
        seen,
        stamp,
        busy: None,
    };
    std::thread::spawn(move || follower.run());
    Ok(live)
}

struct Follower {
    file: PathBuf,
    job: Option<JobShown>,
    speech: Speech,
    live: Arc<Live>,
    register: Option<Register>,
    seen: i64,
    /// What the file looked like when it was read last.
    stamp: Stamp,
    /// Since when another program keeps it locked.
    busy: Option<Instant>,
}

impl Follower {
    fn run(mut self) {
        loop {
            std::thread::sleep(PERIOD);
            let looked = self.look();
            let failed = self.failed(looked);
            if self.live.read().failed != failed {
                self.live.change(|state| state.failed = failed);
            }
        }
    }

    /// What is said of a look that did not succeed; that another program writes just now is said only when it goes on.
    fn failed(&mut self, looked: Result<(), Refusal>) -> Option<String> {
        let refusal = match looked {
            Ok(()) => {
                self.busy = None;
                return None;
            }
            Err(Refusal::Busy) if self.busy.get_or_insert_with(Instant::now).elapsed() < LONGEST_BUSY => {
                return self.live.read().failed.clone();
            }
            Err(refusal) => refusal,
        };
        Some(refusal.problem(&self.file.to_string_lossy()).to_string())
    }

    fn look(&mut self) -> Result<(), Refusal> {
        let now = Stamp::of(&self.file);
        if let Some(register) = &self.register
            && now == self.stamp
            && register.change()? == self.seen
        {
            return Ok(());
        }
        // Opened anew: another file may stand in its place, or have been copied over it; what is known of the old one's
        // pages is then wrong.
        self.register = None;
        let register = Register::open(&self.file)?;
        let seen = register.change()?;
        if now.same_file(&self.stamp) && register.continues(&self.live.read().board)? {
            let mut result = Ok(0);
            self.live.change(|state| result = register.fill(&mut state.board));
            result?;
        } else {
            let mut board = Board::new(self.job.clone()).speaking(self.speech);
            register.fill(&mut board)?;
            self.live.change(|state| (state.board, state.epoch) = (board, epoch()));
        }
        (self.register, self.seen, self.stamp) = (Some(register), seen, now);
        Ok(())
    }
}

fn epoch() -> u64 {
    SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |since| since.as_nanos() as u64) // any number will do
}

/// What a file looks like from outside; the same of a file that nobody has written to.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
struct Stamp {
    /// What tells it from another that took its name.
    number: Option<(u64, u64)>,
    written: Option<SystemTime>,
    length: Option<u64>,
}

impl Stamp {
    fn of(file: &Path) -> Self {
        let found = std::fs::metadata(file).ok();
        Self {
            number: found.as_ref().and_then(number),
            written: found.as_ref().and_then(|found| found.modified().ok()),
            length: found.as_ref().map(std::fs::Metadata::len),
        }
    }

    fn same_file(&self, other: &Self) -> bool {
        self.number == other.number
    }
}

#[cfg(unix)]
fn number(found: &std::fs::Metadata) -> Option<(u64, u64)> {
    use std::os::unix::fs::MetadataExt;
    Some((found.dev(), found.ino()))
}

/// Where files have no such numbers, the marks of the register tell.
#[cfg(not(unix))]
fn number(_found: &std::fs::Metadata) -> Option<(u64, u64)> {
    None
}
