//! Random jobs: what is printed reads back as the same job, whatever is in it.

use super::super::group::{Direction, Distance, Drilled, FixingPlan, Load, SpecifiedTorque, Substrate, SubstrateKind};
use super::super::place::Places;
use super::super::sampling::{Force, ProofTests, Sample, Share};
use super::super::{
    Batch, BlowWith, Cleaning, CleaningAct, CleaningStep, Element, Engineer, Group, Job, JobHands, Length, Supplies,
    Thread, Volume,
};
use super::good;
use crate::decimal::Decimal;
use chrono::NaiveDate;
use fastrand::Rng;
use holdoff_core::cure::{Rule, Settings, Uncertainty};
use holdoff_core::fixing::Needs;
use holdoff_core::log::Bytes;
use holdoff_core::quantity::{Span, Torque};
use holdoff_core::resin::Hole;
use holdoff_core::seal::PublicKey;

fn length(random: &mut Rng, from: u32, to: u32) -> Length {
    // whole millimetres as often as micrometres
    let micrometres = random.u32(from..=to);
    let micrometres = if random.bool() { micrometres / 1000 * 1000 } else { micrometres };
    Length::from_micrometres(micrometres.max(1000)).unwrap()
}

fn some<T>(random: &mut Rng, make: impl FnOnce(&mut Rng) -> T) -> Option<T> {
    if random.bool() { Some(make(random)) } else { None }
}

fn text(random: &mut Rng, most: usize) -> String {
    let letters = ['a', 'Z', '7', ' ', '"', '\\', 'ü', '-', '#', '\'', '\u{1F529}'];
    let mut made = String::from("x");
    while made.len() + 5 < most && random.u8(..) < 220 {
        made.push(letters[random.usize(..letters.len())]);
    }
    made.push('y');
    made
}

fn day(random: &mut Rng, from: i32, to: i32) -> NaiveDate {
    NaiveDate::from_ymd_opt(random.i32(from..=to), random.u32(1..=12), random.u32(1..=28)).unwrap()
}

fn distance(random: &mut Rng) -> Distance {
    let least = some(random, |random| length(random, 20_000, 100_000));
    Distance { least, drawn: some(random, |random| length(random, 100_000, 900_000)) }
}

fn sample(random: &mut Rng) -> Sample {
    Sample::Share { share: Share::from_hundredths(random.u16(1..=10_000)).unwrap(), least: random.u32(1..100) }
}

fn cleaning(random: &mut Rng) -> Cleaning {
    if random.u8(..) < 30 {
        return Cleaning::DustExtractingBit;
    }
    let step =
        |random: &mut Rng| CleaningStep { what: CleaningAct::WORDS[random.usize(..3)].1, times: random.u8(1..=32) };
    Cleaning::Steps((0..random.usize(1..6)).map(|_| step(random)).collect())
}

fn element(random: &mut Rng) -> Element {
    let size = Thread::all().nth(random.usize(..16)).unwrap();
    match random.u8(..3) {
        0 => Element::Stud { size },
        1 => {
            let more = random.u32(1..5_000);
            Element::Sleeve { size, outer: Length::from_micrometres(size.diameter().micrometres() + more).unwrap() }
        }
        _ => Element::Bar { diameter: length(random, 6_000, 40_000) },
    }
}

