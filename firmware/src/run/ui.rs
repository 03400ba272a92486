//! Where the person with the gloves stands: what is shown, and what is being asked.
//!
//! ```text
//!             left, right: which fixing                    select
//!   faults                                  status ──────────────────> menu ──> entry ──> question
//!     ^ v up, down                            ^ v                                            │ YES, select
//!   overview <──> status <──> code <──> ... pages                                            v
//!                                                                                      it is done, or a notice
//! ```
//!
//! Invariants: a question begins with NO, and [`ASK_MS`] without a button is a no; the press that lights the display does nothing
//! else; nothing is shown over a question.
//! What it does not do: know what a press does to a fixing (`super::touch`).

use super::press::{Press, Presses, Repeat};
use super::show::Drawn;
use crate::board::Buttons;
use crate::view::{Answer, Item, Notice, Question};
use holdoff_core::fixing::InHole;
use holdoff_core::quantity::{Instant, Torque};

/// Milliseconds after the last button, or after what kept it lit, until the display goes dark.
pub(super) const LIT_MS: u32 = 60_000;
/// Milliseconds without a button after which a menu, an entry or a question is given up.
pub(super) const ASK_MS: u32 = 20_000;
/// Milliseconds that the start screen stands.
const START_MS: u32 = 4_000;

/// A page that up and down leaf through, from top to bottom.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Place {
    /// A fault, by its place in the list.
    Fault(u8),
    Overview,
    Status,
    Code,
    Short,
    Reasons,
    Materials,
    Cartridge,
    Times,
    Counting,
    Setting,
}

impl Place {
    /// The pages of a fixing and of the group, from top to bottom.
    pub(super) const ALL: [Self; 10] = [
        Self::Overview,
        Self::Status,
        Self::Code,
        Self::Short,
        Self::Reasons,
        Self::Materials,
        Self::Cartridge,
        Self::Times,
        Self::Counting,
        Self::Setting,
    ];
}

/// Why a torque is entered.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Applied {
    /// After the cure.
    Cured,
    /// Before it.
    Early,
}

/// What is being asked or shown.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Mode {
    /// Who this is.
    Start,
    /// Leafing through.
    Browse(Place),
    /// Choosing what to do.
    Menu(Item),
    /// Entering the cartridge's temperature.
    Cartridge(Option<i8>),
    /// Entering a torque.
    Torque(Torque, Applied),
    /// Asked once more. The cartridge's temperature goes with an injection.
    Question { question: Question, answer: Answer, degrees: Option<i8> },
    /// Asked too early.
    NotYet,
    /// A reading in the hole is waited for.
    HoleSettling,
    /// A reading was taken in the hole.
    InHole(InHole),
    /// Something was not done.
    Notice(Notice),
}

/// Asks whether it was seated too late.
pub(super) const LATE: Mode = Mode::Question { question: Question::SeatedLate, answer: Answer::No, degrees: None };

impl Mode {
    /// The page that is leafed to, or that what is asked stands over.
    pub(super) const fn place(self) -> Place {
        match self {
            Self::Browse(place) => place,
            Self::Start
            | Self::Menu(_)
            | Self::Cartridge(_)
            | Self::Torque(..)
            | Self::Question { .. }
            | Self::NotYet
            | Self::HoleSettling
            | Self::InHole(_)
            | Self::Notice(_) => Place::Status,
        }
    }
}

/// The display and the buttons.
#[derive(Debug)]
pub(super) struct Ui {
    pub(super) mode: Mode,
    /// The fixing that is shown.
    pub(super) shown: u8,
    presses: Presses,
    /// When a button was last pressed.
    touched_at: u32,
    /// From when on the display's minute counts: the last press, or the end of what kept it lit.
    lit_at: u32,
    light: Light,
    /// Whether the board's display is on.
    pub(super) was_lit: bool,
    /// What was drawn last.
    pub(super) drawn: Option<Drawn>,
    /// Something keeps the display lit.
    keep: Keep,
    /// When the report of an early torque was begun that is being entered.
    pub(super) early_since: Option<Instant>,
}

/// Whether the display is lit.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Light {
    On,
    Off,
}

/// Whether something keeps the display lit.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Keep {
    Lit,
    No,
}

impl Ui {
    pub(super) const fn new() -> Self {
        Self {
            mode: Mode::Start,
            shown: 0,
            presses: Presses::new(),
            touched_at: 0,
            lit_at: 0,
            light: Light::Off,
            was_lit: false,
            drawn: None,
            keep: Keep::No,
            early_since: None,
        }
    }

    pub(super) const fn start(&mut self, uptime: u32) {
        self.mode = Mode::Start;
        self.touch(uptime);
    }

    /// Starts with a dark display, which nothing but a button lights.
    pub(super) const fn start_dark(&mut self) {
        self.mode = Mode::Browse(Place::Status);
    }

    /// Takes the buttons. A press that lights the display does nothing else.
    pub(super) fn take(&mut self, levels: Buttons, uptime: u32) -> Option<Press> {
        let press = self.presses.take(levels, self.repeats(), uptime)?;
        let was_lit = self.is_lit(uptime);
        self.touch(uptime);
        was_lit.then_some(press)
    }

    const fn touch(&mut self, uptime: u32) {
        (self.touched_at, self.lit_at, self.light) = (uptime, uptime, Light::On);
    }

