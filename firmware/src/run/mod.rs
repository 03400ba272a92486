//! The run loop: what the logger does, as a function of time and events.
//!
//! ```text
//!   step:  buttons ──> time ──> memory ──> readings due ──> what was pressed ──> link ──> display ──> sleep until
//! ```
//!
//! What for: [`Device::step`] does what is due and says until when to sleep; nothing in it waits for anything but a part on the
//! bus, and that for a bounded time. The same steps run on the emulated board, on a real one and on the fake one of the tests.
//! Terms: the logger is *up* when its memory is mounted and its power-up is recorded; only then it measures and acts. A *fault*
//! is what is wrong with the logger itself and has a screen; what is wrong with a fixing is its status.
//! Invariants: whatever is asked of a fixing goes through the log, and what the log did not take is not shown as done;
//! nothing here counts a cure, and nothing that a button does can shorten one.
//! What it does not do: draw (`crate::screen`), talk (`crate::link`), or judge (the engine).
//!
//! The device is large (the open page and the group are in it) and stands in a static: [`Device::new`] is constant, and all that
//! is done to it is done in place.

mod act;
mod fault;
mod host;
mod in_hole;
mod measure;
mod named;
mod offer;
mod press;
mod settle;
mod show;
mod start;
mod supply;
mod time;
mod touch;
mod ui;

pub use press::{BOUNCE_MS, Press, Presses, Repeat, TOGETHER_MS};
pub use time::{NoTime, Now, PLAUSIBLE, WallKnown};

use crate::board::{Board, Lines};
use crate::driver::clock::ClockChip;
use crate::driver::memory::SerialMemory;
use crate::driver::probe::Probe;
use crate::link::Session;
use crate::tell::tell;
use crate::view::{Link, View};
use core::cell::RefCell;
use fault::Faults;
use holdoff_core::log::{DeviceId, Logger, Owner};
use holdoff_core::probe::Refusal;
use holdoff_core::quantity::{Count, Instant};
use in_hole::InHoles;
use named::Named;
use start::Phase;
use time::Time;
use ui::Ui;

/// Version of the firmware.
pub const VERSION: [u8; 3] = [
    part(env!("CARGO_PKG_VERSION_MAJOR")),
    part(env!("CARGO_PKG_VERSION_MINOR")),
    part(env!("CARGO_PKG_VERSION_PATCH")),
];
/// The longest sleep: so long a watchdog is not fed.
pub const LONGEST_SLEEP_MS: u32 = 15_000;
/// How often a lit display is looked after.
const LIT_MS: u32 = 500;
/// How often a bad thing is tried again.
const RETRY_MS: u32 = 1_000;
/// Bytes taken from the link at a time.
const RECEIVED: usize = 64;
/// After a byte from the link the device stays awake for so long.
const TALK_MS: u32 = 2_000;

const fn part(digits: &str) -> u8 {
    match u8::from_str_radix(digits, 10) {
        Ok(number) => number,
        Err(_) => u8::MAX,
    }
}

/// The logger on a board.
pub struct Device<B: Board> {
    works: Works<B>,
    link: Session,
}

/// Everything but the talk with a PC, which asks for the rest.
struct Works<B: Board> {
    logger: Logger<SerialMemory<B::Bus>>,
    phase: Phase,
    time: Time,
    probe: Probe,
    /// When the next reading is due.
    due: Option<Instant>,
    /// The last second that a reading was taken at, of whatever kind.
    read_at: Option<Instant>,
    /// What the probe did last.
    probed: Probed,
    /// Whether its count has been the same for six hours.
    stuck: Stuck,
    /// Whether a job is loaded, as a whole.
    loaded: bool,
    /// Whether the memory failed when something was last written or read.
    memory_failed: bool,
    /// The hour that was tied last.
    hour: Option<i64>,
    in_holes: InHoles,
    named: Option<Named>,
    /// A release could not be signed or recorded; when to try again.
    seal_again_at: Option<u32>,
    key: Key,
    /// The public key, worked out at the start: the PC asks for it behind every greeting, and must not wait for it.
    public: Option<[u8; 32]>,
    faults: Faults,
    ui: Ui,
    battery_mv: Option<u16>,
    battery_at: Option<u32>,
    /// The supply as it was recorded last since the start.
    supply: Option<supply::Recorded>,
    /// When a PC was last heard of, and what it is doing.
    talk: Option<(u32, Link)>,
}

/// What the probe did last.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Probed {
    /// Nothing was asked of it.
    Unasked,
    /// It gave a count.
    Count,
    /// It gave none; and how the bus was then.
    None(Refusal, Lines),
}

/// Whether the count has not changed for six hours.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Stuck {
    No,
    At(Count),
}

/// Whether a signing key was put in.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Key {
    There,
    Missing,
}

impl<B: Board> Default for Device<B> {
    fn default() -> Self {
        Self::new()
    }
}

impl<B: Board> Device<B> {
    /// A logger that has not started. It is larger than a stack: for a static, or to be written into one at the start.
    #[inline(always)] // only then it is written into its place field by field, and not copied there as a whole
    pub const fn new() -> Self {
        let works = Works {
            logger: Logger::new(SerialMemory::unplugged(B::MEMORY), Owner::without_key(DeviceId([0; 8]))),
            phase: Phase::NEW,
            time: Time::new(ClockChip::new(B::CLOCK), B::UPTIME_PARTS),
            probe: Probe::new(B::PROBE),
            due: None,
            read_at: None,
            probed: Probed::Unasked,
            stuck: Stuck::No,
            loaded: false,
            memory_failed: false,
            hour: None,
            in_holes: InHoles::NONE,
            named: None,
            seal_again_at: None,
            key: Key::Missing,
            public: None,
            faults: Faults::NONE,
            ui: Ui::new(),
            battery_mv: None,
            battery_at: None,
            supply: None,
            talk: None,
        };
        Self { works, link: Session::new() }
    }

