//! What goes in and what comes out: the history of one fixing and the report on it.
//!
//! Plain data with the units in the docs. Temperatures are exact decimals in °C, times are whole seconds of one clock
//! (already rounded: readings, injection, torque and hole change down, seating up).

use num::BigRational;

/// One band of the schedule.
#[derive(Clone, Debug, PartialEq)]
pub struct RefBand {
    /// Lower edge, °C, inclusive.
    pub from: BigRational,
    /// Working time, s.
    pub working: u64,
    /// Cure time in a dry hole, s.
    pub cure: u64,
}

/// One resin file.
#[derive(Clone, Debug, PartialEq)]
pub struct RefResin {
    /// Least installation temperature, °C.
    pub install_least: BigRational,
    /// Greatest installation temperature, °C.
    pub install_greatest: BigRational,
    /// Least curing temperature, °C.
    pub cure_least: BigRational,
    /// Greatest curing temperature, °C.
    pub cure_greatest: BigRational,
    /// Reject temperature, °C, where the file gives it.
    pub reject_below: Option<BigRational>,
    /// Upper reject temperature, °C, where the file gives it.
    pub reject_above: Option<BigRational>,
    /// Longest hold, s, where the file gives it.
    pub longest_hold: Option<u64>,
    /// Least cartridge temperature, °C.
    pub cartridge_least: BigRational,
    /// Greatest cartridge temperature, °C.
    pub cartridge_greatest: BigRational,
    /// The hole conditions that the resin may be used in.
    pub allowed: Vec<Hole>,
    /// Factor on the cure time in wet and flooded holes, 2 to 10.
    pub wet_factor: u64,
    /// 1 to 16 bands, edges rising in counts, neither time rising.
    pub bands: Vec<RefBand>,
}

/// Hole condition, the milder before the stricter.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Hole {
    /// No water: the schedule's own cure times.
    Dry,
    /// Wet: cure times by the wet factor.
    Wet,
    /// Under water: cure times by the wet factor.
    Flooded,
}

/// What decides that a fixing is cured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rule {
    /// C3 alone.
    Coldest,
    /// C4, or C3 where that comes first.
    Accrual,
}

/// The settings of a job.
#[derive(Clone, Debug, PartialEq)]
pub struct RefSettings {
    /// Expanded uncertainty U of a reading, °C, 0 to 10.
    pub uncertainty: BigRational,
    /// Longest gap of an observed interval, s, 1 to 3600.
    pub longest_gap: u64,
    /// Clock allowance, parts per million, 0 to 10 000.
    pub clock_ppm: u64,
    /// How long before a start the probe must have said nearly the same already (R6), s, 0 to 3600.
    pub settle: u64,
}

/// One row of a trace.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Time, s.
    pub at: i64,
    /// Temperature, °C; `None` for a missing reading.
    pub temperature: Option<BigRational>,
}

/// What arrives from outside, in order of arrival.
#[derive(Clone, Debug, PartialEq)]
pub enum RowKind {
    /// A row of the trace.
    Reading(Row),
    /// The logger restarted here. Not a reading.
    Restart {
        /// Time, s.
        at: i64,
        /// Whether the battery-backed clock tells how long it was dark.
        length_known: bool,
    },
    /// Readings up to here could not be recorded.
    Lost {
        /// Time of the last of them, s.
        at: i64,
    },
}

impl RowKind {
    /// Time, s.
    pub fn at(&self) -> i64 {
        match self {
            Self::Reading(row) => row.at,
            Self::Restart { at, .. } | Self::Lost { at } => *at,
        }
    }
}

/// What a person does to the fixing, or reports of it.
#[derive(Clone, Debug, PartialEq)]
pub enum Act {
    /// Start of injection.
    Inject {
        /// Time, s, rounded down.
        at: i64,
        /// Temperature at the bottom of the hole, °C.
        in_hole: Option<BigRational>,
        /// Declared cartridge temperature, °C.
        cartridge: Option<BigRational>,
        /// The first second past the resin's last good day, s.
        use_by_end: Option<i64>,
    },
    /// A step of the hole's cleaning was done.
    Clean {
        /// Time of its last instant, s, rounded down.
        at: i64,
        /// What was done.
        work: Work,
        /// How often.
        times: u64,
    },
    /// A new nozzle was put on.
    NewNozzle {
        /// Time, s, rounded down.
        at: i64,
    },
    /// Resin was discarded from the nozzle until its colour was even.
    Discard {
        /// Time, s, rounded down.
        at: i64,
    },
    /// What is declared of the seating; `None` for what is not.
    Seating {
        /// Time, s, rounded up.
        at: i64,
        /// Resin came out all round.
        excess: Option<bool>,
        /// The mark was reached.
        depth: Option<bool>,
    },
    /// The element is seated.
    Seat {
        /// Time, s, rounded up.
        at: i64,
    },
    /// The hole is found to be in a stricter condition.
    Hole {
        /// Time, s, rounded down.
        at: i64,
        /// The condition found.
        to: Hole,
    },
    /// A refused start is reported as carried out all the same.
    CarriedOut {
        /// Time, s.
        at: i64,
    },
    /// The element is torqued.
    Torque {
        /// Time, s, rounded down.
        at: i64,
        /// Torque, 1/100 of the unit of [`History::torque`].
        hundredths: u64,
    },
    /// The element is reported to have been torqued before the cure.
    TorquedEarly {
        /// Time, s, rounded down.
        at: i64,
        /// Torque, 1/100 of the unit of [`History::torque`].
        hundredths: u64,
    },
    /// The engineer decides on a rejected fixing.
    Decide {
        /// Time, s.
        at: i64,
        /// Accept as is; otherwise remove.
        accept: bool,
    },
}

