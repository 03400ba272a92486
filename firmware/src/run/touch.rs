//! What a press does.
//!
//! Invariants: select acts only on a question that stands at YES, and no question begins there; it acts on the fixing whose
//! number is on the display.

use super::Works;
use super::press::Press;
use super::time::Now;
use super::ui::{Applied, LATE, Mode, Place};
use crate::board::Board;
use crate::view::{Answer, Fault, Item, Lacks, Question, middle};
use holdoff_core::fixing::{Action, Decision, Stage};
use holdoff_core::group::FixingNumber;
use holdoff_core::quantity::Torque;
use holdoff_core::resin::Hole;

/// What a cartridge's entry begins with once it is declared: room temperature.
const CARTRIDGE: i8 = 20;
/// The coldest and the warmest that can be declared.
const CARTRIDGES: (i8, i8) = (-30, 60);
/// A newton metre, and a tenth of one, in hundredths.
const NEWTON_METRE: u32 = 100;
const TENTH: u32 = 10;
/// The greatest torque that can be entered: 9999 N·m.
const MOST_TORQUE: u32 = 999_900;

impl<B: Board> Works<B> {
    /// Takes a press on a lit display.
    #[inline(never)] // its own stack, given back before the next part of a step
    pub(super) fn touched(&mut self, board: &mut B, press: Press, now: Option<Now>, uptime: u32) {
        let mode = match (self.ui.mode, self.shown()) {
            (Mode::Start | Mode::NotYet | Mode::HoleSettling | Mode::InHole(_) | Mode::Notice(_), _) => {
                Mode::Browse(Place::Status)
            }
            (Mode::Browse(place), shown) => self.browse(place, shown, press, now, uptime),
            (Mode::Menu(_) | Mode::Cartridge(_) | Mode::Torque(..) | Mode::Question { .. }, None) => {
                Mode::Browse(Place::Status)
            }
            (Mode::Menu(item), Some(fixing)) => self.choose(board, item, fixing, press, now),
            (Mode::Cartridge(degrees), Some(_)) => cartridge(degrees, press),
            (Mode::Torque(torque, applied), Some(_)) => enter(torque, applied, press),
            (Mode::Question { question, answer, degrees }, Some(fixing)) => match (press, answer) {
                (Press::Up | Press::Right, _) => Mode::Question { question, answer: Answer::Yes, degrees },
                (Press::Down | Press::Left, _) => Mode::Question { question, answer: Answer::No, degrees },
                (Press::Select, Answer::No) => Mode::Browse(Place::Status),
                (Press::Select, Answer::Yes) => self.confirmed(board, question, degrees, fixing, now),
            },
        };
        self.ui.mode = mode;
    }

    fn browse(
        &mut self,
        place: Place,
        shown: Option<FixingNumber>,
        press: Press,
        now: Option<Now>,
        uptime: u32,
    ) -> Mode {
        if let Place::Fault(at) = place {
            self.seen(at, uptime);
        }
        match press {
            Press::Left | Press::Right => {
                self.turn(press);
                Mode::Browse(if place == Place::Overview { place } else { Place::Status })
            }
            Press::Up => Mode::Browse(self.above(place, shown, now, uptime)),
            Press::Down => Mode::Browse(self.below(place, shown, now)),
            Press::Select => match (place, shown) {
                (Place::Fault(_) | Place::Overview, _) | (_, None) => Mode::Browse(Place::Status),
                (
                    Place::Status
                    | Place::Code
                    | Place::Short
                    | Place::Reasons
                    | Place::Materials
                    | Place::Cartridge
                    | Place::Times
                    | Place::Counting
                    | Place::Setting,
                    Some(fixing),
                ) => self.items(fixing).iter().next().map_or(Mode::Browse(place), Mode::Menu),
            },
        }
    }

    /// A fault was looked at: what is over then goes.
    fn seen(&mut self, at: u8, uptime: u32) {
        let fault = self.list(uptime).get(usize::from(at)).copied().flatten();
        if let Some(Fault::Restarted { .. }) = fault {
            self.faults.restarted = None;
        }
    }

    /// The next fixing, around in a ring.
    fn turn(&mut self, press: Press) {
        let count = self.count().max(1);
        let shown = self.ui.shown.min(count - 1);
        self.ui.shown = match press {
            Press::Left => (shown + count - 1) % count,
            Press::Right => (shown + 1) % count,
            Press::Up | Press::Down | Press::Select => shown,
        };
    }

    fn above(&mut self, place: Place, shown: Option<FixingNumber>, now: Option<Now>, uptime: u32) -> Place {
        let faults = self.list(uptime).iter().flatten().count().min(255) as u8;
        let first_fault = |or: Place| faults.checked_sub(1).map_or(or, Place::Fault);
        match (place, shown) {
            (Place::Fault(at), _) => Place::Fault(at.saturating_sub(1)),
            (_, None) => first_fault(Place::Status),
            (_, Some(fixing)) => {
                let before = Place::ALL.into_iter().take_while(|other| *other != place);
                before.filter(|other| self.has_page(fixing, *other, now)).last().unwrap_or(first_fault(place))
            }
        }
    }

    fn below(&mut self, place: Place, shown: Option<FixingNumber>, now: Option<Now>) -> Place {
        match (place, shown) {
            (_, None) | (Place::Fault(_), _) => Place::Status,
            (_, Some(fixing)) => {
                let after = Place::ALL.into_iter().skip_while(|other| *other != place).skip(1);
                let mut after = after.filter(|other| self.has_page(fixing, *other, now));
                after.next().unwrap_or(place)
            }
        }
    }

