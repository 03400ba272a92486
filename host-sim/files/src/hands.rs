//! What a plan says of hands: what is demanded of them, and whose they are (section H of `docs/cure-rules.md`).

use holdoff_core::fixing::Demands;
use holdoff_core::log::{Person, PersonNumber};

/// The hands of a plan.
#[derive(Clone, Debug)]
pub struct Hands {
    /// What is demanded of them.
    pub demands: Demands,
    /// The people whose they are, at most eight.
    pub people: Vec<Person>,
}

impl Hands {
    /// Nothing is demanded, nobody named.
    pub const NONE: Self = Self { demands: Demands::NONE, people: Vec::new() };

    /// A person's name.
    pub fn name(&self, of: PersonNumber) -> Option<&str> {
        self.people.iter().find(|person| person.number == of)?.name.text()
    }
}
