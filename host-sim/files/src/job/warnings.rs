//! What merely looks odd or is left out: the job is used, and whoever copied it is asked to look again.
//!
//! Figures that call something odd are marked: from a document, common practice, or `ASSUMED` (no source, wide enough that
//! a usual specification passes in silence). Nothing here says that a fixing is well designed.

use super::cleaning::{BlowWith, Cleaning, CleaningAct};
use super::group::{Direction, Group, Load, SubstrateKind};
use super::hands::JobHands;
use super::hole_volume::{HoleVolumes, stress_area};
use super::read::Draft;
use super::rules::{CLEANING, WhyAir, needs_air};
use super::{Batch, Element, Thread};
use crate::problem::{shown, shown_file};
use crate::resin_file::ResinFile;
use crate::toml_file::Findings;
use holdoff_core::fixing::Needs;
use holdoff_core::resin::Hole;

/// Usual threads, mm, and bars, µm: common practice, no source.
const USUAL_THREADS: (u8, u8) = (8, 30);
const USUAL_BARS: (u32, u32) = (6_000, 28_000);
/// Embedment in diameters of a threaded element (assessments of bonded anchors say 4 to 20; from memory).
const USUAL_EMBEDMENT: (u64, u64) = (4, 20);
/// Least anchorage of a bar in diameters (EN 1992-1-1 has 10; from memory).
const LEAST_BAR_EMBEDMENT: u64 = 10;
/// ASSUMED: a hole is at least so much wider than its element, µm; a bar's ribs stand out about a tenth.
const USUAL_CLEARANCE: u32 = 2_000;
/// ASSUMED: a hole is rarely so many times as deep as the embedment.
const USUAL_DEPTHS: u32 = 2;
/// ASSUMED: the stress that an installation torque puts into the thread, N/mm². What it is reckoned with, torque = 0.2 x force x
/// diameter, is a textbook's figure for usual friction (Shigley, Mechanical Engineering Design, the torque factor K; from memory);
/// VDI 2230 reckons with the frictions of thread and head one by one. A bolt of class 8.8 yields at 640 (ISO 898-1; from memory).
const USUAL_STRESS: (u64, u64) = (25, 500);
/// ASSUMED: days of one job lie within a year of each other, and a batch keeps less than three.
const USUAL_DAYS: i64 = 366;
const USUAL_SHELF_DAYS: i64 = 3 * 366;

const DRAWING: &str = "compare it with the drawing and the specification, unit by unit";

/// Notes everything odd.
pub(super) fn look(draft: &Draft, resin: Option<&ResinFile>, findings: &mut Findings) {
    settings(draft, findings);
    hands(draft, findings);
    batches(draft, findings);
    days(draft, findings);
    for group in draft.groups.iter().flatten() {
        omissions(group, findings);
        element(group, findings);
        hole(group, findings);
        torque(group, findings);
        cleaning(group, findings);
        people(group, findings);
        proof(group, findings);
        if let (Some(resin), Some(settings)) = (resin, draft.settings) {
            temperatures(group, resin, i32::from(settings.uncertainty().counts()), findings);
        }
    }
}

fn settings(draft: &Draft, findings: &mut Findings) {
    let Some(settings) = draft.settings else { return };
    for word in settings.laxer().words() {
        let key = match word {
            "uncertainty" => "uncertainty_c",
            "longest-gap" => "longest_gap",
            "settle" => "settle",
            _ => "clock_ppm",
        };
        let what = format!("{key} is laxer than its default: every record that rests on it will say so");
        findings.warn(draft.places.of(key), what, "leave the line out, or have the reason at hand");
    }
}

/// Records that are laxer than by default.
fn hands(draft: &Draft, findings: &mut Findings) {
    let Some(hands) = &draft.hands else { return };
    let usual = JobHands::usual(draft.supplies.is_some());
    let laxer = |found: Needs, usual| found == Needs::Noted && usual == Needs::Required;
    let all = [
        ("cleaning_record", laxer(hands.cleaning_record, usual.cleaning_record)),
        ("clean_within", hands.clean_within > usual.clean_within),
        ("nozzle_record", laxer(hands.nozzle_record, usual.nozzle_record)),
    ];
    for (key, _) in all.into_iter().filter(|(_, laxer)| *laxer) {
        let what = format!("{key} is laxer than its default: a start is not refused for it");
        findings.warn(draft.places.of(key), what, "leave the line out, or have the reason at hand");
    }
}

