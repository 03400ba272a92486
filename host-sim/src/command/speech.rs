//! Language and units on the command line, wherever a person reads what is printed.

use crate::words::{Language, Speech, TemperatureUnit, TorqueUnit};

/// How to speak. JSON keys, the fixed short words and files stay as they are.
#[derive(Clone, Copy, Default, Debug, clap::Args)]
pub(super) struct SpeechArguments {
    /// Language of what a person reads
    #[arg(long, value_enum, env = "HOLDOFF_LANGUAGE", default_value_t, hide_env_values = true, global = true)]
    language: Language,
    /// Unit of the temperatures that are shown
    #[arg(long, value_enum, default_value_t, global = true)]
    unit: TemperatureUnit,
    /// Unit of the torques that are shown
    #[arg(long, value_enum, default_value_t, global = true)]
    torque_unit: TorqueUnit,
}

impl SpeechArguments {
    /// How to speak.
    pub(super) const fn speech(&self) -> Speech {
        Speech { language: self.language, temperature: self.unit, torque: self.torque_unit }
    }
}
