//! A job file's values, before anything is compared with anything.

use super::place::Places;
use super::{Batch, Engineer, Group, Job, Supplies, Volume, engineer, read_group};
use crate::duration;
use crate::problem::{Problem, shown};
use crate::resin_file::ResinFile;
use crate::stamp::Stamp;
use crate::toml_file::{At, Findings, Need, Table, document};
use holdoff_core::cure::{Settings, Uncertainty};
use holdoff_core::quantity::Span;
use std::ops::Range;

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
    root.only(&["name", "site", "utc_offset", "resin", "settings", "supplies", "engineer", "batch", "group"], findings);
    let mut places = Places::default();
    let batches = root.tables("batch", "[[batch]]", Need::Optional, findings);
    let groups = root.tables("group", "[[group]]", Need::Required, findings);
    if groups.len() > MOST_GROUPS {
        let what = format!("there are {} groups, and at most {MOST_GROUPS} are taken", groups.len());
        findings.error(0..0, what, "split the job into several files");
    }
    let (settings, period) = settings(&root, findings, &mut places);
    let supplies = root.table_if_there("supplies", "[supplies]", findings);
    let supplies_are_there = root.has("supplies");
    Some(Draft {
        name: kept(root.plain_text("name", Need::Required, findings)),
        site: kept(root.plain_text("site", Need::Required, findings)),
        offset_seconds: offset(&root, findings),
        resin: root.plain_text("resin", Need::Required, findings),
        settings,
        period,
        engineers: engineer::read(&root, findings),
        batches: batches.iter().map(|table| batch(table, findings)).collect(),
        supplies: supplies_are_there.then(|| supplies.and_then(|table| self::supplies(&table, findings, &mut places))),
        groups: groups.iter().take(MOST_GROUPS).map(|table| read_group::group(table, findings)).collect(),
        places,
    })
}

fn kept<T>(at: Option<At<T>>) -> Option<T> {
    at.map(|at| at.value)
}

fn offset(root: &Table<'_, '_>, findings: &mut Findings) -> Option<i32> {
    let text = root.text("utc_offset", Need::Required, findings)?;
    let stamp = Stamp::parse(&format!("2000-01-01T00:00:00{}", text.value));
    if let Err(error) = &stamp {
        let what = format!("utc_offset {} {error}", shown(text.value.as_bytes()));
        findings.error(text.span, what, "write \"Z\", or how far the site's clock is ahead of UTC, like \"+01:00\"");
    }
    stamp.ok().map(Stamp::offset_seconds)
}

fn settings(root: &Table<'_, '_>, findings: &mut Findings, places: &mut Places) -> (Option<Settings>, Option<Span>) {
    if !root.has("settings") {
        return (Some(Settings::DEFAULT), Some(PERIOD));
    }
    let Some(table) = root.table("settings", "[settings]", findings) else { return (None, None) };
    table.only(&["uncertainty_c", "longest_gap", "clock_ppm", "settle", "period"], findings);
    let uncertainty = match table.number("uncertainty_c", Need::Optional, findings) {
        None => (!table.has("uncertainty_c")).then_some(Uncertainty::DEFAULT),
        Some(number) => {
            let inside = !number.value.is_negative() && number.value.cmp_whole(10).is_le();
            let counts = u16::try_from(number.value.ceil_counts()).ok().filter(|_| inside);
            let found = counts.and_then(|counts| Uncertainty::from_counts(counts).ok());
            if found.is_none() {
                let what = format!("uncertainty_c {} is not 0 to 10 °C", number.value);
                findings.error(number.span.clone(), what, "give the probe's and its placement's together");
            }
            note(places, "uncertainty_c", number.span);
            found
        }
    };
    let gap = time(&table, "longest_gap", Settings::DEFAULT.longest_gap(), 1..=3600, findings, places);
    let period = time(&table, "period", PERIOD, 1..=3600, findings, places);
    let ppm = match table.whole("clock_ppm", Need::Optional, 0..=10_000, findings) {
        None => (!table.has("clock_ppm")).then_some(Settings::DEFAULT.clock_ppm()),
        Some(found) => {
            note(places, "clock_ppm", found.span);
            u16::try_from(found.value).ok()
        }
    };
    let settle = time(&table, "settle", Settings::DEFAULT.settle(), 0..=3600, findings, places);
    let settings = uncertainty.zip(gap).zip(ppm).zip(settle);
    let settings = settings.and_then(|(((uncertainty, gap), ppm), settle)| {
        Settings::new(uncertainty, gap, ppm).ok()?.with_settle(settle).ok()
    });
    (settings, period)
}

