//! What the slow reference says of the readings, restarts and actions that a memory holds.

use holdoff_core::fixing::{Action, Ground, TorqueRange};
use holdoff_core::group::Darkness;
use holdoff_core::log::{Item, Record};
use holdoff_tests::emulator::Held;
use holdoff_tests::engine;
use holdoff_tests::invented::settings;
use holdoff_tests::reference::{
    Act, History, Hole, RefDemands, RefResin, RefSettings, Report, Row, RowKind, Rule, run,
};
use num::{BigInt, BigRational};

/// The reference's report, and the device's own in the same words, over what a memory holds.
pub(crate) fn reports(resin: RefResin, held: &Held, torque: TorqueRange) -> (Report, Report) {
    let mut history = History {
        resin,
        settings: RefSettings { settle: 180, ..settings("1", 300, 100) },
        hole: Hole::Dry,
        rule: Rule::Coldest,
        rows: Vec::new(),
        acts: Vec::new(),
        demands: RefDemands::none(),
        neighbour: Vec::new(),
        torque: Some((u64::from(torque.least().hundredths()), u64::from(torque.greatest().hundredths()))),
    };
    let mut last = None;
    for item in &held.items {
        match item {
            Item::Reading { at, count } => {
                let temperature = BigRational::new(BigInt::from(count.raw()), BigInt::from(256));
                history.rows.push(RowKind::Reading(Row { at: at.seconds(), temperature: Some(temperature) }));
                last = Some(at.seconds());
            }
            Item::Record(Record::PowerUp { dark, .. }) => {
                // any second of the dark will do: it comes after the last reading
                let Some(last) = last else { continue };
                history.rows.push(RowKind::Restart { at: last + 1, length_known: *dark == Darkness::Known });
            }
            Item::Record(Record::Action { at, action, .. }) => {
                let at = at.seconds();
                history.acts.push(match action {
                    Action::Inject(_) => Act::Inject { at, in_hole: None, cartridge: None, use_by_end: None },
                    Action::Seat => Act::Seat { at },
                    Action::Torque(torque) => Act::Torque { at, hundredths: u64::from(torque.hundredths()) },
                    Action::CarriedOut
                    | Action::Hole(_)
                    | Action::TorquedEarly(_)
                    | Action::Declare(_)
                    | Action::Decide(_) => {
                        panic!("never done: {item:?}")
                    }
                });
            }
            Item::Refused { .. } | Item::Record(_) => {}
            Item::Unusable { .. } | Item::Missing { .. } => panic!("the probe answers: {item:?}"),
        }
    }
    let group = held.replay.group().unwrap();
    let device = engine::report(&history, &held.status(0).unwrap(), group.readings());
    (run(&history), device)
}

/// Whether a status is rejected since it was seated too late, or not at all: what a long outage in the working time does.
pub(crate) fn too_late(grounds: &holdoff_core::fixing::Grounds) -> bool {
    grounds.has(Ground::NotSeated) || grounds.has(Ground::SeatedLate)
}
