//! Language and units on the command line, wherever a person reads what is printed.

use super::setting::one_of;
use clap::builder::{PossibleValuesParser, TypedValueParser};
use holdoff_present::words::{Language, Speech, TemperatureUnit, TorqueUnit};

/// How to speak. JSON keys, the fixed short words and files stay as they are.
#[derive(Clone, Copy, Default, Debug, clap::Args)]
pub(super) struct SpeechArguments {
    /// Language of what a person reads
    #[arg(long, value_parser = languages(), env = "HOLDOFF_LANGUAGE", default_value = "en", hide_env_values = true, global = true)]
    language: Language,
    /// Unit of the temperatures that are shown
    #[arg(long, value_parser = temperatures(), default_value = "celsius", global = true)]
    unit: TemperatureUnit,
    /// Unit of the torques that are shown
    #[arg(long, value_parser = torques(), default_value = "nm", global = true)]
    torque_unit: TorqueUnit,
}

impl SpeechArguments {
    /// How to speak.
    pub(super) const fn speech(&self) -> Speech {
        Speech { language: self.language, temperature: self.unit, torque: self.torque_unit }
    }
}

fn languages() -> impl TypedValueParser<Value = Language> {
    let codes = PossibleValuesParser::new(Language::ALL.map(Language::code));
    codes.map(|code| Language::of_code(&code).unwrap_or_default())
}

fn temperatures() -> impl TypedValueParser<Value = TemperatureUnit> {
    one_of(&[("celsius", TemperatureUnit::Celsius, ""), ("fahrenheit", TemperatureUnit::Fahrenheit, "")])
}

fn torques() -> impl TypedValueParser<Value = TorqueUnit> {
    one_of(&[("nm", TorqueUnit::NewtonMetre, ""), ("ftlb", TorqueUnit::FootPound, "")])
}
