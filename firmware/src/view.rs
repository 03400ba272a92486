//! What the display shows, as plain values: what the run loop hands to the screens.
//!
//! Why values and not calls: the run loop says *what* is to be seen, `screen` alone says how it looks. A test compares
//! values, a picture is drawn from a value, and nothing is drawn anew while the value has not changed.
//! Terms: a *view* is all that is to be seen at one moment; its *head* is what stands on every screen of a fixing; a
//! *page* is what up and down leaf through.
//! Invariants: every screen of a fixing has a [`Head`], so which fixing is shown is always clear; a view is made from a
//! status and never the other way round, and it releases nothing.
//! What it does not do: ask the engine, round, or know a font.

mod entry;
mod fault;
mod state;
mod wall;

pub use entry::{Answer, Item, Items, Question};
pub use fault::{ClockFailure, Fault, Goes, Link, Notice};
pub use state::{Forecast, Held, Lack, Lacks, May, State, Wait, middle};
pub use wall::{Wall, Weekday};

use holdoff_core::cure::{Laxer, Rule};
use holdoff_core::fixing::TorqueRange;
use holdoff_core::log::{Bytes, DeviceId};
use holdoff_core::quantity::{Count, Fine, Instant, Span, Torque};
use holdoff_core::resin::{Hole, ResinUse};
use holdoff_core::seal::{Label, MODULES, ShortForm, Symbol};

/// Everything that is to be seen at one moment.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum View<'a> {
    /// Nothing: the display is dark.
    Dark,
    /// Right after the start: who this is, and the cautions in short.
    Start(Start),
    /// No job is loaded.
    NoJob(Around),
    /// One fixing.
    Fixing(Head, Page<'a>),
    /// The whole group.
    Overview(Overview),
    /// Something is wrong with the logger.
    Fault(Fault),
    /// A PC is connected.
    Link(Link),
}

/// The start screen.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Start {
    /// Version of the firmware.
    pub version: [u8; 3],
    /// The device's number.
    pub device: DeviceId,
}

/// What the logger knows of its surroundings.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Around {
    /// The last accepted reading; `None` while there is none that is recent enough.
    pub temperature: Option<Count>,
    /// Local time; `None` while the wall clock is unknown.
    pub now: Option<Wall>,
    /// The battery.
    pub battery: Battery,
    /// Whether something is wrong that has its own screen.
    pub alert: Alert,
}

/// The battery.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Battery {
    /// It lasts.
    Good,
    /// Change it soon.
    Low,
    /// So low that no injection is allowed any more.
    VeryLow,
}

/// Whether something is wrong with the logger.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Alert {
    /// Nothing.
    None,
    /// There is a fault screen to be seen.
    Fault,
}

/// What stands on every screen of a fixing.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Head {
    /// Which fixing of the group.
    pub which: Which,
    /// What it is called on site.
    pub label: Label,
    /// Whether the resin may be used on site.
    pub resin: ResinUse,
    /// Temperature, time, battery.
    pub around: Around,
}

/// Which fixing of how many.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Which {
    /// Counted from 1.
    pub number: u8,
    /// All of them.
    pub of: u8,
}

/// What is shown of a fixing.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Page<'a> {
    /// What may be done with it now.
    Status(State),
    /// Asked too early whether it may be torqued.
    NotYet(Wait),
    /// Every ground of a refusal or a rejection, and what the logger itself lacks.
    Reasons(May),
    /// What it was set with.
    Materials(Materials),
    /// The cartridge that it was injected from.
    Cartridge(Cartridge),
    /// When what was done to it.
    Times(Times),
    /// How the cure was counted.
    Counting(Counting),
    /// The settings that the count rests on.
    Setting(Setting),
    /// The release code as a picture.
    Code(Picture<'a>),
    /// The release code's short form, to be read out over the phone.
    Short(ShortForm),
    /// It is released, but no key was put in, so there is no code.
    NoKey,
    /// What can be done now.
    Menu {
        /// The items that apply.
        items: Items,
        /// The one that select takes.
        chosen: Item,
    },
    /// Asks once more before something that can't be undone.
    Question {
        /// What is asked.
        question: Question,
        /// What stands chosen.
        answer: Answer,
    },
    /// The torque that was applied is entered.
    EnterTorque {
        /// What stands there.
        torque: Torque,
        /// What is specified.
        range: TorqueRange,
    },
    /// The cartridge's temperature is entered.
    EnterCartridge {
        /// Whole degrees Celsius; `None` for not declared.
        degrees: Option<i8>,
        /// Least and greatest that the resin allows.
        range: (Count, Count),
    },
    /// A reading was taken in the hole.
    InHole {
        /// The reading.
        reading: Count,
        /// How long an injection may still be given it.
        counts_for: Span,
    },
    /// A reading in the hole is waited for: it has not settled (rule R6).
    HoleSettling {
        /// What the probe gives; `None` where it gave nothing.
        reading: Option<Count>,
        /// How long it takes at least.
        still: Span,
    },
    /// Something was not done, and why.
    Notice(Notice),
}

