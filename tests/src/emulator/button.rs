//! The five buttons, by the keys that the emulator knows them by.

/// A button.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Button {
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

impl Button {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Up, Self::Down, Self::Left, Self::Right, Self::Select];

    /// The key.
    pub(super) const fn key(self) -> &'static str {
        match self {
            Self::Up => "up",
            Self::Down => "down",
            Self::Left => "left",
            Self::Right => "right",
            Self::Select => "ctrl",
        }
    }
}
