//! `replay --job`: the job file that the logger of an image was loaded from.
//!
//! Why it is checked: whoever holds the image against the job file later finds the file's hash in the log, and takes hole, torque,
//! settings and resin for what the file says.

use super::replay::Job;
use holdoff_core::log::Bytes;
use holdoff_disk::Load;
use holdoff_files::job::JobFile;
use holdoff_files::problem::Problem;

/// The text of a job file that has a logger group with these very fixings, resin, rule and settings.
///
/// # Errors
/// It is no job file, or it says otherwise than what is replayed.
pub(super) fn text_of(file: &str, job: &Job) -> Result<String, Problem> {
    let other = |what: String| {
        Problem::unusable(file, what, "name the job file that the logger was loaded from, or correct the scenario")
    };
    let named = JobFile::load(file)?;
    let labels: Vec<Bytes<16>> = (0..job.plan.fixings.len()).map(|place| Bytes::cut(&job.plan.label(place))).collect();
    let same_labels = |label: &Bytes<16>| labels.contains(label);
    let group = named.job().logger_groups().find(|group| {
        let declared: Vec<Bytes<16>> = group.declared().map(|(label, _)| label).collect();
        declared.len() == labels.len() && declared.iter().all(same_labels)
    });
    let Some(group) = group else {
        return Err(other("no logger group of it has the fixings of the scenario".to_owned()));
    };
    let differing = [
        (named.resin().hash() != job.resin.hash(), "the resin"),
        (group.rule() != job.rule, "the rule"),
        (group.settings() != job.settings, "the settings"),
        (job.plan.fixings.iter().any(|fixing| fixing.spec != group.spec()), "hole or torque of a fixing"),
    ];
    let differing: Vec<&str> = differing.into_iter().filter(|(differs, _)| *differs).map(|(_, what)| what).collect();
    if !differing.is_empty() {
        return Err(other(format!("the scenario differs from it: {}", differing.join(", "))));
    }
    Ok(named.source().to_owned())
}
