//! What a column's name says about its unit.

use super::super::unit::{Named, named};
use super::{Options, Unit, count, read_all};
use crate::problem::Exit;
use crate::trace::{Trace, UnitBy};

#[test]
fn a_name_names_its_unit_in_the_listed_forms_and_in_no_other() {
    let celsius = [
        "temperature_c",
        "Temp, °C",
        "T innen °C",
        "t (C)",
        "T[ c ]",
        "deg C",
        "degC",
        "temp_degC",
        "water_C",
        "Celsius",
        "degrees c",
        "Temp (\u{2103})",
        "tempC",
        "Température (°C)",
        "Temperatur_Celsius",
        "Temp, º C",
    ];
    let fahrenheit = [
        "Temp, °F",
        "temperature_f",
        "Temp F",
        "TempF",
        "tempf",
        "airTempF",
        "T (F)",
        "T [F]",
        "Temp (*F) c:1 2",
        "deg F",
        "degF",
        "Water_F",
        "Fahrenheit",
        "Temp, °F (S/N: 1)",
        "\u{2109}",
        "T {°f}",
        "temp...f.",
    ];
    let kelvin = ["temperature_k", "T (K)", "Kelvin", "degK", "T [\u{212A}]", "Temp, K", "T °K"];
    let nothing = [
        "temperature",
        "temp",
        "T",
        "Sensor C",
        "reading",
        "°Front",
        "offset",
        "coffee",
        "wf",
        "f1",
        "(FC)",
        "k_factor",
        "C3",
        "",
    ];
    for name in celsius {
        assert_eq!(named(name), Named::Unit(Unit::Celsius), "{name}");
    }
    for name in fahrenheit {
        assert_eq!(named(name), Named::Unit(Unit::Fahrenheit), "{name}");
    }
    for name in kelvin {
        assert_eq!(named(name), Named::Kelvin, "{name}");
    }
    for name in nothing {
        assert_eq!(named(name), Named::Nothing, "{name}");
    }
    for (name, letter) in [("Sensor F", 'F'), ("T/F", 'F'), ("probe k", 'K'), ("F", 'F'), ("waterF", 'F')] {
        assert_eq!(named(name), Named::Doubtful(letter), "{name}");
    }
    for name in ["Temp °C/°F", "temp_c (F)", "Celsius or Fahrenheit"] {
        assert_eq!(named(name), Named::Several, "{name}");
    }
}

fn read(column: &str, unit: Option<Unit>) -> Result<(super::Sample, Unit, UnitBy), String> {
    let text = format!("time,\"{column}\"\n2026-11-25T06:30:00Z,28\n");
    let options = Options { temperature_column: column.to_owned(), unit, ..Options::default() };
    let reading = read_all(text.as_bytes(), &options).map_err(|problem| {
        assert_eq!(problem.exit(), Exit::Unusable);
        problem.to_string()
    })?[0]
        .reading;
    let trace = Trace::new("t.csv", text.as_bytes(), &options).unwrap();
    Ok((reading, trace.read_as().unit, trace.read_as().by))
}

#[test]
fn a_name_is_believed_over_the_default_and_what_contradicts_it_is_refused() {
    // 28 °F are -2.22... °C: x 256 = -568.9, rounded down
    let (cold, warm) = (count(-569), count(28 * 256));
    assert_eq!(read("Temp, °F", None), Ok((cold, Unit::Fahrenheit, UnitBy::Name)));
    assert_eq!(read("Temp, °F", Some(Unit::Fahrenheit)), Ok((cold, Unit::Fahrenheit, UnitBy::Name)));
    assert_eq!(read("temperature_c", None), Ok((warm, Unit::Celsius, UnitBy::Name)));
    assert_eq!(read("reading", None), Ok((warm, Unit::Celsius, UnitBy::Default)));
    assert_eq!(read("reading", Some(Unit::Fahrenheit)), Ok((cold, Unit::Fahrenheit, UnitBy::Asked)));
    assert_eq!(read("Sensor F", Some(Unit::Celsius)), Ok((warm, Unit::Celsius, UnitBy::Asked)));
    for (column, asked, words) in [
        ("Temp, °F", Some(Unit::Celsius), "in °F by its name, and °C is asked for"),
        ("temperature_c", Some(Unit::Fahrenheit), "in °C by its name, and °F is asked for"),
        ("Temp (K)", None, "kelvin"),
        ("Temp (K)", Some(Unit::Celsius), "kelvin"),
        ("Temp °C/°F", None, "more than one unit"),
        ("Sensor F", None, "--fahrenheit"),
    ] {
        let told = read(column, asked).unwrap_err();
        assert!(told.starts_with("t.csv:1: ") && told.contains(words) && told.contains(column), "{told}");
    }
}
