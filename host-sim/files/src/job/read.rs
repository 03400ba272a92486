//! A job file's values, before anything is compared with anything.

use super::hands::{self, JobHands};
use super::place::Places;
use super::reader::Reader;
use super::{Batch, Engineer, Group, Job, Supplies, Volume, engineer, read_group};
use crate::decimal::Decimal;
use crate::duration;
use crate::problem::{Problem, shown};
use crate::resin_file::ResinFile;
use crate::stamp::Stamp;
use crate::toml_file::{At, Findings, Need, Table, document};
use holdoff_core::cure::{Settings, Uncertainty};
use holdoff_core::quantity::Span;
use std::ops::RangeInclusive;

/// Most groups of a job.
const MOST_GROUPS: usize = 50_000;
/// The time between readings where the file doesn't say.
const PERIOD: Span = Span::from_seconds(60);

/// What could be read of a job; what is absent has its finding.
#[derive(Debug)]
pub(super) struct Draft {
    pub(super) name: Option<String>,
    pub(super) site: Option<String>,
    pub(super) offset_seconds: Option<i32>,
    pub(super) resin: Option<At<String>>,
    pub(super) settings: Option<Settings>,
    pub(super) period: Option<Span>,
    pub(super) hands: Option<JobHands>,
    pub(super) engineers: Vec<Option<Engineer>>,
    pub(super) batches: Vec<Option<Batch>>,
    /// `Some(None)` where it is there and can't be used.
    pub(super) supplies: Option<Option<Supplies>>,
    pub(super) groups: Vec<Option<Group>>,
    pub(super) places: Places,
}

impl Draft {
    /// The resin that the job names, with a finding when it can't be used.
    pub(super) fn load_resin(
        &self,
        load: impl FnOnce(&str) -> Result<ResinFile, Problem>,
        findings: &mut Findings,
    ) -> Option<ResinFile> {
        let named = self.resin.as_ref()?;
        match load(&named.value) {
            Ok(resin) => Some(resin),
            Err(problem) => {
                let place = match (problem.line(), problem.column()) {
                    (Some(line), Some(column)) => format!(" (line {line}, column {column})"),
                    (_, _) => String::new(),
                };
                let what = format!(
                    "the resin file {} can't be used: {}{place}",
                    shown(named.value.as_bytes()),
                    problem.what()
                );
                findings.error(named.span.clone(), what, "check it with holdoff resin check");
                None
            }
        }
    }

    /// The job, when all of it could be read.
    pub(super) fn finish(self) -> Option<Job> {
        Some(Job {
            name: self.name?,
            site: self.site?,
            offset_seconds: self.offset_seconds?,
            resin: self.resin?.value,
            settings: self.settings?,
            period: self.period?,
            hands: self.hands?,
            engineers: self.engineers.into_iter().collect::<Option<_>>()?,
            batches: self.batches.into_iter().collect::<Option<_>>()?,
            supplies: match self.supplies {
                None => None,
                Some(supplies) => Some(supplies?),
            },
            groups: self.groups.into_iter().collect::<Option<_>>()?,
            places: self.places,
        })
    }
}

/// Reads the values. `None` when the text is no TOML; what is wrong is in the findings either way.
pub(super) fn job(text: &str, findings: &mut Findings) -> Option<Draft> {
    let document = document(text, findings)?;
    let root = Table::new(document.get_ref(), 0..0, "the file", example);
    let keys = ["name", "site", "utc_offset", "resin", "people", "settings", "supplies", "engineer", "batch", "group"];
    root.only(&keys, findings);
    let mut places = Places::default();
    let batches = root.tables("batch", "[[batch]]", Need::Optional, findings);
    let groups = root.tables("group", "[[group]]", Need::Required, findings);
    if groups.len() > MOST_GROUPS {
        let what = format!("there are {} groups, and at most {MOST_GROUPS} are taken", groups.len());
        findings.error(0..0, what, "split the job into several files");
    }
    let (settings, period, hands) = settings(&root, findings, &mut places);
    let people = hands::people(&root, findings);
    let supplies = root.table_if_there("supplies", "[supplies]", findings);
    Some(Draft {
        name: root.plain_text("name", Need::Required, findings).map(|name| name.value),
        site: root.plain_text("site", Need::Required, findings).map(|site| site.value),
        offset_seconds: offset(&root, findings),
        resin: root.plain_text("resin", Need::Required, findings),
        settings,
        period,
        hands: hands.zip(people).map(|(hands, people)| JobHands { people, ..hands }),
        engineers: engineer::read(&root, findings),
        batches: batches.iter().map(|table| batch(table, findings)).collect(),
        supplies: root.has("supplies").then(|| supplies.and_then(|table| self::supplies(&table, findings))),
        groups: groups.iter().take(MOST_GROUPS).map(|table| read_group::group(table, findings)).collect(),
        places,
    })
}

