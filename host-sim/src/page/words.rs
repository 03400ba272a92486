//! Every word of the page that is not a word of the trade already (`crate::words`), in one place.

use super::Section;
use crate::words::length;

/// Heading of a section.
pub const fn section(section: Section) -> &'static str {
    match section {
        Section::SeatNow => "Seat now",
        Section::TorqueNow => "May be torqued",
        Section::Next => "Next",
        Section::Held => "Held, no forecast",
        Section::DoNotLoad => "Do not load",
        Section::DoNotInject => "Do not inject",
        Section::Planned => "Not injected",
        Section::Released => "Released",
    }
}

/// What a section means.
pub const fn section_note(section: Section) -> &'static str {
    match section {
        Section::SeatNow => "Injected. Seat before the time given.",
        Section::TorqueNow => "Cured when its logger was read out. Look at the logger before the wrench moves.",
        Section::Next => {
            "Leave alone. Earliest time if it stays as warm as at the last reading: a forecast is no release."
        }
        Section::Held => "Leave alone. The cure does not count, or the readings have stopped; nobody can say when.",
        Section::DoNotLoad => {
            "Never torque or load these. What becomes of a rejected fixing is the engineer's decision."
        }
        Section::DoNotInject => "The start was refused, for the reason given.",
        Section::Planned => "Nothing is recorded of an injection.",
        Section::Released => "Cured and torqued as specified. The foreman may let the next trade load them.",
    }
}

/// Title of the page where no job is named.
pub const TITLE: &str = "Bonded fixings";
/// Heading of the filter.
pub const GROUP: &str = "Group";
/// Choice of all groups.
pub const ALL_GROUPS: &str = "All groups";
/// Button of the filter.
pub const SHOW: &str = "Show";
/// Name of the overview for screen readers.
pub const OVERVIEW: &str = "Overview";
/// Heads of a table.
pub const COLUMNS: [&str; 3] = ["Fixing", "Time", "Status"];
/// What stands in an empty section.
pub const NONE: &str = "None.";
/// Said before the state: it is a record.
pub const AS_OF_NOTE: &str = "This page says what the loggers recorded up to their last read-out. Time has passed since; \
what a logger says now counts.";
/// Where the page is live.
pub const LIVE: &str = "Live: additions to the register show here by themselves.";
/// Where the connection is lost.
pub const LOST: &str = "CONNECTION LOST. What you see may be old.";
/// Where the register cannot be read.
pub const FAILED: &str = "THE REGISTER CANNOT BE READ. What you see may be old.";
/// Where the page needs scripts to be live.
pub const NO_SCRIPT: &str = "Without scripts this page does not renew itself: load it again.";
/// When a page was made.
pub const MADE: &str = "Made";
/// A forecast that lies behind.
pub const FORECAST_PASSED: &str = "This time has passed. That is no release: read the logger out.";
/// A working time that lies behind.
pub const SEAT_PASSED: &str = "This time has passed. If it was not seated by then, it is rejected: look at the logger.";
/// Headline of a release that was held against keys in vain.
pub const NOT_PROVED: &str = "DO NOT LOAD: RELEASE NOT PROVED";
/// Headline of a release that nobody has held against keys, known by its code alone.
pub const NOT_CHECKED: &str = "DO NOT LOAD: CODE NOT CHECKED";
/// Headline of a release that is contradicted.
pub const CONTRADICTED: &str = "DO NOT LOAD: CONTRADICTED";
/// Headline of a fixing whose log cannot be trusted.
pub const UNTRUSTED: &str = "DO NOT LOAD: LOG NOT TRUSTED";
/// A fixing of the job that the register knows nothing of.
pub const NO_RECORD: &str = "The register holds nothing of it.";
/// Nothing at all.
pub const EMPTY: &str = "The register holds no fixing of this job.";
/// A release that is proved.
pub const PROVED: &str = "release proved";
/// A release that nobody held against keys.
pub const UNCHECKED: &str = "release not held against keys yet";
/// An invented resin.
pub const INVENTED: &str = "INVENTED RESIN, never on site";
/// To the page with every row.
pub const SHOW_ALL: &str = "show all";

/// Group of a release whose memory is not there.
pub fn logger(device: &str) -> String {
    format!("logger {device}")
}

/// `as of TIME`.
pub fn as_of(time: &str) -> String {
    format!("as of {time}")
}

/// How long before something was, to the minute, rounded up.
pub fn ago(seconds: i64) -> String {
    match u64::try_from(seconds) {
        Ok(seconds) if seconds < 60 => "less than a minute ago".to_owned(),
        Ok(seconds) => format!("{} ago", length(seconds.div_ceil(60) * 60)),
        Err(_) => "its clock is ahead of this one".to_owned(),
    }
}

/// What a time in the middle column is.
pub const fn moment(section: Section) -> &'static str {
    match section {
        Section::SeatNow => "at the latest",
        Section::TorqueNow => "cured",
        Section::Next => "forecast, no earlier",
        Section::Held => "",
        Section::DoNotLoad | Section::DoNotInject | Section::Planned => "",
        Section::Released => "torqued",
    }
}

/// Fixings of other jobs.
pub fn others(count: usize) -> String {
    format!("{count} fixings in the register belong to other job files and are not shown.")
}

/// Rows that are left out.
pub fn more(count: usize) -> String {
    format!("{count} more: choose a group, or ")
}

/// What changed, for whoever listens to the page.
pub fn changed(label: &str, headline: &str) -> String {
    format!("{label}: {headline}")
}

/// Many changes at once.
pub fn changed_many(count: usize) -> String {
    format!("{count} fixings changed.")
}

/// A release that is known by its code.
pub fn by_code(time: &str, torqued: Option<&str>) -> String {
    match torqued {
        Some(torque) => {
            format!("By its release code torqued to {torque} at {time}. Its memory is still to be read out.")
        }
        None => format!("By its release code still cured at {time}. Its memory is still to be read out."),
    }
}

/// Why a release is not to be relied on.
pub fn not_proved(why: &str) -> String {
    format!("Do not load it: {why}.")
}