impl RefDemands {
    /// Nothing is prescribed, nothing required.
    pub fn none() -> Self {
        Self { cleaning: Vec::new(), cleaning_required: false, clean_within: 86_400, nozzle_required: false }
    }
}

impl Act {
    /// Time, s.
    pub fn at(&self) -> i64 {
        match self {
            Self::Inject { at, .. }
            | Self::Seat { at }
            | Self::Clean { at, .. }
            | Self::NewNozzle { at }
            | Self::Discard { at }
            | Self::Seating { at, .. }
            | Self::Hole { at, .. }
            | Self::CarriedOut { at }
            | Self::Torque { at, .. }
            | Self::TorquedEarly { at, .. }
            | Self::Decide { at, .. } => *at,
        }
    }
}

/// What a step of a cleaning does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Work {
    /// Blows.
    Blow,
    /// Brushes.
    Brush,
    /// Rinses.
    Rinse,
    /// Drills with the bit that extracts the dust.
    ExtractingBit,
}

/// What the job demands of hands.
#[derive(Clone, Debug, PartialEq)]
pub struct RefDemands {
    /// The prescribed steps, no two neighbours of one kind.
    pub cleaning: Vec<(Work, u64)>,
    /// Whether a start needs a complete cleaning.
    pub cleaning_required: bool,
    /// How old that may be, s.
    pub clean_within: i64,
    /// Whether a start needs the nozzle's declarations.
    pub nozzle_required: bool,
}

/// Specified torque: least and greatest, in hundredths of one unit.
pub type Torque = (u64, u64);

/// Everything that is known of one fixing.
#[derive(Clone, Debug, PartialEq)]
pub struct History {
    /// The resin file.
    pub resin: RefResin,
    /// The job's settings.
    pub settings: RefSettings,
    /// Hole condition at the start.
    pub hole: Hole,
    /// The rule asked for.
    pub rule: Rule,
    /// What arrived, in order of arrival.
    pub rows: Vec<RowKind>,
    /// The acts, those of one second in the order they are to be taken.
    pub acts: Vec<Act>,
    /// Specified torque; without it no torque releases.
    pub torque: Option<Torque>,
    /// What the job demands of hands.
    pub demands: RefDemands,
    /// What is done to another fixing of the group, in a hole of the same condition at the start and without a torque. It shares
    /// the nozzle.
    pub neighbour: Vec<Act>,
}

/// The state of the fixing at the end of the rows.
#[derive(Clone, Debug, PartialEq)]
pub struct Report {
    /// `planned`, `refused`, `working`, `curing`, `held`, `cured`, `released`, `rejected`, `accepted` or `removed`.
    pub stage: String,
    /// The first second at which it was cured, s. Kept by a rejection that came later.
    pub cured_at: Option<i64>,
    /// The cure, or its forecast, s.
    pub announced_at: Option<i64>,
    /// Required seconds of the coldest-band rule; 0 before seating.
    pub required: u64,
    /// Served seconds of the coldest-band rule.
    pub served: u64,
    /// Seconds since seating, up to the cure, else to the last accepted reading that was counted.
    pub elapsed: u64,
    /// Counted seconds.
    pub counted: u64,
    /// Held seconds.
    pub held: u64,
    /// Unobserved seconds.
    pub unobserved: u64,
    /// Counted seconds of each band, in the order of the file.
    pub bands: Vec<u64>,
    /// The coldest of C3, in counts of 1/256 °C; `None` before seating.
    pub coldest: Option<i64>,
    /// The sum of C4 over 2^64.
    pub accrued: BigRational,
    /// Accepted readings, confirmed candidates among them.
    pub accepted: u64,
    /// Refused readings.
    pub refused: u64,
    /// Missing readings.
    pub missing: u64,
    /// The accepted reading between injection and seating that lay furthest outside the installation limits, counts (A5).
    pub outside_at_seating: Option<i64>,
    /// Whether the hole had a complete cleaning at the injection that was young enough.
    pub cleaned: bool,
    /// Whether the colour of what was injected was declared to be even.
    pub even: bool,
    /// What was declared of the seating: resin came out all round, the mark was reached.
    pub facts: (Option<bool>, Option<bool>),
    /// Grounds of refusal or rejection, in the order of the list of reasons.
    pub reasons: Vec<String>,
}