    fn choose(&mut self, board: &mut B, item: Item, fixing: FixingNumber, press: Press, now: Option<Now>) -> Mode {
        let items = self.items(fixing);
        match press {
            Press::Up => Mode::Menu(items.before(item)),
            Press::Down => Mode::Menu(items.after(item)),
            Press::Left | Press::Right => Mode::Browse(Place::Status),
            Press::Select if !items.has(item) => Mode::Browse(Place::Status),
            Press::Select => self.chosen(board, item, fixing, now),
        }
    }

    fn chosen(&mut self, board: &mut B, item: Item, fixing: FixingNumber, now: Option<Now>) -> Mode {
        let ask = |question| Mode::Question { question, answer: Answer::No, degrees: None };
        let range = self.logger.group().and_then(|group| group.torque_range(fixing));
        match item {
            // what the logger lacks stands on the status page, and nothing is asked
            Item::Inject if self.lacks(fixing) != Lacks::NONE => Mode::Browse(Place::Status),
            Item::Inject => Mode::Cartridge(None),
            Item::MeasureInHole => match now {
                Some(now) => self.measure_in_hole(board, now, fixing),
                None => Mode::Notice(self.no_time()),
            },
            Item::CarriedOut => ask(Question::CarriedOut),
            Item::Seat => ask(Question::Seat),
            Item::SeatedLate => LATE,
            Item::MayItBeTorqued => match self.status(fixing).map(|status| status.stage) {
                Some(Stage::Working | Stage::Curing | Stage::Held) => Mode::NotYet,
                Some(
                    Stage::Planned
                    | Stage::Refused
                    | Stage::Cured(_)
                    | Stage::Released(_)
                    | Stage::Rejected(_)
                    | Stage::AcceptedAsIs(_)
                    | Stage::Removed(_),
                )
                | None => Mode::Browse(Place::Status),
            },
            Item::Torqued => {
                range.map_or(Mode::Browse(Place::Status), |range| Mode::Torque(middle(range), Applied::Cured))
            }
            Item::TorquedEarly => {
                // the report is of this second, whatever is measured until it is entered
                let Some(now) = now else { return Mode::Notice(self.no_time()) };
                self.ui.early_since = Some(now.at);
                match range {
                    Some(range) => Mode::Torque(middle(range), Applied::Early),
                    // nobody specified one, so nobody measured one
                    None => ask(Question::TorquedEarly(Torque::from_hundredths(0))),
                }
            }
            Item::HoleWet => ask(Question::Hole(Hole::Wet)),
            Item::HoleFlooded => ask(Question::Hole(Hole::Flooded)),
            Item::Accept => ask(Question::Accept),
            Item::Remove => ask(Question::Remove),
        }
    }

    /// A question was answered with yes.
    fn confirmed(
        &mut self,
        board: &mut B,
        question: Question,
        degrees: Option<i8>,
        fixing: FixingNumber,
        now: Option<Now>,
    ) -> Mode {
        // without a time nothing can be recorded
        let Some(now) = now else { return Mode::Notice(self.no_time()) };
        let done = match question {
            Question::Inject if self.lacks(fixing) != Lacks::NONE => Ok(()), // the status page says what is lacking
            Question::Inject => self.inject(board, now, fixing, degrees),
            Question::CarriedOut => self.act(board, now, fixing, Action::CarriedOut),
            // the working time ended while it was asked
            Question::Seat if self.status(fixing).is_some_and(|status| self.is_too_late(&status)) => return LATE,
            Question::Seat | Question::SeatedLate => self.act(board, now, fixing, Action::Seat),
            Question::Hole(hole) => self.act(board, now, fixing, Action::Hole(hole)),
            Question::Torqued(torque) => self.act(board, now, fixing, Action::Torque(torque)),
            Question::TorquedEarly(torque) => self.torqued_early(board, now, fixing, torque),
            Question::Accept => self.act(board, now, fixing, Action::Decide(Decision::Accept)),
            Question::Remove => self.act(board, now, fixing, Action::Decide(Decision::Remove)),
        };
        done.map_or_else(Mode::Notice, |()| Mode::Browse(Place::Status))
    }
}

fn cartridge(degrees: Option<i8>, press: Press) -> Mode {
    let (least, greatest) = CARTRIDGES;
    match (press, degrees) {
        (Press::Up | Press::Down, None) => Mode::Cartridge(Some(CARTRIDGE)),
        (Press::Up, Some(degrees)) => Mode::Cartridge(Some(degrees.saturating_add(1).min(greatest))),
        (Press::Down, Some(degrees)) => Mode::Cartridge(Some(degrees.saturating_sub(1).max(least))),
        (Press::Left | Press::Right, Some(_)) => Mode::Cartridge(None),
        (Press::Left | Press::Right, None) => Mode::Browse(Place::Status),
        (Press::Select, degrees) => Mode::Question { question: Question::Inject, answer: Answer::No, degrees },
    }
}

fn enter(torque: Torque, applied: Applied, press: Press) -> Mode {
    let now = torque.hundredths();
    let entered = |hundredths: u32| Mode::Torque(Torque::from_hundredths(hundredths.min(MOST_TORQUE)), applied);
    match press {
        Press::Up => entered(now.saturating_add(NEWTON_METRE)),
        Press::Down => entered(now.saturating_sub(NEWTON_METRE)),
        Press::Right => entered(now.saturating_add(TENTH)),
        Press::Left => entered(now.saturating_sub(TENTH)),
        Press::Select => {
            let question = match applied {
                Applied::Cured => Question::Torqued(torque),
                Applied::Early => Question::TorquedEarly(torque),
            };
            Mode::Question { question, answer: Answer::No, degrees: None }
        }
    }
}