/// A duration within a range of seconds, or the default.
fn time(
    table: &Table<'_, '_>,
    key: &'static str,
    default: Span,
    range: std::ops::RangeInclusive<u32>,
    findings: &mut Findings,
    places: &mut Places,
) -> Option<Span> {
    let Some(found) = table.duration(key, Need::Optional, findings) else {
        return (!table.has(key)).then_some(default);
    };
    note(places, key, found.span.clone());
    if range.contains(&found.value.seconds()) {
        return Some(found.value);
    }
    let bound = |seconds: &u32| duration::format(Span::from_seconds(*seconds));
    let what =
        format!("{key} {} is not {} to {}", duration::format(found.value), bound(range.start()), bound(range.end()));
    findings.error(found.span, what, format!("leave it out for {}", duration::format(default)));
    None
}

fn note(places: &mut Places, key: &'static str, span: Range<usize>) {
    places.keys.insert(key, span);
}

/// Most bytes of a batch's name that a logger keeps.
const MOST_BATCH_NAME: usize = 24;

fn batch(table: &Table<'_, '_>, findings: &mut Findings) -> Option<Batch> {
    table.only(&["name", "use_by", "cartridges"], findings);
    let mut places = Places { header: table.span.clone(), ..Places::default() };
    let name = table.plain_text("name", Need::Required, findings);
    let use_by = table.date("use_by", Need::Required, findings);
    let cartridges = table.whole("cartridges", Need::Optional, 0..=1_000_000, findings);
    let (name, use_by) = (name?, use_by?);
    if name.value.len() > MOST_BATCH_NAME {
        let what = format!("the batch name is {} bytes long; a logger keeps {MOST_BATCH_NAME}", name.value.len());
        findings.error(name.span, what, "give the part of it that tells batches apart");
        return None;
    }
    note(&mut places, "name", name.span);
    note(&mut places, "use_by", use_by.span);
    Some(Batch { name: name.value, use_by: use_by.value, cartridges: kept(cartridges), places })
}

fn supplies(table: &Table<'_, '_>, findings: &mut Findings, places: &mut Places) -> Option<Supplies> {
    table.only(&["cartridge_ml", "discard_ml", "left_ml", "pumping_ml_per_min", "holes_per_brush"], findings);
    let cartridge = volume(table, "cartridge_ml", Need::Required, findings, places);
    let discard = volume(table, "discard_ml", Need::Required, findings, places);
    let left = volume(table, "left_ml", Need::Optional, findings, places);
    let pumping = volume(table, "pumping_ml_per_min", Need::Optional, findings, places);
    let brush = table.whole("holes_per_brush", Need::Optional, 1..=1_000_000, findings);
    let read = |key: &str, found: bool| found || !table.has(key);
    let all = read("left_ml", left.is_some())
        && read("pumping_ml_per_min", pumping.is_some())
        && read("holes_per_brush", brush.is_some());
    let (cartridge, discard) = (cartridge?, discard?);
    let left = left.unwrap_or(Volume::ZERO);
    if discard.and(left) >= cartridge {
        let what = "a cartridge holds no more than is discarded from its nozzle and left in it";
        findings.error(table.span.clone(), what, "compare cartridge_ml, discard_ml and left_ml with the cartridge");
        return None;
    }
    if let Some(pumping) = pumping.filter(|pumping| *pumping == Volume::ZERO) {
        let what = format!("pumping_ml_per_min is {}", pumping.millilitres());
        findings.error(places.of("pumping_ml_per_min"), what, "give what is pumped a minute, or leave the line out");
        return None;
    }
    all.then_some(Supplies { cartridge, discard, left, pumping_per_minute: pumping, holes_per_brush: kept(brush) })
}

fn volume(
    table: &Table<'_, '_>,
    key: &'static str,
    need: Need,
    findings: &mut Findings,
    places: &mut Places,
) -> Option<Volume> {
    let number = table.number(key, need, findings)?;
    let found = Volume::from_millilitres(&number.value);
    if found.is_none() {
        let what = format!("{key} {} is not from 0 to 100000 ml in steps of 0.001 ml", number.value);
        findings.error(number.span.clone(), what, "give it in ml");
    }
    note(places, key, number.span);
    found
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
