//! What is asked of the person with the gloves: menu, questions.

use holdoff_core::quantity::Torque;
use holdoff_core::resin::Hole;

/// What can be done to a fixing.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Item {
    /// Start the injection.
    Inject,
    /// Take the probe's present reading as one at the bottom of the hole.
    MeasureInHole,
    /// A refused injection was carried out all the same.
    CarriedOut,
    /// The element is seated.
    Seat,
    /// The element was seated, after the working time had ended.
    SeatedLate,
    /// Ask whether it may be torqued.
    MayItBeTorqued,
    /// It was torqued.
    Torqued,
    /// It was torqued before it was cured.
    TorquedEarly,
    /// The hole turned out wet.
    HoleWet,
    /// The hole turned out flooded.
    HoleFlooded,
    /// The engineer accepts it as it is.
    Accept,
    /// The engineer has it removed.
    Remove,
}

impl Item {
    /// All of them, in the order of the menu.
    pub const ALL: [Self; 12] = [
        Self::Inject,
        Self::MeasureInHole,
        Self::CarriedOut,
        Self::Seat,
        Self::SeatedLate,
        Self::MayItBeTorqued,
        Self::Torqued,
        Self::TorquedEarly,
        Self::HoleWet,
        Self::HoleFlooded,
        Self::Accept,
        Self::Remove,
    ];
}

/// A set of what can be done, shown in the order of [`Item::ALL`].
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Items(u16);

impl Items {
    /// Nothing.
    pub const NONE: Self = Self(0);

    /// The set with one more.
    #[must_use]
    pub const fn with(self, item: Item) -> Self {
        Self(self.0 | 1 << item as u16)
    }

    /// The set with one more where `applies`.
    #[must_use]
    pub const fn with_if(self, applies: bool, item: Item) -> Self {
        if applies { self.with(item) } else { self }
    }

    /// Whether it is in the set.
    pub const fn has(self, item: Item) -> bool {
        self.0 & 1 << item as u16 != 0
    }

    /// Whether the set is empty.
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// Those in the set, in the order of the menu.
    pub fn iter(self) -> impl Iterator<Item = Item> {
        Item::ALL.into_iter().filter(move |&item| self.has(item))
    }

    /// The item after this one; the last one stays.
    pub fn after(self, item: Item) -> Item {
        self.iter().find(|&other| other > item).unwrap_or(item)
    }

    /// The item before this one; the first one stays.
    pub fn before(self, item: Item) -> Item {
        self.iter().filter(|&other| other < item).last().unwrap_or(item)
    }
}

/// What is asked once more, because it can't be undone.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Question {
    /// Does the injection start now?
    Inject,
    /// Was it injected all the same?
    CarriedOut,
    /// Is it seated?
    Seat,
    /// Was it seated after the working time had ended? That rejects it.
    SeatedLate,
    /// Is the hole of this stricter condition?
    Hole(Hole),
    /// Was it torqued with this?
    Torqued(Torque),
    /// Was it torqued before it was cured? That rejects it.
    TorquedEarly(Torque),
    /// Does the engineer accept it as it is?
    Accept,
    /// Does the engineer have it removed?
    Remove,
}

/// The answer that stands chosen.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Answer {
    /// What a question begins with.
    No,
    /// Select confirms it.
    Yes,
}

#[cfg(test)]
mod tests {
    use super::{Item, Items};

    #[test]
    fn items_follow_each_other_in_the_order_of_the_menu_and_stop_at_its_ends() {
        let items = Items::NONE.with(Item::Seat).with(Item::HoleWet).with(Item::HoleFlooded);
        assert!(items.iter().eq([Item::Seat, Item::HoleWet, Item::HoleFlooded]));
        assert_eq!(items.after(Item::Seat), Item::HoleWet);
        assert_eq!(items.after(Item::HoleFlooded), Item::HoleFlooded);
        assert_eq!(items.before(Item::HoleFlooded), Item::HoleWet);
        assert_eq!(items.before(Item::Seat), Item::Seat);
        assert!(Item::ALL.is_sorted());
    }
}
