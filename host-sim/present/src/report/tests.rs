//! Random histories through a logger's memory: what the page lists accounts for every second that the engine told.
#![allow(clippy::unwrap_used, reason = "a broken expectation must stop the test")]

use super::page::ReportPage;
use super::reckon::Reckoning;
use crate::words::{ReportPhrase, Speech};
use fastrand::Rng;
use holdoff_core::cure::{Laxer, Rule, WHOLE, accrued, served};
use holdoff_core::fixing::{Action, Demands, FixingSpec, InHole, Injection};
use holdoff_core::group::{Darkness, Happening};
use holdoff_core::log::{Beginning, Bytes, DeviceId, FileHash, Job, RamMemory, ResetCause, ResinRecord, Source, mount};
use holdoff_core::quantity::{Count, Instant, Span};
use holdoff_core::resin::Hole;
use holdoff_core::resin::ResinUse;
use holdoff_evidence::keys::to_hex;
use holdoff_evidence::row::{CodeRow, Verdict};
use holdoff_evidence::{Finding, Keep, Memory, ProvedBy, Why};
use holdoff_files::job::JobFile;
use holdoff_files::resin_file::ResinFile;
use holdoff_site::replay::happening;
use holdoff_site::series::random::{Trouble, resin, series, settings};

/// A memory of 64 KiB after a random history of three fixings.
fn memory(dice: &mut Rng) -> Vec<u8> {
    let mut memory = vec![0xFF; 65_536];
    let (mut logger, _) = mount(RamMemory(&mut memory), DeviceId([7; 8]), &mut |_| {}, &mut |_| {}).unwrap();
    let rule = if dice.bool() { Rule::Coldest } else { Rule::Accrual };
    let beginning = Beginning {
        firmware: [0, 1, 0],
        source: Source::Trace,
        resin: ResinRecord {
            resin: resin(dice),
            resin_use: ResinUse::Demo,
            file: FileHash([1; 32]),
            name: Bytes::cut("random"),
        },
        job: Job { file: FileHash([2; 32]), settings: settings(dice), rule, period: Span::from_seconds(60) },
        demands: Demands::NONE,
    };
    logger.begin(&beginning).unwrap();
    let mut numbers = Vec::new();
    for _ in 0..3 {
        let hole = Hole::ALL[dice.usize(0..2)];
        numbers.push(logger.add(Bytes::EMPTY, FixingSpec { hole, torque: None }).unwrap());
    }
    let (mean, swing) = (f64::from(dice.i32(-2..16)), f64::from(dice.i32(0..12)));
    let rows = series(dice, 900, mean, swing, Trouble::Some);
    let starts: Vec<usize> = numbers.iter().map(|_| dice.usize(5..120)).collect();
    for (place, row) in rows.rows().iter().enumerate() {
        let _ = logger.happen(happening(row), &mut |_| {}).unwrap();
        let mut act = |seconds: i64, fixing, action| {
            let at = Instant::from_seconds(row.seconds + seconds);
            let _ = logger.happen(Happening::Action { at, fixing, action }, &mut |_| {}).unwrap();
        };
        for (fixing, start) in numbers.iter().zip(&starts) {
            if place == *start {
                let count = Count::new(((mean + f64::from(dice.i32(-60..60)) / 10.0) * 256.0) as i16);
                let in_hole = dice.bool().then(|| InHole { at: Instant::from_seconds(row.seconds - 30), count });
                act(0, *fixing, Action::Inject(Injection { in_hole, ..Injection::default() }));
                act(dice.i64(1..200), *fixing, Action::Seat);
            }
            if place == start + 40 && dice.u8(0..4) == 0 {
                act(1, *fixing, Action::Hole(Hole::Flooded));
            }
        }
        if dice.u32(0..600) == 0 {
            let dark = if dice.u8(0..4) == 0 { Darkness::Unknown } else { Darkness::Known };
            logger.power_up(dark, ResetCause::PowerOn, &mut |_| {}).unwrap();
        }
    }
    memory
}

