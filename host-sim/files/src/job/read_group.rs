//! The values of one `[[group]]`.

use super::cleaning::{BlowWith, Cleaning};
use super::group::{Direction, Distance, Drilled, FixingPlan, Group, Load, SpecifiedTorque, Substrate, SubstrateKind};
use super::reader::{Reader, length};
use super::sampling::{ProofTests, Sample, Share};
use super::{Element, Thread};
use crate::decimal::Decimal;
use crate::problem::shown;
use crate::proof_test::force;
use crate::toml_file::{At, Findings, HOLES, Need, RULES, Table};
use holdoff_core::cure::Rule;
use holdoff_core::group::MOST_FIXINGS;
use holdoff_core::quantity::Torque;

const KEYS: &[&str] = &[
    "name",
    "element",
    "size",
    "diameter_mm",
    "outer_diameter_mm",
    "hole_diameter_mm",
    "hole_depth_mm",
    "embedment_mm",
    "least_edge_distance_mm",
    "edge_distance_mm",
    "least_spacing_mm",
    "spacing_mm",
    "substrate",
    "cast",
    "least_age_days",
    "hole",
    "direction",
    "load",
    "torque_nm",
    "torque_tolerance_nm",
    "torque",
    "cleaning",
    "blow_with",
    "rule",
    "batch",
    "planned",
    "expected_c",
    "cartridge_c",
    "certified_installer",
    "inspector",
    "pauses",
    "number",
    "names",
    "name_prefix",
    "loggers",
    "proof",
];

/// Most fixings of a group.
const MOST_OF_A_GROUP: u32 = 100_000;
/// Most bytes of a fixing's name that a logger keeps.
const MOST_NAME: usize = 16;
/// The greatest torque of a job file, hundredths of a newton metre (100 000 N·m).
const GREATEST_TORQUE: u32 = 10_000_000;

#[derive(Clone, Copy)]
enum Kind {
    Stud,
    Sleeve,
    Bar,
}

/// Reads one group; `None`, with findings, when any of its values can't be used.
pub(super) fn group(table: &Table<'_, '_>, findings: &mut Findings) -> Option<Group> {
    table.only(KEYS, findings);
    let mut reader = Reader::new(table, findings);
    let name = reader.text("name", Need::Required);
    let element = reader.element();
    let drilled = (reader.length("hole_diameter_mm", Need::Required), reader.length("hole_depth_mm", Need::Required));
    let embedment = reader.length("embedment_mm", Need::Required);
    let edge_distance = reader.distance("least_edge_distance_mm", "edge_distance_mm");
    let spacing = reader.distance("least_spacing_mm", "spacing_mm");
    let kind = reader.word("substrate", Need::Required, SubstrateKind::WORDS);
    let cast = reader.date("cast", Need::Optional);
    let least_age_days = reader.whole("least_age_days", Need::Optional, 1..=100_000);
    let condition = reader.word("hole", Need::Required, &HOLES);
    let direction = reader.word("direction", Need::Required, Direction::WORDS);
    let load = reader.word("load", Need::Required, Load::WORDS);
    let torque = reader.installation_torque(element);
    let cleaning = reader.cleaning();
    let blow_with = reader.word("blow_with", Need::Optional, BlowWith::WORDS);
    let rule = reader.word("rule", Need::Optional, &RULES);
    let batch = reader.text("batch", Need::Optional);
    let planned = reader.date("planned", Need::Optional);
    let degrees = |reader: &mut Reader<'_, '_, '_>, key| {
        reader.take(key, Need::Optional, |table, findings| table.degrees(key, Need::Optional, findings))
    };
    let (expected, cartridge) = (degrees(&mut reader, "expected_c"), degrees(&mut reader, "cartridge_c"));
    let certified_installer = reader.text("certified_installer", Need::Optional);
    let inspector = reader.text("inspector", Need::Optional);
    let pauses = reader.whole("pauses", Need::Optional, 0..=10_000).unwrap_or(0);
    let fixings = reader.fixings(name.as_deref());
    let loggers = fixings.as_ref().and_then(|fixings| reader.loggers(fixings.len()));
    let proof = reader.proof();
    if reader.spoilt {
        return None;
    }
    Some(Group {
        name: name?,
        element: element?,
        drilled: Drilled { diameter: drilled.0?, depth: drilled.1? },
        embedment: embedment?,
        edge_distance,
        spacing,
        substrate: Substrate { kind: kind?, cast, least_age_days },
        condition: condition?,
        direction: direction?,
        load: load?,
        torque: torque?,
        cleaning: cleaning?,
        blow_with,
        rule: rule.unwrap_or(Rule::Coldest),
        batch,
        planned,
        expected,
        cartridge,
        certified_installer,
        inspector,
        proof,
        pauses,
        fixings: fixings?,
        loggers: loggers?,
        places: reader.places,
    })
}