fn batches(draft: &Draft, findings: &mut Findings) {
    let used = |batch: &Batch| draft.groups.iter().flatten().any(|group| group.batch.as_ref() == Some(&batch.name));
    let all_read = draft.groups.iter().all(Option::is_some);
    for batch in draft.batches.iter().flatten() {
        if all_read && !used(batch) {
            let what = format!("no group is set with the batch {}", shown(batch.name.as_bytes()));
            findings.warn(batch.places.of("name"), what, "name it in its groups, or remove it");
        }
        let last = draft.groups.iter().flatten().filter_map(|group| group.planned).max();
        if last.is_some_and(|last| (batch.use_by - last).num_days() > USUAL_SHELF_DAYS) {
            let what = format!(
                "the batch {} is good for more than three years after the last planned day",
                shown(batch.name.as_bytes())
            );
            findings.warn(batch.places.of("use_by"), what, "compare the year with what is printed on the cartridge");
        }
    }
}

fn days(draft: &Draft, findings: &mut Findings) {
    let planned = || draft.groups.iter().flatten().filter_map(|group| group.planned);
    let (Some(first), Some(last)) = (planned().min(), planned().max()) else { return };
    if (last - first).num_days() <= USUAL_DAYS {
        return;
    }
    if let Some(group) = draft.groups.iter().flatten().find(|group| group.planned == Some(last)) {
        let what = format!("the planned days reach from {first} to {last}, more than a year");
        findings.warn(group.places.of("planned"), what, "compare the years of both");
    }
}

fn omissions(group: &Group, findings: &mut Findings) {
    let mut missing = |is: bool, what: &str, remedy: &str| {
        if is {
            findings.warn(group.places.header.clone(), format!("{}: {what}", shown(group.name.as_bytes())), remedy);
        }
    };
    let edge = (group.edge_distance.least, group.edge_distance.drawn);
    missing(edge.0.is_none(), "no least edge distance is stated", "add least_edge_distance_mm from the specification");
    missing(
        edge.0.is_some() && edge.1.is_none(),
        "the drawn edge distance is not given, so it can't be held against the least",
        "add edge_distance_mm from the drawing, and measure on site",
    );
    let several = group.fixings.len() > 1;
    let spacing = (group.spacing.least, group.spacing.drawn);
    missing(
        several && spacing.0.is_none(),
        "no least spacing is stated",
        "add least_spacing_mm from the specification",
    );
    missing(
        several && spacing.0.is_some() && spacing.1.is_none(),
        "the drawn spacing is not given, so it can't be held against the least",
        "add spacing_mm from the drawing, and measure on site",
    );
    let concrete = match group.substrate.kind {
        SubstrateKind::CrackedConcrete | SubstrateKind::UncrackedConcrete => true,
        SubstrateKind::Masonry => false,
    };
    missing(
        concrete && group.substrate.least_age_days.is_none(),
        "no least age of the concrete is stated",
        "add least_age_days from the specification (ACI 318 has 21 days for adhesive anchors; from memory)",
    );
    missing(
        group.substrate.least_age_days.is_some() && group.substrate.cast.is_none(),
        "the day of casting is not given, so the age can't be judged",
        "add cast, the latest day it can have been",
    );
    missing(
        group.batch.is_none(),
        "no resin batch is named",
        "name the batch before the day, so that its date is judged",
    );
    missing(
        group.planned.is_none() && (group.batch.is_some() || group.substrate.cast.is_some()),
        "no day is planned, so neither batch nor age can be judged",
        "add planned",
    );
    missing(
        group.blow_with.is_none() && group.cleaning.times(CleaningAct::Blow) > 0,
        "it is not said what the holes are blown out with",
        "add blow_with = \"hand-pump\" or \"compressed-air\" from the maker's instructions",
    );
}