fn offset(root: &Table<'_, '_>, findings: &mut Findings) -> Option<i32> {
    let text = root.text("utc_offset", Need::Required, findings)?;
    let stamp = Stamp::parse(&format!("2000-01-01T00:00:00{}", text.value)).ok();
    // what begins otherwise would be a fraction of the second
    let stamp = stamp.filter(|_| text.value.starts_with(['Z', 'z', '+', '-']));
    if stamp.is_none() {
        let what = format!("utc_offset {} is no offset from UTC", shown(text.value.as_bytes()));
        findings.error(text.span, what, "write \"Z\", or how far the site's clock is ahead of UTC, like \"+01:00\"");
    }
    stamp.map(Stamp::offset_seconds)
}

/// The settings of the count, the time between readings, what is demanded of hands.
fn settings(
    root: &Table<'_, '_>,
    findings: &mut Findings,
    places: &mut Places,
) -> (Option<Settings>, Option<Span>, Option<JobHands>) {
    let usual = JobHands::usual(root.has("supplies"));
    if !root.has("settings") {
        return (Some(Settings::DEFAULT), Some(PERIOD), Some(usual));
    }
    let Some(table) = root.table("settings", "[settings]", findings) else { return (None, None, None) };
    let keys = [&["uncertainty_c", "longest_gap", "clock_ppm", "settle", "period"][..], &hands::KEYS].concat();
    table.only(&keys, findings);
    let mut reader = Reader::new(&table, findings);
    let uncertainty = reader.take("uncertainty_c", Need::Optional, |table, findings| {
        let wrong = ("is not 0 to 10 °C", "give the probe's and its placement's together");
        table.number_as("uncertainty_c", Need::Optional, uncertainty, wrong, findings)
    });
    let gap = time(&mut reader, "longest_gap", Settings::DEFAULT.longest_gap(), 1..=3600);
    let ppm = reader.whole("clock_ppm", Need::Optional, 0..=10_000).and_then(|ppm| u16::try_from(ppm).ok());
    let settle = time(&mut reader, "settle", Settings::DEFAULT.settle(), 0..=3600);
    let usable = !std::mem::take(&mut reader.spoilt);
    let period = time(&mut reader, "period", PERIOD, 1..=3600);
    let period = (!std::mem::take(&mut reader.spoilt)).then_some(period);
    let hands = hands::read(&mut reader, usual);
    places.keys.extend(reader.places.keys);
    let (uncertainty, ppm) =
        (uncertainty.unwrap_or(Uncertainty::DEFAULT), ppm.unwrap_or(Settings::DEFAULT.clock_ppm()));
    let settings = Settings::new(uncertainty, gap, ppm).and_then(|settings| settings.with_settle(settle));
    (settings.ok().filter(|_| usable), period, hands)
}

/// An uncertainty of 0 to 10 °C, rounded up.
fn uncertainty(celsius: &Decimal) -> Option<Uncertainty> {
    let inside = !celsius.is_negative() && celsius.cmp_whole(10).is_le();
    let counts = u16::try_from(celsius.ceil_counts()).ok().filter(|_| inside)?;
    Uncertainty::from_counts(counts).ok()
}

/// A duration within a range of seconds, or the default.
pub(super) fn time(
    reader: &mut Reader<'_, '_, '_>,
    key: &'static str,
    default: Span,
    range: RangeInclusive<u32>,
) -> Span {
    let found = reader.take(key, Need::Optional, |table, findings| {
        let found = table.duration(key, Need::Optional, findings)?;
        if range.contains(&found.value.seconds()) {
            return Some(found);
        }
        let bound = |seconds: &u32| duration::format(Span::from_seconds(*seconds));
        let (found_text, least, greatest) = (duration::format(found.value), bound(range.start()), bound(range.end()));
        let what = format!("{key} {found_text} is not {least} to {greatest}");
        findings.error(found.span, what, format!("leave it out for {}", duration::format(default)));
        None
    });
    found.unwrap_or(default)
}

/// Most bytes of a batch's name that a logger keeps.
const MOST_BATCH_NAME: usize = 24;