#[test]
fn what_a_page_lists_accounts_for_every_second_and_the_cure_is_the_first_that_suffices() {
    let (mut seated, mut cured, mut held, mut unobserved) = (0, 0, 0, 0);
    for seed in 0..250 {
        let image = memory(&mut Rng::with_seed(seed));
        let Memory { sessions, findings, .. } = Memory::of(&image, None, Keep::Told).unwrap();
        let blank = |finding: &Finding| matches!(finding, Finding::SlotBlank { .. });
        assert!(findings.iter().all(blank), "{seed}: {findings:?}");
        let [session] = sessions.as_slice() else { panic!("{seed}: {} sessions", sessions.len()) };
        assert_eq!(session.untrusted, None, "{seed}");
        if seed % 25 == 0 {
            // no clock on the wall was ever set in these: the page says so, and goes by the logger's seconds
            let mut page = ReportPage::new(Speech::PLAIN, &[], None);
            page.add(session, None);
            let page = page.html(0);
            assert!(page.contains("wall clock not set") && page.contains("of the logger's clock"), "{seed}");
        }
        for fixing in &session.fixings {
            let Some(reckoning) = Reckoning::of(session, fixing) else { continue };
            let (status, ppm) = (&fixing.status, session.job.settings.clock_ppm());
            seated += 1;
            assert_eq!(reckoning.unlisted, (0, 0), "{seed}: {:?}", fixing.number);
            let listed: i64 = reckoning.stretches.iter().map(|stretch| stretch.to - stretch.from).sum();
            assert_eq!(listed as u64, status.tally.not_counted(), "{seed}");
            assert!(reckoning.stretches.windows(2).all(|pair| pair[0].to <= pair[1].from), "{seed}");
            held += usize::from(status.tally.held > 0);
            unobserved += usize::from(status.tally.unobserved > 0);
            assert!(reckoning.coldest.is_some_and(|coldest| coldest.at.is_some()), "{seed}: {:?}", fixing.number);
            let required = reckoning.factor * u64::from(reckoning.rows[reckoning.coldest_band].band.cure.seconds());
            assert_eq!(required, status.required, "{seed}");
            let Some(at) = reckoning.cured else { continue };
            cured += 1;
            assert_eq!(at, reckoning.until, "{seed}");
            let place = reckoning.last_band.unwrap();
            let mut bands = status.tally.bands;
            let enough = |bands: &[u32; 16]| {
                let counted = bands.iter().map(|seconds| u64::from(*seconds)).sum();
                let factor = session.group.resin().factor(status.hole);
                let sum = accrued(session.group.resin().bands(), bands, factor, ppm);
                served(counted, ppm) >= required || (session.job.rule == Rule::Accrual && sum >= WHOLE)
            };
            assert!(enough(&bands), "{seed}");
            bands[place] -= 1;
            assert!(!enough(&bands), "{seed}: {:?}", fixing.number);
        }
    }
    assert!(seated > 100 && cured > 50 && held > 20 && unobserved > 20, "{seated} {cured} {held} {unobserved}");
}

/// A release code that a known key signed, of a fixing that is called so; its logger was loaded from the file of this hash.
fn code(label: &str, job: FileHash) -> CodeRow {
    CodeRow {
        id: 1,
        device: "0707070707070707".to_owned(),
        number: 0,
        label: label.to_owned(),
        job: to_hex(&job.0).get(..24).unwrap().to_owned(),
        demo: false,
        laxer: Laxer::default(),
        outside_at_seating: None,
        cured: 0,
        speaks_for: 0,
        torque: None,
        clock: None,
        verdict: Verdict::Proved,
        why: Some(Why::Proved(ProvedBy::Signature { key: "own".to_owned(), device: "07".to_owned() })),
        contradicted: None,
        short: String::new(),
        text: String::new(),
        told_otherwise: false,
    }
}

#[test]
fn a_code_is_held_against_the_version_of_the_job_file_that_its_logger_was_loaded_from() {
    let text = include_str!("../../../demo/quay-job.toml");
    let resin = |_: &str| ResinFile::parse("slow.toml", include_str!("../../../demo/harbour-slow.toml"));
    let versions = [text.to_owned(), text.replace("L2-", "L3-")];
    let jobs: Vec<JobFile> =
        versions.iter().map(|text| JobFile::examine("quay-job.toml", text, resin).unwrap()).collect();
    for (label, version, known) in [("L2-1", 0, true), ("L3-1", 1, true), ("L2-1", 1, false), ("nowhere", 0, false)] {
        let mut page = ReportPage::new(Speech::PLAIN, &jobs, None);
        page.code(&code(label, jobs[version].hash()));
        let html = page.html(0);
        assert_eq!(html.contains(Speech::PLAIN.say(ReportPhrase::WhyNotInJob)), !known, "{label} {version}");
        assert_eq!(html.contains("ladder 2"), known, "{label} {version}");
    }
}