impl Reader<'_, '_, '_> {
    fn distance(&mut self, least: &'static str, drawn: &'static str) -> Distance {
        Distance { least: self.length(least, Need::Optional), drawn: self.length(drawn, Need::Optional) }
    }

    fn element(&mut self) -> Option<Element> {
        let words = [
            ("threaded-stud", Kind::Stud),
            ("internally-threaded-sleeve", Kind::Sleeve),
            ("reinforcing-bar", Kind::Bar),
        ];
        match self.word("element", Need::Required, &words)? {
            Kind::Stud => {
                self.unwanted("diameter_mm", "a threaded stud has a size, such as size = \"M16\"");
                self.unwanted("outer_diameter_mm", "a threaded stud has a size, such as size = \"M16\"");
                Some(Element::Stud { size: self.thread()? })
            }
            Kind::Sleeve => {
                self.unwanted("diameter_mm", "a sleeve has a size and outer_diameter_mm");
                let (size, outer) = (self.thread(), self.length("outer_diameter_mm", Need::Required));
                Some(Element::Sleeve { size: size?, outer: outer? })
            }
            Kind::Bar => {
                self.unwanted("size", "a reinforcing bar has diameter_mm, such as diameter_mm = 16");
                self.unwanted("outer_diameter_mm", "a reinforcing bar has diameter_mm");
                Some(Element::Bar { diameter: self.length("diameter_mm", Need::Required)? })
            }
        }
    }

    fn thread(&mut self) -> Option<Thread> {
        self.take("size", Need::Required, |table, findings| {
            let text = table.text("size", Need::Required, findings)?;
            let found = Thread::parse(&text.value);
            if found.is_none() {
                let what = format!("size {} is no metric coarse thread from M6 to M42", shown(text.value.as_bytes()));
                findings.error(text.span.clone(), what, "write it as the drawing does, such as size = \"M16\"");
            }
            found.map(|value| At { value, span: text.span })
        })
    }

    /// `Some(None)` for an element that is not torqued.
    #[allow(clippy::option_option, reason = "absent as a fault, and absent as a statement")]
    fn installation_torque(&mut self, element: Option<Element>) -> Option<Option<SpecifiedTorque>> {
        let none = self.word("torque", Need::Optional, &[("none", ())]).is_some();
        let value = self.newton_metres("torque_nm");
        let tolerance = self.newton_metres("torque_tolerance_nm");
        let header = self.places.header.clone();
        let unread = (value.is_none() && self.table.has("torque_nm"))
            || (tolerance.is_none() && self.table.has("torque_tolerance_nm"))
            || (!none && self.table.has("torque"));
        if unread {
            return None; // its finding stands
        }
        let threaded = element.and_then(|element| element.thread()).is_some();
        let (place, what, remedy) = match (none, value, tolerance) {
            (true, None, None) => return Some(None),
            (true, _, _) => {
                (self.places.of("torque"), "torque is \"none\" and a torque is given", "leave one of them out")
            }
            (false, Some(_), _) if element.is_some() && !threaded => {
                (self.places.of("torque_nm"), "a reinforcing bar has no thread to tighten", "leave the torque out")
            }
            (false, Some(torque), Some(tolerance)) => {
                let specified = SpecifiedTorque { torque, tolerance };
                if specified.range().is_some() {
                    return Some(Some(specified));
                }
                let what = "the tolerance is not less than the torque";
                (self.places.of("torque_tolerance_nm"), what, "give torque and tolerance in N·m")
            }
            (false, Some(_), None) => {
                let what = "torque_tolerance_nm is missing: how far off may the torque be?";
                (header, what, "give the specified tolerance, such as torque_tolerance_nm = 2.0")
            }
            (false, None, Some(_)) => (header, "torque_nm is missing", "give the installation torque in N·m"),
            (false, None, None) if threaded => (
                header,
                "the installation torque is missing",
                "give torque_nm and torque_tolerance_nm, or torque = \"none\" where the specification has none",
            ),
            (false, None, None) => return Some(None),
        };
        self.findings.error(place, what, remedy);
        self.spoilt = true;
        None
    }

    fn newton_metres(&mut self, key: &'static str) -> Option<Torque> {
        self.take(key, Need::Optional, |table, findings| {
            let hundredths = |newton_metres: &Decimal| {
                newton_metres.exactly(100).filter(|found| *found <= GREATEST_TORQUE).map(Torque::from_hundredths)
            };
            let wrong = ("is not 0 to 100000 N·m in steps of 0.01 N·m", "give it in N·m as the specification has it");
            table.number_as(key, Need::Optional, hundredths, wrong, findings)
        })
    }

    fn cleaning(&mut self) -> Option<Cleaning> {
        self.take("cleaning", Need::Required, |table, findings| {
            let text = table.plain_text("cleaning", Need::Required, findings)?;
            match Cleaning::parse(&text.value) {
                Ok(value) => Some(At { value, span: text.span }),
                Err(error) => {
                    let what = format!("cleaning has {}, which is no step", error.found);
                    let remedy = "write steps with a comma between them, such as \"blow 4, brush 4, blow 4\" (also rinse; \
                                  each 1 to 32 times), or \"dust-extracting bit\"";
                    findings.error(text.span, what, remedy);
                    None
                }
            }
        })
    }

    fn fixings(&mut self, group: Option<&str>) -> Option<Vec<FixingPlan>> {
        let number = self.whole("number", Need::Required, 1..=MOST_OF_A_GROUP);
        let prefix = self.text_as_written("name_prefix");
        let names = self.take("names", Need::Optional, |table, findings| table.texts("names", findings));
        if let Some(names) = names {
            self.unwanted("name_prefix", "names are given one by one");
            let places = self.places.of("names");
            if number.is_some_and(|number| names.len() as u64 != u64::from(number)) {
                let what = format!("there are {} names for {} fixings", names.len(), number.unwrap_or(0));
                self.findings.error(places, what, "correct number, or name each fixing once");
                self.spoilt = true;
            }
            let mut made = Vec::with_capacity(names.len());
            for name in names {
                self.fits(&name.value, &name.span);
                made.push(FixingPlan { name: name.value });
            }
            return Some(made);
        }
        let prefix = prefix.or_else(|| group.map(|group| format!("{group} ")))?;
        let number = number?;
        let longest = format!("{prefix}{number}");
        let place = self.places.of(if self.table.has("name_prefix") { "name_prefix" } else { "name" });
        self.fits(&longest, &place);
        Some((1..=number).map(|place| FixingPlan { name: format!("{prefix}{place}") }).collect())
    }

    /// A prefix may end with a blank, so it is taken as it is written.
    fn text_as_written(&mut self, key: &'static str) -> Option<String> {
        self.take(key, Need::Optional, |table, findings| {
            let text = table.text(key, Need::Optional, findings)?;
            let starts_blank = text.value.trim_start() != text.value || text.value.is_empty();
            if starts_blank || text.value.chars().any(crate::problem::is_invisible) {
                let what = format!("{key} is empty, begins with a blank or has characters that can't be seen");
                findings.error(text.span, what, "write it in plain letters: records carry it");
                return None;
            }
            Some(text)
        })
    }

    fn fits(&mut self, name: &str, place: &std::ops::Range<usize>) {
        if name.len() > MOST_NAME {
            let what = format!(
                "the name {} is {} bytes long, and a logger keeps {MOST_NAME}",
                shown(name.as_bytes()),
                name.len()
            );
            self.findings.error(place.clone(), what, "give shorter names, or a short name_prefix such as \"B3-\"");
            self.spoilt = true;
        }
    }

    fn loggers(&mut self, fixings: usize) -> Option<Vec<u8>> {
        let split = self.take("loggers", Need::Optional, |table, findings| table.wholes("loggers", 1..=16, findings));
        let Some(split) = split else {
            if fixings > MOST_FIXINGS && !self.table.has("loggers") {
                let what = format!("{fixings} fixings are more than the {MOST_FIXINGS} that one logger watches");
                let remedy = "say which loggers watch them, in their order, such as loggers = [16, 8]; each logger's \
                              fixings share its place";
                self.findings.error(self.places.of("number"), what, remedy);
                self.spoilt = true;
            }
            return u8::try_from(fixings).ok().map(|all| vec![all]);
        };
        let sum: u64 = split.iter().map(|count| u64::from(*count)).sum();
        if sum != fixings as u64 {
            let what = format!("the loggers watch {sum} fixings, and the group has {fixings}");
            self.findings.error(self.places.of("loggers"), what, "correct loggers or number");
            self.spoilt = true;
        }
        Some(split.into_iter().filter_map(|count| u8::try_from(count).ok()).collect())
    }

    fn proof(&mut self) -> Option<ProofTests> {
        let table = self.table.table_if_there("proof", "[group.proof]", self.findings);
        let found = table.as_ref().and_then(|table| proof(table, self.findings));
        self.spoilt |= found.is_none() && self.table.has("proof");
        if let Some(table) = table {
            self.places.keys.insert("proof", table.span);
        }
        found
    }
}