fn group(random: &mut Rng, number: usize, batches: &[Batch]) -> Group {
    let element = element(random);
    let wide = element.diameter().micrometres() + random.u32(1..6_000);
    let depth = length(random, 50_000, 900_000);
    let fixings: Vec<FixingPlan> =
        (0..random.usize(1..60)).map(|place| FixingPlan { name: format!("{number}\"\\ü {place}") }).collect();
    let mut left = fixings.len();
    let mut loggers = Vec::new();
    while left > 0 {
        let count = random.usize(1..=16.min(left));
        loggers.push(u8::try_from(count).unwrap());
        left -= count;
    }
    let torque = random.u32(1..50_000);
    let torque = some(random, |random| SpecifiedTorque {
        torque: Torque::from_hundredths(torque),
        tolerance: Torque::from_hundredths(random.u32(0..torque)),
    });
    Group {
        name: format!("{number} {}", text(random, 40)),
        element,
        drilled: Drilled { diameter: Length::from_micrometres(wide).unwrap(), depth },
        embedment: length(random, 1_000, depth.micrometres()),
        edge_distance: distance(random),
        spacing: distance(random),
        substrate: Substrate {
            kind: SubstrateKind::WORDS[random.usize(..3)].1,
            cast: some(random, |random| day(random, 1900, 2019)),
            least_age_days: some(random, |random| random.u32(1..28)),
        },
        condition: Hole::ALL[random.usize(..3)],
        direction: Direction::WORDS[random.usize(..3)].1,
        load: Load::WORDS[random.usize(..2)].1,
        torque: torque.filter(|_| element.thread().is_some()),
        cleaning: cleaning(random),
        blow_with: some(random, |random| BlowWith::WORDS[random.usize(..2)].1),
        rule: if random.bool() { Rule::Coldest } else { Rule::Accrual },
        batch: some(random, |random| batches[random.usize(..batches.len())].name.clone()),
        planned: some(random, |random| day(random, 2021, 2022)),
        expected: some(random, |random| {
            Decimal::parse(&format!("{}.{}", random.i32(-40..60), random.u32(..))).unwrap()
        }),
        cartridge: some(random, |random| Decimal::from_whole(random.i128(-10..60))),
        certified_installer: Some(text(random, 30)),
        inspector: Some(text(random, 30)),
        proof: some(random, |random| ProofTests {
            sample: sample(random),
            load: Force::from_newtons(random.u32(1..10_000_000)).unwrap(),
            hold: some(random, |random| Span::from_seconds(random.u32(..100_000))),
            displacement: some(random, |random| length(random, 1_000, 9_000)),
            after_one_failure: some(random, |random| if random.bool() { Sample::All } else { sample(random) }),
            after_more_failures: some(random, |random| if random.bool() { Sample::All } else { sample(random) }),
        }),
        pauses: random.u32(..4),
        fixings,
        loggers,
        places: Places::default(),
    }
}

fn job(random: &mut Rng) -> Job {
    let batch = |random: &mut Rng, number: usize| Batch {
        name: format!("{number}{}", text(random, 20)),
        use_by: day(random, 2023, 2030),
        cartridges: some(random, |random| random.u32(..1000)),
        places: Places::default(),
    };
    let batches: Vec<Batch> = (0..random.usize(1..4)).map(|number| batch(random, number)).collect();
    let groups = (0..random.usize(1..5)).map(|number| group(random, number, &batches)).collect();
    let uncertainty = Uncertainty::from_counts(random.u16(0..=2560)).unwrap();
    let gap = random.u32(1..=3600);
    Job {
        name: text(random, 50),
        site: text(random, 50),
        offset_seconds: random.i32(-1439..=1439) * 60,
        resin: text(random, 50),
        settings: Settings::new(uncertainty, Span::from_seconds(gap), random.u16(0..=10_000)).unwrap(),
        period: Span::from_seconds(random.u32(1..=gap)),
        hands: JobHands {
            // a logger counts eight steps, and some of these cleanings have more
            cleaning_record: Needs::Noted,
            clean_within: Span::from_seconds(random.u32(1..=14 * 86_400)),
            nozzle_record: if random.bool() { Needs::Required } else { Needs::Noted },
            people: (0..random.u8(0..=8))
                .map(|number| Bytes::cut(&format!("{number} {}", random.alphabetic())))
                .collect(),
        },
        engineers: (0..random.usize(..3))
            .map(|number| Engineer {
                name: format!("{number}{}", text(random, 20)),
                public: PublicKey::from_bytes(std::array::from_fn(|_| random.u8(..))),
            })
            .collect(),
        batches,
        supplies: some(random, |random| Supplies {
            cartridge: Volume::from_microlitres(random.u64(200_000..2_000_000)),
            discard: Volume::from_microlitres(random.u64(..100_000)),
            left: Volume::from_microlitres(random.u64(..100_000)),
            pumping_per_minute: some(random, |random| Volume::from_microlitres(random.u64(1..1_000_000))),
            holes_per_brush: some(random, |random| random.u32(1..500)),
        }),
        groups,
        places: Places::default(),
    }
}

#[test]
fn every_job_that_is_printed_reads_back_as_itself() {
    let mut random = Rng::with_seed(11);
    for _ in 0..1_500 {
        let made = job(&mut random);
        let printed = made.to_toml();
        let file = good(&printed);
        assert_eq!(file.job(), &made, "{printed}");
        assert_eq!(file.job().to_toml(), printed);
        let watched: usize = made.logger_groups().map(|logger| logger.fixings().len()).sum();
        assert_eq!(watched as u64, made.number());
    }
}