fn element(group: &Group, findings: &mut Findings) {
    if let Some(thread) = group.element.thread()
        && !(USUAL_THREADS.0..=USUAL_THREADS.1).contains(&thread.nominal())
    {
        let what = format!("{thread} lies outside the usual sizes, M{} to M{}", USUAL_THREADS.0, USUAL_THREADS.1);
        findings.warn(group.places.of("size"), what, DRAWING);
    }
    match group.element {
        Element::Bar { diameter } if !(USUAL_BARS.0..=USUAL_BARS.1).contains(&diameter.micrometres()) => {
            let what = format!("a bar of {diameter} mm lies outside the usual sizes, 6 to 28 mm");
            findings.warn(group.places.of("diameter_mm"), what, DRAWING);
        }
        Element::Stud { .. } | Element::Sleeve { .. } | Element::Bar { .. } => {}
    }
}

fn hole(group: &Group, findings: &mut Findings) {
    let inside = group.embedment <= group.drilled.depth;
    let (hole, element) = (group.drilled.diameter.micrometres(), group.element.diameter().micrometres());
    let ribs = match group.element {
        Element::Bar { .. } => element / 10,
        Element::Stud { .. } | Element::Sleeve { .. } => 0,
    };
    if hole > element && hole < element.saturating_add(ribs).saturating_add(USUAL_CLEARANCE) {
        let what =
            format!("the hole, {} mm wide, leaves little room around the {}", group.drilled.diameter, group.element);
        findings.warn(group.places.of("hole_diameter_mm"), what, DRAWING);
    }
    if group.drilled.depth.micrometres() > group.embedment.micrometres().saturating_mul(USUAL_DEPTHS) {
        let what = format!("the hole, {} mm deep, is more than twice as deep as the embedment", group.drilled.depth);
        findings.warn(group.places.of("hole_depth_mm"), what, DRAWING);
    } else if let Some(volumes) = HoleVolumes::of(group).filter(|volumes| inside && !volumes.fill_covers()) {
        let what = format!(
            "two thirds of the hole, {}, don't fill what is around and below the element, {}",
            volumes.fill,
            volumes.needed()
        );
        findings.warn(group.places.of("hole_diameter_mm"), what, DRAWING);
    }
    let (embedment, diameter) = (u64::from(group.embedment.micrometres()), u64::from(element));
    let usual = match group.element {
        Element::Stud { .. } => Some((USUAL_EMBEDMENT.0, Some(USUAL_EMBEDMENT.1))),
        Element::Bar { .. } => Some((LEAST_BAR_EMBEDMENT, None)),
        Element::Sleeve { .. } => None, // its thread and its outside differ from make to make
    };
    if let Some((least, greatest)) = usual
        && (embedment < least * diameter || greatest.is_some_and(|greatest| embedment > greatest * diameter))
    {
        let most = greatest.map_or_else(String::new, |greatest| format!(" to {greatest}"));
        let what = format!(
            "the embedment {} mm is not the usual {least}{most} diameters of the {}",
            group.embedment, group.element
        );
        findings.warn(group.places.of("embedment_mm"), what, DRAWING);
    }
    if (group.direction, group.condition) == (Direction::Up, Hole::Flooded) {
        let what = "a hole drilled upwards does not stay flooded";
        findings.warn(group.places.of("hole"), what, "compare direction and hole with the drawing");
    }
}

fn torque(group: &Group, findings: &mut Findings) {
    let (Some(specified), Some(thread)) = (group.torque, group.element.thread()) else { return };
    let stress = stress(specified.torque.hundredths(), thread);
    if !(USUAL_STRESS.0..=USUAL_STRESS.1).contains(&stress) {
        let what = format!(
            "{} N·m would stress the thread {thread} by about {stress} N/mm² (torque = 0.2 x force x diameter, for usual friction)",
            super::print::hundredths(specified.torque)
        );
        let remedy = "compare the torque and its unit with the specification: 25 to 500 N/mm² are usual, and a bolt of class \
                      8.8 yields at 640";
        findings.warn(group.places.of("torque_nm"), what, remedy);
    }
}

/// What a torque in hundredths of a newton metre puts into a thread, N/mm², rounded down: torque / (0.2 d A).
fn stress(hundredths: u32, thread: Thread) -> u64 {
    // N·mm are tenths of hundredths of N·m: 10 x hundredths; d in mm; A in mm² from µm²
    let numerator = u64::from(hundredths) * 10 * 5 * 1_000_000;
    numerator / (u64::from(thread.nominal()) * stress_area(thread)).max(1)
}

