//! The situations, in the order of the table.
//!
//! Terms: *finished* situations began five hours before now, *running* ones some minutes, so that a forecast lies ahead.

use crate::plays::{Setup, at_degrees, damaged, job, resin, torque_to};
use crate::scene::{Asked, Evidence, Files, Keys, Played, Reader, Wall, now, of_trace};
use holdoff_core::fixing::{Decision, Stage};
use holdoff_firmware::run::Press;
use holdoff_firmware::view::Item;
use holdoff_tests::fake_board::Bench;
use std::cell::RefCell;

/// A situation.
pub(crate) struct Situation {
    /// As the table words it.
    pub(crate) name: &'static str,
    pub(crate) play: fn() -> Played,
}

/// The seed of somebody who has not the logger's.
const FORGER: [u8; 32] = [0x66; 32];

fn finished() -> Setup {
    Setup::new(now() - 5 * 3600)
}

/// Its log has several pages.
fn restless() -> Setup {
    Setup { from: now() - 75 * 3600, before: 70 * 3600, ..finished() }
}

fn running() -> Setup {
    Setup::new(now() - 900)
}

/// A logger as it stands, at its buttons and at the end of a line, and its memory as evidence.
fn of(bench: Bench) -> Played {
    let memory = bench.image();
    Played {
        name: "quay stud 1",
        link: Some(reader(&bench)),
        bench: Some(RefCell::new(bench)),
        evidence: vec![Evidence::Memory(memory)],
        keys: Keys::Own,
        jobs: Vec::new(),
        prove: Asked::Of(0),
        files: Files { resin: resin(false) },
    }
}

fn reader(bench: &Bench) -> Reader {
    let seed = bench.world.borrow().seed;
    let last = bench.device.logger().group().and_then(|group| group.last_reading()).map_or(0, |(at, _)| at.seconds());
    // where the clock was set, its own seconds are the true ones
    let now = if (0..86_400).contains(&(bench.second() - last)) { bench.second() } else { last + 5 };
    Reader { memory: bench.image(), now, seed, clock: Wall::Own }
}

/// Evidence without a logger at hand.
fn told(evidence: Vec<Evidence>) -> Played {
    Played {
        name: "quay stud 1",
        bench: None,
        link: None,
        prove: Asked::Of(evidence.len() - 1),
        evidence,
        keys: Keys::Own,
        jobs: Vec::new(),
        files: Files { resin: resin(false) },
    }
}

fn without_keys(played: Played) -> Played {
    Played { keys: Keys::None, prove: Asked::Nothing, ..played }
}

fn by_other_keys(played: Played) -> Played {
    Played { keys: Keys::Other, ..played }
}

fn with_jobs(played: Played, jobs: &[&str]) -> Played {
    Played { jobs: jobs.iter().map(|note| job(note)).collect(), ..played }
}

fn keyless() -> Setup {
    Setup { seed: None, ..finished() }
}

fn without_torque() -> Setup {
    Setup { torque: false, ..finished() }
}

fn forger() -> Setup {
    Setup { seed: Some(FORGER), ..finished() }
}

fn memory(bench: &Bench) -> Evidence {
    Evidence::Memory(bench.image())
}

/// A day later, read out over its line by a logger whose clock goes so.
fn over_line(bench: Bench, clock: Wall) -> Played {
    let reader = Reader { clock, ..reader(&bench) };
    Played { evidence: vec![Evidence::Line(reader.clone())], link: Some(reader), ..of(bench) }
}

/// The same, and a signed decision of the engineer.
fn signed(played: Played, decision: Decision) -> Played {
    Played { evidence: [played.evidence.clone(), vec![Evidence::Signed(decision)]].concat(), ..played }
}

/// Its clock was never set.
fn never_set(bench: Bench) -> Played {
    let reader = Reader { clock: Wall::Unset, ..reader(&bench) };
    Played { link: Some(reader), ..of(bench) }
}

fn held() -> Bench {
    let mut bench = running().curing();
    at_degrees(&mut bench, 2, 3600);
    assert!(matches!(bench.stage(0), Stage::Held), "{:?}", bench.stage(0));
    bench
}

fn torqued_too_low() -> Bench {
    let mut bench = finished().cured();
    torque_to(&mut bench, Press::Down, |torque| torque < 3_700);
    assert!(matches!(bench.stage(0), Stage::Cured(_)), "{:?}", bench.stage(0));
    bench
}

