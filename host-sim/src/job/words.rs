//! A job in plain words.

use super::sampling::Sample;
use super::{Distance, Group, JobFile, Load};
use crate::duration::format;
use crate::problem::shown_file;
use crate::words::{CAUTION, DEMO_CAUTION, hole, laxer_words, torque};
use holdoff_core::cure::Rule;
use std::fmt::Write as _;

/// What was understood, with the cautions; each line ends with a line feed.
pub fn account(name: &str, file: &JobFile) -> String {
    let (job, mut text) = (file.job(), String::new());
    let _ = writeln!(text, "{}, {} ({})", job.name, job.site, shown_file(name));
    let _ = writeln!(text, "Resin: {}", shown_file(file.resin().name()));
    if file.resin().demo() {
        let _ = writeln!(text, "{DEMO_CAUTION}");
    }
    for batch in &job.batches {
        let there = batch.cartridges.map_or_else(String::new, |number| format!(", {number} cartridges"));
        let _ = writeln!(text, "Batch {}: good through {}{there}", batch.name, batch.use_by);
    }
    let settings = job.settings;
    let _ = writeln!(
        text,
        "Readings every {}, uncertainty {} °C, longest gap {}, clock allowance {} ppm",
        format(job.period),
        super::print::eighth_places(settings.uncertainty().counts()),
        format(settings.longest_gap()),
        settings.clock_ppm()
    );
    let laxer = laxer_words(settings.laxer());
    if !laxer.is_empty() {
        let _ = writeln!(text, "LAXER THAN THE DEFAULT: {}. Every record that rests on it says so.", laxer.join(", "));
    }
    for group in &job.groups {
        let _ = writeln!(text, "\n{}: {} x {}", group.name, group.number(), group.element);
        for line in lines(group) {
            let _ = writeln!(text, "  {line}");
        }
    }
    let odd = match file.findings().iter().count() {
        0 => "Nothing in the file looks odd or is left out.".to_owned(),
        1 => "One thing in the file looks odd or is left out: see above.".to_owned(),
        more => format!("{more} things in the file look odd or are left out: see above."),
    };
    let _ = writeln!(
        text,
        "\n{odd} Compare every line with the specification all the same: this states what it says and designs nothing.\n\n{CAUTION}"
    );
    text
}

fn lines(group: &Group) -> Vec<String> {
    let sustained = match group.load {
        Load::SustainedTension => ", under SUSTAINED TENSION",
        Load::Other => "",
    };
    let mut lines = vec![
        format!(
            "hole {} mm wide, {} mm deep, embedment {} mm, drilled {}{sustained}",
            group.drilled.diameter,
            group.drilled.depth,
            group.embedment,
            group.direction.word()
        ),
        format!("{}, {} hole", substrate(group), hole(group.condition)),
        format!("edge distance {}; spacing {}", distance(group.edge_distance), distance(group.spacing)),
    ];
    lines.push(match group.torque {
        Some(specified) => format!("torque {} ± {}", torque(specified.torque), torque(specified.tolerance)),
        None => "not torqued".to_owned(),
    });
    let blow = group.blow_with.map_or_else(String::new, |with| format!(", blown out with {}", with.plain()));
    lines.push(format!("cleaning: {}{blow}", group.cleaning));
    let rule = match group.rule {
        Rule::Coldest => "the cure time of the coldest band met",
        Rule::Accrual => "the cure summed up over the bands (accrual)",
    };
    lines.push(format!("rule: {rule}"));
    let said = |what: &Option<String>| what.clone().unwrap_or_else(|| "not said".to_owned());
    let planned = group.planned.map_or_else(|| "not said".to_owned(), |day| day.to_string());
    let expected = group.expected.as_ref().map_or_else(String::new, |celsius| format!(", {celsius} °C expected"));
    lines.push(format!("planned: {planned}{expected}; batch: {}", said(&group.batch)));
    if group.certified_installer.is_some() || group.inspector.is_some() || group.needs_certified_people() {
        lines.push(format!(
            "certified installer: {}; inspector: {}",
            said(&group.certified_installer),
            said(&group.inspector)
        ));
    }
    if let Some(proof) = &group.proof {
        let sample = proof.sample.of(group.number());
        let load = super::length::thousandths(u64::from(proof.load.newtons()));
        let hold = proof.hold.map_or_else(String::new, |hold| format!(", held for {}", format(hold)));
        let most = proof.displacement.map_or_else(String::new, |most| format!(", at most {most} mm of displacement"));
        lines.push(format!("proof tests: {sample} at {load} kN{hold}{most}"));
        let after = |sample: Option<Sample>| match sample {
            Some(sample) => format!("{} in all", sample.of(group.number())),
            None => "the engineer decides".to_owned(),
        };
        lines.push(format!(
            "  after one failure: {}; after more: {}",
            after(proof.after_one_failure),
            after(proof.after_more_failures)
        ));
    }
    lines.push(fixings(group));
    lines
}

fn substrate(group: &Group) -> String {
    let substrate = group.substrate;
    let cast = substrate.cast.map_or_else(String::new, |day| format!(", cast by {day}"));
    let least = substrate.least_age_days.map_or_else(String::new, |days| format!(", at least {days} days old"));
    format!("{}{cast}{least}", substrate.kind.plain())
}

fn distance(distance: Distance) -> String {
    match (distance.least, distance.drawn) {
        (Some(least), Some(drawn)) => format!("{drawn} mm drawn, at least {least} mm"),
        (Some(least), None) => format!("at least {least} mm"),
        (None, Some(drawn)) => format!("{drawn} mm drawn, no least stated"),
        (None, None) => "not stated".to_owned(),
    }
}

fn fixings(group: &Group) -> String {
    let mut rest = group.fixings.as_slice();
    let mut parts = Vec::new();
    for count in &group.loggers {
        let Some((fixings, after)) = rest.split_at_checked(usize::from(*count)) else { break };
        rest = after;
        if let (Some(first), Some(last)) = (fixings.first(), fixings.last()) {
            let to = if fixings.len() > 1 { format!(" to {}", last.name) } else { String::new() };
            parts.push(format!("{}{to}", first.name));
        }
    }
    let loggers = if parts.len() == 1 { "one logger".to_owned() } else { format!("{} loggers", parts.len()) };
    format!("{loggers}: {}", parts.join("; "))
}
