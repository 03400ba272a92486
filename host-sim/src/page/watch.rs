//! A board that follows its register.

use super::{Board, JobShown};
use crate::register::{Refusal, Register};
use crate::words::Speech;
use std::path::{Path, PathBuf};
use std::sync::{Arc, PoisonError, RwLock, RwLockReadGuard};
use std::time::{Duration, SystemTime, UNIX_EPOCH};
use tokio::sync::watch::{Receiver, Sender};

/// How often the register is asked whether it changed.
const PERIOD: Duration = Duration::from_millis(500);

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
    let register = Register::open(file)?;
    let (seen, identity) = (register.change()?, identity(file));
    board.update(&register)?;
    let state = RwLock::new(State { board, epoch: epoch(), failed: None });
    let live = Arc::new(Live { state, told: Sender::new(0) });
    let follower = Follower {
        file: file.to_path_buf(),
        job,
        speech,
        live: live.clone(),
        register: Some(register),
        seen,
        identity,
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
    identity: Option<(u64, u64)>,
}

impl Follower {
    fn run(mut self) {
        loop {
            std::thread::sleep(PERIOD);
            let failed = match self.look() {
                // another program writes just now: at the next look
                Ok(()) | Err(Refusal::Busy) => None,
                Err(refusal) => Some(refusal.problem(&self.file.to_string_lossy()).to_string()),
            };
            if self.live.read().failed != failed {
                self.live.change(|state| state.failed = failed);
            }
        }
    }

    fn look(&mut self) -> Result<(), Refusal> {
        let now = identity(&self.file);
        if self.register.is_none() || now != self.identity {
            // another file stands in its place
            self.register = None;
            let register = Register::open(&self.file)?;
            let mut board = Board::new(self.job.clone()).speaking(self.speech);
            self.seen = register.change()?;
            board.update(&register)?;
            (self.register, self.identity) = (Some(register), now);
            self.live.change(|state| (state.board, state.epoch) = (board, epoch()));
            return Ok(());
        }
        let Some(register) = &self.register else { return Ok(()) };
        let change = register.change()?;
        if change == self.seen {
            return Ok(());
        }
        let mut result = Ok(0);
        self.live.change(|state| result = state.board.update(register));
        result?;
        self.seen = change;
        Ok(())
    }
}

fn epoch() -> u64 {
    SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |since| since.as_nanos() as u64) // any number will do
}

/// What tells a file from another that took its name.
#[cfg(unix)]
fn identity(file: &Path) -> Option<(u64, u64)> {
    use std::os::unix::fs::MetadataExt;
    std::fs::metadata(file).ok().map(|found| (found.dev(), found.ino()))
}

/// Where files have no such numbers, a register that is put in another's place is seen after a restart.
#[cfg(not(unix))]
fn identity(file: &Path) -> Option<(u64, u64)> {
    file.exists().then_some((0, 0))
}
