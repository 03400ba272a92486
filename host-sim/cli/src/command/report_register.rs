//! The hand-over record out of a register.

use super::report::Telling;
use holdoff_core::log::StageWord;
use holdoff_evidence::decision::Decided;
use holdoff_evidence::keys::{Ring, to_hex};
use holdoff_evidence::row::{CodeRow, FixingRow, Verdict};
use holdoff_evidence::{Cover, Keep, Memory, Proving, Session, Why};
use holdoff_files::job::JobFile;
use holdoff_files::problem::Problem;
use holdoff_present::memory::mount_error;
use holdoff_register::{Refusal, Register};
use std::collections::BTreeMap;
use std::path::Path;

/// The fixings of a register that belong to the job, in the job file's order; all of them where no job is given.
pub(super) fn tell(
    file: &Path,
    jobs: &[JobFile],
    ring: Option<&Ring>,
    telling: &mut Telling<'_>,
) -> Result<(), Problem> {
    let name = file.to_string_lossy();
    let failed = |refusal: Refusal| refusal.problem(&name);
    let register = Register::open(file).map_err(failed)?;
    let hashes: Vec<String> = jobs.iter().map(|job| to_hex(&job.hash().0)).collect();
    let of_job = |hash: &str| jobs.is_empty() || hashes.iter().any(|known| !hash.is_empty() && known.starts_with(hash));
    let planned_names: BTreeMap<&str, usize> = jobs
        .last()
        .into_iter()
        .flat_map(|file| &file.job().groups)
        .flat_map(|group| &group.fixings)
        .map(|fixing| fixing.name.as_str())
        .zip(0..)
        .collect();
    let place = |label: &str| planned_names.get(label).copied().unwrap_or(usize::MAX);
    let mut rows: Vec<FixingRow> = register.fixings_since(-1).map_err(failed)?;
    // what was done to a fixing of the job is told whatever its logger was loaded from
    let denied = |label: &str, session: &holdoff_evidence::row::KeptSession, planned: bool| {
        !of_job(&session.job) && (!planned_names.contains_key(label) || (planned && session.untrusted.is_none()))
    };
    rows.retain(|row| !denied(&row.fixing.label, &row.session, row.fixing.seen.word == StageWord::Planned));
    let mut sessions: Vec<&[FixingRow]> = rows.chunk_by(|one, next| one.session == next.session).collect();
    sessions.sort_by_key(|rows| rows.iter().map(|row| place(&row.fixing.called())).min());
    for rows in sessions {
        let Some(first) = rows.first() else { continue };
        let told = telling.only.is_none_or(|name| rows.iter().any(|row| row.fixing.called() == name));
        if let Some(read) = first.session.read.as_ref().filter(|_| told) {
            telling.page.read_out(&first.session.device, read);
        }
        let image = register.image_of(&first.session).map_err(failed)?;
        let memory = Memory::of(&image, ring, Keep::Told).map_err(|error| {
            let what = format!("a raw image in it cannot be read any more: {}", mount_error(&error));
            Problem::unusable(&name, what, "keep it, and ask")
        })?;
        let found = memory.sessions.into_iter().find(|told| told.first_page == first.session.first_page);
        let Some(mut told) = found else {
            // its beginning is damaged in the newest memory
            rows.iter().for_each(|row| telling.row(row));
            continue;
        };
        told.fixings.retain(|fixing| rows.iter().any(|row| usize::from(row.fixing.number) == fixing.number.place()));
        for fixing in &mut told.fixings {
            let row = rows.iter().find(|row| usize::from(row.fixing.number) == fixing.number.place());
            fixing.conflicts = row.map(|row| row.fixing.conflicts.clone()).unwrap_or_default();
            fixing.decided = row.and_then(|row| in_force(row, jobs));
        }
        if ring.is_none() {
            stored(&mut told, rows);
        }
        telling.session(&told);
    }
    let codes: Vec<CodeRow> = register.codes().map_err(failed)?;
    for code in codes.into_iter().filter(|code| of_job(&code.job) || planned_names.contains_key(code.label.as_str())) {
        let code = match ring {
            Some(ring) => code.held_against(ring),
            None => code,
        };
        telling.code(&code);
    }
    if telling.only.is_none() {
        telling.page.whole_job();
    }
    Ok(())
}

/// The signed decision on a fixing; where jobs are given, only while the newest of them still names its key for this engineer.
fn in_force(row: &FixingRow, jobs: &[JobFile]) -> Option<Decided> {
    let decided = row.fixing.decided.as_ref()?;
    let named = jobs.last().is_none_or(|file| {
        let engineers = &file.job().engineers;
        engineers.iter().any(|one| *one.public.bytes() == decided.public && one.name == decided.name)
    });
    named.then(|| decided.clone())
}

/// Without keys, what the register keeps of an earlier proof.
fn stored(told: &mut Session, rows: &[FixingRow]) {
    for fixing in &mut told.fixings {
        let row = rows.iter().find(|row| usize::from(row.fixing.number) == fixing.number.place());
        fixing.proving = match row.map(|row| (row.fixing.verdict, row.fixing.why.clone())) {
            Some((Some(Verdict::Proved | Verdict::NotProved), Some(Why::Proved(by)))) => Proving::Proved(by),
            Some((Some(Verdict::Proved | Verdict::NotProved), Some(Why::Not(why)))) => Proving::NotProved(why),
            Some((Some(Verdict::Proved | Verdict::NotProved), None) | (Some(Verdict::NotChecked), _)) => {
                Proving::NoKeys
            }
            Some((None, _)) | None => Proving::NoRelease,
        };
    }
    told.cover = rows.first().map_or(Cover::NoKeys, |row| row.session.cover);
    told.failed = rows.first().and_then(|row| row.session.failed.clone());
}
