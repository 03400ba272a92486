//! A job in the canonical form of its file.

use super::length::{shortest, thousandths};
use super::sampling::{ProofTests, Sample};
use super::{Batch, Element, Group, Job, Supplies};
use crate::duration;
use crate::stamp::offset_text;
use crate::toml_file::quoted;
use holdoff_core::fixing::Needs;
use holdoff_core::quantity::Torque;
use std::fmt::{Display, Write};

/// Lines of a file.
#[derive(Default)]
struct Lines(String);

impl Lines {
    fn value(&mut self, key: &str, value: impl Display) {
        let _ = writeln!(self.0, "{key} = {value}");
    }

    fn text(&mut self, key: &str, value: &str) {
        self.value(key, quoted(value));
    }

    fn maybe(&mut self, key: &str, value: Option<impl Display>) {
        if let Some(value) = value {
            self.value(key, value);
        }
    }

    fn header(&mut self, header: &str) {
        let _ = write!(self.0, "\n{header}\n");
    }
}

pub(super) fn job(job: &Job) -> String {
    let mut lines = Lines::default();
    lines.text("name", &job.name);
    lines.text("site", &job.site);
    lines.text("utc_offset", &offset_text(job.offset_seconds));
    lines.text("resin", &job.resin);
    if !job.hands.people.is_empty() {
        let names: Vec<String> = job.hands.people.iter().map(|name| quoted(name.text().unwrap_or_default())).collect();
        lines.value("people", format!("[{}]", names.join(", ")));
    }
    lines.header("[settings]");
    lines.value("uncertainty_c", eighth_places(job.settings.uncertainty().counts()));
    lines.text("longest_gap", &duration::format(job.settings.longest_gap()));
    lines.value("clock_ppm", job.settings.clock_ppm());
    lines.text("settle", &duration::format(job.settings.settle()));
    lines.text("period", &duration::format(job.period));
    lines.text("cleaning_record", needs(job.hands.cleaning_record));
    lines.text("clean_within", &duration::format(job.hands.clean_within));
    lines.text("nozzle_record", needs(job.hands.nozzle_record));
    if let Some(supplies) = &job.supplies {
        self::supplies(&mut lines, supplies);
    }
    for engineer in &job.engineers {
        lines.header("[[engineer]]");
        lines.text("name", &engineer.name);
        lines.text("public", &crate::hex::to_hex(engineer.public.bytes()));
    }
    for batch in &job.batches {
        self::batch(&mut lines, batch);
    }
    for group in &job.groups {
        self::group(&mut lines, group);
    }
    lines.0
}

const fn needs(needs: Needs) -> &'static str {
    match needs {
        Needs::Required => "required",
        Needs::Noted => "noted",
    }
}

/// Counts of 1/256 °C, exactly: a 256th has eight decimal places.
pub fn eighth_places(counts: u16) -> String {
    shortest(u64::from(counts) * 390_625, 8)
}

fn supplies(lines: &mut Lines, supplies: &Supplies) {
    lines.header("[supplies]");
    lines.value("cartridge_ml", supplies.cartridge.millilitres());
    lines.value("discard_ml", supplies.discard.millilitres());
    lines.value("left_ml", supplies.left.millilitres());
    lines.maybe("pumping_ml_per_min", supplies.pumping_per_minute.map(super::Volume::millilitres));
    lines.maybe("holes_per_brush", supplies.holes_per_brush);
}

fn batch(lines: &mut Lines, batch: &Batch) {
    lines.header("[[batch]]");
    lines.text("name", &batch.name);
    lines.value("use_by", batch.use_by);
    lines.maybe("cartridges", batch.cartridges);
}

fn group(lines: &mut Lines, group: &Group) {
    lines.header("[[group]]");
    lines.text("name", &group.name);
    lines.text("element", group.element.word());
    match group.element {
        Element::Stud { size } => lines.text("size", &size.to_string()),
        Element::Sleeve { size, outer } => {
            lines.text("size", &size.to_string());
            lines.value("outer_diameter_mm", outer);
        }
        Element::Bar { diameter } => lines.value("diameter_mm", diameter),
    }
    lines.value("hole_diameter_mm", group.drilled.diameter);
    lines.value("hole_depth_mm", group.drilled.depth);
    lines.value("embedment_mm", group.embedment);
    lines.maybe("least_edge_distance_mm", group.edge_distance.least);
    lines.maybe("edge_distance_mm", group.edge_distance.drawn);
    lines.maybe("least_spacing_mm", group.spacing.least);
    lines.maybe("spacing_mm", group.spacing.drawn);
    lines.text("substrate", group.substrate.kind.word());
    lines.maybe("cast", group.substrate.cast);
    lines.maybe("least_age_days", group.substrate.least_age_days);
    lines.text("hole", group.condition.word());
    lines.text("direction", group.direction.word());
    lines.text("load", group.load.word());
    match group.torque {
        Some(specified) => {
            lines.value("torque_nm", hundredths(specified.torque));
            lines.value("torque_tolerance_nm", hundredths(specified.tolerance));
        }
        None => lines.text("torque", "none"),
    }
    lines.text("cleaning", &group.cleaning.to_string());
    lines.maybe("blow_with", group.blow_with.map(|with| quoted(with.word())));
    lines.text("rule", group.rule.word());
    lines.maybe("batch", group.batch.as_deref().map(quoted));
    lines.maybe("planned", group.planned);
    lines.maybe("expected_c", group.expected.as_ref());
    lines.maybe("cartridge_c", group.cartridge.as_ref());
    lines.maybe("certified_installer", group.certified_installer.as_deref().map(quoted));
    lines.maybe("inspector", group.inspector.as_deref().map(quoted));
    lines.value("pauses", group.pauses);
    lines.value("number", group.fixings.len());
    let names: Vec<String> = group.fixings.iter().map(|fixing| quoted(&fixing.name)).collect();
    lines.value("names", format!("[{}]", names.join(", ")));
    let loggers: Vec<String> = group.loggers.iter().map(ToString::to_string).collect();
    lines.value("loggers", format!("[{}]", loggers.join(", ")));
    if let Some(proof) = &group.proof {
        self::proof(lines, proof);
    }
}

pub(super) fn hundredths(torque: Torque) -> String {
    shortest(u64::from(torque.hundredths()), 2)
}

fn proof(lines: &mut Lines, proof: &ProofTests) {
    lines.header("[group.proof]");
    let sample = proof.sample.share().map(|(share, least)| (share.to_string(), least));
    let (share, least) = sample.unwrap_or(("100".to_owned(), 1));
    lines.value("share_percent", share);
    lines.value("least", least);
    lines.value("load_kn", thousandths(u64::from(proof.load.newtons())));
    lines.maybe("hold", proof.hold.map(|hold| quoted(&duration::format(hold))));
    lines.maybe("displacement_mm", proof.displacement);
    lines.maybe("after_one_failure", proof.after_one_failure.map(after));
    lines.maybe("after_more_failures", proof.after_more_failures.map(after));
}

fn after(sample: Sample) -> String {
    match sample.share() {
        None => quoted("all"),
        Some((share, least)) => format!("{{ share_percent = {share}, least = {least} }}"),
    }
}
