//! What people declare of a hole, a nozzle and a seating (section H of `docs/cure-rules.md`).
//!
//! What for: a reading can't tell whether a hole was cleaned, or whether resin came out all round. What is declared is kept as
//! declared, never as measured.
//! Terms: a *step* of a cleaning is one kind of work, done a number of times in a row; a *fact* is yes, no, or not declared.
//! What it does not do: say who declared it (the log does).

use crate::quantity::Span;

/// What a step of a cleaning does.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum CleaningKind {
    /// The hole is blown out from its bottom.
    Blow,
    /// It is brushed with a brush of its diameter.
    Brush,
    /// It is rinsed with water.
    Rinse,
    /// It was drilled with a hollow bit that extracts the dust.
    ExtractingBit,
}

impl CleaningKind {
    /// All of them, in the order in which they are logged.
    pub const ALL: [Self; 4] = [Self::Blow, Self::Brush, Self::Rinse, Self::ExtractingBit];
}

/// A step of a cleaning as it was done (H2). Its last instant is that of the action.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct CleaningDone {
    /// What was done.
    pub kind: CleaningKind,
    /// How often.
    pub count: u8,
    /// From its first instant to its last.
    pub took: Span,
}

/// What was declared.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Default)]
pub enum Fact {
    /// Nothing.
    #[default]
    NotDeclared,
    /// Yes.
    Yes,
    /// No.
    No,
}

impl Fact {
    /// This, unless the other says more: what is declared stands, and a *no* stands against a *yes*.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        self.max(other)
    }
}

/// The two facts of a seating (H5).
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Default)]
pub struct SeatingFacts {
    /// Resin came out all round.
    pub excess: Fact,
    /// The mark was reached.
    pub depth: Fact,
}

/// What somebody declares.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Declaration {
    /// A step of the hole's cleaning was done (H2); its last instant is that of the action.
    Cleaned(CleaningDone),
    /// A new nozzle was put on (H4). It is the group's; the fixing is the one it was put on for.
    NewNozzle,
    /// Resin was discarded from the nozzle until its colour was even (H4); as above.
    Discarded,
    /// The facts of the seating (H5).
    Seating(SeatingFacts),
}