/// What a fixing was set with.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Materials {
    /// Name of the resin.
    pub resin: Bytes<32>,
    /// Hole condition in force.
    pub hole: Hole,
}

/// The cartridge that a fixing was injected from, or is to be.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Cartridge {
    /// Its temperature.
    pub temperature: Declared,
    /// What is printed on it; empty where undeclared.
    pub batch: Bytes<24>,
    /// A second of the last day that it may be used on, local time; `None` where undeclared.
    pub use_by: Option<Wall>,
}

/// A cartridge's temperature: nobody measures it, somebody may declare it (rule A1).
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Declared {
    /// Nothing has been injected.
    NotYet,
    /// Nobody declared it at the last start.
    Not,
    /// As it was declared at the last start, refused or not.
    Degrees(Count),
}

/// When what was done to a fixing; `None` where it was not, or while the wall clock is unknown.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Times {
    /// When it was injected.
    pub injected: Option<Wall>,
    /// When it was seated.
    pub seated: Option<Wall>,
    /// When it was cured.
    pub cured: Option<Wall>,
    /// The last torque that was applied.
    pub torque: Option<Torque>,
}

/// How the cure was counted.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Counting {
    /// Seconds required by the coldest-band rule.
    pub required: u64,
    /// Seconds served.
    pub served: u64,
    /// Seconds held.
    pub held: u64,
    /// Seconds unobserved.
    pub unobserved: u64,
    /// The coldest, the probe's uncertainty taken off; `None` before seating.
    pub coldest: Option<Fine>,
}

/// The settings that the count rests on.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Setting {
    /// The rule.
    pub rule: Rule,
    /// Uncertainty of a reading in counts of 1/256 °C.
    pub uncertainty: u16,
    /// The longest gap.
    pub longest_gap: Span,
    /// Clock allowance.
    pub clock_ppm: u16,
    /// How long the probe must have said nearly the same before a start.
    pub settle: Span,
    /// Which of them are laxer than their default.
    pub laxer: Laxer,
}

/// The release code as a picture.
#[derive(Clone, Copy, Debug)]
pub struct Picture<'a>(pub &'a Symbol<'a>);

impl PartialEq for Picture<'_> {
    /// Module by module.
    fn eq(&self, other: &Self) -> bool {
        (0..MODULES).all(|y| (0..MODULES).all(|x| self.0.is_dark(x, y) == other.0.is_dark(x, y)))
    }
}

/// Most fixings of a group.
pub const MOST_FIXINGS: usize = holdoff_core::group::MOST_FIXINGS;

/// The whole group at a glance.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Overview {
    /// One glance a fixing; `None` beyond the last.
    pub fixings: [Option<Glance>; MOST_FIXINGS],
    /// The fixing that select shows.
    pub chosen: Which,
    /// Whether the resin may be used on site.
    pub resin: ResinUse,
}

/// A fixing in a word.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Glance {
    /// Nothing has been injected.
    NotInjected,
    /// Nothing has been injected, and the probe has not settled (rule R6).
    Settling,
    /// The start was refused.
    Refused,
    /// Injected and not seated.
    SeatNow,
    /// Injected and not seated, and the working time is over.
    TooLate,
    /// The cure is counted.
    LeaveAlone,
    /// The cure is held.
    Held,
    /// Cured: may be torqued.
    Torque,
    /// Cured, where no torque is specified.
    Cured,
    /// Released: may be loaded.
    Load,
    /// Rejected.
    DoNotLoad,
    /// Rejected and accepted as it is by the engineer.
    AsIs,
    /// Rejected, to be removed.
    Removed,
}

/// An instant of the monotonic clock as local time, by the last tie to the wall clock.
pub const fn wall(at: Instant, ahead: i64, offset_minutes: i16) -> Wall {
    Wall::new(at.seconds().saturating_add(ahead), offset_minutes)
}
