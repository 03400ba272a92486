//! Fixings with their actions, ready to be replayed.

use crate::decimal::Decimal;
use crate::hands::Hands;
use holdoff_core::cure::{Rule, Settings};
use holdoff_core::fixing::{Action, Declaration, Demands, FixingSpec};
use holdoff_core::group::{FixingNumber, Group, GroupError};
use holdoff_core::log::PersonNumber;
use holdoff_core::probe::{SENSOR_GREATEST, SENSOR_LEAST};
use holdoff_core::quantity::{Count, Instant};
use holdoff_core::resin::Resin;

/// What files and records call a fixing: its label, or its number, counted from 1, where it has none.
pub fn called(label: &str, number: u8) -> String {
    if label.is_empty() { format!("fixing {}", u16::from(number).saturating_add(1)) } else { label.to_owned() }
}

/// A reading at the bottom of a hole, rounded down.
///
/// # Errors
/// That it lies outside the sensor's own range.
pub fn in_hole(celsius: &Decimal) -> Result<Count, String> {
    let (least, greatest) = (i64::from(SENSOR_LEAST.raw() / 256), i64::from(SENSOR_GREATEST.raw() / 256));
    let inside = celsius.cmp_whole(least).is_ge() && celsius.cmp_whole(greatest).is_le();
    let found = celsius.floor_count().filter(|_| inside);
    found.ok_or_else(|| format!("{celsius} is outside the sensor's range, {least} to {greatest} °C"))
}

/// One action, with the offset its time was written in.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Act {
    /// When, rounded as the action's kind asks (rule Q2).
    pub at: Instant,
    /// What.
    pub action: Action,
    /// Seconds the local clock is ahead of UTC where it was written down.
    pub offset_seconds: i32,
    /// Who did it, where somebody is named.
    pub by: Option<PersonNumber>,
}

impl Act {
    /// What the action is called in messages.
    pub const fn word(&self) -> &'static str {
        match self.action {
            Action::Inject(_) => "injection",
            Action::CarriedOut => "report of a refused injection",
            Action::Seat => "seating",
            Action::Hole(_) => "change of the hole condition",
            Action::Torque(_) => "torque",
            Action::TorquedEarly(_) => "report of an early torque",
            Action::Decide(_) => "engineer's decision",
            Action::Declare(Declaration::Cleaned(_)) => "cleaning of the hole",
            Action::Declare(Declaration::NewNozzle) => "new nozzle",
            Action::Declare(Declaration::Discarded) => "discard from the nozzle",
            Action::Declare(Declaration::Seating(_)) => "declaration of the seating",
        }
    }

    /// Place among actions of the same second.
    const fn rank(&self) -> u8 {
        match self.action {
            Action::Declare(Declaration::Cleaned(_) | Declaration::NewNozzle | Declaration::Discarded) => 0,
            Action::Inject(_) => 1,
            Action::Seat => 2,
            Action::Declare(Declaration::Seating(_)) => 3,
            Action::Hole(_) => 4,
            Action::CarriedOut => 5,
            Action::Torque(_) | Action::TorquedEarly(_) => 6,
            Action::Decide(_) => 7,
        }
    }
}

/// One fixing of a plan.
#[derive(Clone, Debug)]
pub struct Fixing {
    /// Its name; `None` for the one fixing of a command line.
    pub name: Option<String>,
    /// Hole and torque.
    pub spec: FixingSpec,
    /// What is done to it.
    pub acts: Vec<Act>,
    /// Offset its times are shown in, in seconds ahead of UTC: that of the seating, else of the first action.
    pub offset_seconds: i32,
}

impl Fixing {
    /// Whether there is something to tell of hands.
    pub fn tells_of_hands(&self, hands: &Hands) -> bool {
        let said = |act: &Act| act.by.is_some() || matches!(act.action, Action::Declare(_));
        hands.demands != Demands::NONE || self.acts.iter().any(said)
    }

    /// Who seated it.
    pub fn set_by(&self) -> Option<PersonNumber> {
        self.acts.iter().find(|act| act.action == Action::Seat)?.by
    }

    /// Who applied its last torque.
    pub fn torqued_by(&self) -> Option<PersonNumber> {
        let torqued = |act: &&Act| matches!(act.action, Action::Torque(_) | Action::TorquedEarly(_));
        self.acts.iter().filter(torqued).max_by_key(|act| act.at)?.by
    }
}

/// The fixings of one group.
#[derive(Clone, Debug)]
pub struct Plan {
    /// At most sixteen.
    pub fixings: Vec<Fixing>,
    /// What is demanded of hands, and whose they are.
    pub hands: Hands,
}

impl Plan {
    /// All actions in the order they take place.
    pub fn acts(&self) -> Vec<(FixingNumber, Act)> {
        let mut acts: Vec<(FixingNumber, Act)> = (0u8..)
            .zip(&self.fixings)
            .filter_map(|(place, fixing)| Some((FixingNumber::new(place)?, fixing)))
            .flat_map(|(number, fixing)| fixing.acts.iter().map(move |act| (number, *act)))
            .collect();
        acts.sort_by_key(|(number, act)| (act.at, act.rank(), *number));
        acts
    }

    /// A fixing's name.
    pub fn name_of(&self, number: FixingNumber) -> Option<&str> {
        self.fixings.get(number.place())?.name.as_deref()
    }

    /// What a logger calls the fixing at a place, counted from 0: by its name, or by its number where it has none.
    pub fn label(&self, place: usize) -> String {
        let name = self.fixings.get(place).and_then(|fixing| fixing.name.clone());
        name.unwrap_or_else(|| called("", u8::try_from(place).unwrap_or(u8::MAX)))
    }
}

/// The group of a plan, before anything has happened.
///
/// # Errors
/// As [`Group::new`] and [`Group::add`].
pub fn build(resin: &Resin, settings: Settings, rule: Rule, plan: &Plan) -> Result<Group, GroupError> {
    let mut group = Group::new(resin.clone(), settings, rule)?;
    group.demand(plan.hands.demands);
    for fixing in &plan.fixings {
        group.add(&fixing.spec)?;
    }
    Ok(group)
}
