//! The beginning of a trace: byte-order mark, header row, where the columns are.
//!
//! Most files that can't be used fail here, so the messages guess at the cause: another separator, another column
//! name, no header at all, a spreadsheet instead of text.

use super::field::Columns;
use super::record::Splitter;
use super::unit::{self, Named};
use super::{Options, Unit, UnitBy};
use crate::problem::shown;
use crate::stamp::Stamp;

/// What is wrong with the header, or with the options.
pub(super) enum Wrong {
    Usage { what: String, remedy: String },
    Header { what: String, remedy: String },
}

/// Most column names listed in a message.
const MOST_LISTED: usize = 8;

/// How many bytes of byte-order mark stand at the beginning. Files of known other kinds are refused by name: what is
/// wrong, and what to do.
pub(super) fn mark(beginning: &[u8]) -> Result<usize, (&'static str, &'static str)> {
    match beginning {
        [0xEF, 0xBB, 0xBF, ..] => Ok(3),
        [0xFF, 0xFE, ..] | [0xFE, 0xFF, ..] => {
            Err(("the trace is text in UTF-16, which is not read", "save it as CSV in UTF-8"))
        }
        [b'P', b'K', 3, 4, ..] => {
            Err(("the trace is a spreadsheet or archive, not CSV text", "open it and save the sheet as CSV in UTF-8"))
        }
        [0x1F, 0x8B, ..] => Err(("the trace is compressed", "unpack it first, or pipe the unpacked text to -")),
        _ => Ok(0),
    }
}

/// Finds the columns in the header, which is the last record of the splitter, and whence their unit is known.
pub(super) fn columns(record: &Splitter, options: &Options) -> Result<(Columns, UnitBy), Wrong> {
    let (time_name, temperature_name) = (options.time_column.as_str(), options.temperature_column.as_str());
    if time_name == temperature_name {
        return Err(Wrong::Usage {
            what: format!("time and temperature can't both be column {}", shown(time_name.as_bytes())),
            remedy: "name two columns with --time-column and --temperature-column".to_owned(),
        });
    }
    let time = find(record, time_name, "--time-column")?;
    let temperature = find(record, temperature_name, "--temperature-column")?;
    let count = record.count();
    let in_order = count == 2 && time == 0;
    let (unit, by) = unit(temperature_name, options.unit)?;
    Ok((Columns { time, temperature, count, in_order, unit, sensor: options.sensor }, by))
}

/// The unit of the temperature column: what its name says, else what was asked for, else °C.
fn unit(name: &str, asked: Option<Unit>) -> Result<(Unit, UnitBy), Wrong> {
    let shown_name = shown(name.as_bytes());
    let wrong = |what: String, remedy: &str| Err(Wrong::Header { what, remedy: remedy.to_owned() });
    match (unit::named(name), asked) {
        (Named::Unit(named), Some(asked)) if named != asked => wrong(
            format!("column {shown_name} is in {} by its name, and {} is asked for", named.sign(), asked.sign()),
            "leave the option or the scenario's unit out, or rename the column if its name is wrong",
        ),
        (Named::Unit(named), _) => Ok((named, UnitBy::Name)),
        (Named::Kelvin, _) => wrong(
            format!("column {shown_name} is in kelvin by its name, which is not read"),
            "give the temperatures in °C or °F, in a column that is named so",
        ),
        (Named::Several, _) => wrong(
            format!("column {shown_name} names more than one unit of temperature"),
            "rename the column after the unit it is in, °C or °F",
        ),
        (Named::Nothing | Named::Doubtful(_), Some(asked)) => Ok((asked, UnitBy::Asked)),
        (Named::Doubtful(letter), None) => wrong(
            format!(
                "column {shown_name} may be in {} by its name, or not",
                if letter == 'K' { "kelvin" } else { "°F" }
            ),
            "say which with --celsius or --fahrenheit (in a scenario: unit), or rename the column",
        ),
        (Named::Nothing, None) => Ok((Unit::Celsius, UnitBy::Default)),
    }
}

fn find(record: &Splitter, name: &str, option: &str) -> Result<usize, Wrong> {
    let mut places = (0..record.count()).filter(|number| record.field(*number).0 == name.as_bytes());
    let shown_name = shown(name.as_bytes());
    match (places.next(), places.next()) {
        (Some(place), None) => Ok(place),
        (Some(first), Some(second)) => Err(Wrong::Header {
            what: format!(
                "column {shown_name} stands in the header twice, as columns {} and {}",
                first + 1,
                second + 1
            ),
            remedy: format!("rename one of them, or name another column with {option}"),
        }),
        (None, _) => Err(Wrong::Header {
            what: format!("there is no column {shown_name}; the header has {}", list(record)),
            remedy: remedy(record, name, option),
        }),
    }
}

fn list(record: &Splitter) -> String {
    let mut names: Vec<String> =
        (0..record.count().min(MOST_LISTED)).map(|number| shown(record.field(number).0)).collect();
    if record.count() > MOST_LISTED {
        names.push(format!("{} more", record.count() - MOST_LISTED));
    }
    names.join(", ")
}

fn remedy(record: &Splitter, name: &str, option: &str) -> String {
    let (first, _) = record.field(0);
    let alone = record.count() == 1;
    let like = (0..record.count())
        .map(|number| record.field(number).0)
        .find(|found| found.eq_ignore_ascii_case(name.as_bytes()));
    if alone && first.contains(&b';') {
        "the fields are separated by semicolons: save the file with commas, and with decimal points".to_owned()
    } else if alone && first.contains(&b'\t') {
        "the fields are separated by tabs: save the file with commas".to_owned()
    } else if let Some(like) = like {
        format!("name it as the file does, with {option} {}", shown(like))
    } else if (0..record.count()).any(|number| Stamp::from_bytes(record.field(number).0).is_ok()) {
        "the first line is a reading: put the header time,temperature_c above it".to_owned()
    } else {
        format!("name the columns of the file with --time-column and --temperature-column (here {option})")
    }
}