fn cleaning(group: &Group, findings: &mut Findings) {
    if let (Some(BlowWith::HandPump), Some(why)) = (group.blow_with, needs_air(group)) {
        let why = match why {
            WhyAir::Wide => "wider than 16 mm",
            WhyAir::Deep => "deeper than 12 diameters",
        };
        let what = format!("a hand pump for holes {why}: compressed air, 6 bar and oil-free, is common practice");
        findings.warn(group.places.of("blow_with"), what, "compare it with the maker's instructions");
    }
    match &group.cleaning {
        Cleaning::DustExtractingBit => {
            if group.blow_with.is_some() {
                let what = "nothing is blown out after a dust-extracting bit";
                findings.warn(
                    group.places.of("blow_with"),
                    what,
                    "remove the line, or write the steps of the cleaning",
                );
            }
        }
        Cleaning::Steps(_) => {
            let (blows, brushings) =
                (group.cleaning.times(CleaningAct::Blow), group.cleaning.times(CleaningAct::Brush));
            if blows < CLEANING.0 || brushings < CLEANING.1 {
                let what =
                    format!("{blows} blows and {brushings} brushings are fewer than 4 blows, 4 brushings, 4 blows");
                let remedy =
                    "compare it with the maker's instructions; debris left in the hole can cost most of the capacity";
                findings.warn(group.places.of("cleaning"), what, remedy);
            }
        }
    }
}

fn people(group: &Group, findings: &mut Findings) {
    let why = match (group.direction, group.load) {
        (Direction::Up, Load::Other) => Some(("direction", "fixings overhead")),
        (Direction::Down, Load::SustainedTension) => Some(("load", "fixings under sustained tension")),
        // both of it is an error where somebody is missing
        (Direction::Up | Direction::Level, Load::SustainedTension)
        | (Direction::Level | Direction::Down, Load::Other) => None,
    };
    if let Some((key, which)) = why
        && (group.certified_installer.is_none() || group.inspector.is_none())
    {
        let what = format!("{which}, and a certified installer and an inspector are not both named");
        let remedy = "name certified_installer and inspector: such fixings are work for certified installers under continuous \
                      inspection";
        findings.warn(group.places.of(key), what, remedy);
    }
    if group.certified_installer.is_some() && group.certified_installer == group.inspector {
        let what = "the installer is the inspector too";
        findings.warn(group.places.of("inspector"), what, "inspection is somebody else's work: name both");
    }
}

fn proof(group: &Group, findings: &mut Findings) {
    let Some(proof) = &group.proof else { return };
    let missing = match (proof.after_one_failure, proof.after_more_failures) {
        (Some(_), Some(_)) => return,
        (None, _) => "after_one_failure",
        (Some(_), None) => "after_more_failures",
    };
    let what = format!("it is not said what follows a failed proof test: {missing}");
    findings.warn(group.places.of("proof"), what, "add it from the specification; left out, the engineer decides");
}

fn temperatures(group: &Group, resin: &ResinFile, uncertainty: i32, findings: &mut Findings) {
    let limits = resin.resin().limits();
    if let Some(expected) = &group.expected {
        let count = expected.floor_counts();
        let below = count.saturating_sub(uncertainty) < i32::from(limits.install_least.raw());
        let above = count.saturating_add(uncertainty + 1) > i32::from(limits.install_greatest.raw());
        if below || above {
            let (least, greatest) = (&resin.exact().install_least, &resin.exact().install_greatest);
            let what = format!(
                "the expected {expected} °C, with its uncertainty, lies outside {least} to {greatest} °C: a start would be refused"
            );
            findings.warn(group.places.of("expected_c"), what, "choose another day, or compare the unit (°C)");
        }
    }
    if let Some(cartridge) = &group.cartridge {
        let (least, greatest) = resin.cartridge();
        if cartridge < least || cartridge > greatest {
            let name = shown_file(resin.name());
            let what = format!("the cartridge, {cartridge} °C, lies outside {least} to {greatest} °C of {name}");
            findings.warn(
                group.places.of("cartridge_c"),
                what,
                "store the cartridges so that they are inside on the day",
            );
        }
    }
}