fn batch(table: &Table<'_, '_>, findings: &mut Findings) -> Option<Batch> {
    table.only(&["name", "use_by", "cartridges"], findings);
    let mut reader = Reader::new(table, findings);
    let name = reader.text("name", Need::Required);
    let use_by = reader.date("use_by", Need::Required);
    let cartridges = reader.whole("cartridges", Need::Optional, 0..=1_000_000);
    let (name, use_by) = (name?, use_by?);
    if name.len() > MOST_BATCH_NAME {
        let what = format!("the batch name is {} bytes long; a logger keeps {MOST_BATCH_NAME}", name.len());
        reader.findings.error(reader.places.of("name"), what, "give the part of it that tells batches apart");
        return None;
    }
    Some(Batch { name, use_by, cartridges, places: reader.places })
}

fn supplies(table: &Table<'_, '_>, findings: &mut Findings) -> Option<Supplies> {
    table.only(&["cartridge_ml", "discard_ml", "left_ml", "pumping_ml_per_min", "holes_per_brush"], findings);
    let mut reader = Reader::new(table, findings);
    let cartridge = volume(&mut reader, "cartridge_ml", Need::Required);
    let discard = volume(&mut reader, "discard_ml", Need::Required);
    let left = volume(&mut reader, "left_ml", Need::Optional).unwrap_or(Volume::ZERO);
    let pumping_per_minute = volume(&mut reader, "pumping_ml_per_min", Need::Optional);
    let holes_per_brush = reader.whole("holes_per_brush", Need::Optional, 1..=1_000_000);
    let (cartridge, discard) = (cartridge?, discard?);
    if discard.and(left) >= cartridge {
        let what = "a cartridge holds no more than is discarded from its nozzle and left in it";
        let remedy = "compare cartridge_ml, discard_ml and left_ml with the cartridge";
        reader.findings.error(table.span.clone(), what, remedy);
        return None;
    }
    if pumping_per_minute == Some(Volume::ZERO) {
        let remedy = "give what is pumped a minute, or leave the line out";
        reader.findings.error(reader.places.of("pumping_ml_per_min"), "pumping_ml_per_min is 0", remedy);
        return None;
    }
    (!reader.spoilt).then_some(Supplies { cartridge, discard, left, pumping_per_minute, holes_per_brush })
}

fn volume(reader: &mut Reader<'_, '_, '_>, key: &'static str, need: Need) -> Option<Volume> {
    let wrong = ("is not from 0 to 100000 ml in steps of 0.001 ml", "give it in ml");
    reader.take(key, need, |table, findings| table.number_as(key, need, Volume::from_millilitres, wrong, findings))
}

/// How a key is written.
fn example(key: &str) -> String {
    let value = match key {
        "name" | "certified_installer" | "inspector" | "batch" => "\"its name\"",
        "site" => "\"where the job is\"",
        "utc_offset" => "\"+01:00\"",
        "resin" => "\"resin.toml\"",
        "engineer" => return "[[engineer]] with name and public below it".to_owned(),
        "public" => "\"64 hexadecimal digits\"",
        "use_by" | "planned" | "cast" => "2026-11-25",
        "element" => "\"threaded-stud\"",
        "size" => "\"M16\"",
        "substrate" => "\"cracked-concrete\"",
        "hole" => "\"dry\"",
        "direction" => "\"down\"",
        "load" => "\"sustained-tension\"",
        "rule" => "\"coldest\"",
        "cleaning" => "\"blow 4, brush 4, blow 4\"",
        "blow_with" => "\"compressed-air\"",
        "torque" => "\"none\"",
        "people" => "[\"A. Hand\", \"B. Hand\"]",
        "cleaning_record" | "nozzle_record" => "\"required\"",
        "clean_within" => "\"24h\"",
        "names" => "[\"B3-1\", \"B3-2\"]",
        "name_prefix" => "\"B3-\"",
        "loggers" => "[16, 8]",
        "number" | "least" => "4",
        "settle" => "\"3min\"",
        "period" | "longest_gap" | "hold" => "\"5min\"",
        "settings" | "supplies" | "group.proof" => return format!("[{key}] with its keys below it"),
        "group" => return format!("[[{key}]] with its keys below it, once for each"),
        "proof" => return "[group.proof] with its keys below it".to_owned(),
        "after_one_failure" => return "after_one_failure = { share_percent = 5, least = 6 }, or \"all\"".to_owned(),
        "after_more_failures" => return "after_more_failures = \"all\"".to_owned(),
        _ => "20.0",
    };
    format!("{key} = {value}")
}
