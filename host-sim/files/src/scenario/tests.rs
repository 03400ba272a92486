use super::Scenario;
use crate::deeds::Plan;
use holdoff_core::fixing::{Action, Cartridge, CleaningKind, Declaration, Demands, Fact, Needs, SeatingFacts};
use holdoff_core::log::PersonNumber;
use holdoff_core::quantity::Count;

const GOOD: &str = r#"
trace = "day.csv"
resin = "slow.toml"
[[fixing]]
name = "A1"
hole = "dry"
torque_least = 18
torque_greatest = 22.5
[[fixing.action]]
at = 2022-01-03T10:20:00-07:00
inject = { cartridge = 15.5, in_hole = 5.25, use_by = "2022-06-30" }
[[fixing.action]]
at = "2022-01-03T10:25:00.4-07:00"
seat = true
[[fixing.action]]
at = "2022-01-03T20:00:00.9-07:00"
torque = 20.5
"#;

#[test]
fn a_scenario_gives_its_actions_rounded_as_their_kind_asks() {
    let scenario = Scenario::parse("quay.toml", GOOD).map_err(|problem| problem.to_string());
    let plan = scenario.and_then(|scenario| {
        scenario.plan(|_| Cartridge::exactly(Count::from_degrees(15))).map_err(|problem| problem.to_string())
    });
    let plan = plan.unwrap_or_else(|problem| panic!("{problem}"));
    let acts = &plan.fixings[0].acts;
    assert_eq!(acts.len(), 3);
    assert_eq!(acts[1].at.since(acts[0].at), 301, "a seating is rounded up");
    assert_eq!(acts[2].at.since(acts[0].at), 34_800, "a torque is rounded down");
    assert!(matches!(acts[2].action, Action::Torque(torque) if torque.hundredths() == 2050));
    let Action::Inject(injection) = acts[0].action else { panic!("the first action is the injection") };
    // the end of 30 June where the offset is -07:00
    assert_eq!(injection.past_from.map(holdoff_core::quantity::Instant::seconds), Some(1_656_658_800));
}

#[test]
fn what_is_wrong_is_named_with_its_place() {
    let cases = [
        ("trace = \"day.csv\"", "trac = \"day.csv\"", "2:1", "not known"),
        ("hole = \"dry\"", "hole = \"damp\"", "6:8", "damp"),
        ("torque_least = 18", "torque_least = 28", "4:1", "above"),
        ("10:25:00.4-07:00", "10:25:00.4", "13:6", "offset"),
        ("seat = true", "seat = false", "14:8", "says nothing"),
        ("seat = true", "", "12:1", "0 things"),
        ("torque = 20.5", "torque = 20.555", "17:10", "finer"),
        ("name = \"A1\"", "", "4:1", "name"),
        ("hole = \"dry\"", "hole = dry", "6:8", "TOML"),
        ("in_hole = 5.25", "in_hole = 525", "11:40", "range"),
    ];
    for (good, bad, place, word) in cases {
        let problem = match Scenario::parse("quay.toml", &GOOD.replacen(good, bad, 1)) {
            Ok(_) => panic!("{bad:?} was taken"),
            Err(problem) => problem.to_string(),
        };
        assert!(problem.starts_with(&format!("quay.toml:{place}:")), "{bad:?}: {problem}");
        assert!(problem.contains(word), "{bad:?}: {problem}");
    }
}

const HANDS: &str = r#"
trace = "day.csv"
resin = "slow.toml"
cleaning = "blow 2, brush 1"
nozzle_record = "required"
people = ["A. Hand", "B. Hand"]
[[fixing]]
name = "A1"
hole = "dry"
[[fixing.action]]
at = 2022-01-03T10:01:10Z
from = 2022-01-03T10:01:00Z
clean = "blow 2"
by = "B. Hand"
[[fixing.action]]
at = 2022-01-03T10:02:00Z
clean = "brush 1, blow 3"
[[fixing.action]]
at = 2022-01-03T10:03:00Z
nozzle = "new"
[[fixing.action]]
at = 2022-01-03T10:04:00Z
discard = true
[[fixing.action]]
at = 2022-01-03T10:05:00.5Z
seat = { excess = "yes", depth = "no" }
"#;

