//! What is done to the first of two fixings at an invented quay, on the fake board.
//!
//! The resin is that of `fake_board::plan`, as a file; at 12 °C it is worked for 10 min and cures in 1 h.

use crate::scene::NUMBER;
use holdoff_core::log::ResetCause;
use holdoff_disk::Load;
use holdoff_files::job::JobFile;
use holdoff_firmware::run::Press;
use holdoff_firmware::view::{Item, Page};
use holdoff_tests::fake_board::{Bench, JobPlan, KEY, World, loaded, noisy, plan, planned_as, sha256};

/// The resin's file; `demo` is what it says of itself.
pub(crate) fn resin(demo: bool) -> String {
    format!(
        r#"name = "Quay grey"
demo = {demo}
[substrate]
install_least = 5.0
install_greatest = 40.0
cure_least = 5.0
cure_greatest = 40.0
reject_below = -10.0
reject_above = 60.0
longest_hold = "6h"
[cartridge]
least = 5.0
greatest = 35.0
[hole]
allowed = ["dry", "wet", "flooded"]
wet_factor = 2
[accrual]
permitted = false
[[band]]
from = 5.0
working = "20min"
cure = "2h"
[[band]]
from = 10.0
working = "10min"
cure = "1h"
[[band]]
from = 20.0
working = "5min"
cure = "30min"
"#
    )
}

/// The job file; `note` tells its versions apart. Site, people and specification are invented.
pub(crate) fn job(note: &str) -> String {
    format!(
        r#"# {note}
name = "Quay rebuilding, section 9"
site = "Small harbour, quay section 9 (invented)"
utc_offset = "+01:00"
resin = "quay.toml"
[[batch]]
name = "Q-1"
use_by = 2099-06-30
cartridges = 20
[[group]]
name = "quay"
element = "threaded-stud"
size = "M16"
hole_diameter_mm = 18
hole_depth_mm = 130
embedment_mm = 125
least_edge_distance_mm = 60
edge_distance_mm = 180
least_spacing_mm = 60
spacing_mm = 220
substrate = "cracked-concrete"
cast = 2021-11-22
least_age_days = 21
hole = "dry"
direction = "down"
load = "other"
torque_nm = 40.0
torque_tolerance_nm = 2.0
cleaning = "blow 4, brush 4, blow 4"
blow_with = "compressed-air"
rule = "coldest"
batch = "Q-1"
planned = 2022-01-03
expected_c = 12.0
cartridge_c = 12.0
number = 2
name_prefix = "quay stud "
"#
    )
}

/// A logger to be played with.
#[derive(Clone)]
pub(crate) struct Setup {
    /// When the world begins.
    pub(crate) from: i64,
    pub(crate) seed: Option<[u8; 32]>,
    /// The text of the job file that it is loaded from.
    pub(crate) job: String,
    pub(crate) resin: String,
    pub(crate) torque: bool,
    pub(crate) period: u32,
    /// Seconds of restless readings before anything is done: they fill pages.
    pub(crate) before: i64,
}

impl Setup {
    pub(crate) fn new(from: i64) -> Self {
        Self { from, seed: Some(KEY), job: job("first"), resin: resin(false), torque: true, period: 60, before: 0 }
    }

    fn plan(&self) -> JobPlan {
        let folder = tempfile::tempdir().expect("a folder");
        let [job, resin] = ["job.toml", "quay.toml"].map(|name| folder.path().join(name));
        std::fs::write(&job, &self.job).expect("written");
        std::fs::write(&resin, &self.resin).expect("written");
        let file = JobFile::load(&job).unwrap_or_else(|problem| panic!("{problem}"));
        let mut made = plan(2);
        (made.file, made.resin, made.period) = (sha256(&self.job), loaded(file.resin()), self.period);
        for fixing in &mut made.fixings {
            fixing.torque = fixing.torque.filter(|_| self.torque);
        }
        made
    }

    fn world(&self) -> World {
        let mut world = World::new(self.from, 65_536);
        (world.seed, world.number) = (self.seed, Some(NUMBER));
        world
    }

    /// The job is loaded and the probe has settled.
    pub(crate) fn planned(&self) -> Bench {
        let mut bench = planned_as(Bench::on(self.world()), &self.plan());
        if self.before > 0 {
            bench.world.borrow_mut().probe.sixteenths = Box::new(noisy);
            bench.run(self.before);
            bench.world.borrow_mut().probe.sixteenths = Box::new(|_| 12 * 16);
            bench.run(600);
        }
        bench
    }

    /// The same with a clock that nobody set.
    pub(crate) fn unset(&self) -> Bench {
        let mut world = self.world();
        world.clock.run(false, 0);
        planned_as(Bench::on(world), &self.plan())
    }

    pub(crate) fn working(&self) -> Bench {
        let mut bench = self.planned();
        bench.inject(0);
        bench
    }

    pub(crate) fn curing(&self) -> Bench {
        let mut bench = self.working();
        bench.run(60);
        bench.seat(0);
        bench.run(300);
        bench
    }

    pub(crate) fn cured(&self) -> Bench {
        let mut bench = self.curing();
        bench.run(3700);
        bench
    }

    pub(crate) fn torqued(&self) -> Bench {
        let mut bench = self.cured();
        bench.torque(0);
        bench.run(60);
        bench
    }

    /// Rejected: nobody seated it.
    pub(crate) fn rejected(&self) -> Bench {
        let mut bench = self.working();
        bench.run(900);
        bench
    }

    /// Rejected, and decided on.
    pub(crate) fn decided(&self, how: Item) -> Bench {
        let mut bench = self.rejected();
        bench.look_at(0);
        bench.take(how);
        bench.yes();
        bench.run(60);
        bench
    }
}

/// The probe says another temperature from now on, for so long.
pub(crate) fn at_degrees(bench: &mut Bench, degrees: i32, seconds: i64) {
    // a step that is not credible is a candidate first, so it comes in steps that are
    let from = bench.second();
    bench.world.borrow_mut().probe.sixteenths = Box::new(move |second| {
        let gone = i32::try_from((second - from).clamp(0, 3600)).unwrap_or(0);
        let start = 12 * 16;
        let wanted = degrees * 16;
        if wanted < start { (start - gone / 10).max(wanted) } else { (start + gone / 10).min(wanted) }
    });
    bench.run(seconds);
}

/// Torques it to so many hundredths of a newton metre: `press` leads there from what the entry begins with.
pub(crate) fn torque_to(bench: &mut Bench, press: Press, reached: impl Fn(u32) -> bool) {
    bench.look_at(0);
    bench.take(Item::Torqued);
    for _ in 0..400 {
        let stands = bench
            .page(|_, page| if let Page::EnterTorque { torque, .. } = page { Some(torque.hundredths()) } else { None });
        if reached(stands.expect("the torque is entered")) {
            bench.press(Press::Select);
            bench.yes();
            bench.run(60);
            return;
        }
        bench.press(press);
    }
    panic!("never reached: {}", bench.seen());
}

/// Damages the second page of the session, of before anything was done, and starts the logger anew on it.
pub(crate) fn damaged(mut bench: Bench) -> Bench {
    let newest = bench.device.logger().head().expect("a log").page;
    assert!(newest >= 3, "only {newest} closed pages");
    {
        let mut world = bench.world.borrow_mut();
        let at = 512 + 100;
        for byte in &mut world.memory.bytes[at..at + 40] {
            *byte ^= 0x5A;
        }
    }
    bench.boot(ResetCause::PowerOn);
    bench.run(70);
    bench
}
