//! The words of the trade, in one place: stages, grounds, cautions, numbers with their units.
//!
//! What for: a foreman reads these sentences and acts on them. Each stage has one sentence that says what may be done,
//! and every text that could lead someone to load a fixing carries the cautions.
//! What it does not do: decide anything; every sentence is read off a status.

mod account;
mod claim;
mod decision;
mod declared;
mod evidence;
pub mod phrase;
mod row;
mod sentence;
mod speech;
mod table;
mod trace;
mod units;

pub use account::{Account, account};
pub use claim::ClaimWords;
pub use decision::not_engineers;
pub use declared::{cleaning_word, declaration_words, demands_json, fact_word};
pub use evidence::{Worded, coded};
pub use sentence::status_sentence;
pub use speech::{Language, Speech, TemperatureUnit, TorqueUnit};
pub use table::{
    AccountPhrase, DecisionPhrase, DeedPhrase, DepthPhrase, EvidencePhrase, JobPhrase, LinkPhrase, ListingPhrase,
    PagePhrase, PlanPhrase, PlotPhrase, ProbePhrase, ProofPhrase, RegisterPhrase, ReportPhrase, ResinPhrase,
    StagePhrase, StatusPhrase, TakeOffPhrase, TracePhrase, every,
};
pub use units::{
    Rounding, celsius_hundredths, fahrenheit, fahrenheit_apart_hundredths, fahrenheit_hundredths,
    foot_pound_hundredths, rounded,
};

/// What the tool's word is worth, in English; in other languages [`Speech::caution`].
pub const CAUTION: &str = StatusPhrase::Caution.of(Language::English);

/// What is said wherever a demo resin is used, in English; in other languages [`Speech::demo_caution`].
pub const DEMO_CAUTION: &str = StatusPhrase::DemoCaution.of(Language::English);

/// Seconds as days, hours, minutes and seconds, the largest first: `1 d 2 h 5 s`.
pub fn length(seconds: u64) -> String {
    Speech::PLAIN.length(seconds)
}
