//! What makes a job unusable once its values can be read: statements that contradict each other, and omissions without
//! which nothing may be set.
//!
//! The list is closed: names repeated or unknown; an element deeper than its hole or wider than it; drawn distances below
//! the stated least; a batch past its date, or concrete too young, on the planned day; a hole condition or a rule that
//! the resin does not allow; a required record of a cleaning of more steps than a logger counts; work for certified people without their names; a logger that reads too seldom. A group in
//! which a value could not be read has its finding and is judged no further.

use super::Element;
use super::group::{Distance, Group};
use super::logger::unsuited;
use super::place::Places;
use super::read::Draft;
use crate::duration;
use crate::problem::{shown, shown_file};
use crate::resin_file::ResinFile;
use crate::toml_file::Findings;
use chrono::Days;
use holdoff_core::cure::Rule;
use holdoff_core::resin::Accrual;
use std::collections::HashSet;

/// Notes every contradiction.
pub(super) fn check(draft: &Draft, resin: Option<&ResinFile>, findings: &mut Findings) {
    names(draft, findings);
    if let (Some(settings), Some(period)) = (draft.settings, draft.period)
        && period > settings.longest_gap()
    {
        let (period, gap) = (duration::format(period), duration::format(settings.longest_gap()));
        let what = format!("a reading every {period} leaves gaps longer than {gap}: nothing would ever be observed");
        findings.error(draft.places.of("period"), what, "read more often: period is at most longest_gap");
    }
    if let (Some(settings), Some(period)) = (draft.settings, draft.period)
        && let Some(what) = unsuited(settings, period)
    {
        findings.error(draft.places.of("settle"), what, "give a shorter settle, or a longer period; 3min always fit");
    }
    for group in draft.groups.iter().flatten() {
        hole(group, findings);
        sleeve(group, findings);
        distance(group, "edge distance", group.edge_distance, "edge_distance_mm", findings);
        distance(group, "spacing", group.spacing, "spacing_mm", findings);
        days(draft, group, findings);
        people(group, findings);
        if let Some(Err(error)) = draft.hands.as_ref().map(|hands| hands.demands(&group.cleaning)) {
            let remedy = "prescribe fewer steps, or cleaning_record = \"noted\"";
            findings.error(group.places.of("cleaning"), error.to_string(), remedy);
        }
        if let Some(resin) = resin {
            allowed(group, resin, findings);
        }
    }
}

fn names(draft: &Draft, findings: &mut Findings) {
    let second = |places: &Places, key: &str, what: String, findings: &mut Findings| {
        findings.error(places.of(key), what, "give each its own name: records go by it");
    };
    let mut seen = HashSet::new();
    for batch in draft.batches.iter().flatten() {
        if !seen.insert(batch.name.as_str()) {
            second(&batch.places, "name", format!("a second batch {}", shown(batch.name.as_bytes())), findings);
        }
    }
    let all_batches_read = draft.batches.iter().all(Option::is_some);
    let (mut groups, mut fixings, mut loggers) = (HashSet::new(), HashSet::new(), HashSet::new());
    for group in draft.groups.iter().flatten() {
        if !groups.insert(group.name.as_str()) {
            second(&group.places, "name", format!("a second group {}", shown(group.name.as_bytes())), findings);
        } else if let Some(name) = group.logger_names().find(|name| !loggers.insert(name.clone())) {
            second(&group.places, "name", format!("a second logger group {}", shown(name.as_bytes())), findings);
        }
        // every name is entered, the first repeated one is told
        let repeated: Vec<_> = group.fixings.iter().filter(|fixing| !fixings.insert(fixing.name.as_str())).collect();
        if let Some(fixing) = repeated.first() {
            let key = ["names", "name_prefix"].into_iter().find(|key| group.places.keys.contains_key(key));
            second(
                &group.places,
                key.unwrap_or("name"),
                format!("a second fixing {}", shown(fixing.name.as_bytes())),
                findings,
            );
        }
        if let Some(name) = group.batch.as_deref().filter(|name| all_batches_read && !seen.contains(name)) {
            let what = format!("there is no batch {} in the file", shown(name.as_bytes()));
            findings.error(group.places.of("batch"), what, "add a [[batch]] with its use-by date, or correct the name");
        }
    }
}

