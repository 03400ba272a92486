//! The words of the trade, in one place: stages, grounds, cautions, numbers with their units.
//!
//! What for: a foreman reads these sentences and acts on them. Each stage has one sentence that says what may be done,
//! and every text that could lead someone to load a fixing carries the cautions.
//! What it does not do: decide anything; every sentence is read off a status.

mod account;
mod claim;
mod decision;
mod evidence;
pub mod phrase;
mod row;
mod sentence;
mod speech;
mod table;
mod trace;
mod units;

pub use account::{Account, account};
pub use claim::Standing;
pub use decision::not_engineers;
pub use evidence::{Worded, coded};
pub use sentence::status_sentence;
pub use speech::{Language, Speech, TemperatureUnit, TorqueUnit};
pub use table::{
    AccountPhrase, DecisionPhrase, DepthPhrase, EvidencePhrase, JobPhrase, LinkPhrase, ListingPhrase, PagePhrase,
    PlanPhrase, PlotPhrase, ProofPhrase, RegisterPhrase, ReportPhrase, ResinPhrase, StagePhrase, StatusPhrase,
    TakeOffPhrase, TracePhrase, every,
};
pub use units::{
    Rounding, celsius_hundredths, fahrenheit, fahrenheit_apart_hundredths, fahrenheit_hundredths,
    foot_pound_hundredths, rounded,
};

use holdoff_core::quantity::{Fine, Torque};

/// What the tool's word is worth, in English; in other languages [`Speech::caution`].
pub const CAUTION: &str = StatusPhrase::Caution.of(Language::English);

/// What is said wherever a demo resin is used, in English; in other languages [`Speech::demo_caution`].
pub const DEMO_CAUTION: &str = StatusPhrase::DemoCaution.of(Language::English);

/// A temperature in °C with two decimals, rounded half away from zero for reading only.
pub fn degrees(temperature: Fine) -> String {
    Speech::PLAIN.degrees(temperature)
}

/// Seconds as days, hours, minutes and seconds, the largest first: `1 d 2 h 5 s`.
pub fn length(seconds: u64) -> String {
    Speech::PLAIN.length(seconds)
}

/// A torque in N·m, without needless zeros.
pub fn torque(torque: Torque) -> String {
    Speech::PLAIN.torque(torque)
}

#[cfg(test)]
mod tests {
    use super::{degrees, length, torque};
    use holdoff_core::quantity::{Fine, Torque};

    #[test]
    fn temperatures_are_rounded_half_away_from_zero() {
        let text = |raw| degrees(Fine::new(raw));
        assert_eq!(
            (text(0), text(256), text(-1), text(-256 * 5 - 64)),
            ("0.00 °C".to_owned(), "1.00 °C".to_owned(), "0.00 °C".to_owned(), "-5.25 °C".to_owned())
        );
        assert_eq!((text(2), text(-2)), ("0.01 °C".to_owned(), "-0.01 °C".to_owned()));
    }

    #[test]
    fn lengths_name_only_the_units_they_have() {
        assert_eq!(length(0), "0 s");
        assert_eq!(length(43_205), "12 h 5 s");
        assert_eq!(length(86_400 + 60), "1 d 1 min");
    }

    #[test]
    fn torques_drop_needless_zeros() {
        let text = |hundredths| torque(Torque::from_hundredths(hundredths));
        assert_eq!((text(2000), text(2050), text(2005)), ("20 N·m".into(), "20.5 N·m".into(), "20.05 N·m".into()));
    }
}
