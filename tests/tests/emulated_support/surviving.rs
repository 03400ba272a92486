//! What the slow reference says of the readings, restarts and actions that a memory holds.

use holdoff_core::fixing::{Action, Ground, TorqueRange};
use holdoff_core::group::Darkness;
use holdoff_core::log::{Item, Record};
use holdoff_tests::emulator::Held;
use holdoff_tests::engine;
use holdoff_tests::reference::{Act, History, Hole, RefBand, RefResin, RefSettings, Report, Row, RowKind, Rule, run};
use num::{BigInt, BigRational};

fn degrees(whole: i64) -> BigRational {
    BigRational::from_integer(BigInt::from(whole))
}

/// A resin of one wet factor, 2, and no upper reject temperature.
pub(crate) struct Quick {
    /// Least and greatest temperature, of installation, cure and cartridge.
    pub(crate) range: (i64, i64),
    /// Reject temperatures.
    pub(crate) reject: (i64, i64),
    /// Longest hold, s.
    pub(crate) longest_hold: u64,
    /// From °C, working time, cure time, s.
    pub(crate) bands: Vec<(i64, u64, u64)>,
}

impl Quick {
    fn resin(&self) -> RefResin {
        let (least, greatest) = (degrees(self.range.0), degrees(self.range.1));
        RefResin {
            install_least: least.clone(),
            install_greatest: greatest.clone(),
            cure_least: least.clone(),
            cure_greatest: greatest.clone(),
            reject_below: Some(degrees(self.reject.0)),
            reject_above: Some(degrees(self.reject.1)),
            longest_hold: Some(self.longest_hold),
            cartridge_least: least,
            cartridge_greatest: greatest,
            allowed: vec![Hole::Dry, Hole::Wet],
            wet_factor: 2,
            bands: self
                .bands
                .iter()
                .map(|(from, working, cure)| RefBand { from: degrees(*from), working: *working, cure: *cure })
                .collect(),
        }
    }

    /// The reference's report, and the device's own in the same words, over what a memory holds.
    pub(crate) fn reports(&self, held: &Held, torque: TorqueRange) -> (Report, Report) {
        let mut history = History {
            resin: self.resin(),
            settings: RefSettings { uncertainty: degrees(1), longest_gap: 300, clock_ppm: 100 },
            hole: Hole::Dry,
            rule: Rule::Coldest,
            rows: Vec::new(),
            acts: Vec::new(),
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
                        Action::CarriedOut | Action::Hole(_) | Action::Decide(_) => panic!("never done: {item:?}"),
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
}

/// Whether a status is rejected since it was seated too late, or not at all: what a long outage in the working time does.
pub(crate) fn too_late(grounds: &holdoff_core::fixing::Grounds) -> bool {
    grounds.has(Ground::NotSeated) || grounds.has(Ground::SeatedLate)
}