fn hole(group: &Group, findings: &mut Findings) {
    if group.embedment > group.drilled.depth {
        let what = format!("the embedment {} mm is deeper than the hole, {} mm", group.embedment, group.drilled.depth);
        findings.error(group.places.of("embedment_mm"), what, "compare embedment and hole depth with the drawing");
    }
    let element = group.element.diameter();
    if element >= group.drilled.diameter {
        let what = format!(
            "the hole, {} mm wide, is too narrow for the {}: no room for resin around {element} mm",
            group.drilled.diameter, group.element
        );
        let remedy = "compare hole diameter and element with the drawing and the maker's instructions";
        findings.error(group.places.of("hole_diameter_mm"), what, remedy);
    }
}

fn sleeve(group: &Group, findings: &mut Findings) {
    match group.element {
        Element::Sleeve { size, outer } if outer <= size.diameter() => {
            let what = format!("a sleeve with the thread {size} inside can't be {outer} mm wide outside");
            findings.error(group.places.of("outer_diameter_mm"), what, "give the sleeve's outer diameter in mm");
        }
        Element::Stud { .. } | Element::Sleeve { .. } | Element::Bar { .. } => {}
    }
}

fn distance(group: &Group, name: &str, distance: Distance, key: &str, findings: &mut Findings) {
    if let (Some(least), Some(drawn)) = (distance.least, distance.drawn)
        && drawn < least
    {
        let what = format!("the {name} {drawn} mm is below the stated least, {least} mm");
        findings.error(group.places.of(key), what, "ask the engineer: the drawing and the specification disagree");
    }
}

fn days(draft: &Draft, group: &Group, findings: &mut Findings) {
    let Some(planned) = group.planned else { return };
    let batch = draft.batches.iter().flatten().find(|batch| Some(batch.name.as_str()) == group.batch.as_deref());
    if let Some(batch) = batch.filter(|batch| planned > batch.use_by) {
        let what = format!(
            "the batch {} is past its date, {}, on the planned day {planned}",
            shown(batch.name.as_bytes()),
            batch.use_by
        );
        findings.error(group.places.of("planned"), what, "take a batch that is in date");
    }
    let Some(cast) = group.substrate.cast else { return };
    if cast > planned {
        let what = format!("the substrate is cast on {cast}, after the planned day {planned}");
        findings.error(group.places.of("cast"), what, "compare both days, their years too");
        return;
    }
    let old_enough = group.substrate.least_age_days.map(|least| cast.checked_add_days(Days::new(u64::from(least))));
    if let (Some(old_enough), Some(least)) = (old_enough, group.substrate.least_age_days)
        && old_enough.is_none_or(|old_enough| planned < old_enough)
    {
        let age = (planned - cast).num_days();
        let what = format!("on the planned day {planned} the substrate is {age} days old, and {least} are asked for");
        let remedy = match old_enough {
            Some(old_enough) => format!("set it on {old_enough} or later, or ask the engineer"),
            None => "compare least_age_days with the specification".to_owned(),
        };
        findings.error(group.places.of("planned"), what, remedy);
    }
}

fn people(group: &Group, findings: &mut Findings) {
    if !group.needs_certified_people() {
        return;
    }
    let missing = match (&group.certified_installer, &group.inspector) {
        (Some(_), Some(_)) => return,
        (None, Some(_)) => "a certified installer",
        (Some(_), None) => "an inspector",
        (None, None) => "a certified installer and an inspector",
    };
    let what = format!("fixings drilled {} under sustained tension, and {missing} not named", group.direction.word());
    let remedy = "name certified_installer and inspector: such fixings are work for certified installers under continuous \
                  inspection (ACI 318 says so for level and upward holes, other codes have their own rule)";
    findings.error(group.places.of("load"), what, remedy);
}

fn allowed(group: &Group, resin: &ResinFile, findings: &mut Findings) {
    if !resin.resin().holes().allows(group.condition) {
        let what = format!("{} excludes a {} hole", shown_file(resin.name()), group.condition.word());
        findings.error(group.places.of("hole"), what, "another resin or another hole: ask the engineer");
    }
    match (group.rule, resin.resin().accrual()) {
        (Rule::Accrual, Accrual::Forbidden) => {
            let what = format!("the accrual rule is asked for, and {} does not permit it", shown_file(resin.name()));
            findings.error(group.places.of("rule"), what, "write rule = \"coldest\"");
        }
        (Rule::Accrual, Accrual::Permitted) | (Rule::Coldest, Accrual::Permitted | Accrual::Forbidden) => {}
    }
}