fn proof(table: &Table<'_, '_>, findings: &mut Findings) -> Option<ProofTests> {
    let keys =
        ["share_percent", "least", "load_kn", "hold", "displacement_mm", "after_one_failure", "after_more_failures"];
    table.only(&keys, findings);
    let sample = sample(table, findings);
    let load = force(table, "give the test load in kN", findings);
    let hold = table.duration("hold", Need::Optional, findings);
    let displacement = length(table, "displacement_mm", Need::Optional, findings);
    let after_one = after(table, "after_one_failure", findings);
    let after_more = after(table, "after_more_failures", findings);
    let spoilt = (hold.is_none() && table.has("hold")) || (displacement.is_none() && table.has("displacement_mm"));
    if spoilt {
        return None;
    }
    Some(ProofTests {
        sample: sample?,
        load: load?,
        hold: hold.map(|hold| hold.value),
        displacement: displacement.map(|found| found.value),
        after_one_failure: after_one?,
        after_more_failures: after_more?,
    })
}

/// A share with its least number.
fn sample(table: &Table<'_, '_>, findings: &mut Findings) -> Option<Sample> {
    let hundredths = |percent: &Decimal| {
        percent.exactly(100).and_then(|found| u16::try_from(found).ok()).and_then(Share::from_hundredths)
    };
    let wrong = ("is not 0.01 to 100 in steps of 0.01", "give the share of the group that is tested, such as 2.5");
    let share = table.number_as("share_percent", Need::Required, hundredths, wrong, findings);
    let least = table.whole("least", Need::Required, 1..=MOST_OF_A_GROUP, findings);
    Some(Sample::Share { share: share?.value, least: least?.value })
}

/// What follows a failure; `Some(None)` where the file doesn't say.
#[allow(clippy::option_option, reason = "absent as a fault, and absent as left to the engineer")]
fn after(table: &Table<'_, '_>, key: &'static str, findings: &mut Findings) -> Option<Option<Sample>> {
    if !table.has(key) {
        return Some(None);
    }
    if table.is_text(key) {
        return table.word(key, Need::Required, &[("all", Sample::All)], findings).map(|all| Some(all.value));
    }
    let inner = table.table(key, key, findings)?;
    inner.only(&["share_percent", "least"], findings);
    sample(&inner, findings).map(Some)
}
