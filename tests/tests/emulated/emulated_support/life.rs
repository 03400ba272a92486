//! One fixing's life by buttons, which goes on wherever a power cut has left it.

use holdoff_core::fixing::{Stage, TorqueRange};
use holdoff_core::quantity::{Span, Torque};
use holdoff_tests::emulator::{Button, Deed, EmulatorError, Held, Photo, Site, root};
use std::path::Path;
use std::sync::OnceLock;

/// A heading of the display, and so what the device has said.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(crate) enum Heading {
    /// It was injected.
    SeatNow,
    /// It was seated.
    LeaveAlone,
    /// It is cured.
    TorqueNow,
    /// It is released.
    MayBeLoaded,
}

impl Heading {
    const ALL: [Self; 4] = [Self::SeatNow, Self::LeaveAlone, Self::TorqueNow, Self::MayBeLoaded];

    /// The kept picture that has it.
    const fn picture(self) -> &'static str {
        match self {
            Self::SeatNow => "seat-now",
            Self::LeaveAlone => "leave-alone",
            Self::TorqueNow => "torque-now",
            Self::MayBeLoaded => "may-be-loaded",
        }
    }

    /// The heading on a photograph of the display, if it is one of these.
    pub(crate) fn of(photo: &Photo) -> Option<Self> {
        static KEPT: OnceLock<[Vec<bool>; 4]> = OnceLock::new();
        let kept = KEPT.get_or_init(|| {
            Self::ALL.map(|heading| {
                let path = root().join(format!("docs/screens/{}.png", heading.picture()));
                rows(&Photo::read(&path).unwrap()).to_vec()
            })
        });
        Self::ALL.into_iter().zip(kept).find(|(_, kept)| rows(photo) == **kept).map(|(heading, _)| heading)
    }

    /// What a stage is headed by, with readings.
    pub(crate) const fn at(stage: &Stage) -> Option<Self> {
        match stage {
            Stage::Working => Some(Self::SeatNow),
            Stage::Curing => Some(Self::LeaveAlone),
            Stage::Cured(_) => Some(Self::TorqueNow),
            Stage::Released(_) => Some(Self::MayBeLoaded),
            Stage::Planned
            | Stage::Refused
            | Stage::Held
            | Stage::Rejected(_)
            | Stage::AcceptedAsIs(_)
            | Stage::Removed(_) => None,
        }
    }
}

/// The rows of the display that a heading takes.
fn rows(photo: &Photo) -> &[bool] {
    &photo.0[18 * holdoff_tests::emulator::WIDTH..29 * holdoff_tests::emulator::WIDTH]
}

/// When it is injected and seated, at the earliest, and what it is torqued with.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Life {
    pub(crate) inject: i64,
    pub(crate) seat: i64,
    pub(crate) torque: (Torque, TorqueRange),
    /// Nobody looks any longer.
    pub(crate) until: i64,
}

/// Seconds from a look at the memory to the confirming press of what follows from it.
const LEAD: i64 = 5;
/// It is looked whether its probe has settled and whether it is cured so often,
const LOOK: i64 = 10;
/// and the display is lit so often while one waits.
const LIT: i64 = 120;

impl Life {
    /// Does what is to be done next until the fixing is released or rejected, and looks at the display a little longer.
    pub(crate) fn go_on(&self, site: &mut Site, memory: &Path) -> Result<(), EmulatorError> {
        loop {
            let now = site.machine.now_ms()?.div_euclid(1000);
            if now > self.until {
                return Ok(());
            }
            let held = Held::read(memory)?;
            let status = held.as_ref().and_then(|held| held.status(0));
            let stage = status.map(|status| status.stage);
            let group = held.as_ref().and_then(|held| held.replay.group());
            let settles = group.is_some_and(|group| group.still_settling() != Span::ZERO);
            match stage.ok_or_else(|| EmulatorError::Device("no fixing is loaded".to_owned()))? {
                // before the first start, and anew after a restart
                Stage::Planned | Stage::Refused if settles => site.advance(now + LOOK)?,
                Stage::Planned | Stage::Refused => {
                    site.press_by(self.inject.max(now + LEAD), &Deed::Inject.presses())?;
                }
                Stage::Working => site.press_by(self.seat.max(now + LEAD), &Deed::Seat.presses())?,
                Stage::Curing | Stage::Held => {
                    if (now - self.inject).rem_euclid(LIT) < LOOK {
                        site.press(Button::Right)?;
                    }
                    site.advance(now + LOOK)?;
                }
                Stage::Cured(_) => {
                    let (torque, range) = self.torque;
                    let deed = Deed::Torque(torque, holdoff_firmware::view::middle(range));
                    site.press_by(now + LEAD, &deed.presses())?;
                }
                Stage::Released(_) | Stage::Rejected(_) | Stage::AcceptedAsIs(_) | Stage::Removed(_) => {
                    site.press(Button::Right)?;
                    return site.advance(now + LEAD);
                }
            }
        }
    }
}
