//! The probe's supply (rule R7): a sensor that has less than it needs answers, and with numbers that look right.
//!
//! Why with every reading: cells that gave enough a minute ago do not when the display is lit or the frost comes.
//! Invariant: on a board with a battery no reading is taken unless its supply was measured in that second, and was enough.
//! What it does not do: say what a low battery stops (`super::fault`, `super::act`).

use super::Works;
use super::time::Now;
use crate::board::{Board, Supply};
use holdoff_core::probe::Refusal;
use holdoff_core::quantity::{Count, Instant};

/// Millivolts by which the supply changes until it is recorded again.
const CHANGE_MV: u16 = 100;
/// Seconds until it is recorded again although it has not changed.
const DAY: i64 = 86_400;

/// The supply as it was recorded last.
#[derive(Clone, Copy, Debug)]
pub(super) struct Recorded {
    at: Instant,
    millivolts: Option<u16>,
}

impl Recorded {
    /// Whether it says no more what there is now.
    fn is_outdated(self, now: Instant, millivolts: Option<u16>) -> bool {
        let changed = match (self.millivolts, millivolts) {
            (Some(before), Some(now)) => before.abs_diff(now) >= CHANGE_MV,
            (before, now) => before != now,
        };
        changed || now.since(self.at) >= DAY
    }
}

impl<B: Board> Works<B> {
    /// Measures the battery; a board that is fed from the bench has none.
    pub(super) fn measure_battery(&mut self, board: &mut B) {
        self.battery_mv = match B::SUPPLY {
            Supply::Bench => None,
            Supply::Battery(_) => board.battery_mv(),
        };
    }

    /// Asks the probe for a reading, if its supply is enough. Nothing is recorded.
    pub(super) fn ask_probe(&mut self, board: &mut B, now: Now) -> Result<Count, Refusal> {
        self.measure_battery(board);
        match (B::SUPPLY, self.battery_mv) {
            (Supply::Bench, _) => {}
            (Supply::Battery(limits), Some(millivolts)) if millivolts >= limits.probe => {}
            (Supply::Battery(_), _) => return Err(Refusal::Supply),
        }
        self.probe.read(&mut board.bus(), now.uptime)
    }

    /// Records the supply as it was just measured for a reading, before that: at the first one after a start or of a session,
    /// when it has changed by 0.1 V, and once a day.
    pub(super) fn record_supply(&mut self, now: Now) {
        match B::SUPPLY {
            Supply::Bench => return,
            Supply::Battery(_) => {}
        }
        let first = self.logger.session().readings() == (0, 0);
        let recorded = self.supply.filter(|_| !first);
        if recorded.is_none_or(|recorded| recorded.is_outdated(now.at, self.battery_mv))
            // one that finds no room is told with the next reading
            && self.logger.supply(now.at, self.battery_mv).is_ok()
        {
            self.supply = Some(Recorded { at: now.at, millivolts: self.battery_mv });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Recorded;
    use holdoff_core::quantity::Instant;

    #[test]
    fn a_supply_is_recorded_when_it_changed_by_a_tenth_of_a_volt_and_once_a_day() {
        let recorded = Recorded { at: Instant::from_seconds(100), millivolts: Some(3_000) };
        let outdated = |seconds, millivolts| recorded.is_outdated(Instant::from_seconds(seconds), millivolts);
        assert!(!outdated(200, Some(2_901)) && !outdated(86_499, Some(3_099)));
        assert!(outdated(200, Some(2_900)) && outdated(200, Some(3_100)) && outdated(200, None));
        assert!(outdated(86_500, Some(3_000)));
        let unknown = Recorded { millivolts: None, ..recorded };
        assert!(!unknown.is_outdated(Instant::from_seconds(200), None));
    }
}