    /// Takes up the board: the first thing, once.
    pub fn start(&mut self, board: &mut B) {
        self.works.start(board);
    }

    /// Does what is due. Returns the uptime until which to sleep, if no button and no byte comes before.
    pub fn step(&mut self, board: &mut B) -> u32 {
        board.feed_watchdog();
        let uptime = board.uptime_ms();
        let pressed = self.works.ui.take(board.buttons(), uptime);
        let now = if self.works.is_starved() { None } else { self.works.tell_time(board) };
        let now = self.works.come_up(board, now, uptime);
        self.works.look_at_battery(board, uptime);
        self.works.measure_when_due(board, now);
        // a press is meant for what was on the display when it was pressed, not for a fault of this very step
        if let Some(press) = pressed {
            self.works.touched(board, press, now, uptime);
        }
        self.works.look_at_working_time();
        self.works.look_for_faults(now, uptime);
        self.works.ui.let_go(uptime);
        self.talk(board, uptime);
        tell!(link(self.works.talking(uptime)));
        self.works.show(board, now, uptime);
        self.works.sleep_until(now, uptime)
    }

    /// Starts, and goes on for ever.
    pub fn run(&mut self, board: &mut B) -> ! {
        self.start(board);
        loop {
            let until = self.step(board);
            board.sleep_until(until);
        }
    }

    /// What is to be seen now.
    pub fn view<R>(&mut self, board: &mut B, see: impl FnOnce(&View<'_>) -> R) -> R {
        let uptime = board.uptime_ms();
        let now = self.works.tell_time(board);
        self.works.with_view(now, uptime, |view| see(view))
    }

    /// The log, for tests and measurements.
    pub const fn logger(&self) -> &Logger<SerialMemory<B::Bus>> {
        &self.works.logger
    }

    #[inline(never)] // its messages would be on the stack under everything else that a step does
    fn talk(&mut self, board: &mut B, uptime: u32) {
        let mut bytes = [0u8; RECEIVED];
        let used = board.receive(&mut bytes);
        if used == 0 {
            return;
        }
        self.works.talk = Some((uptime, Link::Connected));
        let board = RefCell::new(board);
        let mut host = host::Serving { works: &mut self.works, board: &board };
        let link = &mut self.link;
        link.take(bytes.get(..used).unwrap_or(&bytes), &mut host, &mut |bytes| {
            // nobody else holds the board while an answer goes out
            if let Ok(mut board) = board.try_borrow_mut() {
                board.send(bytes);
            }
        });
        if link.is_loading() {
            self.works.talk = Some((uptime, Link::Loading));
        }
    }
}

impl<B: Board> Works<B> {
    /// What a PC is doing that talked in the last seconds.
    fn talking(&self, uptime: u32) -> Option<Link> {
        self.talk.filter(|(at, _)| uptime.wrapping_sub(*at) < TALK_MS).map(|(_, link)| link)
    }

    /// A question of the fixing that is shown may have been overtaken by the clock.
    fn look_at_working_time(&mut self) {
        if !self.ui.asks_to_seat() {
            return; // a status takes thousands of instructions
        }
        let status = self.shown().and_then(|fixing| self.status(fixing));
        if status.is_some_and(|status| self.is_too_late(&status)) {
            self.ui.too_late();
        }
    }

    fn sleep_until(&self, now: Option<Now>, uptime: u32) -> u32 {
        let mut sleep = LONGEST_SLEEP_MS;
        if self.ui.is_lit(uptime) || self.talking(uptime).is_some() {
            sleep = sleep.min(LIT_MS);
        }
        if let Some(look) = self.ui.look_again_in(uptime) {
            sleep = sleep.min(look);
        }
        if self.is_impatient() || now.is_none() && !self.is_starved() {
            sleep = sleep.min(RETRY_MS);
        }
        if let (Some(now), Some(due)) = (now, self.due) {
            sleep = sleep.min(until_due(due.since(now.at)));
        }
        uptime.wrapping_add(sleep.max(1))
    }
}

/// Milliseconds to sleep before something that is due in so many seconds: the uptime may be 3 % slow, and where in its second
/// the clock stands is not known, so the last second is watched.
fn until_due(seconds: i64) -> u32 {
    const WATCH_MS: i64 = 200;
    let whole = seconds.clamp(0, 3600).saturating_mul(1000);
    let careful = whole.saturating_mul(31) / 32;
    u32::try_from(careful.saturating_sub(1000).max(WATCH_MS)).unwrap_or(1)
}

#[cfg(test)]
mod tests {
    use super::{VERSION, until_due};

    #[test]
    fn the_version_is_the_packages() {
        let [major, minor, patch] = VERSION;
        assert_eq!(format!("{major}.{minor}.{patch}"), env!("CARGO_PKG_VERSION"));
    }

    #[test]
    fn a_reading_is_never_slept_over_by_a_clock_that_is_three_percent_slow() {
        for seconds in 1..=3600 {
            let slept = i64::from(until_due(seconds)) * 103 / 100;
            assert!(slept < seconds * 1000, "{seconds}");
        }
        assert_eq!(until_due(0), 200);
        assert_eq!(until_due(-5), 200);
    }
}