    /// Shows what was waited for, as after a press.
    pub(super) const fn tell(&mut self, mode: Mode, uptime: u32) {
        self.mode = mode;
        self.touch(uptime);
    }

    /// Keeps the display lit or not. When what kept it lit is over it stays so for its minute: nobody who looks at it has
    /// to light it first.
    pub(super) fn keep_lit(&mut self, keep: Keep, uptime: u32) {
        match (self.keep, keep) {
            (Keep::Lit, Keep::No) => (self.lit_at, self.light) = (uptime, Light::On),
            (Keep::Lit, Keep::Lit) | (Keep::No, Keep::Lit | Keep::No) => {}
        }
        self.keep = keep;
    }

    const fn repeats(&self) -> Repeat {
        match self.mode {
            Mode::Cartridge(_) | Mode::Torque(..) => Repeat::Yes,
            Mode::Start
            | Mode::Browse(_)
            | Mode::Menu(_)
            | Mode::Question { .. }
            | Mode::NotYet
            | Mode::HoleSettling
            | Mode::InHole(_)
            | Mode::Notice(_) => Repeat::No,
        }
    }

    /// Milliseconds until the buttons must be looked at again.
    pub(super) fn look_again_in(&self, uptime: u32) -> Option<u32> {
        self.presses.look_again_in(self.repeats(), uptime)
    }

    /// Whether the display is lit.
    pub(super) fn is_lit(&self, uptime: u32) -> bool {
        match (self.keep, self.light) {
            (Keep::Lit, _) => true,
            (Keep::No, Light::On) => uptime.wrapping_sub(self.lit_at) < LIT_MS,
            (Keep::No, Light::Off) => false,
        }
    }

    /// What nobody touched for long enough is given up.
    pub(super) fn let_go(&mut self, uptime: u32) {
        let idle = uptime.wrapping_sub(self.touched_at);
        match self.mode {
            Mode::Start if idle >= START_MS => self.mode = Mode::Browse(Place::Status),
            Mode::Menu(_)
            | Mode::Cartridge(_)
            | Mode::Torque(..)
            | Mode::Question { .. }
            | Mode::NotYet
            | Mode::InHole(_)
            | Mode::Notice(_)
                if idle >= ASK_MS =>
            {
                self.mode = Mode::Browse(Place::Status);
            }
            Mode::Browse(place) if uptime.wrapping_sub(self.lit_at) >= LIT_MS && self.light == Light::On => {
                self.light = Light::Off;
                match place {
                    // it is still there when somebody comes and looks
                    Place::Fault(_) => {}
                    Place::Overview
                    | Place::Status
                    | Place::Code
                    | Place::Short
                    | Place::Reasons
                    | Place::Materials
                    | Place::Cartridge
                    | Place::Times
                    | Place::Counting
                    | Place::Setting => self.mode = Mode::Browse(Place::Status),
                }
            }
            Mode::Start
            | Mode::Browse(_)
            | Mode::Menu(_)
            | Mode::Cartridge(_)
            | Mode::Torque(..)
            | Mode::Question { .. }
            | Mode::NotYet
            | Mode::HoleSettling // ends by itself
            | Mode::InHole(_)
            | Mode::Notice(_) => {}
        }
    }

    /// The display of a fault that is over shows the last one that is not, or the status: the next press is one on that.
    pub(super) fn leave_what_is_over(&mut self, faults: usize) {
        if let Mode::Browse(Place::Fault(at)) = self.mode
            && usize::from(at) >= faults
        {
            let last = faults.checked_sub(1).and_then(|last| u8::try_from(last).ok());
            self.mode = Mode::Browse(last.map_or(Place::Status, Place::Fault));
        }
    }

    /// Whether somebody is about to say that the fixing that is shown is seated.
    pub(super) const fn asks_to_seat(&self) -> bool {
        matches!(self.mode, Mode::Menu(Item::Seat) | Mode::Question { question: Question::Seat, .. })
    }

    /// The working time of the fixing that is shown has ended: whether it was seated in it is not asked any more, but whether
    /// it was seated too late, with NO chosen.
    pub(super) fn too_late(&mut self) {
        self.mode = match self.mode {
            Mode::Menu(Item::Seat) => Mode::Menu(Item::SeatedLate),
            Mode::Question { question: Question::Seat, .. } => LATE,
            other @ (Mode::Start
            | Mode::Browse(_)
            | Mode::Menu(_)
            | Mode::Cartridge(_)
            | Mode::Torque(..)
            | Mode::Question { .. }
            | Mode::NotYet
            | Mode::HoleSettling
            | Mode::InHole(_)
            | Mode::Notice(_)) => other,
        };
    }

    /// Shows a new fault, unless something is being asked; returns whether it is shown. The display is lit for it, or is left
    /// as it is.
    pub(super) fn raise(&mut self, place: u8, light: Light, uptime: u32) -> bool {
        match self.mode {
            Mode::Start | Mode::Browse(_) => {
                self.mode = Mode::Browse(Place::Fault(place));
                match light {
                    Light::On => self.touch(uptime),
                    Light::Off => {}
                }
                true
            }
            Mode::Menu(_)
            | Mode::Cartridge(_)
            | Mode::Torque(..)
            | Mode::Question { .. }
            | Mode::NotYet
            | Mode::HoleSettling
            | Mode::InHole(_)
            | Mode::Notice(_) => false,
        }
    }
}