fn over_torqued(mut bench: Bench) -> Bench {
    torque_to(&mut bench, Press::Up, |torque| torque > 4_300);
    assert!(matches!(bench.stage(0), Stage::Rejected(_)), "{:?}", bench.stage(0));
    bench
}

/// The second fixing is released too.
fn neighbour_released(mut bench: Bench) -> Bench {
    bench.inject(1);
    bench.run(60);
    bench.seat(1);
    bench.run(4000);
    bench.torque(1);
    bench.run(60);
    bench
}

fn rejected_early(setup: &Setup) -> Bench {
    let mut bench = setup.curing();
    bench.look_at(0);
    bench.take(Item::TorquedEarly);
    bench.press(Press::Select);
    bench.yes();
    bench.run(4000);
    assert!(matches!(bench.stage(0), Stage::Rejected(_)), "{:?}", bench.stage(0));
    bench
}

/// As the table words it, and how it is played.
type Case = (&'static str, fn() -> Played);

/// All of them.
pub(crate) fn all() -> Vec<Situation> {
    let all: [Case; 60] = [
        ("planned, may be injected", || of(running().planned())),
        ("planned, clock never set", || never_set(running().unset())),
        ("start refused: too cold", || {
            let mut bench = running().planned();
            at_degrees(&mut bench, 2, 3600);
            bench.inject(0);
            of(bench)
        }),
        ("injected, working time runs", || of(Setup::new(now() - 240).working())),
        ("injected, working time over, no reading since", || {
            let mut bench = Setup { period: 300, ..running() }.working();
            let by = bench.status(0).seat_by.expect("working").seconds();
            bench.run_until(by + 2);
            of(bench)
        }),
        ("curing", || of(running().curing())),
        ("curing, forecast passed without a reading", || {
            let setup = Setup { from: now() - 24 * 3600, ..running() };
            let mut bench = setup.curing();
            let memory = bench.image();
            bench.world.borrow_mut().probe.plugged = false;
            bench.run(7200);
            let link = Reader { memory: memory.clone(), ..reader(&bench) };
            Played { evidence: vec![Evidence::Memory(memory)], link: Some(link), ..of(bench) }
        }),
        ("curing, log damaged", || of(damaged(restless().curing()))),
        ("curing, loaded from an earlier version, newer one given", || with_jobs(of(running().curing()), &["second"])),
        ("planned, log damaged", || of(damaged(restless().planned()))),
        ("cure held: too cold", || of(held())),
        ("curing, clock silent for some minutes", || {
            let mut bench = running().curing();
            bench.world.borrow_mut().clock.answers = false;
            bench.run(400);
            bench.world.borrow_mut().clock.answers = true;
            bench.run(120);
            of(bench)
        }),
        ("curing, clock failed: nobody knows for how long", || {
            let mut bench = running().curing();
            {
                let mut world = bench.world.borrow_mut();
                let now = world.now;
                world.clock.run(false, now);
            }
            bench.run(130);
            let link = Reader { clock: Wall::Failed, ..reader(&bench) };
            Played { link: Some(link), ..of(bench) }
        }),
        ("cured, signed", || of(finished().cured())),
        ("cured, no keys given", || without_keys(of(finished().cured()))),
        ("cured, another logger's key given", || by_other_keys(of(finished().cured()))),
        ("cured, logger without a key, keys given", || of(keyless().cured())),
        ("cured, log damaged", || of(damaged(restless().cured()))),
        ("cured, a neighbour's release not signed by the key given", || {
            by_other_keys(of(neighbour_released(finished().cured())))
        }),
        ("cured, demo resin", || {
            let setup = Setup { resin: resin(true), ..finished() };
            Played { files: Files { resin: resin(true) }, ..of(setup.cured()) }
        }),
        ("cured, read out over a line, clock right", || over_line(finished().cured(), Wall::Right)),
        ("cured, read out over a line, clock two hours ahead", || over_line(finished().cured(), Wall::Ahead(7200))),
        ("cured, read out over a line, clock lost since", || over_line(finished().cured(), Wall::Unset)),
        ("cured, clock never set", || {
            let mut bench = finished().unset();
            bench.inject(0);
            bench.run(60);
            bench.seat(0);
            bench.run(4000);
            never_set(bench)
        }),
        ("cured, forged memory came first", || told(vec![memory(&forger().rejected()), memory(&finished().cured())])),
        ("cured, forged memory came later", || {
            let genuine = finished().cured();
            let forged = memory(&forger().rejected());
            let played = of(genuine);
            Played { evidence: [played.evidence.clone(), vec![forged]].concat(), ..played }
        }),
        ("cured by a forged memory alone, keys given", || told(vec![memory(&forger().cured())])),
        ("released by a forged memory alone, keys given", || told(vec![memory(&forger().torqued())])),
        ("torqued too low", || of(torqued_too_low())),
        ("torqued too low, no keys given", || without_keys(of(torqued_too_low()))),
        ("torqued too low, logger without a key, keys given", || {
            let mut bench = keyless().cured();
            torque_to(&mut bench, Press::Down, |torque| torque < 3_700);
            of(bench)
        }),
        ("cured without torque, signed", || of(without_torque().cured())),
        ("cured without torque, no keys given", || without_keys(of(without_torque().cured()))),
        ("cured without torque, of a recorded trace", || Played {
            name: "fixing 1",
            ..told(vec![Evidence::Memory(of_trace(&resin(false)))])
        }),
        ("released, signed", || of(finished().torqued())),
        ("released, no keys given", || without_keys(of(finished().torqued()))),
        ("released, another logger's key given", || by_other_keys(of(finished().torqued()))),
        ("released, logger without a key, keys given", || of(keyless().torqued())),
        ("released, log damaged", || of(damaged(restless().torqued()))),
        ("released, loaded from the job file given", || with_jobs(of(finished().torqued()), &["first"])),
        ("released, loaded from an earlier version, newer one given", || {
            with_jobs(of(finished().torqued()), &["second"])
        }),
        ("released, loaded from an earlier version, both given", || {
            with_jobs(of(finished().torqued()), &["first", "second"])
        }),
        ("rejected, loaded from an earlier version, newer one given", || {
            with_jobs(of(finished().rejected()), &["second"])
        }),
        ("release code alone, signed", || told(vec![Evidence::CodeOf(finished().torqued().image())])),
        ("release code alone, no keys given", || {
            without_keys(told(vec![Evidence::CodeOf(finished().torqued().image())]))
        }),
        ("release code alone, another logger's key given", || {
            by_other_keys(told(vec![Evidence::CodeOf(finished().torqued().image())]))
        }),
        ("code of a cure, memory of the same seating rejected before it", || {
            let setup = finished();
            told(vec![Evidence::CodeOf(setup.torqued().image()), memory(&rejected_early(&setup))])
        }),
        ("released, over-torqued later, both read out", || {
            let setup = finished();
            let (bench, before) = (over_torqued(setup.torqued()), setup.torqued().image());
            let played = of(bench);
            let evidence = [vec![Evidence::Memory(before)], played.evidence.clone()].concat();
            Played { evidence, prove: Asked::Of(1), ..played }
        }),
        ("released, over-torqued later, memory rolled back to before", || told(vec![memory(&finished().torqued())])),
        ("released, over-torqued later, only the old code beside its memory", || {
            let setup = finished();
            let (bench, before) = (over_torqued(setup.torqued()), setup.torqued().image());
            let played = of(bench);
            let evidence = [vec![Evidence::CodeOf(before)], played.evidence.clone()].concat();
            Played { evidence, prove: Asked::Of(1), ..played }
        }),
        ("rejected", || of(finished().rejected())),
        ("rejected, forged memory of a cure came first", || {
            let genuine = of(finished().rejected());
            let evidence = [vec![memory(&forger().cured())], genuine.evidence.clone()].concat();
            Played { evidence, prove: Asked::Of(1), ..genuine }
        }),
        ("rejected, accepted as it is, log damaged", || of(damaged(restless().decided(Item::Accept)))),
        ("rejected, log damaged", || of(damaged(restless().rejected()))),
        ("rejected, accepted as it is, not signed since", || of(finished().decided(Item::Accept))),
        ("rejected, accepted as it is, read out over a line", || {
            over_line(finished().decided(Item::Accept), Wall::Right)
        }),
        ("rejected, to be removed", || of(finished().decided(Item::Remove))),
        ("rejected, removal decided and signed", || signed(of(finished().rejected()), Decision::Remove)),
        ("rejected, accepted as it is, decided and signed", || {
            signed(over_line(finished().decided(Item::Accept), Wall::Right), Decision::Accept)
        }),
        ("rejected, accepted as it is, removal decided and signed", || {
            signed(over_line(finished().decided(Item::Accept), Wall::Right), Decision::Remove)
        }),
    ];
    all.into_iter().map(|(name, play)| Situation { name, play }).collect()
}
