//! Five buttons in gloved hands: from levels to presses.
//!
//! Why the first edge counts: whoever presses looks at the display and wants an answer. What bounces within
//! [`BOUNCE_MS`] afterwards is not looked at.
//! Invariants: a button that was down when the board started does nothing until it was seen up; two buttons at once do
//! nothing; a second one while the first is held does nothing, so a thumb across two of them can't both choose YES and
//! confirm it. A jammed one does not block the others for ever ([`TOGETHER_MS`]).

use crate::board::Buttons;

/// Milliseconds in which a button that changed is not looked at.
pub const BOUNCE_MS: u32 = 25;
/// A button that is held repeats after so many milliseconds, where that is asked for.
const HELD_MS: u32 = 700;
/// And then again and again after so many.
const AGAIN_MS: u32 = 200;

/// A button that has been down for so long does not keep the others from counting: ice may hold it.
pub const TOGETHER_MS: u32 = 2_000;

/// Which button.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Press {
    /// Up.
    Up,
    /// Down.
    Down,
    /// Left.
    Left,
    /// Right.
    Right,
    /// Select.
    Select,
}

/// Whether a button that is held counts again.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Repeat {
    /// It does: a value is being entered.
    Yes,
    /// It does not.
    No,
}

#[derive(Clone, Copy, Debug)]
struct Button {
    down: bool,
    changed_at: Option<u32>,
}

/// The five buttons, debounced.
#[derive(Debug)]
pub struct Presses {
    buttons: [Button; 5],
    /// The one that is held, and when it counts again.
    held: Option<(Press, u32)>,
}

impl Default for Presses {
    fn default() -> Self {
        Self::new()
    }
}

impl Presses {
    /// All taken for down, until they are seen up.
    pub const fn new() -> Self {
        Self { buttons: [Button { down: true, changed_at: None }; 5], held: None }
    }

    /// Takes the levels as they are at this uptime.
    pub fn take(&mut self, levels: Buttons, repeat: Repeat, uptime: u32) -> Option<Press> {
        let levels = [
            (Press::Up, levels.up),
            (Press::Down, levels.down),
            (Press::Left, levels.left),
            (Press::Right, levels.right),
            (Press::Select, levels.select),
        ];
        // buttons that were down before, not counting one that comes up now
        let held = self.buttons.iter().zip(levels).filter(|(button, (_, down))| {
            let since = button.changed_at.map(|at| uptime.wrapping_sub(at));
            button.down && since.is_some_and(|since| since < BOUNCE_MS || *down && since < TOGETHER_MS)
        });
        let (mut pressed, mut count) = (None, u8::from(held.count() > 0));
        for (button, (press, down)) in self.buttons.iter_mut().zip(levels) {
            let calm = button.changed_at.is_none_or(|at| uptime.wrapping_sub(at) >= BOUNCE_MS);
            if !calm || button.down == down {
                continue;
            }
            (button.down, button.changed_at) = (down, Some(uptime));
            if down {
                (pressed, count) = (Some(press), count.saturating_add(1));
            } else if self.held.is_some_and(|(held, _)| held == press) {
                self.held = None;
            }
        }
        match (pressed, count) {
            (Some(press), 1) => {
                self.held = Some((press, uptime.wrapping_add(HELD_MS)));
                Some(press)
            }
            (Some(_), _) => {
                self.held = None;
                None
            }
            (None, _) => self.again(repeat, uptime),
        }
    }

    fn again(&mut self, repeat: Repeat, uptime: u32) -> Option<Press> {
        let (press, at) = self.held?;
        let due = uptime.wrapping_sub(at) < u32::MAX / 2;
        match (repeat, press) {
            (Repeat::Yes, Press::Up | Press::Down | Press::Left | Press::Right) if due => {
                self.held = Some((press, uptime.wrapping_add(AGAIN_MS)));
                Some(press)
            }
            (Repeat::Yes | Repeat::No, _) => None,
        }
    }

    /// Milliseconds until they must be looked at again although nothing changes: a button still bounces, or is held.
    pub fn look_again_in(&self, repeat: Repeat, uptime: u32) -> Option<u32> {
        let bounce = self.buttons.iter().filter_map(|button| {
            let since = uptime.wrapping_sub(button.changed_at?);
            (since < BOUNCE_MS).then(|| BOUNCE_MS.saturating_sub(since))
        });
        let held = match (repeat, self.held) {
            (Repeat::Yes, Some((_, at))) => Some(at.wrapping_sub(uptime).min(HELD_MS)),
            (Repeat::Yes | Repeat::No, _) => None,
        };
        bounce.chain(held).min()
    }
}

#[cfg(test)]
mod tests {
    use super::{Press, Presses, Repeat};
    use crate::board::Buttons;