fn plan(text: &str) -> Result<Plan, String> {
    let scenario = Scenario::parse("quay.toml", text).map_err(|problem| problem.to_string())?;
    scenario.plan(|_| Cartridge::exactly(Count::from_degrees(15))).map_err(|problem| problem.to_string())
}

#[test]
fn a_scenario_says_what_hands_did_and_whose_they_were() {
    let plan = plan(HANDS).unwrap_or_else(|problem| panic!("{problem}"));
    assert_eq!((plan.hands.demands.cleaning(), plan.hands.demands.nozzle()), (Needs::Required, Needs::Required));
    let acts = &plan.fixings[0].acts;
    let what: Vec<Action> = acts.iter().map(|act| act.action).collect();
    let cleaned: Vec<(CleaningKind, u8, u32)> = what
        .iter()
        .filter_map(|action| match action {
            Action::Declare(Declaration::Cleaned(done)) => Some((done.kind, done.count, done.took.seconds())),
            _ => None,
        })
        .collect();
    assert_eq!(cleaned, [(CleaningKind::Blow, 2, 10), (CleaningKind::Brush, 1, 0), (CleaningKind::Blow, 3, 0)]);
    let facts = SeatingFacts { excess: Fact::Yes, depth: Fact::No };
    assert_eq!(
        what[3..],
        [
            Action::Declare(Declaration::NewNozzle),
            Action::Declare(Declaration::Discarded),
            Action::Seat,
            Action::Declare(Declaration::Seating(facts))
        ]
    );
    assert_eq!(acts[5].at, acts[6].at, "both are rounded up");
    assert_eq!((acts[0].by, acts[1].by), (PersonNumber::new(1), None));
    assert_eq!(plan.hands.name(acts[0].by.unwrap()), Some("B. Hand"));
}

#[test]
fn a_scenario_without_hands_demands_nothing() {
    assert_eq!(plan(GOOD).map(|plan| plan.hands.demands), Ok(Demands::NONE));
}

#[test]
fn what_is_wrong_of_hands_is_named_with_its_place() {
    let cases = [
        ("cleaning = \"blow 2, brush 1\"", "cleaning = \"wipe 2\"", "4:12", "no step"),
        ("cleaning = \"blow 2, brush 1\"", "cleaning_record = \"required\"", "1:1", "no cleaning is prescribed"),
        ("people = [\"A. Hand\", \"B. Hand\"]", "people = [\"B. Hand\", \"B. Hand\"]", "6:22", "twice"),
        ("people = [\"A. Hand\", \"B. Hand\"]", "people = [\"A. Hand\"]", "14:6", "none of the scenario's people"),
        ("nozzle_record", "clean_within = \"15d\"\nnozzle_record", "5:16", "14 days"),
        ("from = 2022-01-03T10:01:00Z", "from = 2022-01-03T10:01:11Z", "10:1", "later than at"),
        ("excess = \"yes\"", "excess = \"perhaps\"", "26:19", "perhaps"),
        ("discard = true", "from = 2022-01-03T10:03:00Z\ndiscard = true", "21:1", "other than a cleaning"),
    ];
    for (good, bad, place, word) in cases {
        assert!(HANDS.contains(good));
        let problem = match Scenario::parse("quay.toml", &HANDS.replacen(good, bad, 1)) {
            Ok(_) => panic!("{bad:?} was taken"),
            Err(problem) => problem.to_string(),
        };
        assert!(problem.starts_with(&format!("quay.toml:{place}:")), "{bad:?}: {problem}");
        assert!(problem.contains(word), "{bad:?}: {problem}");
    }
}