    const NONE: Buttons = Buttons { up: false, down: false, left: false, right: false, select: false };
    const SELECT: Buttons = Buttons { select: true, ..NONE };
    const UP: Buttons = Buttons { up: true, ..NONE };

    #[test]
    fn a_button_counts_once_at_its_first_edge_however_it_bounces() {
        let mut presses = Presses::new();
        assert_eq!(presses.take(NONE, Repeat::No, 0), None);
        assert_eq!(presses.take(SELECT, Repeat::No, 100), Some(Press::Select));
        for (at, levels) in [(101, NONE), (103, SELECT), (110, NONE), (124, SELECT)] {
            assert_eq!(presses.take(levels, Repeat::No, at), None);
        }
        assert_eq!(presses.look_again_in(Repeat::No, 110), Some(15));
        assert_eq!(presses.take(SELECT, Repeat::No, 5_000), None);
        assert_eq!(presses.take(NONE, Repeat::No, 6_000), None);
        assert_eq!(presses.take(SELECT, Repeat::No, 6_500), Some(Press::Select));
    }

    #[test]
    fn a_button_that_was_down_at_the_start_counts_only_after_it_was_up() {
        let mut presses = Presses::new();
        assert_eq!(presses.take(SELECT, Repeat::No, 0), None);
        assert_eq!(presses.take(SELECT, Repeat::No, 500), None);
        assert_eq!(presses.take(NONE, Repeat::No, 600), None);
        assert_eq!(presses.take(SELECT, Repeat::No, 700), Some(Press::Select));
    }

    #[test]
    fn two_buttons_together_are_nobodys_wish() {
        let mut presses = Presses::new();
        presses.take(NONE, Repeat::No, 0);
        assert_eq!(presses.take(Buttons { up: true, ..SELECT }, Repeat::No, 100), None);
        presses.take(NONE, Repeat::No, 200);
        assert_eq!(presses.take(UP, Repeat::No, 300), Some(Press::Up));
    }

    #[test]
    fn a_button_that_goes_down_while_another_is_held_gives_nothing() {
        let mut presses = Presses::new();
        presses.take(NONE, Repeat::No, 0);
        assert_eq!(presses.take(UP, Repeat::No, 100), Some(Press::Up));
        for at in [103, 130, 400] {
            assert_eq!(presses.take(Buttons { up: true, ..SELECT }, Repeat::No, at), None);
        }
        // whichever is let go first
        assert_eq!(presses.take(SELECT, Repeat::No, 500), None);
        assert_eq!(presses.take(NONE, Repeat::No, 600), None);
        assert_eq!(presses.take(SELECT, Repeat::No, 700), Some(Press::Select));
        // a bounce of the first while the second goes down
        presses.take(NONE, Repeat::No, 800);
        assert_eq!(presses.take(UP, Repeat::No, 900), Some(Press::Up));
        assert_eq!(presses.take(SELECT, Repeat::No, 910), None);
    }

    #[test]
    fn a_jammed_button_does_not_stop_the_others() {
        let mut presses = Presses::new();
        // it was down at the start
        presses.take(Buttons { select: false, ..UP }, Repeat::No, 0);
        assert_eq!(presses.take(Buttons { up: true, ..SELECT }, Repeat::No, 100), Some(Press::Select));
        presses.take(NONE, Repeat::No, 300);
        // it jams while it is pressed
        assert_eq!(presses.take(UP, Repeat::No, 1_000), Some(Press::Up));
        assert_eq!(presses.take(Buttons { up: true, ..SELECT }, Repeat::No, 2_000), None);
        presses.take(UP, Repeat::No, 2_500);
        assert_eq!(presses.take(Buttons { up: true, ..SELECT }, Repeat::No, 3_100), Some(Press::Select));
    }

    #[test]
    fn a_held_button_repeats_only_where_a_value_is_entered() {
        let mut presses = Presses::new();
        presses.take(NONE, Repeat::Yes, 0);
        assert_eq!(presses.take(UP, Repeat::Yes, 100), Some(Press::Up));
        assert_eq!(presses.take(UP, Repeat::Yes, 799), None);
        assert_eq!(presses.take(UP, Repeat::Yes, 800), Some(Press::Up));
        assert_eq!(presses.take(UP, Repeat::No, 1_000), None);
        assert_eq!(presses.take(UP, Repeat::Yes, 1_000), Some(Press::Up));
        presses.take(NONE, Repeat::Yes, 1_100);
        assert_eq!(presses.take(NONE, Repeat::Yes, 9_000), None);
        presses.take(SELECT, Repeat::Yes, 10_000);
        assert_eq!(presses.take(SELECT, Repeat::Yes, 20_000), None);
    }
}
